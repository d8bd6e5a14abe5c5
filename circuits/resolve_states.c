/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * States: what is switched how, the supply, and the conditions around the circuit.
 */
#include "circuits/building.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "circuits/text.h"

/* The starter's current while cranking when the file does not tell it, in A (design: circuit file).
 */
#define CRANKING_AMPS 180.0

enum { LONGEST_LABEL = 120 };

static const char *const state_keys[] = {"supply", "speed", "ambient", "engine",
                                         "lasts",  "from",  "label"};
enum { N_STATE_KEYS = sizeof state_keys / sizeof *state_keys };

static bp_state *new_state(bp_circuit *circuit, const char *id, const bp_note_place *place) {
    bp_state *room =
        bp_build_got(circuit, bp_room(circuit->states, circuit->n_states, sizeof *room));
    if (!room)
        return NULL;
    circuit->states = room;
    bp_building *b = bp_building_of(circuit);
    bp_note_place *places =
        bp_build_got(circuit, bp_room(b->state_places, circuit->n_states, sizeof *places));
    char *copy = bp_build_copy(circuit, id);
    if (places)
        b->state_places = places;
    if (!places || !copy) {
        free(copy);
        return NULL;
    }
    places[circuit->n_states] = *place;
    bp_state *state = &room[circuit->n_states++];
    *state = (bp_state){.id = copy,
                        .from = BP_NONE,
                        .supply = BP_SUPPLY_REST,
                        .supply_value = NAN,
                        .speed = NAN,
                        .ambient = NAN,
                        .engine = NAN,
                        .lasts = NAN};
    return state;
}

static void add_state(bp_circuit *circuit, const bp_build_note *note) {
    if (!bp_text_is_id(note->a, true))
        bp_build_mistake(circuit, &note->place,
                         "\"%.60s\" cannot be the name of a state: expected letters, digits, _ and "
                         "-, beginning with a letter, at most 40 of them",
                         note->a);
    else if (bp_state_find(circuit, note->a) != BP_NONE)
        bp_build_mistake(circuit, &note->place, "state %s is there twice", note->a);
    else if (circuit->n_states == BP_MOST_STATES)
        bp_build_mistake(circuit, &note->place, "there are more than %d states", BP_MOST_STATES);
    else
        new_state(circuit, note->a, &note->place);
}

static void set_value(bp_circuit *circuit, const bp_build_note *note, bp_unit unit, double lo,
                      double hi, double *value) {
    char why[200], least[40], most[40];
    double read;
    if (bp_quantity_parse(note->c, unit, &read, why, sizeof why) != BP_OK) {
        bp_build_mistake(circuit, &note->place, "%s of state %s: %s", note->b, note->a, why);
    } else if (!(read >= lo && read <= hi)) {
        bp_quantity_format(lo, unit, 4, least, sizeof least);
        bp_quantity_format(hi, unit, 4, most, sizeof most);
        bp_build_mistake(circuit, &note->place,
                         "%s of state %s is \"%.40s\", which cannot be: expected %s to %s", note->b,
                         note->a, note->c, least, most);
    } else {
        *value = read;
    }
}

/* A part of this kind; or, with `unknown`, one of which nobody knows what it is. */
static bool has(const bp_circuit *circuit, const bp_kind *kind, bool unknown) {
    for (size_t i = 0; i < circuit->n_parts; i++)
        if (circuit->parts[i].kind ? circuit->parts[i].kind == kind : unknown)
            return true;
    return false;
}

static void set_supply(bp_circuit *circuit, bp_state *state, const bp_build_note *note) {
    static const char cranking[] = "cranking";
    const char *text = note->c;
    if (!has(circuit, &bp_kind_battery, true)) {
        bp_build_mistake(circuit, &note->place, "state %s sets the supply, but no battery is there",
                         note->a);
    } else if (strcmp(text, "rest") == 0) {
        state->supply = BP_SUPPLY_REST;
    } else if (strcmp(text, "charging") == 0 && has(circuit, &bp_kind_alternator, false)) {
        bp_build_mistake(circuit, &note->place,
                         "state %s sets the supply to charging, but the circuit has an alternator "
                         "of its own: set the speed instead, like speed: 800 rpm",
                         note->a);
    } else if (strcmp(text, "charging") == 0) {
        state->supply = BP_SUPPLY_CHARGING;
    } else if (strncmp(text, cranking, strlen(cranking)) == 0 &&
               has(circuit, &bp_kind_starter, false)) {
        bp_build_mistake(circuit, &note->place,
                         "state %s sets the supply to cranking, but the circuit has a starter of "
                         "its own: set the key instead",
                         note->a);
    } else if (strncmp(text, cranking, strlen(cranking)) == 0) {
        const bp_build_note amps = {
            .place = note->place, .a = note->a, .b = note->b, .c = note->c + strlen(cranking)};
        state->supply = BP_SUPPLY_CRANKING;
        state->supply_value = CRANKING_AMPS;
        if (amps.c[0] != '\0')
            set_value(circuit, &amps, BP_UNIT_AMPERE, 1, 2000, &state->supply_value);
    } else if (bp_number_length(text) > 0) {
        state->supply = BP_SUPPLY_VOLTS;
        set_value(circuit, note, BP_UNIT_VOLT, 0, 60, &state->supply_value);
    } else {
        static const char *const words[] = {"rest", "charging", "cranking", "cranking 150 A",
                                            "12.6 V"};
        const bp_names names = {.name = (const char **)words, .n = sizeof words / sizeof *words};
        bp_build_unknown(circuit, &note->place, "supply", text, "", &names);
    }
}

static void set_part(bp_circuit *circuit, bp_state *state, const bp_build_note *note) {
    size_t index = bp_part_find(circuit, note->b);
    bp_names names = {0};
    char where[160];
    if (index == BP_NONE) {
        snprintf(where, sizeof where, " in state %.40s", note->a);
        for (size_t i = 0; i < N_STATE_KEYS; i++)
            bp_names_add(&names, state_keys[i]);
        for (size_t i = 0; i < circuit->n_parts; i++)
            if (circuit->parts[i].kind && circuit->parts[i].kind != &bp_kind_wire)
                bp_names_add(&names, circuit->parts[i].id);
        bp_build_unknown(circuit, &note->place, "part or key", note->b, where, &names);
        bp_names_free(&names);
        return;
    }
    const bp_part *part = &circuit->parts[index];
    if (bp_building_of(circuit)->drafts[index].broken)
        return;
    int setting = bp_part_setting(part, note->c);
    if (setting < 0 && bp_part_setting_name(part, 0)) {
        snprintf(where, sizeof where, " of %s %.40s in state %.40s", part->kind->words, part->id,
                 note->a);
        bp_names_of_settings(&names, part);
        bp_build_unknown(circuit, &note->place, "setting", note->c, where, &names);
        bp_names_free(&names);
        return;
    }
    if (setting < 0) {
        bp_build_mistake(circuit, &note->place, "state %s sets %s, but a %s has no settings",
                         note->a, part->id, part->kind->words);
        return;
    }
    for (size_t i = 0; i < state->n_settings; i++)
        if (state->settings[i].part == index) {
            bp_build_mistake(circuit, &note->place, "state %s sets %s twice: %s and %s", note->a,
                             part->id, bp_part_setting_name(part, state->settings[i].setting),
                             note->c);
            return;
        }
    bp_setting *room =
        bp_build_got(circuit, bp_room(state->settings, state->n_settings, sizeof *room));
    if (!room)
        return;
    state->settings = room;
    room[state->n_settings++] = (bp_setting){index, setting};
}

static void set_from(bp_circuit *circuit, bp_state *state, const bp_build_note *note) {
    state->from = bp_state_find(circuit, note->c);
    if (state->from != BP_NONE)
        return;
    bp_names names = {0};
    char where[80];
    snprintf(where, sizeof where, " in from of state %.40s", note->a);
    for (size_t i = 0; i < circuit->n_states; i++)
        bp_names_add(&names, circuit->states[i].id);
    bp_build_unknown(circuit, &note->place, "state", note->c, where, &names);
    bp_names_free(&names);
}

static void set_key(bp_circuit *circuit, bp_state *state, const bp_build_note *note) {
    const char *key = note->b;
    if (strcmp(key, "supply") == 0)
        set_supply(circuit, state, note);
    else if (strcmp(key, "speed") == 0)
        set_value(circuit, note, BP_UNIT_RPM, 0, 20000, &state->speed);
    else if (strcmp(key, "ambient") == 0)
        set_value(circuit, note, BP_UNIT_CELSIUS, -60, 90, &state->ambient);
    else if (strcmp(key, "engine") == 0)
        set_value(circuit, note, BP_UNIT_CELSIUS, -60, 150, &state->engine);
    else if (strcmp(key, "lasts") == 0)
        set_value(circuit, note, BP_UNIT_SECOND, 1e-3, 86400, &state->lasts);
    else if (strcmp(key, "from") == 0)
        set_from(circuit, state, note);
    else if (strcmp(key, "label") == 0) {
        free(state->label);
        state->label =
            bp_build_sentence(circuit, &note->place, "label of a state", note->c, LONGEST_LABEL);
    } else {
        set_part(circuit, state, note);
    }
}

/* A state that is entered from itself, over however many others. */
static void check_loops(bp_circuit *circuit) {
    const bp_note_place *places = bp_building_of(circuit)->state_places;
    for (size_t i = 0; i < circuit->n_states; i++) {
        size_t at = circuit->states[i].from, steps = 0, first = i;
        while (at != BP_NONE && at != i && steps++ < circuit->n_states) {
            first = at < first ? at : first;
            at = circuit->states[at].from;
        }
        if (at == i && first == i) /* each loop once, at its first state */
            bp_build_mistake(circuit, &places[i],
                             "state %s is entered from %s, which is entered from %s in the end: "
                             "one of them has to start from everything released",
                             circuit->states[i].id, circuit->states[circuit->states[i].from].id,
                             circuit->states[i].id);
    }
}

void bp_resolve_states(bp_circuit *circuit) {
    bp_building *b = bp_building_of(circuit);
    bool any = false;
    for (size_t i = 0; i < b->n_notes && !b->no_memory; i++)
        if (b->notes[i].sort == BP_NOTE_STATE) {
            add_state(circuit, &b->notes[i]);
            any = true;
        }
    for (size_t i = 0; i < b->n_notes && !b->no_memory; i++) {
        const bp_build_note *note = &b->notes[i];
        if (note->sort != BP_NOTE_STATE_SET)
            continue;
        size_t state = bp_state_find(circuit, note->a);
        if (state != BP_NONE)
            set_key(circuit, &circuit->states[state], note);
        else if (bp_text_is_id(note->a, true)) /* else it was reported with its name */
            bp_build_mistake(circuit, &note->place, "there is no state %.40s", note->a);
    }
    if (!any && !b->no_memory)
        new_state(circuit, "on", &b->at);
    if (!b->no_memory)
        check_loops(circuit);
}
