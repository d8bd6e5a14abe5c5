/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The readings in the light of one row.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/posterior_parts.h"
#include "sim/instrument.h"
#include "sim/spread.h"

/* How well a stretch between two rows is known, relative to what changes along it: the benchmark
 * prints what interpolation costs. */
#define ALONG 0.015

/* Somebody who writes two decimals had a display with two, and its counts are those of that range;
 * one who writes fewer rounds, and is not thought to have a meter worse than this, V. */
#define COARSEST_COUNT 0.01
#define METER_COUNTS 2 /* of a workshop multimeter on DC volts, see the instrument */

double bp_evidence_sd(const bp_atlas *atlas, const bp_evidence *e) {
    const bp_test *t = bp_atlas_test(atlas, e->test);
    double meter = bp_atlas_meter_sd(t, e->value);
    if (t->instrument == BP_VOLTS || t->instrument == BP_VOLTS_LOADED)
        meter += METER_COUNTS / BP_SIGMAS_95 *
                 fmax(0, fmin(2 * e->digit, COARSEST_COUNT) -
                             bp_instruments[t->instrument]->count(e->value));
    /* A digit as written stands for everything that rounds to it. */
    return hypot(meter, e->digit / sqrt(3));
}

/* The row with which a reading is compared. */
static size_t source_of(const bp_evidence *e, size_t row, bool away) {
    return e->present == BP_PRESENT_NO || (away && e->present == BP_PRESENT_UNKNOWN) ? 0 : row;
}

/* All arrays are parts of one piece of memory: there are thousands of rows. */
static bool make_room(const bp_posterior *p, bp_given *g) {
    const size_t n = p->n_evidence;
    g->mean = calloc(1, n * (sizeof *g->worded + 2 * sizeof(double) + 2 * sizeof(size_t)) + 1);
    if (!g->mean)
        return false;
    g->log_slip = g->mean + n;
    g->worded = (bp_worded *)(void *)(g->log_slip + n);
    g->reading = (size_t *)(void *)(g->worded + n);
    g->source = g->reading + n;
    return true;
}

static double worded_at(const bp_worded *w, double place) {
    return w->here == w->there ? w->here : (1 - place) * w->here + place * w->there;
}

double bp_given_log_worded(const bp_given *g, double place) {
    double sum = 0;
    for (size_t i = 0; i < g->n_worded; i++)
        sum += log(worded_at(&g->worded[i], place));
    return sum;
}

double bp_worded_slip(const bp_worded *w, double place) { return w->slip / worded_at(w, place); }

/* Moves times the prior's standard deviations. Returns by how much the prior's means shift the
 * reading; *alone: what spread it has beside. */
static double find_strays(const bp_posterior *p, size_t source, size_t test, double *strays,
                          double *alone) {
    double shift = 0;
    bp_atlas_moves(p->atlas, source, test, strays, alone);
    for (size_t q = 0; q < p->prior->n_spreads; q++) {
        shift += strays[q] * p->prior->mean[q];
        strays[q] *= p->prior->sd[q];
    }
    return shift;
}

void bp_given_strays(const bp_posterior *p, const bp_given *g, double *strays) {
    double alone;
    for (size_t i = 0; i < g->n; i++)
        find_strays(p, g->source[i], p->evidence[g->reading[i]].test,
                    &strays[i * p->prior->n_spreads], &alone);
}

/* While it is made: by number, its own variance (meter, digit, what is not shared with other
 * readings), and its strays; room for those of one reading more. */
typedef struct making {
    double *own, *strays, *spare;
} making;

/* How probable such a reading is in a row, slips left out. A lamp's light strays with good parts.
 */
static double worded_in(const bp_posterior *p, const bp_evidence *e, size_t row, making *m) {
    bp_cell cell = bp_atlas_cell(p->atlas, row, e->test);
    double variance = 0;
    if (cell.sort == BP_CELL_VALUE && e->sort == BP_SEEN_WORD) {
        double alone = 0;
        cell.value += find_strays(p, row, e->test, m->spare, &alone);
        variance = alone * alone;
        for (size_t q = 0; q < p->prior->n_spreads; q++)
            variance += m->spare[q] * m->spare[q];
    }
    return bp_category_probability(p->atlas, e, &cell, sqrt(variance));
}

static void take_worded(const bp_posterior *p, size_t i, size_t source, bp_given *g, making *m) {
    const bp_evidence *e = &p->evidence[i];
    const size_t next = source == 0 ? BP_NONE : bp_atlas_row_at(p->atlas, source)->next;
    const double kept = 1 - p->prior->slip, slip = p->prior->slip * bp_flat_density(p->atlas, e);
    bp_worded *w = &g->worded[g->n_worded++];
    *w = (bp_worded){.reading = i, .slip = slip};
    w->here = w->there = kept * worded_in(p, e, source, m) + slip;
    const bp_cell_sort sort = bp_atlas_cell(p->atlas, source, e->test).sort;
    if (next != BP_NONE &&
        (sort == BP_CELL_SAYS || (sort == BP_CELL_VALUE && e->sort == BP_SEEN_WORD)))
        w->there = kept * worded_in(p, e, next, m) + slip;
}

static void take_number(const bp_posterior *p, const bp_cell *cell, size_t i, size_t source,
                        bp_given *g, making *m) {
    const bp_evidence *e = &p->evidence[i];
    const size_t at = g->n++;
    double alone = 0, step = 0;
    g->reading[at] = i;
    g->source[at] = source;
    g->mean[at] =
        cell->value + find_strays(p, source, e->test, &m->strays[at * p->prior->n_spreads], &alone);
    const size_t next = bp_atlas_row_at(p->atlas, source)->next;
    if (source != 0 && next != BP_NONE) {
        const bp_cell other = bp_atlas_cell(p->atlas, next, e->test);
        if (other.sort == BP_CELL_VALUE)
            step = ALONG * (other.value - cell->value);
    }
    g->log_slip[at] = bp_slip_log_density(p, i, g->row);
    m->own[at] = pow(bp_evidence_sd(p->atlas, e), 2) + alone * alone + step * step;
}

static bool make_gauss(const bp_posterior *p, bp_given *g, const making *m) {
    const size_t n = g->n, width = p->prior->n_spreads;
    double *covariance = calloc(n * n + 1, sizeof *covariance);
    if (!covariance)
        return false;
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j <= i; j++) {
            double sum = i == j ? m->own[i] : 0;
            for (size_t q = 0; q < width; q++)
                sum += m->strays[i * width + q] * m->strays[j * width + q];
            covariance[i * n + j] = covariance[j * n + i] = sum;
        }
    const bool good = bp_gauss_make(&g->gauss, n, covariance);
    free(covariance);
    return good;
}

bool bp_given_make(const bp_posterior *p, size_t row, bool away, bp_given *g) {
    *g = (bp_given){.row = row, .away = away};
    making m = {calloc(p->n_evidence + 1, sizeof *m.own),
                malloc((p->n_evidence + 1) * (p->prior->n_spreads + 1) * sizeof *m.strays), NULL};
    if (m.strays)
        m.spare = &m.strays[p->n_evidence * p->prior->n_spreads];
    bool good = m.own && m.strays && make_room(p, g);
    for (size_t i = 0; i < p->n_evidence && good; i++) {
        const size_t source = source_of(&p->evidence[i], row, away);
        const bp_cell cell = bp_atlas_cell(p->atlas, source, p->evidence[i].test);
        if (p->evidence[i].sort == BP_SEEN_VALUE && cell.sort == BP_CELL_VALUE)
            take_number(p, &cell, i, source, g, &m);
        else
            take_worded(p, i, source, g, &m);
    }
    good = good && make_gauss(p, g, &m);
    free(m.own);
    free(m.strays);
    if (!good)
        bp_given_clear(g);
    return good;
}

void bp_given_clear(bp_given *g) {
    free(g->mean);
    bp_gauss_clear(&g->gauss);
    *g = (bp_given){0};
}

void bp_given_residuals(const bp_posterior *p, const bp_given *g, const double *places,
                        size_t n_places, double *residual) {
    double here[BP_MOST_PLACES];
    for (size_t i = 0; i < g->n; i++) {
        const bp_evidence *e = &p->evidence[g->reading[i]];
        const bool along = g->source[i] == g->row && !(n_places == 1 && places[0] == 0) &&
                           bp_atlas_along(p->atlas, g->row, e->test, places, n_places, here);
        const double own = bp_atlas_cell(p->atlas, g->source[i], e->test).value;
        for (size_t k = 0; k < n_places; k++)
            residual[k * g->n + i] = e->value - g->mean[i] - (along ? here[k] - own : 0);
    }
}
