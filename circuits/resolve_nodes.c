/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Nodes: which faces are one piece of metal; the reference, the feed, and the metal of body and
 * engine.
 */
#include "circuits/building.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "circuits/sets.h"

/* The harness face of a pin of the first battery, else of the first source; BP_NONE when there is
 * neither. */
static size_t supply_face(const bp_circuit *circuit, const char *pin) {
    const bp_kind *const kinds[] = {&bp_kind_battery, &bp_kind_source};
    for (size_t k = 0; k < 2; k++)
        for (size_t i = 0; i < circuit->n_parts; i++) {
            const bp_part *part = &circuit->parts[i];
            size_t index = part->kind == kinds[k] ? bp_pin_find(part, pin) : BP_NONE;
            if (index != BP_NONE)
                return part->pins[index].harness;
        }
    return BP_NONE;
}

static void find_reference(bp_circuit *circuit) {
    const bp_building *b = bp_building_of(circuit);
    circuit->feed = supply_face(circuit, "+");
    circuit->reference = supply_face(circuit, "-");
    for (size_t i = 0; i < b->n_notes; i++)
        if (b->notes[i].sort == BP_NOTE_TEXT && strcmp(b->notes[i].a, "reference") == 0)
            circuit->reference =
                bp_resolve_face(circuit, &b->notes[i].place, b->notes[i].b, false, "reference");
}

/* The own face of the first ground on a metal ("body", "engine"), or BP_NONE. */
static size_t metal_face(const bp_circuit *circuit, const char *metal) {
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        if (part->kind == &bp_kind_ground && part->n_pins > 0 &&
            strcmp(part->pins[0].name, metal) == 0)
            return part->pins[0].own;
    }
    return BP_NONE;
}

/* The two halves of every pin of a connector. */
static void join_halves(const bp_part *part, bp_sets *sets) {
    size_t half = part->n_pins / 2;
    for (size_t i = 0; i < half; i++)
        bp_sets_join(sets, part->pins[i].own, part->pins[half + i].own);
}

static void join_position(const bp_part *part, const bp_position *position, bp_sets *sets) {
    for (size_t i = 0; i < position->n_pairs; i++)
        bp_sets_join(sets, part->pins[position->pairs[i][0]].own,
                     part->pins[position->pairs[i][1]].own);
}

/* Makes one set of all metal that hangs together for good: what wires, plugs, eyelets and fuses
 * join, and switches in any of their positions if wanted. Loads and supplies join nothing. */
static void join_metal(const bp_circuit *circuit, bp_sets *sets, bool switches) {
    const bp_building *b = bp_building_of(circuit);
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        if (part->kind == &bp_kind_wire)
            bp_sets_join(sets, b->drafts[i].face[0], b->drafts[i].face[1]);
        else if (part->kind == &bp_kind_connector)
            join_halves(part, sets);
        else if (part->kind == &bp_kind_fuse && part->n_pins == 2)
            bp_sets_join(sets, part->pins[0].own, part->pins[1].own);
        for (size_t k = 0; k < part->n_pins; k++)
            bp_sets_join(sets, part->pins[k].harness, part->pins[k].own);
        for (size_t k = 0; switches && k < part->n_positions; k++)
            join_position(part, &part->positions[k], sets);
    }
}

/* All grounds on one metal share it. */
static void join_grounds(const bp_circuit *circuit, bp_sets *sets, size_t body, size_t engine) {
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        if (part->kind == &bp_kind_ground && part->n_pins > 0)
            bp_sets_join(sets, part->pins[0].own,
                         strcmp(part->pins[0].name, "engine") == 0 ? engine : body);
    }
}

/* Looks whether the body and the engine hang together with battery negative, and bonds the body
 * when it does not. */
static void check_bonds(bp_circuit *circuit, bp_sets *nodes, size_t body, size_t engine) {
    bp_building *b = bp_building_of(circuit);
    size_t negative = supply_face(circuit, "-");
    bp_sets metal = {0};
    if (negative == BP_NONE || b->no_memory)
        return;
    if (!bp_sets_make(&metal, circuit->n_faces)) {
        b->no_memory = true;
        return;
    }
    join_metal(circuit, &metal, true);
    join_grounds(circuit, &metal, body, engine);
    const bp_part *supply = &circuit->parts[circuit->faces[negative].part];
    const bp_note_place *place = &b->drafts[supply->index].place;
    if (body != BP_NONE && bp_sets_of(&metal, body) != bp_sets_of(&metal, negative)) {
        circuit->ideal_bond = true;
        bp_sets_join(nodes, body, negative);
        bp_sets_join(&metal, body, negative);
        bp_build_warning(circuit, place,
                         "no wire ties %s.- to the body: a perfect bond is taken for granted; add "
                         "the battery's ground cable as a wire to a ground",
                         supply->id);
    }
    if (engine != BP_NONE && bp_sets_of(&metal, engine) != bp_sets_of(&metal, negative)) {
        const bp_part *ground = &circuit->parts[circuit->faces[engine].part];
        bp_build_warning(circuit, &b->drafts[ground->index].place,
                         "nothing ties the engine metal of ground %s to the body or to %s.-: add "
                         "the engine's ground strap as a wire between two grounds",
                         ground->id, supply->id);
    }
    bp_sets_free(&metal);
}

/* A supply whose posts are tied together by nothing but wire. */
static void check_shorts(bp_circuit *circuit, size_t body, size_t engine) {
    bp_building *b = bp_building_of(circuit);
    bp_sets metal = {0};
    if (!bp_sets_make(&metal, circuit->n_faces)) {
        b->no_memory = true;
        return;
    }
    join_metal(circuit, &metal, false);
    join_grounds(circuit, &metal, body, engine);
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        size_t plus = bp_pin_find(part, "+"), minus = bp_pin_find(part, "-");
        bool supply = part->kind == &bp_kind_battery || part->kind == &bp_kind_source;
        if (supply && plus != BP_NONE && minus != BP_NONE &&
            bp_sets_of(&metal, part->pins[plus].own) == bp_sets_of(&metal, part->pins[minus].own))
            bp_build_mistake(circuit, &b->drafts[i].place,
                             "%s.+ and %s.- are joined by wires with no load between them",
                             part->id, part->id);
    }
    bp_sets_free(&metal);
}

static void number_nodes(bp_circuit *circuit, bp_sets *nodes) {
    for (size_t i = 0; i < circuit->n_faces; i++) {
        size_t stands = bp_sets_of(nodes, i); /* never higher than i */
        circuit->faces[i].node = stands == i ? circuit->n_nodes++ : circuit->faces[stands].node;
    }
}

void bp_resolve_nodes(bp_circuit *circuit) {
    bp_building *b = bp_building_of(circuit);
    bp_sets nodes = {0};
    if (!bp_sets_make(&nodes, circuit->n_faces)) {
        b->no_memory = true;
        return;
    }
    find_reference(circuit);
    size_t body = metal_face(circuit, "body"), engine = metal_face(circuit, "engine");
    join_grounds(circuit, &nodes, body, engine);
    if (b->n_mistakes == 0) /* else a wire may be missing only because of a mistake */
        check_bonds(circuit, &nodes, body, engine);
    if (!b->no_memory)
        check_shorts(circuit, body, engine);
    number_nodes(circuit, &nodes);
    circuit->body = body == BP_NONE ? BP_NONE : circuit->faces[body].node;
    circuit->engine = engine == BP_NONE ? BP_NONE : circuit->faces[engine].node;
    bp_sets_free(&nodes);
}
