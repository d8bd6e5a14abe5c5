/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the wire's parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_WIRE_H
#define BP_CIRCUITS_KINDS_WIRE_H

enum { BP_WIRE_SIZE, BP_WIRE_LENGTH, BP_WIRE_COLOUR, BP_WIRE_LOOM, BP_WIRE_PLACE };
enum {
    BP_WIRE_OPEN,
    BP_WIRE_RESISTANCE,
    BP_WIRE_SHORT_TO_GROUND,
    BP_WIRE_SHORT_TO_FEED,
    BP_WIRE_SHORT_TO
};

struct bp_mode_decl;
/* Fits a resistance in the way of a wire of this cross-section, m2, to what that wire carries. */
void bp_fit_to_cable(struct bp_mode_decl *resistance, double size);

/* Where it runs. */
enum { BP_WIRE_IN_CABIN, BP_WIRE_BY_ENGINE };

#endif
