/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "made.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <cmocka.h>

static const char long_sentence[] =
    "Panel van with a second battery, a workbench inverter and a heater under the floor, used by "
    "a market trader who parks it in the rain all week and complains on Mondays only";

/* A lamp at the end of a chain of connectors; every cavity is a point. */
static void add_chain(bp_circuit *c, size_t n_points) {
    char id[32], from[40] = "F1.2", to[40];
    for (size_t i = 0; i < (n_points + 1) / 2; i++) {
        snprintf(id, sizeof id, "C%zu", i + 1);
        bp_circuit_part(c, id, "connector");
        bp_circuit_set(c, id, "cavities", "1");
        snprintf(to, sizeof to, "C%zu.a1", i + 1);
        snprintf(id, sizeof id, "W%zu", i + 2);
        bp_circuit_wire(c, id, from, to);
        bp_circuit_set(c, id, "size", "1.5 mm2");
        bp_circuit_set(c, id, "length", "1.2 m");
        bp_circuit_set(c, id, "colour", "RD/YE");
        snprintf(from, sizeof from, "C%zu.b1", i + 1);
    }
    bp_circuit_wire(c, "WL", from, "H1.1");
    bp_circuit_wire(c, "WG", "H1.2", "G1");
    bp_circuit_wire(c, "WB", "BAT.-", "G0");
}

static void add_points(bp_circuit *c, const bp_made *made) {
    char id[32], at[40];
    for (size_t i = 0; i < made->n_points; i++) {
        if (i < 26)
            snprintf(id, sizeof id, "%c", (char)('A' + i));
        else
            snprintf(id, sizeof id, "P%zu", i);
        snprintf(at, sizeof at, "C%zu.%c1", i / 2 + 1, i % 2 ? 'b' : 'a');
        bp_circuit_point(c, id, at);
        if (made->long_words && i % 3 == 0)
            bp_circuit_point_set(c, id, "note",
                                 "behind the trim of the left rear wheel arch, lift the felt");
    }
}

bp_circuit *bp_made_circuit(const bp_made *made) {
    bp_report *report = bp_report_new();
    bp_circuit *c = bp_circuit_new("made", report);
    bp_circuit_text(c, "title",
                    made->long_words ? "Work lamp of the loading bay with its long run of plugs "
                                       "from the dash to the last roof bow at the rear"
                                     : "Work lamp");
    bp_circuit_text(c, "scenario", made->long_words ? long_sentence : "Box van, 12 V");
    bp_circuit_part(c, "BAT", "battery");
    bp_circuit_part(c, "F1", "fuse");
    bp_circuit_set(c, "F1", "rating", "10 A");
    bp_circuit_part(c, "H1", "lamp");
    bp_circuit_set(c, "H1", "power", "55 W");
    bp_circuit_set(c, "H1", "label",
                   made->long_words ? "work lamp under the third roof bow, curb side"
                                    : "work lamp");
    bp_circuit_part(c, "G0", "ground");
    bp_circuit_part(c, "G1", "ground");
    bp_circuit_wire(c, "W1", "BAT.+", "F1.1");
    add_chain(c, made->n_points);
    add_points(c, made);
    for (size_t i = 0; i < made->n_states; i++) {
        char id[64];
        snprintf(id, sizeof id, "%s_%zu", made->long_words ? "charging_in_the_rain" : "state",
                 i + 1);
        bp_circuit_state(c, id);
        if (i % 2)
            bp_circuit_state_set(c, id, "supply", "charging");
    }
    if (bp_circuit_finish(c) != BP_OK)
        for (size_t i = 0; i < bp_report_count(report); i++)
            print_error("%s\n", bp_report_at(report, i)->text);
    assert_int_equal(bp_report_count_of(report, BP_MISTAKE), 0);
    bp_report_free(&report);
    return c;
}

/* Falls along the chain; every fifth faulted reading is far off. */
static bp_reading made_reading(const bp_circuit *c, size_t point, size_t state, bool fault) {
    double value = 12.4 - 0.03 * (double)point - 0.1 * (double)(state % 3);
    if (fault && point % 5 == 2)
        value -= 6.5;
    bp_reading r = {.point = c->points[point].id,
                    .instrument = BP_VOLTS,
                    .value = value,
                    .unit = BP_UNIT_VOLT,
                    .low = fault ? NAN : value - 0.25,
                    .high = fault ? NAN : value + 0.25};
    snprintf(r.display, sizeof r.display, "%.2f V", value);
    if (fault && point % 11 == 7) {
        r.status = BP_READING_NONE;
        r.value = NAN;
        r.why = "the circuit found no rest within 200 steps";
    }
    return r;
}

static bp_answer *made_answer(const bp_made *made, const bp_circuit *c, bool fault) {
    bp_answer *answer = calloc(1, sizeof *answer);
    answer->n_states = c->n_states;
    answer->states = calloc(c->n_states, sizeof *answer->states);
    for (size_t s = 0; s < c->n_states; s++) {
        bp_state_answer *a = &answer->states[s];
        a->state = c->states[s].id;
        a->supply_volts = fault ? 12.51 : 12.43;
        a->n_readings = c->n_points;
        a->readings = calloc(c->n_points, sizeof *a->readings);
        for (size_t p = 0; p < c->n_points; p++)
            a->readings[p] = made_reading(c, p, s, fault);
        a->n_notices = 1;
        a->notices = calloc(1, sizeof *a->notices);
        a->notices[0] =
            (bp_notice){.part = "H1",
                        .says = fault ? "weak" : "normal",
                        .words = !fault             ? "H1 is as bright as it should be"
                                 : made->long_words ? long_sentence
                                                    : "H1 glows dim: 34 % of its light"};
    }
    return answer;
}

static void made_drops(const bp_circuit *c, bp_facts *facts) {
    bp_drops *drops = &facts->drops;
    drops->n = c->n_points ? c->n_points - 1 : 0;
    drops->rows = calloc(c->n_points + 1, sizeof *drops->rows);
    for (size_t i = 0; i < drops->n; i++) {
        bp_drop *d = &drops->rows[i];
        snprintf(d->red, sizeof d->red, "%s", i == 0 ? "battery +" : c->points[i].id);
        snprintf(d->black, sizeof d->black, "%s",
                 i + 1 == drops->n ? "battery −" : c->points[i + 1].id);
        snprintf(d->spans, sizeof d->spans, "W%zu, C%zu, W%zu", i + 1, i / 2 + 1, i + 2);
        d->load = i + 2 == drops->n;
        d->most = d->load ? NAN : 0.1 + 0.1 * (double)(i % 5);
        d->good = &facts->good->states[0].readings[i];
        d->fault = facts->fault ? &facts->fault->states[0].readings[i] : NULL;
    }
    drops->sum_good = 12.43;
    drops->sum_fault = facts->fault ? 12.51 : NAN;
}

void bp_made_facts(const bp_made *made, const bp_circuit *c, bp_facts *facts) {
    *facts = (bp_facts){.circuit = c, .options = BP_SHEET_OPTIONS_INIT};
    facts->options.letter = made->letter;
    snprintf(facts->solver, sizeof facts->solver, "made readings");
    facts->good = made_answer(made, c, false);
    if (made->fault) {
        char why[200];
        facts->fault = made_answer(made, c, true);
        assert_int_equal(bp_fault_parse(c, "G1:resistance=1.5ohm", &facts->faults, why, sizeof why),
                         BP_OK);
        snprintf(facts->fault_words, sizeof facts->fault_words, "%s",
                 made->long_words ? long_sentence : "ground G1 has 1.5 Ω");
    }
    made_drops(c, facts);
    assert_int_equal(bp_facts_derive(facts), BP_OK);
}

static void clear_answer(bp_answer **answer) {
    if (!*answer)
        return;
    for (size_t s = 0; s < (*answer)->n_states; s++) {
        free((*answer)->states[s].readings);
        free((*answer)->states[s].notices);
    }
    free((*answer)->states);
    free(*answer);
    *answer = NULL;
}

void bp_made_clear(bp_facts *facts) {
    clear_answer(&facts->good);
    clear_answer(&facts->fault);
    bp_facts_clear(facts);
}
