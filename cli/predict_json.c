/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "cli/csv.h"
#include "cli/json.h"
#include "cli/predict.h"

static const char *const status_names[] = {
    [BP_READING_OK] = "ok",
    [BP_READING_OVER] = "over",
    [BP_READING_UNSTEADY] = "unsteady",
    [BP_READING_NONE] = "none",
};

static json_t *held_json(const bp_held *held) {
    if (!held)
        return json_null();
    json_t *object = bp_json_object();
    bp_json_set(object, "value", bp_json_number(held->value));
    bp_json_set(object, "display", bp_json_text(held->display));
    bp_json_set(object, "state", bp_json_text(held->state));
    bp_json_set(object, "phase", bp_json_text(held->phase));
    bp_json_set(object, "at", bp_json_number(held->at));
    return object;
}

static json_t *reading_json(const bp_reading *reading) {
    json_t *object = bp_json_object();
    bp_json_set(object, "point", bp_json_text(reading->point));
    bp_json_set(object, "red", bp_json_text(reading->red));
    bp_json_set(object, "black", bp_json_text(reading->black));
    bp_json_set(object, "at", bp_json_text(reading->at));
    bp_json_set(object, "instrument", bp_json_text(bp_instrument_name(reading->instrument)));
    bp_json_set(object, "value", bp_json_number(reading->value));
    bp_json_set(object, "unit", bp_json_unit(reading->unit));
    bp_json_set(object, "display", bp_json_text(reading->display));
    bp_json_set(object, "low", bp_json_number(reading->low));
    bp_json_set(object, "high", bp_json_number(reading->high));
    bp_json_set(object, "status", bp_json_text(status_names[reading->status]));
    bp_json_set(object, "why", bp_json_text(reading->why));
    bp_json_set(object, "unloaded", json_boolean(reading->unloaded));
    bp_json_set(object, "minimum", held_json(reading->minimum));
    bp_json_set(object, "maximum", held_json(reading->maximum));
    return object;
}

static json_t *warmth_json(const bp_warmth *warmth) {
    json_t *object = bp_json_object();
    bp_json_set(object, "part", bp_json_text(warmth->part));
    bp_json_set(object, "place", bp_json_text(warmth->place));
    bp_json_set(object, "says", bp_json_text(warmth->says));
    bp_json_set(object, "words", bp_json_text(warmth->words));
    bp_json_set(object, "watts", bp_json_number(warmth->watts));
    bp_json_set(object, "kelvin", bp_json_number(warmth->kelvin));
    return object;
}

static json_t *state_json(const bp_answer *answer, const bp_state_answer *state) {
    json_t *object = bp_json_object(), *supply = bp_json_object();
    json_t *readings = bp_json_array(), *behaviour = bp_json_array(), *warm = bp_json_array();
    for (size_t i = 0; i < state->n_readings; i++)
        bp_json_append(readings, reading_json(&state->readings[i]));
    for (size_t i = 0; i < state->n_notices; i++)
        bp_json_append(behaviour, bp_json_notice(&state->notices[i]));
    for (size_t i = 0; i < state->n_warm; i++)
        bp_json_append(warm, warmth_json(&state->warm[i]));
    bp_json_set(supply, "volts", bp_json_number(state->supply_volts));
    bp_json_set(object, "circuit", bp_json_text(answer->circuit));
    bp_json_set(object, "state", bp_json_text(state->state));
    bp_json_set(object, "phase", bp_json_text(state->phase));
    bp_json_set(object, "faults", bp_json_faults(answer->faults));
    bp_json_set(object, "supply", supply);
    bp_json_set(object, "readings", readings);
    bp_json_set(object, "behaviour", behaviour);
    bp_json_set(object, "warm", warm);
    bp_json_set(object, "blown", bp_json_texts(state->blown, state->n_blown));
    bp_json_set(object, "chatter", bp_json_texts(state->chatter, state->n_chatter));
    bp_json_set(object, "remarks", bp_json_texts(state->remarks, state->n_remarks));
    bp_json_set(object, "why", bp_json_text(state->why));
    return object;
}

void bp_predict_json(const bp_screen *out, const bp_answer *answer) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < answer->n_states; i++)
        bp_json_append(array, state_json(answer, &answer->states[i]));
    bp_json_print(out, array);
}

static void csv_reading(const bp_screen *out, const bp_answer *answer, const bp_state_answer *state,
                        const bp_reading *reading) {
    bp_csv_text(out, answer->circuit, ',');
    bp_csv_text(out, answer->faults, ',');
    bp_csv_text(out, state->state, ',');
    bp_csv_text(out, state->phase, ',');
    bp_csv_text(out, reading->point, ',');
    bp_csv_text(out, reading->red, ',');
    bp_csv_text(out, reading->black, ',');
    bp_csv_text(out, bp_instrument_name(reading->instrument), ',');
    bp_csv_number(out, reading->value, ',');
    bp_csv_text(out, bp_unit_plain(reading->unit), ',');
    bp_csv_text(out, reading->display, ',');
    bp_csv_number(out, reading->low, ',');
    bp_csv_number(out, reading->high, ',');
    bp_csv_text(out, status_names[reading->status], ',');
    bp_csv_text(out, reading->why, ',');
    bp_csv_text(out, reading->at, ',');
    bp_csv_text(out, reading->minimum ? reading->minimum->display : "", ',');
    bp_csv_text(out, reading->maximum ? reading->maximum->display : "", '\n');
}

void bp_predict_csv(const bp_screen *out, const bp_answer *answer) {
    static const char *const titles[] = {
        "circuit", "faults",  "state", "phase", "point",  "red", "black", "instrument", "value",
        "unit",    "display", "low",   "high",  "status", "why", "at",    "minimum",    "maximum"};
    bp_csv_head(out, titles, sizeof titles / sizeof *titles);
    for (size_t i = 0; i < answer->n_states; i++)
        for (size_t k = 0; k < answer->states[i].n_readings; k++)
            csv_reading(out, answer, &answer->states[i], &answer->states[i].readings[k]);
}
