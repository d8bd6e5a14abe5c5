/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a plot tells in words and where.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "render/plot_private.h"

/* Two instants are the same, and a value lies on a trace, within these parts of the window and of
 * the value. */
static const double same_time = 0.01, same_value = 0.02, near_time = 0.005;
/* An extreme that is less than this part of the whole stroke away from 0 says nothing. */
static const double telling = 0.1;
/* A trace that moves by less than this part of its value is called steady. */
static const double steady = 0.02;
/* So does one that takes less than this part of the largest value on its axis. */
static const double flat = 0.03;
/* What happens more often than this is a rhythm, not an event. */
enum { OFTEN = 2 };

/* Less than this, V or A, is what the solver leaves over; more than that needs powers of ten. */
static const double nothing = 5e-7, endless = 1e12;

double bp_plot_rounded(double value, bp_unit unit) {
    const bool dust = unit == BP_UNIT_VOLT || unit == BP_UNIT_AMPERE;
    return dust && fabs(value) < nothing ? 0 : value;
}

int bp_plot_value(double value, bp_unit unit, char *text, size_t size) {
    char plain[64];
    value = bp_plot_rounded(value, unit);
    if (fabs(value) > endless)
        return snprintf(text, size, "%.2e %s", value, bp_unit_symbol(unit));
    bp_quantity_format(value, unit, 3, plain, sizeof plain);
    const bool negative = plain[0] == '-';
    return snprintf(text, size, "%s%s", negative ? "−" : "", plain + negative);
}

static const bp_scope_run *shown_of(const bp_plot_runs *runs) {
    return runs->fault ? runs->fault : runs->good;
}

/* Value, and the good circuit's where that reads otherwise. */
static void write_value(const bp_plot_runs *runs, const bp_feature *f, bp_mark *mark) {
    const bp_feature *good = runs->fault && runs->good ? bp_scope_same(runs->good, f) : NULL;
    char other[48] = "";
    bp_plot_value(f->value, f->unit, mark->value, sizeof mark->value);
    if (good)
        bp_plot_value(good->value, good->unit, other, sizeof other);
    mark->other[0] = '\0';
    if (runs->fault && runs->good && strcmp(other, mark->value) != 0)
        snprintf(mark->other, sizeof mark->other, "good: %s", good ? other : "none");
}

static bp_mark mark_of(const bp_plot_runs *runs, const bp_feature *f) {
    bp_mark mark = {.at = f->at, .until = f->until, .trace = BP_SCOPE_NO_TRACE};
    snprintf(mark.words, sizeof mark.words, "%s%s%s", f->part ? f->part : "", f->part ? ": " : "",
             f->words);
    write_value(runs, f, &mark);
    return mark;
}

static double window(const bp_scope_run *run) { return run->to - run->from; }

/* Finds the trace on which a part's feature is seen: one of its unit that has the value there. */
static bool stand_on_trace(const bp_scope_run *run, const bp_feature *f, bp_mark *mark) {
    double nearest = same_value * fabs(f->value);
    for (size_t t = 0; t < run->n_traces; t++)
        for (size_t i = 0; i < run->n && run->traces[t].unit == f->unit; i++) {
            const double off = fabs(run->traces[t].value[i] - f->value);
            if (fabs(run->time[i] - f->at) > near_time * window(run) || !(off < nearest))
                continue;
            nearest = off;
            mark->trace = t;
            mark->at = mark->until = run->time[i];
            mark->height = run->traces[t].value[i];
        }
    return mark->trace != BP_SCOPE_NO_TRACE;
}

static void put(bp_mark *list, size_t *n, const bp_mark *mark) {
    if (*n < BP_PLOT_MOST_MARKS)
        list[(*n)++] = *mark;
}

static bool is_extreme(const bp_feature *f) {
    return strcmp(f->id, "highest") == 0 || strcmp(f->id, "lowest") == 0;
}

/* Features of parts, and what others than the extremes say about a point of a trace. */
static void choose_named(const bp_plot_runs *runs, bp_marks *marks) {
    const bp_scope_run *run = shown_of(runs);
    for (size_t i = 0; i < run->n_features; i++) {
        const bp_feature *f = &run->features[i];
        if (isnan(f->at) || is_extreme(f))
            continue;
        bp_mark mark = mark_of(runs, f);
        if (f->trace != BP_SCOPE_NO_TRACE && f->at == f->until) {
            mark.trace = f->trace;
            mark.height = bp_scope_value(run, f->trace, f->at);
        }
        if (mark.trace != BP_SCOPE_NO_TRACE || (f->at == f->until && stand_on_trace(run, f, &mark)))
            put(marks->on_trace, &marks->n_on_trace, &mark);
        else
            put(marks->above, &marks->n_above, &mark);
    }
}

static double value_of(const bp_scope_run *run, size_t trace, const char *id) {
    const bp_feature *f = bp_scope_feature(run, trace, id);
    return f ? f->value : NAN;
}

static double largest_of(const bp_scope_run *run, size_t trace) {
    return fmax(fabs(value_of(run, trace, "highest")), fabs(value_of(run, trace, "lowest")));
}

/* By its own measure, or beside a trace on the same axis on which it looks like a straight line. */
static bool is_steady(const bp_scope_run *run, size_t trace) {
    const double mine = largest_of(run, trace);
    const double stroke = value_of(run, trace, "highest") - value_of(run, trace, "lowest");
    for (size_t t = 0; t < run->n_traces; t++) {
        const double other = largest_of(run, t);
        if (run->traces[t].unit == run->traces[trace].unit && bp_panel_holds(mine, other) &&
            stroke < flat * other)
            return true;
    }
    return !(stroke >= steady * mine);
}

static bool is_told(const bp_scope_run *run, const bp_marks *marks, const bp_feature *f) {
    for (size_t i = 0; i < marks->n_on_trace; i++) {
        const bp_mark *m = &marks->on_trace[i];
        if (m->trace == f->trace && fabs(m->at - f->at) <= same_time * window(run) &&
            fabs(m->height - f->value) <= same_value * fabs(f->value))
            return true;
    }
    return false;
}

static void choose_extremes(const bp_plot_runs *runs, bp_marks *marks) {
    const bp_scope_run *run = shown_of(runs);
    for (size_t i = 0; i < run->n_features; i++) {
        const bp_feature *f = &run->features[i];
        if (f->trace == BP_SCOPE_NO_TRACE || isnan(f->at) || !is_extreme(f) ||
            is_steady(run, f->trace) || is_told(run, marks, f) ||
            fabs(f->value) <
                telling * (value_of(run, f->trace, "highest") - value_of(run, f->trace, "lowest")))
            continue;
        const bp_scope_shown *on = &run->traces[f->trace];
        bp_mark mark = mark_of(runs, f);
        mark.trace = f->trace;
        mark.height = f->value;
        if (run->n_traces > 1)
            snprintf(mark.words, sizeof mark.words, "%s: %s", on->red ? on->red : on->clamp,
                     f->words);
        put(marks->on_trace, &marks->n_on_trace, &mark);
    }
}

static bool is_near(const bp_marks *marks, double time, double within) {
    for (size_t i = 0; i < marks->n_above; i++)
        if (fabs(marks->above[i].at - time) <= within ||
            fabs(marks->above[i].until - time) <= within)
            return true;
    for (size_t i = 0; i < marks->n_on_trace; i++)
        if (fabs(marks->on_trace[i].at - time) <= within)
            return true;
    return false;
}

static bool is_rare(const bp_scope_run *run, const bp_scope_event *e) {
    size_t n = 0;
    for (size_t i = 0; i < run->n_events; i++)
        n += strcmp(run->events[i].id, e->id) == 0 && strcmp(run->events[i].part, e->part) == 0;
    return n <= OFTEN;
}

/* What happens at an instant at which nothing else is told. */
static void choose_events(const bp_plot_runs *runs, bp_marks *marks) {
    const bp_scope_run *run = shown_of(runs);
    for (size_t i = 0; i < run->n_events; i++) {
        const bp_scope_event *e = &run->events[i];
        if (is_near(marks, e->time, same_time * window(run)) || !is_rare(run, e))
            continue;
        bp_mark mark = {.at = e->time, .until = e->time, .trace = BP_SCOPE_NO_TRACE};
        snprintf(mark.words, sizeof mark.words, "%s", e->words);
        if (!isnan(e->value))
            bp_plot_value(e->value, e->unit, mark.value, sizeof mark.value);
        put(marks->above, &marks->n_above, &mark);
    }
}

void bp_marks_choose(const bp_plot_runs *runs, bp_marks *marks) {
    *marks = (bp_marks){0};
    choose_named(runs, marks);
    choose_extremes(runs, marks);
    choose_events(runs, marks);
}

/* Of what repeats, how far it swings and its means count too; of what stands still, its mean. */
static bool is_said(const bp_scope_run *run, const bp_feature *f) {
    static const char *const swings[] = {"peak-to-peak", "mean", "rms"};
    const bool rhythm = bp_scope_feature(run, f->trace, "frequency") != NULL;
    for (size_t i = 0; i < sizeof swings / sizeof *swings; i++)
        if (strcmp(f->id, swings[i]) == 0)
            return is_steady(run, f->trace) ? i == 1 : rhythm;
    return true;
}

void bp_marks_of_trace(const bp_plot_runs *runs, size_t trace, char *text, size_t size) {
    const bp_scope_run *run = shown_of(runs);
    size_t length = 0;
    text[0] = '\0';
    for (size_t i = 0; i < run->n_features && length < size; i++) {
        const bp_feature *f = &run->features[i];
        if (f->trace != trace || !isnan(f->at) || !is_said(run, f))
            continue;
        bp_mark mark;
        write_value(runs, f, &mark);
        const int n =
            snprintf(text + length, size - length, "%s%s %s%s%s%s", length ? "  ·  " : "", f->words,
                     mark.value, mark.other[0] ? " (" : "", mark.other, mark.other[0] ? ")" : "");
        length += n > 0 ? (size_t)n : 0;
    }
}
