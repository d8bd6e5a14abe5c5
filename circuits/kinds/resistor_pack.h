/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the resistor pack's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_RESISTOR_PACK_H
#define BP_CIRCUITS_KINDS_RESISTOR_PACK_H

enum { BP_PACK_PIN_1, BP_PACK_PIN_2, BP_PACK_PIN_3, BP_PACK_PIN_4 };
enum { BP_PACK_R1, BP_PACK_R2, BP_PACK_R3, BP_PACK_CUT_OUT, BP_PACK_SNAPS, BP_PACK_HEATING };

/* What cuts it out. */
enum { BP_PACK_LINK, BP_PACK_DISC, BP_PACK_NO_CUT_OUT };

enum {
    BP_PACK_CUT_OUT_OPEN,
    BP_PACK_STEP_1_OPEN,
    BP_PACK_STEP_2_OPEN,
    BP_PACK_STEP_3_OPEN,
    BP_PACK_STEP_1_SHORT,
    BP_PACK_STEP_2_SHORT,
    BP_PACK_STEP_3_SHORT,
    BP_PACK_NO_AIR
};

#endif
