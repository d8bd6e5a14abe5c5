/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A small circuit for each kind of part, in which it does what it is for: the part under test is X.
 * Bodies of `parts:`, `wires:` and `states:` as tests/sim/desk.h takes them.
 */
#ifndef BP_TESTS_SIM_MATRIX_H
#define BP_TESTS_SIM_MATRIX_H

#include <stddef.h>

typedef struct matrix_row {
    const char *kind;
    const char *parts, *wires, *states;
} matrix_row;

/* A kind may have several, each with modes that the others lack. */
extern const matrix_row matrix_rows[];
extern const size_t n_matrix_rows;

#endif
