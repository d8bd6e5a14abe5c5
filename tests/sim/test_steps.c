/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a waveform shows may not depend on the steps in which it was worked out: every feature of
 * every waveform that the shipped circuits name, with steps as usual and half as long,
 * moves by no more than 1 %.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <glob.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/load.h>

#include "tests/sim/waves.h"

static bool is_same(const bp_feature *a, const bp_feature *b) {
    return a->trace == b->trace && strcmp(a->id, b->id) == 0 &&
           (a->part && b->part ? strcmp(a->part, b->part) == 0 : a->part == b->part);
}

/* 1 % of a value; of volts and amperes on a trace, of the trace's height with its zero line. */
static double one_percent(const bp_scope_run *run, const bp_feature *f) {
    if (f->trace == BP_SCOPE_NO_TRACE || f->unit != run->traces[f->trace].unit)
        return 0.01 * fabs(f->value);
    const double top = waves_feature(run, f->trace, "highest");
    const double foot = waves_feature(run, f->trace, "lowest");
    return 0.01 * (fmax(top, 0) - fmin(foot, 0));
}

static size_t compare(const char *waveform, const bp_scope_run *usual, const bp_scope_run *fine) {
    size_t wrong = 0;
    for (size_t i = 0; i < usual->n_features; i++) {
        const bp_feature *f = &usual->features[i], *found = NULL;
        for (size_t k = 0; k < fine->n_features && !found; k++)
            if (is_same(f, &fine->features[k]))
                found = &fine->features[k];
        if (found && fabs(f->value - found->value) <= one_percent(usual, f))
            continue;
        print_error("%s, %s, %s, %s of trace %zu: %g, with half the steps %g\n", usual->circuit,
                    waveform, usual->faults, f->id, f->trace + 1, f->value,
                    found ? found->value : NAN);
        wrong++;
    }
    return wrong + (usual->n_features != fine->n_features);
}

static size_t try_waveform(desk *d, const bp_waveform_info *info, size_t index) {
    bp_scope_trace traces[8];
    bp_scope_question q = BP_SCOPE_QUESTION_INIT;
    bp_scope_run *run[2];
    assert_in_range(info->n_traces, 1, 8);
    for (q.n_traces = 0; q.n_traces < info->n_traces; q.n_traces++)
        traces[q.n_traces] = bp_circuit_waveform_trace(d->circuit, index, q.n_traces);
    q.traces = traces;
    q.state = info->state;
    q.from = info->from;
    q.to = info->to;
    for (int k = 0; k < 2; k++) {
        q.fineness = 1 + k;
        run[k] = bp_lab_scope(d->lab, &q, d->report);
        assert_non_null(run[k]);
        assert_null(run[k]->why);
    }
    const size_t wrong = compare(info->id, run[0], run[1]);
    bp_scope_run_free(&run[0]);
    bp_scope_run_free(&run[1]);
    return wrong;
}

static size_t try_circuit(const char *path) {
    desk d = {.question = BP_QUESTION_INIT, .report = bp_report_new()};
    size_t wrong = 0;
    assert_int_equal(bp_load(path, &d.circuit, d.report), BP_OK);
    d.lab = bp_lab_new(d.circuit, 1, d.report);
    assert_non_null(d.lab);
    for (size_t i = 0; i < bp_circuit_n_waveforms(d.circuit); i++) {
        const bp_waveform_info info = bp_circuit_waveform_info(d.circuit, i);
        wrong += try_waveform(&d, &info, i);
    }
    desk_clear(&d);
    return wrong;
}

static void half_the_steps_show_the_same(void **state) {
    (void)state;
    char pattern[400];
    glob_t files;
    size_t wrong = 0;
    snprintf(pattern, sizeof pattern, "%s/*.yaml", getenv("BACKPROBE_LIBRARY"));
    assert_int_equal(glob(pattern, 0, NULL, &files), 0);
    for (size_t i = 0; i < files.gl_pathc; i++)
        wrong += try_circuit(files.gl_pathv[i]);
    globfree(&files);
    assert_int_equal(wrong, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(half_the_steps_show_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
