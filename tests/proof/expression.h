/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Works out the text of a behavioural law without ngspice, for the independent solver.
 */
#ifndef BP_TESTS_PROOF_EXPRESSION_H
#define BP_TESTS_PROOF_EXPRESSION_H

/* The value of `text` in ngspice's expression language, where "#0".."#9" stand for control[0..9]
 * and "$0".."$9" for parameter[0..9]. *error is NULL, or the place in `text` that this reader does
 * not know. */
double expression_value(const char *text, const double *control, const double *parameter,
                        const char **error);

#endif
