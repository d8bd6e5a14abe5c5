/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A phase of a result looked at again: the case and the element values behind its voltages.
 */
#ifndef BP_SIM_SCENE_H
#define BP_SIM_SCENE_H

#include "sim/task.h"

typedef struct bp_scene {
    const bp_phase *phase;
    bp_case *c;     /* owned */
    double *values; /* owned */
} bp_scene;

/* Begins as {0}; one after the other may be looked at with the same scene, which is cheaper while
 * the deck stays. False: no memory; clear it in either case. */
bool bp_scene_set(bp_scene *scene, const bp_task *task, const bp_deck *deck, const bp_phase *phase);
void bp_scene_clear(bp_scene *scene);

/* What a model sees of a part; lasts until the next view. */
bp_view bp_scene_view(const bp_scene *scene, size_t part);

#endif
