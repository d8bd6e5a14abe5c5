/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a hand feels in a settled state: how much warmer than their surroundings parts, wires,
 * contacts and bolted joints are, from the power that the solution turns into heat in each.
 */
#ifndef BP_SIM_WARMTH_H
#define BP_SIM_WARMTH_H

#include "sim/scene.h"
#include "sim/store.h"

/* Lists what is clearly warm at the end of the state, or after some minutes; nothing where
 * something finds no rest. A failure is the store's. */
void bp_make_warmth(bp_store *store, const bp_scene *scene, bp_state_answer *out);

#endif
