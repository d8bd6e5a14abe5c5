/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A second opinion from another simulator: writes a deck as a gnucap netlist, runs gnucap, reads
 * the node voltages back. gnucap has no free expressions, so a behavioural law is handed over as
 * tables of current against each of its control voltages; that is exact only for laws that are a
 * sum of such functions, which is checked first.
 */
#ifndef BP_TESTS_PROOF_GNUCAP_H
#define BP_TESTS_PROOF_GNUCAP_H

#include "sim/deck.h"

/* NULL on success, else the reason (static). volts: bp_deck_n_nodes long. */
const char *gnucap_solve(const bp_deck *deck, const double *values, double shunt, double *volts);

#endif
