/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every fault of every shipped circuit: an instrument, a sense or a waveform tells it from the good
 * circuit, at its typical degree or at an end of its range; or its kind declares why nothing can;
 * or it is among the few of this very circuit that nothing tells, each with its reason. Nothing is
 * asked beyond the first thing that tells a fault.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <fnmatch.h>
#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/load.h>
#include <backprobe/seen.h>

#include "circuits/fault.h"

enum { TEXT = 200, MOST = 80 };

/* What nothing tells in a circuit as it is shipped, and why that is true: circuits and faults as
 * patterns of a shell. Nothing takes longer than what nothing tells: these are asked, at their
 * typical degree, only when the program is told to (see main). */
static const struct {
    const char *circuit, *fault, *why;
} hidden[] = {
    {"*", "W[234]:short-to-ground", "battery - to body, to engine and the strap: ground already"},
    {"*", "W*:short-to-ground", "a ground wire: what it touches stands at the same voltage"},
    {"*", "J[123]:leak-to-ground", "a splice of grounds"},
    {"*", "W[126]:short-to-feed", "the battery's own feed, before any fuse"},
    {"injector", "W8:short-to=W9", "both from one splice"},
    {"*sensor*", "W1[03]:short-to=W1[14]", "both from one splice"},
    {"hall-sensor", "A[23]:return-open", "the returns meet in the plug: the other one carries it"},
    {"*", "BAT:weak-cell", "what it takes to show it, a starter's load, is not in this circuit"},
    {"*", "BAT:resistance", "as above"},
    {"*", "S1:dead-in-crank-15", "no state of this circuit cranks"},
    {"fuel-pump", "S2:stuck-closed", "no state opens the inertia switch"},
    {"fuel-pump", "C3.1:leak-to=C3.2", "the closed inertia switch lies across it"},
    {"starting", "S2:*", "no state has a gear in"},
    {"starting", "A1:pull-open", "the wire of terminal 50 holds it low at rest"},
    {"starting", "A1.in:*", "only the module's own reader shows what it reads"},
    {"sensors-5v", "A3.in:*", "as above"},
    {"*", "[TPDL]*.*:resistance", "ohms beside the kilohms and kilovolts of a secondary"},
    {"*sensor*", "A[123].in:resistance", "ohms before an input of kilohms"},
    {"*sensor*", "[GW][012345]:*",
     "there are two ways to battery -, and a sensor's milliamperes drop nothing on either"},
    {"ignition-coil", "T1:secondary-breaks-down", "its high voltage goes nowhere in this circuit"},
    {"wiper-interval", "C7.2:leak-to=C7.3", "joined by the relay at rest, fed alike else"},
};
enum { N_HIDDEN = sizeof hidden / sizeof *hidden };
static size_t met[N_HIDDEN]; /* faults that nothing told, by reason */

/* Circuits that every run goes through, of each sort one that is done in seconds; the program takes
 * a pattern of others, and "*" is all of them. Under the sanitizers, which take ten times as long,
 * the first alone. */
static const char *const usual[] = {
    "ignition-points",    "wiper",          "starting",  "crank-sensor",       "ignition-coil",
    "ignition-two-ended", "wiper-interval", "fuel-pump", "injector-peak-hold",
};
enum { N_USUAL = sizeof usual / sizeof *usual };
static const char *only;
static bool hidden_too;

/* The reason, or N_HIDDEN. */
static size_t hidden_by(const char *circuit, const char *fault) {
    size_t i = 0;
    while (i < N_HIDDEN &&
           (fnmatch(hidden[i].circuit, circuit, 0) != 0 || fnmatch(hidden[i].fault, fault, 0) != 0))
        i++;
    return i;
}

typedef struct shelf {
    bp_report *report;
    bp_circuit *circuit;
    bp_lab *lab;
    bp_fault_row *row;
    size_t n;
    bool *told, *unsolved; /* by row */
} shelf;

static void open_shelf(shelf *s, const char *path) {
    *s = (shelf){.report = bp_report_new()};
    assert_int_equal(bp_load(path, &s->circuit, s->report), BP_OK);
    s->lab = bp_lab_new(s->circuit, 0, s->report);
    assert_non_null(s->lab);
    assert_int_equal(bp_fault_list(s->circuit, &s->row, &s->n), BP_OK);
    s->told = calloc(s->n, sizeof *s->told);
    s->unsolved = calloc(s->n, sizeof *s->unsolved);
}

static void close_shelf(shelf *s) {
    free(s->unsolved);
    free(s->told);
    free(s->row);
    bp_lab_free(&s->lab);
    bp_circuit_free(&s->circuit);
    bp_report_free(&s->report);
}

static void write_fault(const shelf *s, size_t i, double severity, char *text) {
    bp_fault_case one = {.fault = {s->row[i].fault}, .n = 1};
    one.fault[0].severity = severity;
    bp_fault_write(s->circuit, &one, text, TEXT);
}

/* The degrees of a fault: its typical one, then the worst and the least of its range, if any. */
enum { DEGREES = 3 };

static size_t degrees_of(const shelf *s, size_t i, double degree[DEGREES]) {
    const bp_mode_decl *mode = bp_fault_mode(s->circuit, &s->row[i].fault);
    degree[0] = s->row[i].fault.severity;
    degree[1] = mode->hi;
    degree[2] = mode->lo;
    return mode->scale == BP_SCALE_NONE ? 1 : DEGREES;
}

static size_t hides(const shelf *s, size_t i) {
    char text[TEXT];
    write_fault(s, i, s->row[i].fault.severity, text);
    return hidden_by(bp_circuit_id(s->circuit), text);
}

/* Those that between them tell nearly all. */
static const unsigned telling =
    1u << BP_MILLIVOLTS | 1u << BP_AMPS | 1u << BP_AMPS_CLAMP | 1u << BP_SPARK | 1u << BP_OHMS;

/* All that is not told yet and does not hide, at the degrees from `first` to before `last`. */
static void ask(shelf *s, size_t first, size_t last) {
    char(*text)[TEXT] = calloc(DEGREES * s->n, sizeof *text);
    const char **fault = calloc(DEGREES * s->n, sizeof *fault);
    bp_seen *seen = calloc(DEGREES * s->n, sizeof *seen);
    size_t *of = calloc(DEGREES * s->n, sizeof *of), n = 0;
    for (size_t i = 0; i < s->n; i++) {
        double degree[DEGREES];
        const size_t degrees = degrees_of(s, i, degree);
        if (s->told[i] || (hides(s, i) < N_HIDDEN && (first > 0 || !hidden_too)))
            continue;
        for (size_t k = first; k < degrees && k < last; k++) {
            write_fault(s, i, degree[k], text[n]);
            fault[n] = text[n];
            of[n++] = i;
        }
    }
    if (n > 0)
        assert_int_equal(bp_seen_at_all(s->lab, fault, n, telling, seen, s->report), BP_OK);
    for (size_t i = 0; i < n; i++) {
        s->told[of[i]] = s->told[of[i]] || seen[i].instruments || seen[i].senses || seen[i].scope;
        s->unsolved[of[i]] = s->unsolved[of[i]] || seen[i].unsolved;
    }
    free(of);
    free(seen);
    free(fault);
    free(text);
}

/* True: a complaint about this fault, written. */
static bool complain(const shelf *s, size_t i) {
    char text[TEXT];
    const bp_mode_decl *mode = bp_fault_mode(s->circuit, &s->row[i].fault);
    const size_t reason = hides(s, i);
    write_fault(s, i, s->row[i].fault.severity, text);
    if (s->unsolved[i]) {
        print_error("%s: %s has a state without a solution\n", bp_circuit_id(s->circuit), text);
        return true;
    }
    if (s->told[i] || mode->seen_by_eye || mode->unseen)
        return false;
    if (reason < N_HIDDEN) {
        met[reason]++;
        return false;
    }
    print_error("%s: nothing tells %s\n", bp_circuit_id(s->circuit), text);
    return true;
}

static size_t judge(const shelf *s) {
    size_t wrong = 0;
    for (size_t i = 0; i < s->n; i++)
        wrong += complain(s, i);
    return wrong;
}

static size_t look_through(const char *path) {
    shelf s;
    open_shelf(&s, path);
    ask(&s, 0, 1);
    ask(&s, 1, DEGREES);
    const size_t wrong = judge(&s);
    close_shelf(&s);
    return wrong;
}

static size_t look_through_pattern(const char *pattern) {
    char path[400];
    glob_t files;
    size_t wrong = 0;
    snprintf(path, sizeof path, "%s/%s.yaml", getenv("BACKPROBE_LIBRARY"), pattern);
    assert_int_equal(glob(path, 0, NULL, &files), 0);
    for (size_t i = 0; i < files.gl_pathc; i++)
        wrong += look_through(files.gl_pathv[i]);
    globfree(&files);
    return wrong;
}

static void every_fault_is_told_or_known_to_hide(void **state) {
    (void)state;
    size_t wrong = 0;
#ifdef __SANITIZE_ADDRESS__
    const size_t n_usual = 1;
#else
    const size_t n_usual = N_USUAL;
#endif
    for (size_t i = 0; i < n_usual && !only; i++)
        wrong += look_through_pattern(usual[i]);
    if (only)
        wrong += look_through_pattern(only);
    assert_int_equal(wrong, 0);
    size_t needless = 0;
    for (size_t i = 0; i < N_HIDDEN && hidden_too; i++) {
        if (met[i] > 0)
            continue;
        print_error("%s: %s is told everywhere: it does not hide (%s)\n", hidden[i].circuit,
                    hidden[i].fault, hidden[i].why);
        needless++;
    }
    assert_int_equal(needless, 0);
}

/* test_sim_seen_library [CIRCUITS]: that circuit, a pattern, or "*". With a second argument it
 * takes many minutes and puts to the proof as well that what is said to hide does hide. */
int main(int n, char **argument) {
    only = n > 1 ? argument[1] : NULL;
    hidden_too = n > 2;
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_fault_is_told_or_known_to_hide),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
