/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/features.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/model.h"
#include "sim/wave.h"

typedef struct maker {
    bp_store *store;
    bp_scope_run *run;
    bp_feature *list;
    size_t n, room;
} maker;

static bp_feature *add(maker *m, const char *id, const char *words, double value, bp_unit unit) {
    if (!isfinite(value))
        return NULL;
    if (m->n == m->room) {
        const size_t room = m->room ? 2 * m->room : 32;
        bp_feature *more = realloc(m->list, room * sizeof *more);
        if (!more) {
            m->store->failed = true;
            return NULL;
        }
        m->list = more;
        m->room = room;
    }
    bp_feature *f = &m->list[m->n++];
    *f = (bp_feature){.id = id,
                      .words = words,
                      .value = value,
                      .unit = unit,
                      .trace = BP_SCOPE_NO_TRACE,
                      .at = NAN,
                      .until = NAN};
    return f;
}

static void add_on(maker *m, size_t trace, const char *id, const char *words, double value,
                   bp_unit unit, double at) {
    bp_feature *f = add(m, id, words, value, unit);
    if (!f)
        return;
    f->trace = trace;
    f->at = f->until = at;
}

double bp_mean_of(const double *t, const double *v, size_t n) {
    double sum = 0;
    for (size_t i = 1; i < n; i++)
        sum += (t[i] - t[i - 1]) * (v[i] + v[i - 1]) / 2;
    return sum / (t[n - 1] - t[0]);
}

/* Highest, lowest, and by the rule of trapezoids the mean and the true root of the mean square. */
typedef struct sums {
    size_t highest, lowest;
    double mean, rms;
} sums;

static sums sum_up(const double *t, const double *v, size_t n) {
    sums s = {.mean = bp_mean_of(t, v, n)};
    for (size_t i = 1; i < n; i++) {
        const double dt = t[i] - t[i - 1];
        s.highest = v[i] > v[s.highest] ? i : s.highest;
        s.lowest = v[i] < v[s.lowest] ? i : s.lowest;
        s.rms += dt * (v[i] * v[i] + v[i] * v[i - 1] + v[i - 1] * v[i - 1]) / 3;
    }
    s.rms = sqrt(s.rms / (t[n - 1] - t[0]));
    return s;
}

/* Passages as a counter with two thresholds sees them, a quarter of the height above and below the
 * middle: what rings after an edge, or rests at the middle, passes neither. When it rose is told by
 * the middle, which an amplitude that dies away does not move; how long it is high by the two
 * thresholds, which a rest at the middle does not reach. */
typedef struct passages {
    size_t up;                /* rising ones */
    double rise;              /* the shortest time from the lower threshold to the upper one */
    double first, last;       /* times of the first and last rising one */
    double shortest, longest; /* from one to the next */
    double first_up, last_up; /* the same at the upper threshold */
    double high;              /* time from rising to falling ones between these two */
} passages;

static double crossing(const double *t, const double *v, size_t i, double level) {
    return t[i - 1] + (level - v[i - 1]) / (v[i] - v[i - 1]) * (t[i] - t[i - 1]);
}

static void take_rise(passages *p, double lower, double middle, double upper, double was_high) {
    p->rise = fmin(p->rise, isnan(lower) ? INFINITY : upper - lower);
    if (p->up++ == 0) {
        p->first = middle;
        p->first_up = upper;
    } else {
        p->high += was_high;
        p->shortest = fmin(p->shortest, middle - p->last);
        p->longest = fmax(p->longest, middle - p->last);
    }
    p->last = middle;
    p->last_up = upper;
}

static passages count(const double *t, const double *v, size_t n, double low, double high) {
    const double middle = (low + high) / 2, band = (high - low) / 4;
    passages p = {0, INFINITY, NAN, NAN, INFINITY, 0, NAN, NAN, 0};
    bool above = v[0] > middle;
    double crossed = t[0], was_high = 0; /* the latest at the middle; since the last rise */
    double lower = NAN;                  /* the latest rise past the lower threshold */
    for (size_t i = 1; i < n; i++) {
        if (v[i - 1] <= middle - band && v[i] > middle - band)
            lower = crossing(t, v, i, middle - band);
        if ((v[i - 1] <= middle) != (v[i] <= middle))
            crossed = crossing(t, v, i, middle);
        if (!above && v[i] > middle + band) {
            above = true;
            take_rise(&p, lower, crossed, crossing(t, v, i, middle + band), was_high);
            was_high = 0;
        } else if (above && v[i] < middle - band) {
            above = false;
            was_high = p.up == 0 ? 0 : crossing(t, v, i, middle - band) - p.last_up;
        }
    }
    return p;
}

/* What repeats: three rising passages at least, so two whole periods. */
static bool repeats(const double *time, const double *value, size_t n, passages *p) {
    const sums s = sum_up(time, value, n);
    const double low = value[s.lowest], high = value[s.highest];
    if (!(high - low > 1e-3 * fmax(fabs(high), fabs(low))))
        return false;
    *p = count(time, value, n, low, high);
    return p->up >= 3;
}

bool bp_rhythm_of(const double *time, const double *value, size_t n, double *hertz, double *duty) {
    passages p;
    if (!repeats(time, value, n, &p))
        return false;
    *hertz = (double)(p.up - 1) / (p.last - p.first);
    *duty = p.high / (p.last_up - p.first_up);
    return true;
}

/* What takes longer to rise, in periods, is no pulse: of a sine or a ramp nobody reads the duty. */
static const double edge = 0.05;

/* Periods about as long as each other - a wheel's missing teeth make one of three - and through
 * half of the window. A ring that dies away is no rhythm. */
static bool is_rhythm(const double *t, const double *v, size_t n, passages *p) {
    return repeats(t, v, n, p) && p->longest <= 3.5 * p->shortest &&
           p->last - p->first >= (t[n - 1] - t[0]) / 2;
}

/* False: it has none. */
static bool measure_rhythm(maker *m, size_t trace, const double *v) {
    const bp_scope_run *run = m->run;
    passages p;
    double hertz, duty;
    if (!is_rhythm(run->time, v, run->n, &p) || !bp_rhythm_of(run->time, v, run->n, &hertz, &duty))
        return false;
    add_on(m, trace, "frequency", "frequency", hertz, BP_UNIT_HERTZ, NAN);
    if (p.rise < edge / hertz)
        add_on(m, trace, "duty", "time high", duty, BP_UNIT_FRACTION, NAN);
    return true;
}

/* What begins with a surge and then settles to a ripple, as a starter's current does: both are read
 * in the second half, unless the ripple is too quick for the steps of so long a window. */
enum { STEPS_A_PERIOD = 20 };

static void measure_settled(maker *m, size_t trace, const double *v, double peak_to_peak) {
    const bp_scope_run *run = m->run;
    const double middle = (run->time[0] + run->time[run->n - 1]) / 2;
    size_t first = 0;
    while (run->time[first] < middle)
        first++;
    const size_t n = run->n - first;
    passages p;
    if (n < 3 || !is_rhythm(&run->time[first], &v[first], n, &p) || n < STEPS_A_PERIOD * p.up)
        return;
    const sums s = sum_up(&run->time[first], &v[first], n);
    const double ripple = v[first + s.highest] - v[first + s.lowest];
    if (ripple > peak_to_peak / 2)
        return;
    add_on(m, trace, "settled", "settled, mean", s.mean, run->traces[trace].unit, NAN);
    add_on(m, trace, "ripple", "settled, ripple", ripple, run->traces[trace].unit, NAN);
}

static void measure(maker *m, size_t trace) {
    const bp_scope_run *run = m->run;
    const bp_scope_shown *shown = &run->traces[trace];
    const double *v = shown->value;
    const sums s = sum_up(run->time, v, run->n);
    add_on(m, trace, "highest", "highest", v[s.highest], shown->unit, run->time[s.highest]);
    add_on(m, trace, "lowest", "lowest", v[s.lowest], shown->unit, run->time[s.lowest]);
    add_on(m, trace, "peak-to-peak", "peak to peak", v[s.highest] - v[s.lowest], shown->unit, NAN);
    add_on(m, trace, "mean", "mean", s.mean, shown->unit, NAN);
    add_on(m, trace, "rms", "true RMS", s.rms, shown->unit, NAN);
    if (!measure_rhythm(m, trace, v))
        measure_settled(m, trace, v, v[s.highest] - v[s.lowest]);
}

static const bp_wave_tell *tell_of(const bp_circuit *circuit, const bp_wave_event *e) {
    const bp_model *model = bp_models[bp_kind_index(circuit->parts[e->part].kind)];
    return e->which >= 0 ? &model->wave->tells[e->which] : NULL;
}

static bool has(const maker *m, const char *id, const char *part) {
    for (size_t i = 0; i < m->n; i++)
        if (m->list[i].part && strcmp(m->list[i].id, id) == 0 && strcmp(m->list[i].part, part) == 0)
            return true;
    return false;
}

/* The last earlier event of the same part with this id, or NULL. */
static const bp_wave_event *earlier(const bp_circuit *circuit, const bp_wave_result *r, size_t of,
                                    const char *id) {
    for (size_t at = of; at-- > 0;) {
        const bp_wave_tell *tell = tell_of(circuit, &r->event[at]);
        if (r->event[at].part == r->event[of].part && tell && strcmp(tell->id, id) == 0)
            return &r->event[at];
    }
    return NULL;
}

/* Each feature of a part once: the first that the window shows whole. */
static void from_event(maker *m, const bp_circuit *circuit, const bp_wave_result *r, size_t i) {
    const bp_wave_event *e = &r->event[i];
    const bp_wave_tell *tell = tell_of(circuit, e);
    const char *part = circuit->parts[e->part].id;
    if (!tell)
        return;
    if (tell->value_id && !has(m, tell->value_id, part)) {
        bp_feature *f = add(m, tell->value_id, tell->value_words, e->value, tell->unit);
        if (f)
            f->part = part, f->at = f->until = e->time;
    }
    const bp_wave_event *since = tell->since ? earlier(circuit, r, i, tell->since) : NULL;
    if (since && !has(m, tell->span_id, part)) {
        bp_feature *f =
            add(m, tell->span_id, tell->span_words, e->time - since->time, BP_UNIT_SECOND);
        if (f)
            f->part = part, f->at = since->time, f->until = e->time;
    }
}

void bp_make_features(bp_store *store, const bp_circuit *circuit, const bp_wave_result *result,
                      bp_scope_run *run) {
    maker m = {.store = store, .run = run};
    for (size_t i = 0; i < result->n_events; i++)
        from_event(&m, circuit, result, i);
    for (size_t t = 0; t < run->n_traces; t++)
        measure(&m, t);
    for (size_t i = 0; i < m.n; i++)
        m.list[i].part = bp_store_copy(store, m.list[i].part);
    run->features = bp_store_keep(store, m.list, m.n, sizeof *m.list);
    run->n_features = m.n;
    free(m.list);
}
