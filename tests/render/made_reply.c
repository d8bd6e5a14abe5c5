/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "made_reply.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <cmocka.h>

static char *copy(const char *text) {
    char *made = strdup(text);
    assert_non_null(made);
    return made;
}

static void make_test(bp_reply_test *test, size_t i, bool long_words) {
    static const char *const titles[] = {"Volts, black lead on battery −",
                                         "Voltage drop of the ground side", "Watch the pump"};
    test->title = copy(long_words ? "Voltage drop from the clamp on the battery's post to the ring "
                                    "terminal under the load floor beside the tank"
                                  : titles[i % 3]);
    test->time = copy("about 4 min");
    test->unit = copy(i % 3 == 2 ? "" : "V");
    static const char *const steps[][2] = {
        {"First", "Unplug C5: hold the lock down, pull at the plug, not at its wires."},
        {"State", "running: engine idling, 800 rev/min"},
        {"Red lead", "H: tank connector C5, pin 1, back-probe"},
        {"Black lead", "battery BAT, clamp on post −"},
        {"Meter", "DC volts, 20 V range"},
        {"Beware", "Fuel vapour: no sparks near the tank, hood open, somebody beside you."},
    };
    for (size_t k = long_words ? 0 : 1; k < (long_words ? 6u : 5u); k++)
        test->steps[test->n_steps++] = (bp_reply_step){copy(steps[k][0]), copy(steps[k][1])};
    static const char *const outcomes[][2] = {
        {"13.5 to 14.1 V", "feed is good up to here: 2 of 9 suspects are left, M1 and its ground"},
        {"7 to 11 V", "high resistance before this point: S2, C3 or W17 (3 of 9)"},
        {"below 0.5 V", "open before this point: F12, K1 or W15 (4 of 9)"},
        {"anything else", "write it down and send it: it is something not in the list"},
    };
    for (size_t k = 0; k < 4; k++)
        test->outcomes[test->n_outcomes++] =
            (bp_reply_outcome){copy(outcomes[k][0]), copy(outcomes[k][1])};
}

static void make_words(bp_reply *r, const bp_made_reply *made) {
    static const struct {
        const char *state, *where, *read, *good;
        bool odd;
    } readings[BP_REPLY_READINGS] = {
        {"running", "E", "13.9 V", "13.7 – 14.1 V", false},
        {"running", "H", "9.1 V", "13.4 – 13.9 V", true},
        {"running", "fuel pump M1", "weak", "normal", true},
        {"prime", "H to I", "11.1 V, trouble away", "11.9 – 12.1 V", true},
        {"off", "unplug C5: ohms C5.a1 to G3/body", "OL", "", false},
        {"engine_idling_with_the_heater_on", "battery BAT, clamp on post − to ring terminal G3",
         "0.02 V", "0.00 – 0.10 V", false},
    };
    static const char *const suspects[] = {
        "C3.2 (A-pillar connector): high resistance, about 0.8 Ω",
        "inertia switch S2: high resistance, or W17",
        "W16 (GN/YE 2.5 mm²) high resistance between C3.1 and S2",
        "6 more faults together",
        "this circuit is good: look elsewhere",
        "something that is not in the list",
    };
    assert_true(bp_words_add(&r->history, false, "It began after rain. Battery at rest: 12.5 V."));
    for (size_t i = 0; i < made->n_known; i++, r->n_readings++)
        r->readings[i] =
            (bp_reply_reading){copy(readings[i].state), copy(readings[i].where),
                               copy(readings[i].read), copy(readings[i].good), readings[i].odd};
    if (made->long_words)
        assert_true(bp_words_add(&r->again, true,
                                 "Take this one again: E reads 12.1 V in state prime, where every "
                                 "suspect gives 13.9 V; perhaps the black lead was on paint"));
    for (size_t i = 0; i < made->n_suspects; i++)
        r->suspects[r->n_suspects++] =
            (bp_reply_suspect){copy(suspects[i]), 0.6 / (double)(1 << i)};
    assert_true(
        bp_words_add(&r->advice, true, "The circuit is good at every point that was read."));
    assert_true(
        bp_words_add(&r->advice, false, "Look elsewhere: fuel pressure, a clogged filter."));
    assert_true(bp_words_add(&r->buying, true, "No fuel pump M1 yet: 12 in a hundred."));
    for (size_t i = 0; i < BP_REPLY_COSTS; i++)
        r->costs[i] =
            (bp_reply_cost){copy(i ? "likeliest part first" : "testing first"),
                            {copy("1 h 34 min"), copy(made->long_words ? "1048 EUR" : "48 EUR"),
                             copy(made->letter ? "" : "1102 EUR")}};
    assert_true(bp_words_add(&r->stop, false, "A wire or plug gets hot, or it smells of fuel."));
    assert_true(bp_words_add(&r->stop, false, "A new fuse blows again. Never fit a larger one."));
    assert_true(bp_words_add(&r->stop, false,
                             "A test asks for more than you have done before, or no result fits: "
                             "a workshop is cheaper than a guess."));
}

/* Tags for the leads of each test, then for what was read. */
static void make_tags(bp_reply *r, const bp_made_reply *made, const bp_circuit *circuit) {
    r->shown = *circuit;
    r->points = calloc(circuit->n_points + 1, sizeof *r->points);
    r->tags = calloc(circuit->n_points + 1, sizeof *r->tags);
    r->of = calloc(circuit->n_points + 1, sizeof *r->of);
    assert_true(r->points && r->tags && r->of);
    size_t n = 0, most = 2 * made->n_tests + made->n_known;
    for (size_t i = 0; i < circuit->n_points && n < most; i++) {
        if (circuit->points[i].automatic)
            continue;
        const bool lead = n < 2 * made->n_tests;
        r->points[n] = circuit->points[i];
        r->points[n].automatic = !lead;
        r->points[n].id = copy(circuit->points[i].id);
        r->of[n] = lead ? 1u << n / 2 : 0;
        r->tags[n].good = copy(lead ? (n % 2 ? "black lead" : "red lead") : "13.42 V");
        n++;
    }
    r->shown.points = r->points;
    r->shown.n_points = n;
    assert_true(bp_reply_number_tags(r));
}

static void leave_out(bp_reply *r, const bp_circuit *circuit) {
    r->left_out = calloc(circuit->n_parts + 1, sizeof *r->left_out);
    assert_non_null(r->left_out);
    for (size_t i = 0; i < circuit->n_parts; i++)
        r->left_out[i] = i % 2 && i != circuit->faces[circuit->feed].part;
}

void bp_made_reply_make(const bp_made_reply *made, const bp_circuit *circuit, bp_reply *r) {
    *r = (bp_reply){.base = {.circuit = circuit}};
    r->base.options = (bp_sheet_options)BP_SHEET_OPTIONS_INIT;
    r->base.options.letter = made->letter;
    snprintf(r->base.solver, sizeof r->base.solver, "ngspice");
    r->complaint =
        copy(made->long_words ? "Cranks but will not start after a night in the rain; starts by "
                                "itself at noon, dies on the motorway, and did so last winter too"
                              : "Cranks but will not start");
    r->lead = copy(made->n_tests ? "Measure next" : "Look elsewhere");
    make_words(r, made);
    for (size_t i = 0; i < made->n_tests; i++)
        make_test(&r->tests[r->n_tests++], i, made->long_words);
    make_tags(r, made, circuit);
    if (made->part)
        leave_out(r, circuit);
}

void bp_made_reply_clear(bp_reply *reply) { bp_reply_clear(reply); }
