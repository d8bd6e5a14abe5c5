/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The building calls. Each only notes what it was told; see circuits/finish.c for what becomes of
 * it.
 */
#include "circuits/building.h"

#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"

bp_circuit *bp_circuit_new(const char *id, bp_report *report) {
    bp_circuit *circuit = bp_zeroed(1, sizeof *circuit);
    bp_building *building = bp_zeroed(1, sizeof *building);
    char *copy = bp_copy(id ? id : "");
    if (!circuit || !building || !copy) {
        free(circuit);
        free(building);
        free(copy);
        return NULL;
    }
    building->report = report;
    circuit->id = copy;
    circuit->building = building;
    circuit->reference = circuit->feed = circuit->body = circuit->engine = BP_NONE;
    return circuit;
}

static void free_part(bp_part *part) {
    for (size_t i = 0; i < part->n_pins; i++)
        free(part->pins[i].name);
    for (size_t i = 0; i < part->n_positions; i++) {
        free(part->positions[i].name);
        free(part->positions[i].pairs);
    }
    for (size_t i = 0; part->text && part->kind->params[i].key; i++)
        free(part->text[i]);
    free(part->id);
    free(part->label);
    free(part->unit);
    free(part->pins);
    free(part->positions);
    free(part->param);
    free(part->given);
    free(part->text);
    free(part->modes);
}

static void free_texts(char **texts, size_t n) {
    for (size_t i = 0; i < n; i++)
        free(texts[i]);
    free(texts);
}

static void free_waveform(bp_waveform *w) {
    for (size_t i = 0; i < w->n_traces; i++) {
        free(w->traces[i].red_name);
        free(w->traces[i].black_name);
        free(w->traces[i].clamp_name);
    }
    free(w->traces);
    free(w->id);
    free(w->label);
}

static void free_lists(bp_circuit *c) {
    for (size_t i = 0; i < c->n_parts; i++)
        free_part(&c->parts[i]);
    for (size_t i = 0; i < c->n_points; i++) {
        free(c->points[i].id);
        free(c->points[i].note);
    }
    for (size_t i = 0; i < c->n_states; i++) {
        free(c->states[i].id);
        free(c->states[i].label);
        free(c->states[i].settings);
    }
    for (size_t i = 0; i < c->n_rules; i++) {
        free(c->rules[i].note);
        free(c->rules[i].when);
    }
    for (size_t i = 0; i < c->n_waveforms; i++)
        free_waveform(&c->waveforms[i]);
    free(c->waveforms);
    free(c->parts);
    free(c->points);
    free(c->states);
    free(c->rules);
}

void bp_circuit_free(bp_circuit **circuit) {
    if (!circuit || !*circuit)
        return;
    bp_circuit *c = *circuit;
    bp_building *building = c->building;
    bp_building_free(&building);
    free_lists(c);
    free_texts(c->cautions, c->n_cautions);
    free_texts(c->elsewhere, c->n_elsewhere);
    free(c->id);
    free(c->title);
    free(c->scenario);
    free(c->file);
    free(c->faces);
    free(c);
    *circuit = NULL;
}

void bp_circuit_at(bp_circuit *circuit, const char *file, size_t line, size_t column) {
    bp_building *b = bp_building_of(circuit);
    if (!b)
        return;
    const char *last = b->n_files ? b->files[b->n_files - 1] : NULL;
    if (file && (!last || strcmp(last, file) != 0)) {
        char **files = bp_build_got(circuit, bp_room(b->files, b->n_files, sizeof *files));
        if (!files)
            return;
        b->files = files;
        char *copy = bp_build_copy(circuit, file);
        if (copy)
            files[b->n_files++] = copy;
        last = copy;
    }
    b->at = (bp_note_place){file ? last : NULL, line, column};
}

/* Keeps a note with copies of its words. Returns it, or NULL when memory is out or the circuit is
 * finished. */
static bp_build_note *note(bp_circuit *circuit, bp_note_sort sort, const char *a, const char *b,
                           const char *c) {
    bp_building *building = bp_building_of(circuit);
    if (!building)
        return NULL;
    bp_build_note *notes =
        bp_build_got(circuit, bp_room(building->notes, building->n_notes, sizeof *notes));
    if (!notes)
        return NULL;
    building->notes = notes;
    bp_build_note *n = &notes[building->n_notes++];
    *n = (bp_build_note){.sort = sort, .place = building->at};
    n->a = bp_build_copy(circuit, a ? a : "");
    n->b = b ? bp_build_copy(circuit, b) : NULL;
    n->c = c ? bp_build_copy(circuit, c) : NULL;
    return n;
}

void bp_circuit_text(bp_circuit *circuit, const char *key, const char *text) {
    note(circuit, BP_NOTE_TEXT, key, text ? text : "", NULL);
}

void bp_circuit_part(bp_circuit *circuit, const char *id, const char *kind) {
    note(circuit, BP_NOTE_PART, id, kind ? kind : "", NULL);
}

void bp_circuit_set(bp_circuit *circuit, const char *part, const char *key, const char *value) {
    note(circuit, BP_NOTE_SET, part, key ? key : "", value ? value : "");
}

void bp_circuit_position(bp_circuit *circuit, const char *part, const char *position,
                         const char *const *pairs, size_t n) {
    bp_build_note *kept = note(circuit, BP_NOTE_POSITION, part, position ? position : "", NULL);
    if (!kept || n == 0)
        return;
    kept->list = bp_build_got(circuit, bp_zeroed(2 * n, sizeof *kept->list));
    if (!kept->list)
        return;
    kept->n_list = 2 * n;
    for (size_t i = 0; i < 2 * n; i++)
        kept->list[i] = bp_build_copy(circuit, pairs[i]);
}

void bp_circuit_wire(bp_circuit *circuit, const char *id, const char *from, const char *to) {
    note(circuit, BP_NOTE_WIRE, id, NULL, NULL);
    if (from)
        bp_circuit_set(circuit, id, "from", from);
    if (to)
        bp_circuit_set(circuit, id, "to", to);
}

void bp_circuit_join(bp_circuit *circuit, const char *pin, const char *other) {
    note(circuit, BP_NOTE_JOIN, pin, other ? other : "", NULL);
}

void bp_circuit_state(bp_circuit *circuit, const char *id) {
    note(circuit, BP_NOTE_STATE, id, NULL, NULL);
}

void bp_circuit_state_set(bp_circuit *circuit, const char *state, const char *key,
                          const char *value) {
    note(circuit, BP_NOTE_STATE_SET, state, key ? key : "", value ? value : "");
}

void bp_circuit_point(bp_circuit *circuit, const char *id, const char *at) {
    note(circuit, BP_NOTE_POINT, id, NULL, NULL);
    if (at)
        bp_circuit_point_set(circuit, id, "at", at);
}

void bp_circuit_point_set(bp_circuit *circuit, const char *point, const char *key,
                          const char *value) {
    note(circuit, BP_NOTE_POINT_SET, point, key ? key : "", value ? value : "");
}

void bp_circuit_waveform(bp_circuit *circuit, const char *id) {
    note(circuit, BP_NOTE_WAVEFORM, id, NULL, NULL);
}

void bp_circuit_waveform_set(bp_circuit *circuit, const char *waveform, const char *key,
                             const char *value) {
    note(circuit, BP_NOTE_WAVEFORM_SET, waveform, key ? key : "", value ? value : "");
}

void bp_circuit_fault_set(bp_circuit *circuit, const char *fault, const char *key,
                          const char *value) {
    note(circuit, BP_NOTE_FAULT_SET, fault, key ? key : "", value ? value : "");
}

void bp_circuit_place(bp_circuit *circuit, const char *part, double x, double y, int turn) {
    bp_build_note *kept = note(circuit, BP_NOTE_PLACE, part, NULL, NULL);
    if (!kept)
        return;
    kept->x = x;
    kept->y = y;
    kept->turn = turn;
}

const char *bp_circuit_id(const bp_circuit *circuit) { return circuit->id; }

const char *bp_circuit_title(const bp_circuit *circuit) {
    return circuit->title ? circuit->title : circuit->id;
}
