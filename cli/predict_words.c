/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/fault.h"
#include "cli/describe.h"
#include "cli/predict_text.h"
#include "render/sheet_facts.h"

static const char *instrument_words(bp_instrument instrument) {
    static const char *const words[] = {
#define X(code, name, words) words,
        BP_INSTRUMENT_LIST(X)
#undef X
    };
    return words[instrument];
}

static void labelled(const bp_screen *out, const char *label, const char *text) {
    bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 12, "%-12s%s", label, text);
}

/* "20 °C, battery 12.2 V at rest": what was told on the command line; else the states say it
 * themselves. */
static char *conditions(const bp_prediction *p, const char *black) {
    char *words = NULL, value[48];
    size_t size;
    FILE *f = bp_must(open_memstream(&words, &size));
    const bp_question *q = p->question;
    bp_describe_value(isnan(q->ambient) ? 20 : q->ambient, BP_UNIT_CELSIUS, p->us_units, value,
                      sizeof value);
    fprintf(f, "%s around it%s", value,
            isnan(q->ambient) ? " unless the state says otherwise" : "");
    if (!isnan(q->engine)) {
        bp_describe_value(q->engine, BP_UNIT_CELSIUS, p->us_units, value, sizeof value);
        fprintf(f, ", engine %s", value);
    }
    if (!isnan(q->supply)) {
        bp_describe_value(q->supply, BP_UNIT_VOLT, p->us_units, value, sizeof value);
        fprintf(f, ", battery %s with nothing on it", value);
    }
    fprintf(f, "; %s", instrument_words(q->instrument));
    if (black)
        fprintf(f, ", black lead on %s", black);
    if (fclose(f) != 0)
        bp_must(NULL);
    return bp_must(words);
}

static void print_faults(const bp_screen *out, const bp_prediction *p) {
    bp_fault_case faults;
    char why[256], words[512];
    if (bp_fault_parse(p->circuit, p->faulted->faults, &faults, why, sizeof why) != BP_OK)
        return;
    bp_fault_words(p->circuit, &faults, words, sizeof words);
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 12, "%-12s%s (%s)", "This fault", words,
                        p->faulted->faults);
}

void bp_print_header(const bp_screen *out, const bp_prediction *prediction, const char *black) {
    const bp_circuit *circuit = prediction->circuit;
    char *words = conditions(prediction, black);
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s",
                        circuit->title ? circuit->title : circuit->id);
    if (circuit->scenario)
        bp_screen_paragraph(out, BP_TONE_FAINT, 0, 0, "%s", circuit->scenario);
    bp_screen_gap(out);
    if (prediction->faulted)
        print_faults(out, prediction);
    for (size_t i = 0; i < prediction->question->n_after; i++)
        labelled(out, i == 0 ? "After" : "", prediction->question->after[i]);
    labelled(out, "Measured at", words);
    free(words);
}

static const char *state_label(const bp_circuit *circuit, const char *id) {
    size_t index = bp_state_find(circuit, id);
    return index == BP_NONE ? NULL : circuit->states[index].label;
}

void bp_print_state_title(const bp_screen *out, const bp_prediction *prediction,
                          const bp_state_answer *state, const bp_state_answer *healthy) {
    const char *label = state_label(prediction->circuit, state->state);
    char volts[48] = "", good[64] = "";
    if (!isnan(state->supply_volts))
        snprintf(volts, sizeof volts, "; battery %.2f V", state->supply_volts);
    if (healthy && !isnan(healthy->supply_volts) &&
        fabs(healthy->supply_volts - state->supply_volts) >= 0.01)
        snprintf(good, sizeof good, " (good: %.2f V)", healthy->supply_volts);
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 2, "%s%s%s%s%s%s%s", state->state,
                        label ? ": " : "", label ? label : "", state->phase ? ", " : "",
                        state->phase ? state->phase : "", volts, good);
}

char *bp_reading_where(const bp_circuit *circuit, const bp_reading *reading) {
    size_t point = reading->point ? bp_point_find(circuit, reading->point) : BP_NONE;
    size_t face = reading->red ? bp_face_find(circuit, reading->red) : BP_NONE;
    char words[400] = "";
    if (reading->at)
        snprintf(words, sizeof words, "in the place of %s", reading->at);
    else if (point != BP_NONE)
        bp_point_words(circuit, &circuit->points[point], words, sizeof words);
    else if (face != BP_NONE)
        bp_face_words(circuit, face, words, sizeof words);
    return bp_format("%s%s", words, reading->unloaded ? "; unloaded" : "");
}

static const bp_notice *same_notice(const bp_state_answer *healthy, const bp_notice *notice) {
    for (size_t i = 0; healthy && i < healthy->n_notices; i++)
        if (strcmp(healthy->notices[i].part, notice->part) == 0)
            return &healthy->notices[i];
    return NULL;
}

static void print_notice(const bp_screen *out, const bp_notice *notice, const bp_notice *good) {
    bool differs = good && strcmp(good->says, notice->says) != 0;
    if (differs)
        bp_screen_paragraph(out, BP_TONE_STRONG, 2, 4, "%s (good: %s)", notice->words, good->words);
    else
        bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 4, "%s", notice->words);
}

/* Why readings are missing or to be taken with care, each reason once. */
static void print_whys(const bp_screen *out, const bp_state_answer *state) {
    for (size_t i = 0; i < state->n_readings; i++) {
        const bp_reading *r = &state->readings[i];
        if (r->why)
            bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 4, "%s: %s",
                                r->point ? r->point
                                : r->red ? r->red
                                         : "meter",
                                r->why);
    }
}

void bp_print_state_words(const bp_screen *out, const bp_prediction *prediction,
                          const bp_state_answer *state, const bp_state_answer *healthy) {
    if (!prediction->faulted)
        bp_print_state_title(out, prediction, state, NULL);
    if (state->why) {
        bp_screen_paragraph(out, BP_TONE_STRONG, 2, 4, "No result: %s", state->why);
        return;
    }
    for (size_t i = 0; i < state->n_notices; i++)
        print_notice(out, &state->notices[i], same_notice(healthy, &state->notices[i]));
    for (size_t i = 0; i < state->n_blown; i++)
        bp_screen_paragraph(out, BP_TONE_STRONG, 2, 4, "%s is blown", state->blown[i]);
    for (size_t i = 0; i < state->n_chatter; i++)
        bp_screen_paragraph(out, BP_TONE_STRONG, 2, 4, "%s chatters: it finds no rest",
                            state->chatter[i]);
    for (size_t i = 0; i < state->n_remarks; i++)
        bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 4, "%s", state->remarks[i]);
    print_whys(out, state);
}
