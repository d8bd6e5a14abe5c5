/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What people notice of a solved phase: what each part does, what is blown, what chatters, what is
 * overloaded.
 */
#ifndef BP_SIM_NOTICES_H
#define BP_SIM_NOTICES_H

#include "sim/scene.h"
#include "sim/store.h"

/* Fills in notices, blown, chatter, remarks and the supply's volts; a failure is the store's. The
 * scene is room to work in. */
void bp_make_notices(bp_store *store, bp_scene *scene, const bp_task *task, const bp_deck *deck,
                     const bp_phase *phase, bp_state_answer *out);

#endif
