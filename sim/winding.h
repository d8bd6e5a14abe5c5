/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What relays, solenoids, motors and coils share: copper that follows temperature, and an armature
 * that moves on the current of its winding.
 */
#ifndef BP_SIM_WINDING_H
#define BP_SIM_WINDING_H

#include "sim/model.h"

/* The choice 1 of every `place` parameter; 0 is the cabin. */
enum { BP_PLACE_CABIN, BP_PLACE_ENGINE };

/* degC of a part whose `place` parameter has this index. */
double bp_view_celsius(const bp_view *view, size_t place);

/* A winding's resistance at the temperature around it, ohm. `place` as above. */
double bp_view_copper(const bp_view *view, size_t place, double ohm20);

/* Is this mode of the part active? */
bool bp_view_has(const bp_view *view, int mode);

/* Severity of an active mode, or `otherwise` when it is not active. */
double bp_view_how_bad(const bp_view *view, int mode, double otherwise);

/* A winding whose insulation may fail to ground at its middle: two halves and the leak,
 * BP_WINDING_VALUES slots. */
enum { BP_WINDING_VALUES = 3 };
void bp_winding_elements(bp_builder *b, size_t plus, size_t minus);
void bp_winding_values(double *value, double ohm, double leak_ohm);
/* Current in A through its first half or its second, whichever is larger. */
double bp_winding_amps(const bp_view *view, size_t first_slot);

/* "normal", "weak", "off", "high" by the current beside the rated one, and the current in words. */
void bp_winding_behave(double amps, double rated, bp_behaviour *out);
extern const char *const bp_winding_says[];

/* An armature or plunger: out (position 0) or in (1). */
typedef struct bp_armature {
    double amps;     /* through the winding now; the sign does not matter */
    double pull_in;  /* A: at or above it moves in */
    double drop_out; /* A: at or below it moves out */
    double seconds_in, seconds_out;
    bool held_in, held_out; /* jammed or welded */
} bp_armature;

bp_move bp_armature_next(const bp_armature *armature, int position);

#endif
