/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/waves.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 8 };

static bp_scope_run *ask(desk *d, const char *state, const char *faults, double from, double to,
                         double fineness, const char *const *traces) {
    static char words[MOST][2][64];
    bp_scope_trace trace[MOST] = {{NULL, NULL, NULL}};
    bp_scope_question q = BP_SCOPE_QUESTION_INIT;
    for (; traces[q.n_traces]; q.n_traces++) {
        const size_t i = q.n_traces;
        const int n = sscanf(traces[i], "%63s %63s", words[i][0], words[i][1]);
        if (n == 2 && strcmp(words[i][0], "clamp") == 0)
            trace[i].clamp = words[i][1];
        else
            trace[i] = (bp_scope_trace){words[i][0], n == 2 ? words[i][1] : NULL, NULL};
    }
    q.state = state;
    q.faults = faults;
    q.traces = trace;
    q.from = from;
    q.to = to;
    q.fineness = fineness;
    q.after = d->question.after;
    q.n_after = d->question.n_after;
    bp_scope_run *run = bp_lab_scope(d->lab, &q, d->report);
    for (size_t i = 0; !run && i < bp_report_count(d->report); i++)
        print_error("  %s\n", bp_report_at(d->report, i)->text);
    assert_non_null(run);
    return run;
}

bp_scope_run *waves_run(desk *d, const char *state, const char *faults, double from, double to,
                        double fineness, const char *const *traces) {
    bp_scope_run *run = ask(d, state, faults, from, to, fineness, traces);
    if (run->why)
        fail_msg("%s: %s", faults ? faults : "healthy", run->why);
    return run;
}

char *waves_why(desk *d, const char *state, const char *faults, double to,
                const char *const *traces) {
    bp_scope_run *run = ask(d, state, faults, 0, to, 1, traces);
    assert_non_null(run->why);
    assert_int_equal(run->n, 0);
    assert_int_equal(run->n_features, 0);
    char *why = strdup(run->why);
    bp_scope_run_free(&run);
    return why;
}

double waves_feature(const bp_scope_run *run, size_t trace, const char *id) {
    const bp_feature *f = bp_scope_feature(run, trace, id);
    return f ? f->value : NAN;
}

const char *waves_says(const bp_scope_run *run, const char *part) {
    for (size_t i = 0; i < run->n_notices; i++)
        if (strcmp(run->notices[i].part, part) == 0)
            return run->notices[i].says;
    return "";
}

double waves_integral(const bp_scope_run *run, size_t trace) {
    const double *v = run->traces[trace].value;
    double sum = 0;
    for (size_t i = 1; i < run->n; i++)
        sum += (run->time[i] - run->time[i - 1]) * (v[i] + v[i - 1]) / 2;
    return sum;
}

double waves_product(const bp_scope_run *run, size_t a, size_t b) {
    const double *x = run->traces[a].value, *y = run->traces[b].value;
    double sum = 0;
    for (size_t i = 1; i < run->n; i++)
        sum += (run->time[i] - run->time[i - 1]) * (x[i] * y[i] + x[i - 1] * y[i - 1]) / 2;
    return sum;
}
