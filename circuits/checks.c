/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What can only be seen of the circuit as a whole.
 */
#include "circuits/building.h"

#include <stdio.h>
#include <string.h>

static void check_feed(bp_circuit *circuit) {
    bool judged = circuit->feed != BP_NONE; /* also when nobody knows what a part is */
    for (size_t i = 0; i < circuit->n_parts; i++)
        judged = judged || !circuit->parts[i].kind;
    if (judged)
        return;
    const bp_note_place start = bp_build_start(circuit);
    bp_build_mistake(circuit, &start,
                     "there is no feed: a circuit needs a battery, or a source, among its parts");
}

/* True for a wire that never found its pin: then a pin without a wire is no news. */
static bool any_wire_broken(const bp_circuit *circuit) {
    const bp_building *b = bp_building_of(circuit);
    for (size_t i = 0; i < circuit->n_parts; i++)
        if (circuit->parts[i].kind == &bp_kind_wire &&
            (b->drafts[i].face[0] == BP_NONE || b->drafts[i].face[1] == BP_NONE))
            return true;
    return false;
}

static void check_dangling(bp_circuit *circuit, const bp_part *part) {
    const bp_note_place *place = &bp_building_of(circuit)->drafts[part->index].place;
    bp_names names = {0};
    char list[300];
    for (size_t i = 0; i < part->n_pins; i++)
        if (!part->pins[i].optional && part->pins[i].n_wires == 0)
            bp_names_add(&names, part->pins[i].name);
    if (names.n > 0 && part->n_pins == 1)
        bp_build_mistake(circuit, place, "no wire goes to %s %s", part->kind->words, part->id);
    else if (names.n > 0 && names.n == part->n_pins)
        bp_build_mistake(circuit, place, "no wire goes to any pin of %s %s", part->kind->words,
                         part->id);
    else if (names.n == 1)
        bp_build_mistake(circuit, place, "no wire goes to pin %s of %s %s", names.name[0],
                         part->kind->words, part->id);
    else if (names.n > 1)
        bp_build_mistake(circuit, place, "no wire goes to pins %s of %s %s",
                         bp_names_list(&names, list, sizeof list), part->kind->words, part->id);
    bp_names_free(&names);
}

/* A pin of a connector with a wire on one half only, and a joint of a single wire: usually
 * something was forgotten. */
static void check_dead_ends(bp_circuit *circuit, const bp_part *part) {
    const bp_note_place *place = &bp_building_of(circuit)->drafts[part->index].place;
    size_t half = part->n_pins / 2;
    if (part->kind == &bp_kind_splice && part->pins[0].n_wires == 1)
        bp_build_warning(circuit, place, "only one wire goes to splice %s", part->id);
    if (part->kind != &bp_kind_connector)
        return;
    for (size_t i = 0; i < half; i++) {
        size_t a = part->pins[i].n_wires, b = part->pins[half + i].n_wires;
        if ((a == 0) != (b == 0))
            bp_build_warning(circuit, place, "a wire goes to %s.%s, but none leaves from %s.%s",
                             part->id, part->pins[a ? i : half + i].name, part->id,
                             part->pins[a ? half + i : i].name);
    }
}

void bp_check_circuit(bp_circuit *circuit) {
    const bp_building *b = bp_building_of(circuit);
    check_feed(circuit);
    if (any_wire_broken(circuit))
        return;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        if (!part->kind || part->kind == &bp_kind_wire || b->drafts[i].broken || part->n_pins == 0)
            continue;
        check_dangling(circuit, part);
        check_dead_ends(circuit, part);
        if (part->kind->check_wires && !b->no_memory)
            part->kind->check_wires(part, b->report);
    }
}
