/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The faces of all pins, pins that are one, and the pins on which wires end.
 */
#include "circuits/building.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "circuits/sets.h"

static bool is_point(const bp_circuit *circuit, const char *name) {
    const bp_building *b = bp_building_of(circuit);
    for (size_t i = 0; i < b->n_notes && b->n_mistakes < BP_MOST_HINTS; i++)
        if (b->notes[i].sort == BP_NOTE_POINT && strcmp(b->notes[i].a, name) == 0)
            return true;
    return false;
}

static void unknown_part(bp_circuit *circuit, const bp_note_place *place, const char *name,
                         const char *whose, bool harness_only) {
    if (is_point(circuit, name)) {
        bp_build_mistake(circuit, place, "%s names the test point %s: name the pin itself%s", whose,
                         name, harness_only ? ", a wire ends on pins" : "");
        return;
    }
    char where[120];
    bp_names names = {0};
    bp_names_of_parts(&names, circuit, false);
    snprintf(where, sizeof where, " in %s", whose);
    bp_build_unknown(circuit, place, "part", name, where, &names);
    bp_names_free(&names);
}

static void unknown_pin(bp_circuit *circuit, const bp_note_place *place, const bp_part *part,
                        const char *pin, const char *whose) {
    /* Pins that follow from what is wrong with the part cannot be judged. */
    bool fixed = !part->kind->make_pins && !part->kind->has_positions;
    if (bp_building_of(circuit)->drafts[part->index].broken && !fixed)
        return;
    char where[160];
    bp_names pins = {0};
    bp_names_of_pins(&pins, part);
    snprintf(where, sizeof where, " of %s %.40s in %s", part->kind->words, part->id, whose);
    if (pin[0] == '\0')
        bp_build_mistake(circuit, place, "%s names %s without a pin: write, for instance, %s.%s",
                         whose, part->id, part->id, part->n_pins ? part->pins[0].name : "1");
    else
        bp_build_unknown(circuit, place, "pin", pin, where, &pins);
    bp_names_free(&pins);
}

/* Splits "K2.30" into its part (copied into id, NULL when too long) and returns the sign between, 0
 * when there is none. */
static char split(const char *name, char *id, size_t size, const char **pin) {
    size_t length = strcspn(name, "./");
    snprintf(id, size, "%.*s", (int)(length < size ? length : size - 1), name);
    *pin = name[length] ? name + length + 1 : "";
    return name[length];
}

/* A pin named by a file: its part and index; false, reported, when there is none. *sign is '.', '/'
 * or 0. */
static bool resolve_pin(bp_circuit *circuit, const bp_note_place *place, const char *name,
                        bool harness_only, const char *whose, size_t *part, size_t *pin,
                        char *sign) {
    char id[64];
    const char *rest;
    *sign = split(name, id, sizeof id, &rest);
    *part = bp_part_find(circuit, id);
    if (*part == BP_NONE) {
        unknown_part(circuit, place, id[0] ? id : name, whose, harness_only);
        return false;
    }
    const bp_part *found = &circuit->parts[*part];
    if (!found->kind)
        return false;
    if (found->kind == &bp_kind_wire) {
        bp_build_mistake(circuit, place,
                         "%s names the wire %s: name the pin on which that wire ends", whose, id);
        return false;
    }
    if (*sign == '/' && harness_only) {
        bp_build_mistake(circuit, place,
                         "%s names %.60s, a part's own terminal: a wire ends on the harness side, "
                         "written with a full stop",
                         whose, name);
        return false;
    }
    *pin = bp_pin_of(found, *sign, rest);
    if (*pin == BP_NONE)
        unknown_pin(circuit, place, found, rest, whose);
    return *pin != BP_NONE;
}

size_t bp_resolve_face(bp_circuit *circuit, const bp_note_place *place, const char *name,
                       bool harness_only, const char *whose) {
    size_t part, pin;
    char sign;
    if (!resolve_pin(circuit, place, name, harness_only, whose, &part, &pin, &sign))
        return BP_NONE;
    const bp_pin *found = &circuit->parts[part].pins[pin];
    return sign == '/' ? found->own : found->harness;
}

/* Where the pins of each part begin in one numbering of all pins. Wires have no pins yet. */
static size_t *number_pins(bp_circuit *circuit, size_t *n) {
    size_t *first = bp_build_got(circuit, bp_zeroed(circuit->n_parts, sizeof *first));
    *n = 0;
    for (size_t i = 0; i < circuit->n_parts && first; i++) {
        first[i] = *n;
        *n += circuit->parts[i].n_pins;
    }
    return first;
}

/* Pins that are one: each set of joined pins. */
static void join_pins(bp_circuit *circuit, const size_t *first, bp_sets *sets) {
    const bp_building *b = bp_building_of(circuit);
    for (size_t i = 0; i < b->n_notes; i++) {
        const bp_build_note *note = &b->notes[i];
        size_t part[2], pin[2];
        char sign;
        if (note->sort != BP_NOTE_JOIN)
            continue;
        bool one =
            resolve_pin(circuit, &note->place, note->a, true, "joins", &part[0], &pin[0], &sign);
        bool two =
            resolve_pin(circuit, &note->place, note->b, true, "joins", &part[1], &pin[1], &sign);
        if (!one || !two)
            continue;
        if (part[0] == part[1] && pin[0] == pin[1])
            bp_build_mistake(circuit, &note->place, "joins names %.60s twice", note->a);
        bp_sets_join(sets, first[part[0]] + pin[0], first[part[1]] + pin[1]);
    }
}

/* One a pin, in the numbering of all pins. */
typedef struct slot {
    size_t part, index;
    bp_pin *pin;
    size_t owner; /* by the number that stands for a set of joined pins: the one that keeps the
                     contact */
} slot;

static void add_faces(bp_circuit *circuit, const slot *s) {
    s->pin->harness = s->pin->own = circuit->n_faces;
    circuit->faces[circuit->n_faces++] = (bp_face){s->part, s->index, false, BP_NONE};
    if (s->pin->sort == BP_PIN_IDEAL)
        return;
    s->pin->own = circuit->n_faces;
    circuit->faces[circuit->n_faces++] = (bp_face){s->part, s->index, true, BP_NONE};
}

/* Fills the slots. Of joined pins the first that has a contact keeps it. */
static void fill_slots(bp_circuit *circuit, slot *slots, bp_sets *sets) {
    size_t n = 0;
    for (size_t i = 0; i < circuit->n_parts; i++)
        for (size_t k = 0; k < circuit->parts[i].n_pins; k++, n++)
            slots[n] = (slot){i, k, &circuit->parts[i].pins[k], BP_NONE};
    for (size_t i = 0; i < n; i++) {
        slot *set = &slots[bp_sets_of(sets, i)];
        if (set->owner == BP_NONE ||
            (slots[set->owner].pin->sort == BP_PIN_IDEAL && slots[i].pin->sort != BP_PIN_IDEAL))
            set->owner = i;
    }
}

/* Faces for every pin; joined pins share those of the one that keeps the contact. */
static void make_faces(bp_circuit *circuit, bp_sets *sets) {
    slot *slots = bp_build_got(circuit, bp_zeroed(sets->n, sizeof *slots));
    circuit->faces = bp_build_got(circuit, bp_zeroed(2 * sets->n, sizeof *circuit->faces));
    if (!slots || !circuit->faces) {
        free(slots);
        return;
    }
    fill_slots(circuit, slots, sets);
    for (size_t i = 0; i < sets->n; i++)
        if (slots[bp_sets_of(sets, i)].owner == i)
            add_faces(circuit, &slots[i]);
    for (size_t i = 0; i < sets->n; i++) {
        size_t owner = slots[bp_sets_of(sets, i)].owner;
        if (owner == i)
            continue;
        slots[i].pin->harness = slots[owner].pin->harness;
        slots[i].pin->own = slots[owner].pin->own;
        slots[i].pin->sort = BP_PIN_IDEAL; /* the contact is the other pin's */
    }
    free(slots);
}

static void end_wire(bp_circuit *circuit, bp_part *wire) {
    static const char *const ends[2] = {"from", "to"};
    bp_draft *draft = &bp_building_of(circuit)->drafts[wire->index];
    for (int end = 0; end < 2; end++) {
        char whose[64];
        snprintf(whose, sizeof whose, "%s of wire %.40s", ends[end], wire->id);
        bp_part_add_pin(wire, end ? "2" : "1", BP_PIN_IDEAL, false);
        if (!draft->end[end])
            bp_build_mistake(circuit, &draft->place, "wire %s has no %s: name the pin it ends on",
                             wire->id, ends[end]);
        else
            draft->face[end] =
                bp_resolve_face(circuit, &draft->end_place[end], draft->end[end], true, whose);
        if (draft->face[end] == BP_NONE)
            draft->broken = true;
        if (wire->n_pins == (size_t)end + 1)
            wire->pins[end].harness = wire->pins[end].own = draft->face[end];
    }
    if (draft->face[0] == draft->face[1] && draft->face[0] != BP_NONE) {
        draft->face[0] = draft->face[1] = BP_NONE;
        draft->broken = true;
        bp_build_mistake(circuit, &draft->end_place[1], "wire %s goes from %.60s to the same pin",
                         wire->id, draft->end[0]);
    }
}

/* How many wires end on each pin, joined pins together. */
static void count_wires(bp_circuit *circuit) {
    const bp_building *b = bp_building_of(circuit);
    size_t *count = bp_build_got(circuit, bp_zeroed(circuit->n_faces, sizeof *count));
    for (size_t i = 0; i < circuit->n_parts && count; i++)
        for (int end = 0; end < 2; end++)
            if (b->drafts[i].face[end] != BP_NONE)
                count[b->drafts[i].face[end]]++;
    for (size_t i = 0; i < circuit->n_parts && count; i++)
        for (size_t k = 0; k < circuit->parts[i].n_pins; k++) {
            bp_pin *pin = &circuit->parts[i].pins[k];
            pin->n_wires = pin->harness == BP_NONE ? 0 : count[pin->harness];
        }
    free(count);
}

void bp_resolve_faces(bp_circuit *circuit) {
    bp_building *b = bp_building_of(circuit);
    bp_sets sets = {0};
    size_t n_pins;
    size_t *first = number_pins(circuit, &n_pins);
    if (!bp_sets_make(&sets, n_pins))
        b->no_memory = true;
    if (!b->no_memory) {
        join_pins(circuit, first, &sets);
        make_faces(circuit, &sets);
    }
    for (size_t i = 0; i < circuit->n_parts && !b->no_memory; i++)
        if (circuit->parts[i].kind == &bp_kind_wire)
            end_wire(circuit, &circuit->parts[i]);
    if (!b->no_memory)
        count_wires(circuit);
    bp_sets_free(&sets);
    free(first);
}
