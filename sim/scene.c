/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/scene.h"

#include <stdlib.h>
#include <string.h>

bool bp_scene_set(bp_scene *scene, const bp_task *task, const bp_deck *deck,
                  const bp_phase *phase) {
    const bp_circuit *circuit = deck->circuit;
    *scene = (bp_scene){.phase = phase};
    bp_case *c = scene->c = bp_case_new(circuit, deck);
    scene->values = calloc(deck->n_values + 1, sizeof *scene->values);
    if (!c || !scene->values)
        return false;
    c->faults = task->faults;
    c->what_if = task->what_if;
    memcpy(c->done, task->done, circuit->n_parts * sizeof *c->done);
    memcpy(c->position, phase->position, circuit->n_parts * sizeof *c->position);
    if (task->draw != 0 && !bp_spreads_draw(task->draw, c->n_spreads, c->drawn))
        return false;
    bp_case_enter(c, phase->state, &task->conditions);
    bp_case_values(c, scene->values);
    return true;
}

void bp_scene_clear(bp_scene *scene) {
    bp_case_free(&scene->c);
    free(scene->values);
    *scene = (bp_scene){0};
}

bp_view bp_scene_view(const bp_scene *scene, size_t part) {
    return bp_case_view(scene->c, part, scene->values, scene->phase->volts);
}
