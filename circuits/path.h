/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The way that the current takes through a circuit, from the battery's + through the load that
 * takes most, back to -.
 */
#ifndef BP_CIRCUITS_PATH_H
#define BP_CIRCUITS_PATH_H

#include "circuits/circuit.h"

/* One stretch of the way: a wire from end to end, a pin's contact (joint), or the inside of a part.
 */
typedef struct bp_step {
    size_t part;
    size_t from, to; /* faces, in the direction of the current */
    bool joint;
    double volts; /* that drop along it in the good circuit */
} bp_step;

typedef struct bp_path {
    bp_step *steps; /* owned; n = 0 when no current flows or the way cannot be told */
    size_t n;
    double amps; /* at its narrowest; INFINITY when no wire on it has a resistance to tell by */
} bp_path;

/* volts: of every node over the reference, solved, healthy. ohms: a wire's resistance, NAN for an
 * ideal one. state: index, for the positions of switches. BP_ERR_MEMORY, else BP_OK. Currents come
 * from the wires' own drops, so a circuit drawn with ideal wires only is followed by falling
 * voltage. */
typedef double (*bp_ohms_of)(const bp_part *wire);
bp_status bp_path_find(const bp_circuit *circuit, const double *volts, bp_ohms_of ohms,
                       size_t state, bp_path *path);
void bp_path_clear(bp_path *path);

/* Current leaving the battery's + through wires, A; NAN when it cannot be told. */
double bp_path_feed_amps(const bp_circuit *circuit, const double *volts, bp_ohms_of ohms);

#endif
