/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Reading a finished circuit: finding things by name, and naming them.
 */
#include "circuits/circuit.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

size_t bp_part_find(const bp_circuit *circuit, const char *id) {
    for (size_t i = 0; i < circuit->n_parts; i++)
        if (strcmp(circuit->parts[i].id, id) == 0)
            return i;
    return BP_NONE;
}

size_t bp_pin_find(const bp_part *part, const char *name) {
    for (size_t i = 0; i < part->n_pins; i++)
        if (strcmp(part->pins[i].name, name) == 0)
            return i;
    return BP_NONE;
}

size_t bp_state_find(const bp_circuit *circuit, const char *id) {
    for (size_t i = 0; i < circuit->n_states; i++)
        if (strcmp(circuit->states[i].id, id) == 0)
            return i;
    return BP_NONE;
}

bool bp_state_leads_to(const bp_circuit *circuit, size_t before, size_t state) {
    for (size_t i = 0; state != BP_NONE && i <= circuit->n_states; i++) {
        if (state == before)
            return true;
        state = circuit->states[state].from;
    }
    return false;
}

double bp_state_waveforms_end(const bp_circuit *circuit, size_t state) {
    double to = NAN;
    for (size_t i = 0; i < circuit->n_waveforms; i++)
        if (circuit->waveforms[i].state == state)
            to = fmax(to, circuit->waveforms[i].to); /* of a number and NAN the number */
    return to;
}

bool bp_state_pulses(const bp_circuit *circuit, size_t state) {
    const bp_state *s = &circuit->states[state];
    for (size_t i = 0; i < s->n_settings; i++) {
        const bp_part *part = &circuit->parts[s->settings[i].part];
        const char *name = bp_part_setting_name(part, s->settings[i].setting);
        if (part->kind->rhythm && name && strcmp(name, part->kind->rhythm) == 0)
            return true;
    }
    return false;
}

size_t bp_point_find(const bp_circuit *circuit, const char *id) {
    for (size_t i = 0; i < circuit->n_points; i++)
        if (strcmp(circuit->points[i].id, id) == 0)
            return i;
    return BP_NONE;
}

size_t bp_pin_of(const bp_part *part, char sign, const char *name) {
    if (sign == 0)
        return part->n_pins == 1 ? 0 : BP_NONE;
    size_t pin = bp_pin_find(part, name);
    bool metal = strcmp(name, "body") == 0 || strcmp(name, "engine") == 0;
    if (pin == BP_NONE && metal && part->n_pins == 1 && part->pins[0].sort == BP_PIN_EYELET)
        return 0;
    return pin;
}

size_t bp_face_find(const bp_circuit *circuit, const char *name) {
    size_t point = bp_point_find(circuit, name);
    if (point != BP_NONE)
        return circuit->points[point].face;
    char id[64];
    size_t length = strcspn(name, "./");
    if (length >= sizeof id)
        return BP_NONE;
    memcpy(id, name, length);
    id[length] = '\0';
    size_t index = bp_part_find(circuit, id);
    if (index == BP_NONE)
        return BP_NONE;
    const bp_part *part = &circuit->parts[index];
    size_t pin = bp_pin_of(part, name[length], name[length] ? name + length + 1 : "");
    if (pin == BP_NONE)
        return BP_NONE;
    return name[length] == '/' ? part->pins[pin].own : part->pins[pin].harness;
}

int bp_face_name(const bp_circuit *circuit, size_t face, char *text, size_t size) {
    const bp_face *f = &circuit->faces[face];
    const bp_part *part = &circuit->parts[f->part];
    if (part->n_pins == 1 && !f->part_side)
        return snprintf(text, size, "%s", part->id);
    return snprintf(text, size, "%s%c%s", part->id, f->part_side ? '/' : '.',
                    part->pins[f->pin].name);
}

size_t bp_face_node(const bp_circuit *circuit, size_t face) { return circuit->faces[face].node; }

int bp_part_setting(const bp_part *part, const char *name) {
    for (int i = 0; bp_part_setting_name(part, i); i++)
        if (strcmp(bp_part_setting_name(part, i), name) == 0)
            return i;
    return -1;
}

const char *bp_part_setting_name(const bp_part *part, int setting) {
    if (setting < 0)
        return NULL;
    if (part->n_positions > 0)
        return (size_t)setting < part->n_positions ? part->positions[setting].name : NULL;
    for (int i = 0; part->kind->settings && part->kind->settings[i]; i++)
        if (i == setting)
            return part->kind->settings[i];
    return NULL;
}

/* True when two wires end in pins next to each other on the same half of one connector. */
static bool side_by_side(const bp_circuit *circuit, size_t face, size_t other) {
    const bp_face *a = &circuit->faces[face], *b = &circuit->faces[other];
    const bp_part *part = &circuit->parts[a->part];
    if (a->part != b->part || part->kind != &bp_kind_connector)
        return false;
    size_t half = part->n_pins / 2;
    return (a->pin < half) == (b->pin < half) && (a->pin + 1 == b->pin || b->pin + 1 == a->pin);
}

bool bp_wires_are_neighbours(const bp_circuit *circuit, size_t wire, size_t other) {
    const bp_part *a = &circuit->parts[wire], *b = &circuit->parts[other];
    if (wire == other || a->kind != &bp_kind_wire || b->kind != &bp_kind_wire)
        return false;
    int loom = bp_kind_param(&bp_kind_wire, "loom");
    if (a->text[loom] && b->text[loom] && strcmp(a->text[loom], b->text[loom]) == 0)
        return true;
    for (int i = 0; i < 4; i++)
        if (side_by_side(circuit, a->pins[i / 2].harness, b->pins[i % 2].harness))
            return true;
    return false;
}
