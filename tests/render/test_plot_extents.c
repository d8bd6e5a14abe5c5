/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Nothing on a page of waveforms lies over anything else or off the page: made runs with hostile
 * values, many traces, features and words, and every waveform of the library, healthy and with a
 * fault, on both papers.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/load.h>

#include "extents.h"
#include "made.h"
#include "render/plot_page.h"
#include "tests/sweep.h"

enum { SAMPLES = 500, MOST_FEATURES = 80 };

typedef enum values { RINGING, ALL_EQUAL, NOTHING, HUGE_ONES, SQUARE, N_VALUES } values;

/* A made run with room for all that it points to. */
typedef struct made_run {
    bp_scope_run run;
    double time[SAMPLES], value[BP_PLOT_MOST_TRACES][SAMPLES];
    bp_scope_shown traces[BP_PLOT_MOST_TRACES];
    char names[BP_PLOT_MOST_TRACES][100];
    bp_feature features[MOST_FEATURES];
    bp_notice notices[3];
} made_run;

static double made_value(values how, size_t trace, double t, bool fault) {
    const double scale = (double)(trace + 1) * (fault ? 0.7 : 1);
    switch (how) {
    case ALL_EQUAL:
        return 12.3;
    case NOTHING:
        return trace % 2 ? INFINITY : NAN;
    case HUGE_ONES:
        return 1e29 * scale * sin(t * 9e3);
    case SQUARE:
        return fmod(t * 2e3, 1) < 0.4 ? 5 * scale : 0;
    default:
        return t < 2e-3 ? 0 : 40 * scale * exp(-(t - 2e-3) * 900) * sin((t - 2e-3) * 3e4);
    }
}

static void add_feature(made_run *m, bp_feature f) {
    assert_true(m->run.n_features < MOST_FEATURES);
    m->features[m->run.n_features++] = f;
}

static void add_features(made_run *m, size_t trace, bool fault) {
    const bp_unit unit = m->traces[trace].unit;
    const double high = m->value[trace][220];
    if (!isfinite(high))
        return;
    add_feature(
        m, (bp_feature){"highest", "highest", high, unit, trace, NULL, m->time[220], m->time[220]});
    add_feature(
        m, (bp_feature){"lowest", "lowest", -high, unit, trace, NULL, m->time[240], m->time[240]});
    add_feature(m, (bp_feature){"frequency", "frequency", fault ? 1900 : 2000, BP_UNIT_HERTZ, trace,
                                NULL, NAN, NAN});
    add_feature(m, (bp_feature){"duty", "share of time high", 0.4, BP_UNIT_FRACTION, trace, NULL,
                                NAN, NAN});
    add_feature(m, (bp_feature){"dwell", "dwell", 1e-3 * (double)(trace % 5 + 1), BP_UNIT_SECOND,
                                BP_SCOPE_NO_TRACE, trace % 2 ? "A1" : "Ignition_module_2", 2e-3,
                                2e-3 + 1e-3 * (double)(trace % 5 + 1)});
}

/* Every second trace is a current. */
static made_run *make(const bp_circuit *circuit, values how, size_t n_traces, bool fault,
                      bool long_names) {
    made_run *m = calloc(1, sizeof *m);
    assert_non_null(m);
    m->run = (bp_scope_run){
        .circuit = "made", .state = circuit->states[0].id, .faults = "G1:resistance=1.5ohm"};
    m->run.from = 0;
    m->run.to = 10e-3;
    m->run.n = SAMPLES;
    m->run.n_traces = n_traces;
    for (size_t t = 0; t < n_traces; t++) {
        snprintf(m->names[t], sizeof m->names[t], "%s%zu.1 (W%zu GN)%s",
                 long_names ? "The_longest_name_that_is_allowed_for_parts_" : "T", t, t,
                 long_names ? " over the other end of everything" : "");
        for (size_t i = 0; i < SAMPLES; i++) {
            m->time[i] = 10e-3 * (double)i / (SAMPLES - 1);
            m->value[t][i] = made_value(how, t, m->time[i], fault);
        }
        m->traces[t] = (bp_scope_shown){.name = m->names[t], .red = "T1.1", .black = "B1.-"};
        m->traces[t].unit = t % 2 ? BP_UNIT_AMPERE : BP_UNIT_VOLT;
        m->traces[t].value = m->value[t];
        add_features(m, t, fault);
    }
    for (size_t i = 0; i < 3; i++)
        m->notices[i] = (bp_notice){.part = "P1", .says = "sparks", .value = NAN};
    m->notices[0].words = "P1 fires at 10.2 kV";
    m->notices[1].words = fault ? "M1 creeps past its park position and stops" : "M1 parks";
    m->notices[2].words = "K1 clicks";
    m->run.time = m->time;
    m->run.traces = m->traces;
    m->run.features = m->features;
    m->run.notices = m->notices;
    m->run.n_notices = 3;
    return m;
}

static size_t faults_of_page(const bp_circuit *circuit, const bp_plot_runs *runs, bool letter,
                             const char *what) {
    const bp_plot_options options = {.letter = letter};
    const bp_scope_question question = BP_SCOPE_QUESTION_INIT;
    bp_plot_page page;
    assert_int_equal(bp_plot_page_make(&page, circuit, &question, runs, &options), BP_OK);
    bp_canvas *canvas =
        bp_canvas_new(NULL, letter ? BP_PAPER_LETTER : BP_PAPER_A4, "extents", NULL);
    assert_non_null(canvas);
    assert_int_equal(bp_plot_compose(canvas, &page), BP_OK);
    const size_t n = bp_extents_faults(canvas, what);
    bp_canvas_free(&canvas);
    bp_plot_page_clear(&page);
    return n;
}

static void test_made_runs(void **state) {
    (void)state;
    static const size_t traces[] = {1, 2, 5, BP_PLOT_MOST_TRACES};
    const bp_made made = {.n_points = 3, .n_states = 1};
    bp_circuit *circuit = bp_made_circuit(&made);
    size_t n = 0;
    for (size_t i = 0; i < sizeof traces / sizeof *traces; i++)
        for (int how = 0; how < N_VALUES; how++)
            for (unsigned bits = 0; bits < 4; bits++) {
                char what[100];
                made_run *good = make(circuit, (values)how, traces[i], false, bits & 2);
                made_run *bad = make(circuit, (values)how, traces[i], true, bits & 2);
                const bp_plot_runs runs = {&good->run, bits & 1 ? &bad->run : NULL};
                snprintf(what, sizeof what, "made: %zu traces, values %d, bits %u", traces[i], how,
                         bits);
                n += faults_of_page(circuit, &runs, bits & 1, what);
                free(good);
                free(bad);
            }
    bp_circuit_free(&circuit);
    assert_int_equal(n, 0);
}

/* A run that failed is told of; nothing of it is drawn. */
static void test_failed_run(void **state) {
    (void)state;
    const bp_made made = {.n_points = 3, .n_states = 1};
    bp_circuit *circuit = bp_made_circuit(&made);
    made_run *good = make(circuit, RINGING, 2, false, false),
             *bad = make(circuit, RINGING, 2, true, false);
    bad->run.why = "no result: the solver's steps became too small";
    char words[700];
    const bp_plot_runs runs = {&good->run, &bad->run};
    assert_int_equal(faults_of_page(circuit, &runs, false, "failed run"), 0);
    assert_null(bp_plot_drawable(&bad->run));
    bp_plot_failed_words(&runs, words, sizeof words);
    assert_non_null(strstr(words, bad->run.why));
    free(good);
    free(bad);
    bp_circuit_free(&circuit);
}

/* The good circuit alone, and with the fault's run before it. */
static size_t faults_of_waveform(bp_lab *lab, size_t index, const char *fault) {
    const bp_circuit *circuit = bp_lab_circuit(lab);
    const bp_waveform_info info = bp_circuit_waveform_info(circuit, index);
    bp_scope_trace traces[BP_PLOT_MOST_TRACES];
    bp_scope_question questions[2] = {BP_SCOPE_QUESTION_INIT};
    bp_scope_run *runs[2] = {NULL, NULL};
    for (size_t t = 0; t < info.n_traces; t++)
        traces[t] = bp_circuit_waveform_trace(circuit, index, t);
    questions[0].state = info.state;
    questions[0].traces = traces;
    questions[0].n_traces = info.n_traces;
    questions[0].from = info.from;
    questions[0].to = info.to;
    questions[1] = questions[0];
    questions[1].faults = fault;
    bp_lab_scope_many(lab, questions, 2, runs, NULL, NULL, NULL);
    assert_non_null(runs[0]);
    size_t n = 0;
    for (int with = 0; with < 2; with++)
        for (int letter = 0; letter < 2 && bp_plot_drawable(runs[0]); letter++) {
            const bp_plot_runs shown = {runs[0], with ? runs[1] : NULL};
            char what[300];
            snprintf(what, sizeof what, "%s, waveform %s, %s", circuit->id, info.id,
                     with ? fault : "healthy");
            n += faults_of_page(circuit, &shown, letter, what);
        }
    bp_scope_run_free(&runs[0]);
    bp_scope_run_free(&runs[1]);
    return n;
}

static size_t faults_of_circuit(const char *path, size_t *seen) {
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    assert_int_equal(bp_load_file(path, &circuit, report), BP_OK);
    bp_lab *lab = bp_lab_new(circuit, 0, report);
    assert_non_null(lab);
    size_t n = 0, n_rows;
    bp_fault_row *rows;
    assert_int_equal(bp_fault_list(circuit, &rows, &n_rows), BP_OK);
    for (size_t i = 0; i < bp_circuit_n_waveforms(circuit); i += SWEEP_STEP, ++*seen) {
        char fault[128];
        bp_fault_case one = {.fault = {rows[(2 * i + 1) * n_rows / 7 % n_rows].fault}, .n = 1};
        bp_fault_write(circuit, &one, fault, sizeof fault);
        n += faults_of_waveform(lab, i, fault);
    }
    free(rows);
    bp_lab_free(&lab);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    return n;
}

static void test_library(void **state) {
    (void)state;
    bp_listing *list = NULL;
    size_t n_circuits = 0, n = 0, seen = 0;
    bp_report *report = bp_report_new();
    assert_int_equal(bp_list_circuits(&list, &n_circuits, report), BP_OK);
    for (size_t i = 0; i < n_circuits; i += SWEEP_CIRCUITS)
        n += faults_of_circuit(list[i].path, &seen);
    bp_listing_free(&list, n_circuits);
    bp_report_free(&report);
    assert_true(seen >= 2);
    assert_int_equal(n, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_made_runs),
        cmocka_unit_test(test_failed_run),
        cmocka_unit_test(test_library),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
