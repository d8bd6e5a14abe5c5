/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/cautions.h"
#include "circuits/fault.h"
#include "cli/describe.h"
#include "cli/predict_text.h"
#include "render/sheet_facts.h"
#include "sim/instrument.h"
#include "sim/model.h"
#include "sim/noticed.h"

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

/* The temperature in a state, degC: as asked, else the state's own, else 20 (the header of
 * predict.h). */
static double ambient_of(const bp_prediction *p, const bp_state_answer *answer) {
    size_t state = bp_state_find(p->circuit, answer->state);
    if (!isnan(p->question->ambient))
        return p->question->ambient;
    if (state != BP_NONE && !isnan(p->circuit->states[state].ambient))
        return p->circuit->states[state].ambient;
    return 20;
}

static void write_ambient(FILE *f, const bp_prediction *p) {
    const bp_answer *asked = p->faulted ? p->faulted : p->healthy;
    char value[48];
    double first = asked->n_states ? ambient_of(p, &asked->states[0]) : 20;
    for (size_t i = 1; i < asked->n_states; i++)
        if (ambient_of(p, &asked->states[i]) != first) {
            fputs("; as warm around the vehicle as each state says", f);
            return;
        }
    bp_describe_value(first, BP_UNIT_CELSIUS, p->us_units, value, sizeof value);
    fprintf(f, "; %s around the vehicle", value);
}

/* How it is measured, and what was told on the command line; else the states say it themselves.
 * Owned by the caller. */
static char *conditions(const bp_prediction *p, const char *black) {
    char *words = NULL, value[48];
    size_t size;
    FILE *f = bp_must(open_memstream(&words, &size));
    const bp_question *q = p->question;
    fprintf(f, "%s", instrument_words(q->instrument));
    if (black)
        fprintf(f, "; black lead on %s", black);
    write_ambient(f, p);
    if (!isnan(q->engine)) {
        bp_describe_value(q->engine, BP_UNIT_CELSIUS, p->us_units, value, sizeof value);
        fprintf(f, ", engine %s", value);
    }
    if (!isnan(q->supply)) {
        bp_describe_value(q->supply, BP_UNIT_VOLT, p->us_units, value, sizeof value);
        fprintf(f, "; battery %s with nothing on it", value);
    }
    if (fclose(f) != 0)
        bp_must(NULL);
    return bp_must(words);
}

static void print_faults(const bp_screen *out, const bp_prediction *p) {
    bp_fault_case faults;
    char why[256], words[512];
    if (bp_fault_parse(p->circuit, p->faulted->faults, &faults, why, sizeof why) != BP_OK)
        return;
    bp_fault_words_in(p->us_units, p->circuit, &faults, words, sizeof words);
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 12, "%-12s%s (%s)", "This fault", words,
                        p->faulted->faults);
}

void bp_print_header(const bp_screen *out, const bp_prediction *prediction, const char *black) {
    const bp_circuit *circuit = prediction->circuit;
    char *words = conditions(prediction, black);
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s",
                        circuit->title ? circuit->title : circuit->id);
    if (prediction->faulted)
        print_faults(out, prediction);
    for (size_t i = 0; i < prediction->question->n_after; i++)
        labelled(out, i == 0 ? "After" : "", prediction->question->after[i]);
    labelled(out, "Measured by", words);
    free(words);
}

static const char *state_label(const bp_circuit *circuit, const char *id) {
    size_t index = bp_state_find(circuit, id);
    const char *label = index == BP_NONE ? NULL : circuit->states[index].label;
    return label && strcmp(label, id) != 0 ? label : NULL;
}

/* What feeds the circuit. */
static const char *supply_name(const bp_circuit *circuit) {
    const bp_part *part = &circuit->parts[circuit->faces[circuit->feed].part];
    return part->kind == &bp_kind_battery ? "battery" : "supply";
}

void bp_print_state_title(const bp_screen *out, const bp_prediction *prediction,
                          const bp_state_answer *state, const bp_state_answer *healthy) {
    const char *label = state_label(prediction->circuit, state->state);
    char volts[48] = "", good[64] = "";
    if (!isnan(state->supply_volts))
        snprintf(volts, sizeof volts, "; %s %.2f V", supply_name(prediction->circuit),
                 state->supply_volts);
    if (healthy && !isnan(healthy->supply_volts) &&
        fabs(healthy->supply_volts - state->supply_volts) >= 0.01)
        snprintf(good, sizeof good, " (good: %.2f V)", healthy->supply_volts);
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 2, "%s%s%s%s%s%s%s", state->state,
                        label ? ": " : "", label ? label : "", state->phase ? ", " : "",
                        state->phase ? state->phase : "", volts, good);
}

/* "GN, K2.87 to C12.a1": the colour by which the wire is found, and the way of the clamp's arrow.
 */
static void clamp_words(const bp_circuit *circuit, const bp_reading *reading, char *text,
                        size_t size) {
    const size_t wire = reading->at ? bp_part_find(circuit, reading->at) : BP_NONE;
    const char *colour =
        wire == BP_NONE ? NULL : circuit->parts[wire].text[bp_kind_param(&bp_kind_wire, "colour")];
    snprintf(text, size, "%s%s%s to %s", colour ? colour : "", colour ? ", " : "", reading->red,
             reading->black);
}

/* A light meter leaves what lies open without a load; others load it themselves. */
static const char *open_words(bp_instrument instrument) {
    return bp_instruments[instrument]->light ? "; unloaded" : "; lying open";
}

char *bp_reading_where(const bp_circuit *circuit, const bp_reading *reading) {
    size_t point = reading->point ? bp_point_find(circuit, reading->point) : BP_NONE;
    size_t face = reading->red ? bp_face_find(circuit, reading->red) : BP_NONE;
    char words[400] = "";
    if (reading->instrument == BP_AMPS_CLAMP)
        clamp_words(circuit, reading, words, sizeof words);
    else if (reading->at)
        snprintf(words, sizeof words, "in the place of %s", reading->at);
    else if (point != BP_NONE)
        bp_point_words(circuit, &circuit->points[point], words, sizeof words);
    else if (face != BP_NONE)
        bp_face_words(circuit, face, words, sizeof words);
    return bp_format("%s%s", words, reading->unloaded ? open_words(reading->instrument) : "");
}

/* Fuses and wiring speak through `blown` and `remarks` when there is something to say, what buzzes
 * through `chatter`. */
static bool is_load(const bp_circuit *circuit, const bp_state_answer *state,
                    const bp_notice *notice) {
    for (size_t i = 0; i < state->n_chatter; i++)
        if (strcmp(state->chatter[i], notice->part) == 0)
            return false;
    size_t part = bp_part_find(circuit, notice->part);
    if (part == BP_NONE)
        return true;
    const bp_kind *kind = circuit->parts[part].kind;
    return !kind->passive && !bp_models[bp_kind_index(kind)]->lasting;
}

/* "M1 (fuel pump) stands still": the sentence with the part's own name in it. Owned by the caller.
 */
static char *sentence(const bp_circuit *circuit, const bp_notice *notice) {
    size_t part = bp_part_find(circuit, notice->part), n = strlen(notice->part);
    const char *label = part == BP_NONE ? NULL : circuit->parts[part].label;
    if (!label || strncmp(notice->words, notice->part, n) != 0)
        return bp_format("%s", notice->words);
    return bp_format("%s (%s)%s", notice->part, label, notice->words + n);
}

bool bp_same_words(const bp_state_answer *healthy, const bp_state_answer *faulted) {
    for (size_t i = 0; i < faulted->n_notices; i++)
        if (bp_notice_differs(bp_notice_of(healthy, faulted->notices[i].part),
                              &faulted->notices[i]))
            return false;
    if (bp_felt_differs(healthy, faulted))
        return false;
    return faulted->n_blown == 0 && faulted->n_chatter == 0 &&
           faulted->n_remarks == healthy->n_remarks;
}

/* What is not as it is in the good circuit: a line each. */
static void print_changed(const bp_screen *out, const bp_circuit *circuit,
                          const bp_state_answer *state, const bp_state_answer *healthy) {
    for (size_t i = 0; i < state->n_notices; i++) {
        const bp_notice *good = bp_notice_of(healthy, state->notices[i].part);
        if (!is_load(circuit, state, &state->notices[i]) ||
            !bp_notice_differs(good, &state->notices[i]))
            continue;
        char *words = sentence(circuit, &state->notices[i]);
        bp_tone tone =
            bp_notice_does_otherwise(good, &state->notices[i]) ? BP_TONE_STRONG : BP_TONE_PLAIN;
        bp_screen_paragraph(out, tone, 2, 4, "%s (good:%s)", words,
                            good->words + strlen(good->part));
        free(words);
    }
}

/* The rest in one paragraph. */
static void print_unchanged(const bp_screen *out, const bp_circuit *circuit,
                            const bp_state_answer *state, const bp_state_answer *healthy) {
    char *all = NULL;
    size_t size;
    FILE *f = bp_must(open_memstream(&all, &size));
    for (size_t i = 0; i < state->n_notices; i++) {
        if (!is_load(circuit, state, &state->notices[i]) ||
            bp_notice_differs(bp_notice_of(healthy, state->notices[i].part), &state->notices[i]))
            continue;
        char *words = sentence(circuit, &state->notices[i]);
        fprintf(f, "%s%s.", ftell(f) > 0 ? " " : "", words);
        free(words);
    }
    if (fclose(f) != 0)
        bp_must(NULL);
    if (*(char *)bp_must(all))
        bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 2, "%s", all);
    free(all);
}

static bool is_first_of_why(const bp_state_answer *state, size_t index) {
    for (size_t i = 0; i < index; i++)
        if (state->readings[i].why &&
            strcmp(state->readings[i].why, state->readings[index].why) == 0)
            return false;
    return true;
}

/* Why readings are missing or to be taken with care: each reason once, with the places that it goes
 * for. */
static void print_whys(const bp_screen *out, const bp_state_answer *state) {
    for (size_t i = 0; i < state->n_readings; i++) {
        const char *why = state->readings[i].why;
        if (!why || !is_first_of_why(state, i))
            continue;
        char *places = NULL;
        size_t size;
        FILE *f = bp_must(open_memstream(&places, &size));
        for (size_t k = i; k < state->n_readings; k++) {
            const bp_reading *r = &state->readings[k];
            if (r->why && strcmp(r->why, why) == 0)
                fprintf(f, "%s%s", ftell(f) > 0 ? ", " : "",
                        r->point ? r->point
                        : r->red ? r->red
                                 : "meter");
        }
        if (fclose(f) != 0)
            bp_must(NULL);
        bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 4, "%s: %s", (char *)bp_must(places), why);
        free(places);
    }
}

static void print_lists(const bp_screen *out, const bp_circuit *circuit,
                        const bp_state_answer *state) {
    for (size_t i = 0; i < state->n_blown; i++)
        bp_screen_paragraph(out, BP_TONE_STRONG, 2, 4, "%s is %s.", state->blown[i],
                            bp_gone_word(circuit, state->blown[i]));
    for (size_t i = 0; i < state->n_chatter; i++)
        bp_screen_paragraph(out, BP_TONE_STRONG, 2, 4, "%s chatters: it finds no rest.",
                            state->chatter[i]);
    for (size_t i = 0; i < state->n_remarks; i++)
        bp_screen_paragraph(out, BP_TONE_STRONG, 2, 4, "%s.", state->remarks[i]);
}

bool bp_has_words(const bp_circuit *circuit, const bp_state_answer *state) {
    bool any =
        state->why || state->n_blown || state->n_chatter || state->n_remarks || state->n_warm;
    for (size_t i = 0; i < state->n_notices; i++)
        any = any || is_load(circuit, state, &state->notices[i]);
    for (size_t i = 0; i < state->n_readings; i++)
        any = any || state->readings[i].why;
    return any;
}

void bp_print_state_words(const bp_screen *out, const bp_prediction *prediction,
                          const bp_state_answer *state, const bp_state_answer *healthy) {
    if (state->why) {
        bp_screen_paragraph(out, BP_TONE_STRONG, 2, 4, "%s", state->why);
        return;
    }
    print_lists(out, prediction->circuit, state);
    print_changed(out, prediction->circuit, state, healthy);
    bp_print_felt_changed(out, state, healthy);
    print_unchanged(out, prediction->circuit, state, healthy);
    bp_print_felt_alike(out, state, healthy);
    print_whys(out, state);
}

/* True for the cautions of every vehicle circuit: those of every sheet, and those that a battery or
 * a fuse calls for. */
static bool is_common(const bp_caution *caution) {
    for (size_t i = 0; i < 4 && caution->calls[i]; i++)
        if (caution->calls[i] == &bp_kind_battery || caution->calls[i] == &bp_kind_fuse)
            return true;
    return caution->always;
}

/* The text of a caution: the circuit's own sentence, or that of a key; NULL for a common one. */
static const char *own_caution(const char *caution) {
    for (const bp_caution *c = bp_cautions; c->key; c++)
        if (strcmp(c->key, caution) == 0)
            return is_common(c) ? NULL : c->text;
    return caution;
}

void bp_print_caution(const bp_screen *out, const bp_circuit *circuit) {
    const char *text = NULL;
    for (size_t i = 0; i < circuit->n_cautions && !text; i++)
        text = own_caution(circuit->cautions[i]);
    bp_screen_gap(out);
    if (text)
        bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 2,
                            "Caution: %s 'backprobe show' has the others.", text);
    else
        bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 2, "Cautions: see 'backprobe show'.");
}
