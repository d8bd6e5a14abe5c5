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
/* A trace that stays within this part of its stroke for longer than this part of the window holds a
 * level. */
static const double level = 0.01, held = 0.015;
/* What happens more often than this is a rhythm, not an event. */
enum { OFTEN = 2 };

static const bp_scope_run *shown_of(const bp_plot_runs *runs) {
    return runs->fault ? runs->fault : runs->good;
}

/* Value, and the good circuit's where that reads otherwise. */
static void write_value(const bp_plot_runs *runs, const bp_feature *f, bp_mark *mark) {
    const bp_feature *good = runs->fault && runs->good ? bp_scope_same(runs->good, f) : NULL;
    char other[48] = "";
    bp_plot_feature(shown_of(runs), f, mark->value, sizeof mark->value);
    if (good)
        bp_plot_feature(runs->good, good, other, sizeof other);
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

/* The sample around an instant that is farthest from `base`. */
static size_t farthest(const bp_scope_run *run, size_t trace, size_t first, size_t last,
                       double base) {
    const double *v = run->traces[trace].value;
    size_t best = first;
    for (size_t i = first; i <= last; i++)
        best = fabs(v[i] - base) > fabs(v[best] - base) ? i : best;
    return best;
}

/* Finds the trace on which a part's feature is seen: one of its unit whose peak there it is, seen
 * from what was before or from what comes after. What only runs through that value on its way to
 * elsewhere - kilovolts through the volts of the primary - does not show it. */
static bool stand_on_trace(const bp_scope_run *run, const bp_feature *f, bp_mark *mark) {
    double nearest = same_value * fabs(f->value);
    const double from = f->at - near_time * window(run), to = f->at + near_time * window(run);
    size_t first = 0, last = run->n - 1;
    while (first < run->n - 1 && run->time[first] < from)
        first++;
    while (last > first && run->time[last] > to)
        last--;
    for (size_t t = 0; t < run->n_traces; t++) {
        const double *v = run->traces[t].value;
        if (run->traces[t].unit != f->unit)
            continue;
        for (size_t k = 0; k < 2; k++) {
            const size_t i = farthest(run, t, first, last, v[k ? last : first]);
            if (!(fabs(v[i] - f->value) < nearest))
                continue;
            nearest = fabs(v[i] - f->value);
            mark->trace = t;
            mark->at = mark->until = run->time[i];
            mark->height = v[i];
        }
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

static double stroke_of(const bp_scope_run *run, size_t trace) {
    return value_of(run, trace, "highest") - value_of(run, trace, "lowest");
}

/* By its own measure, or beside a trace on the same axis on which it looks like a straight line. */
static bool is_steady(const bp_scope_run *run, size_t trace) {
    const double mine = largest_of(run, trace);
    const double stroke = stroke_of(run, trace);
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

/* A level that is held is named in the middle of the first stretch of it, a peak where it is. */
static void stand_on_level(const bp_scope_run *run, double stroke, bp_mark *mark) {
    const double *v = run->traces[mark->trace].value;
    size_t first = 0, best = 0, last = 0;
    for (size_t i = 0; i < run->n && last == 0; i++) {
        const bool there = fabs(v[i] - mark->height) <= level * stroke;
        first = there && (i == 0 || fabs(v[i - 1] - mark->height) > level * stroke) ? i : first;
        const bool ends = i + 1 == run->n || fabs(v[i + 1] - mark->height) > level * stroke;
        if (there && ends && run->time[i] - run->time[first] > held * window(run)) {
            best = first;
            last = i;
        }
    }
    if (last > 0)
        mark->at = mark->until = (run->time[best] + run->time[last]) / 2;
}

static void choose_extremes(const bp_plot_runs *runs, bp_marks *marks) {
    const bp_scope_run *run = shown_of(runs);
    for (size_t i = 0; i < run->n_features; i++) {
        const bp_feature *f = &run->features[i];
        if (f->trace == BP_SCOPE_NO_TRACE || isnan(f->at) || !is_extreme(f) ||
            is_steady(run, f->trace) || is_told(run, marks, f) ||
            fabs(f->value) < telling * stroke_of(run, f->trace))
            continue;
        const bp_scope_shown *on = &run->traces[f->trace];
        bp_mark mark = mark_of(runs, f);
        mark.trace = f->trace;
        mark.height = f->value;
        mark.plain = true;
        stand_on_level(run, stroke_of(run, f->trace), &mark);
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
            bp_plot_measured(e->value, e->unit, mark.value, sizeof mark.value);
        put(marks->above, &marks->n_above, &mark);
    }
}

void bp_marks_choose(const bp_plot_runs *runs, bp_marks *marks) {
    *marks = (bp_marks){0};
    choose_named(runs, marks);
    choose_extremes(runs, marks);
    choose_events(runs, marks);
}

/* Of what stands still, its mean; of what repeats, how far it swings, and of pulses the mean, else
 * the root of the mean square, as meters show them. */
static bool is_said(const bp_scope_run *run, const bp_feature *f) {
    const bool rhythm = bp_scope_feature(run, f->trace, "frequency") != NULL;
    const bool pulses = bp_scope_feature(run, f->trace, "duty") != NULL;
    if (strcmp(f->id, "mean") == 0)
        return is_steady(run, f->trace) || pulses;
    if (strcmp(f->id, "peak-to-peak") == 0)
        return rhythm && !is_steady(run, f->trace);
    if (strcmp(f->id, "rms") == 0)
        return rhythm && !pulses && !is_steady(run, f->trace);
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
