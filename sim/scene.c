/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/scene.h"

#include <stdlib.h>
#include <string.h>

void bp_scene_clear(bp_scene *scene) {
    bp_case_free(&scene->c);
    free(scene->values);
    *scene = (bp_scene){0};
}

static bool make_room(bp_scene *scene, const bp_deck *deck) {
    if (scene->c && scene->values && scene->c->deck == deck)
        return true;
    bp_scene_clear(scene);
    scene->c = bp_case_new(deck->circuit, deck);
    scene->values = calloc(deck->n_values + 1, sizeof *scene->values);
    return scene->c && scene->values;
}

bool bp_scene_set(bp_scene *scene, const bp_task *task, const bp_deck *deck,
                  const bp_phase *phase) {
    const bp_circuit *circuit = deck->circuit;
    if (!make_room(scene, deck))
        return false;
    bp_case *c = scene->c;
    scene->phase = phase;
    c->faults = task->faults;
    c->what_if = task->what_if;
    memcpy(c->done, task->done, circuit->n_parts * sizeof *c->done);
    memcpy(c->position, phase->position, circuit->n_parts * sizeof *c->position);
    bp_case_undraw(c);
    if (task->draw != 0 && !bp_spreads_draw(task->draw, c->n_spreads, c->drawn))
        return false;
    bp_case_enter(c, phase->state, &task->conditions);
    bp_case_values(c, scene->values);
    return true;
}

bp_view bp_scene_view(const bp_scene *scene, size_t part) {
    return bp_case_view(scene->c, part, scene->values, scene->phase->volts);
}
