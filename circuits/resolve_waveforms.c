/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Waveforms: which pictures over time belong to the circuit, and what is on them.
 */
#include "circuits/building.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "circuits/text.h"

#include <backprobe/scope.h>

enum { LONGEST_LABEL = 120, MOST_WAVEFORMS = 50, MOST_TRACES = 8, LONGEST_NAME = 100 };

/* The window where the file names none, s. */
static const double default_to = 0.1;

static size_t find(const bp_circuit *circuit, const char *id) {
    for (size_t i = 0; i < circuit->n_waveforms; i++)
        if (strcmp(circuit->waveforms[i].id, id) == 0)
            return i;
    return BP_NONE;
}

static void add_waveform(bp_circuit *circuit, const bp_build_note *note) {
    if (!bp_text_is_id(note->a, true)) {
        bp_build_mistake(circuit, &note->place,
                         "\"%.60s\" cannot be the name of a waveform: expected letters, digits, _ "
                         "and -, beginning with a letter, at most 40 of them",
                         note->a);
        return;
    }
    if (find(circuit, note->a) != BP_NONE) {
        bp_build_mistake(circuit, &note->place, "waveform %s is there twice", note->a);
        return;
    }
    if (circuit->n_waveforms == MOST_WAVEFORMS) {
        bp_build_mistake(circuit, &note->place, "there are more than %d waveforms", MOST_WAVEFORMS);
        return;
    }
    bp_waveform *room =
        bp_build_got(circuit, bp_room(circuit->waveforms, circuit->n_waveforms, sizeof *room));
    if (!room)
        return;
    circuit->waveforms = room;
    char *id = bp_build_copy(circuit, note->a);
    if (id)
        room[circuit->n_waveforms++] =
            (bp_waveform){.id = id, .state = BP_NONE, .from = 0, .to = default_to};
}

static void set_state(bp_circuit *circuit, bp_waveform *w, const bp_build_note *note) {
    w->state = bp_state_find(circuit, note->c);
    if (w->state != BP_NONE)
        return;
    char where[80];
    bp_names names = {0};
    for (size_t i = 0; i < circuit->n_states; i++)
        bp_names_add(&names, circuit->states[i].id);
    snprintf(where, sizeof where, " of waveform %.40s", w->id);
    bp_build_unknown(circuit, &note->place, "state", note->c, where, &names);
    bp_names_free(&names);
}

static void set_time(bp_circuit *circuit, const bp_waveform *w, const bp_build_note *note,
                     double *value) {
    char why[200];
    double seconds;
    if (bp_quantity_parse(note->c, BP_UNIT_SECOND, &seconds, why, sizeof why) != BP_OK)
        bp_build_mistake(circuit, &note->place, "%s of waveform %s: %s", note->b, w->id, why);
    else if (!(fabs(seconds) <= 3600))
        bp_build_mistake(circuit, &note->place,
                         "%s of waveform %s is \"%.40s\", which cannot be: expected at most 1 h",
                         note->b, w->id, note->c);
    else
        *value = seconds;
}

/* A point's or a pin's face. */
static size_t face_of(bp_circuit *circuit, const bp_waveform *w, const bp_build_note *note,
                      const char *name) {
    char where[80];
    const size_t point = bp_point_find(circuit, name);
    if (point != BP_NONE)
        return circuit->points[point].face;
    snprintf(where, sizeof where, "waveform %.40s", w->id);
    return bp_resolve_face(circuit, &note->place, name, false, where);
}

static void set_clamp(bp_circuit *circuit, const bp_waveform *w, const bp_build_note *note,
                      const char *name, bp_waveform_trace *t) {
    t->clamp = bp_part_find(circuit, name);
    if (t->clamp != BP_NONE && circuit->parts[t->clamp].kind == &bp_kind_wire) {
        t->clamp_name = bp_build_copy(circuit, name);
        return;
    }
    t->clamp = BP_NONE;
    bp_build_mistake(circuit, &note->place,
                     "trace \"clamp %.40s\" of waveform %s: there is no such wire; a clamp goes "
                     "around a wire",
                     name, w->id);
}

static void set_trace(bp_circuit *circuit, bp_waveform *w, const bp_build_note *note) {
    char first[LONGEST_NAME + 1], second[LONGEST_NAME + 1], more[2];
    const int n = sscanf(note->c, "%100s %100s %1s", first, second, more);
    bp_waveform_trace t = {BP_NONE, BP_NONE, BP_NONE, NULL, NULL, NULL};
    if (n < 1 || n > 2 || w->n_traces == MOST_TRACES) {
        bp_build_mistake(circuit, &note->place,
                         "trace \"%.40s\" of waveform %s: expected a pin, two pins (red and black) "
                         "or clamp and a wire; at most %d traces",
                         note->c, w->id, MOST_TRACES);
        return;
    }
    if (n == 2 && strcmp(first, "clamp") == 0) {
        set_clamp(circuit, w, note, second, &t);
    } else {
        t.red = face_of(circuit, w, note, first);
        t.red_name = bp_build_copy(circuit, first);
        t.black = n == 2 ? face_of(circuit, w, note, second) : circuit->reference;
        t.black_name = n == 2 ? bp_build_copy(circuit, second) : NULL;
    }
    bp_waveform_trace *room = bp_build_got(circuit, bp_room(w->traces, w->n_traces, sizeof *room));
    if (room) {
        w->traces = room;
        room[w->n_traces++] = t;
    } else {
        free(t.red_name);
        free(t.black_name);
        free(t.clamp_name);
    }
}

static void set_key(bp_circuit *circuit, bp_waveform *w, const bp_build_note *note) {
    static const char *const keys[] = {"state", "from", "to", "label", "traces"};
    if (strcmp(note->b, "state") == 0) {
        set_state(circuit, w, note);
    } else if (strcmp(note->b, "from") == 0) {
        set_time(circuit, w, note, &w->from);
    } else if (strcmp(note->b, "to") == 0) {
        set_time(circuit, w, note, &w->to);
    } else if (strcmp(note->b, "label") == 0) {
        free(w->label);
        w->label =
            bp_build_sentence(circuit, &note->place, "label of a waveform", note->c, LONGEST_LABEL);
    } else if (strcmp(note->b, "trace") == 0) {
        set_trace(circuit, w, note);
    } else {
        char where[80];
        const bp_names names = {.name = (const char **)keys, .n = sizeof keys / sizeof *keys};
        snprintf(where, sizeof where, " in waveform %.40s", w->id);
        bp_build_unknown(circuit, &note->place, "key", note->b, where, &names);
    }
}

/* Does the file say this key of the waveform, rightly or wrongly? */
static bool is_told(const bp_circuit *circuit, const bp_waveform *w, const char *key) {
    const bp_building *b = bp_building_of(circuit);
    for (size_t i = 0; i < b->n_notes; i++)
        if (b->notes[i].sort == BP_NOTE_WAVEFORM_SET && strcmp(b->notes[i].b, key) == 0 &&
            strcmp(b->notes[i].a, w->id) == 0)
            return true;
    return false;
}

static void complete(bp_circuit *circuit, const bp_waveform *w, const bp_note_place *place) {
    if (!is_told(circuit, w, "state"))
        bp_build_mistake(circuit, place, "waveform %s has no state: name the state it shows",
                         w->id);
    if (!is_told(circuit, w, "trace"))
        bp_build_mistake(circuit, place,
                         "waveform %s has no traces: name the pins or the wire that it shows",
                         w->id);
    if (!(w->to > w->from))
        bp_build_mistake(circuit, place, "waveform %s ends before it begins: to is not after from",
                         w->id);
}

void bp_resolve_waveforms(bp_circuit *circuit) {
    bp_building *b = bp_building_of(circuit);
    for (size_t i = 0; i < b->n_notes && !b->no_memory; i++)
        if (b->notes[i].sort == BP_NOTE_WAVEFORM)
            add_waveform(circuit, &b->notes[i]);
    for (size_t i = 0; i < b->n_notes && !b->no_memory; i++) {
        const size_t w =
            b->notes[i].sort == BP_NOTE_WAVEFORM_SET ? find(circuit, b->notes[i].a) : BP_NONE;
        if (w != BP_NONE)
            set_key(circuit, &circuit->waveforms[w], &b->notes[i]);
        else if (b->notes[i].sort == BP_NOTE_WAVEFORM_SET && bp_text_is_id(b->notes[i].a, true))
            bp_build_mistake(circuit, &b->notes[i].place, "there is no waveform %.40s",
                             b->notes[i].a);
    }
    for (size_t i = 0; i < b->n_notes && !b->no_memory; i++) {
        const size_t w =
            b->notes[i].sort == BP_NOTE_WAVEFORM ? find(circuit, b->notes[i].a) : BP_NONE;
        if (w != BP_NONE)
            complete(circuit, &circuit->waveforms[w], &b->notes[i].place);
    }
}

size_t bp_circuit_n_waveforms(const bp_circuit *circuit) { return circuit->n_waveforms; }

bp_waveform_info bp_circuit_waveform_info(const bp_circuit *circuit, size_t index) {
    const bp_waveform *w = &circuit->waveforms[index];
    return (bp_waveform_info){.id = w->id,
                              .label = w->label,
                              .state = circuit->states[w->state].id,
                              .from = w->from,
                              .to = w->to,
                              .n_traces = w->n_traces};
}

bp_scope_trace bp_circuit_waveform_trace(const bp_circuit *circuit, size_t index, size_t t) {
    const bp_waveform_trace *trace = &circuit->waveforms[index].traces[t];
    return (bp_scope_trace){
        .red = trace->red_name, .black = trace->black_name, .clamp = trace->clamp_name};
}
