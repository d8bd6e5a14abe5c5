/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every row, and as many places between rows as the readings can tell apart, with its prior and its
 * likelihood.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/onset.h"
#include "diagnose/posterior_parts.h"

/* A stretch whose ends are this much less likely than the best, as a logarithm, and whose readings
 * pass none of those taken, is looked at once. */
#define HOPELESS 25.0

typedef struct maker {
    bp_posterior *p;
    double *noticed; /* by fault: share of its severities at which it is noticed */
    double best;     /* log likelihood of the best row so far */
    size_t room;
    double *work, *residual;
    bool some_unknown; /* a meter's reading of unknown presence is among the evidence */
    bool some_present; /* and one that was taken while the trouble was there */
} maker;

static bool add(maker *m, bp_hypothesis h, double log_mass, size_t given) {
    bp_posterior *p = m->p;
    if (p->n == m->room) {
        const size_t room = 2 * m->room + 1024;
        bp_hypothesis *hs = realloc(p->hypothesis, room * sizeof *hs);
        p->hypothesis = hs ? hs : p->hypothesis;
        double *masses = realloc(p->log_mass, room * sizeof *masses);
        p->log_mass = masses ? masses : p->log_mass;
        size_t *givens = realloc(p->given_of, room * sizeof *givens);
        p->given_of = givens ? givens : p->given_of;
        if (!hs || !masses || !givens)
            return false;
        m->room = room;
    }
    p->hypothesis[p->n] = h;
    p->log_mass[p->n] = log_mass;
    p->given_of[p->n++] = given;
    return true;
}

static double fit_of(const maker *m, const bp_given *g, double place, const double *residual) {
    return bp_given_log_worded(g, place) +
           bp_gauss_log_slips(&g->gauss, residual, m->p->prior->slip, g->log_slip, NULL, m->work);
}

/* Prior of a piece of a row, or of the stretch from it around a place. */
static double log_prior(const maker *m, size_t row, double place, double mass, bool away) {
    const bp_atlas *a = m->p->atlas;
    const bp_atlas_row *r = bp_atlas_row_at(a, row);
    if (r->fault == BP_NONE)
        return log(m->p->prior->healthy * mass);
    const bp_mode_decl *mode =
        bp_fault_mode(bp_atlas_circuit(a), &bp_atlas_fault(a, r->fault)->fault);
    const double gone = m->some_unknown ? bp_onset_away(m->p->prior->onset, mode) : 0;
    const double all = m->noticed[r->fault], here = bp_atlas_noticed_along(a, row, place);
    const double seen = here > 0 ? m->p->prior->fault[r->fault] * here / all : 0;
    const double unseen = here < 1 ? m->p->prior->unseen[r->fault] * (1 - here) / (1 - all) : 0;
    return log((seen + unseen) * mass * (away ? gone : 1 - gone));
}

static bp_hypothesis hypothesis_at(const maker *m, size_t row, double between, bool away) {
    const bp_atlas_row *r = bp_atlas_row_at(m->p->atlas, row);
    /* With a reading taken in its presence, a fault that was away for another is still that fault.
     */
    return (bp_hypothesis){.sort = away && !m->some_present ? BP_HYPOTHESIS_ABSENT
                                   : r->fault == BP_NONE    ? BP_HYPOTHESIS_HEALTHY
                                                            : BP_HYPOTHESIS_FAULT,
                           .fault = r->fault,
                           .row = row,
                           .next = between > 0 ? r->next : row,
                           .between = between,
                           .severity = bp_atlas_severity_along(m->p->atlas, row, between)};
}

/* How many places of a stretch the readings can tell apart. */
static size_t places_for(const maker *m, const bp_given *g) {
    static const double ends[2] = {0, 1};
    const size_t n = g->n;
    double most = 0;
    bool passes = false;
    bp_given_residuals(m->p, g, ends, 2, m->residual);
    for (size_t i = 0; i < n; i++) {
        const double sd = bp_evidence_sd(m->p->atlas, &m->p->evidence[g->reading[i]]);
        most = fmax(most, fabs(m->residual[i] - m->residual[n + i]) / sd);
        passes = passes || m->residual[i] * m->residual[n + i] < 0;
    }
    if (!passes) {
        const double fit = fmax(fit_of(m, g, 0, m->residual), fit_of(m, g, 1, m->residual + n));
        if (fit < m->best - HOPELESS)
            return 1;
    }
    return (size_t)fmin(fmax(ceil(most), 1), BP_MOST_PLACES);
}

static bool add_stretch(maker *m, size_t given) {
    const bp_given *g = &m->p->given[given];
    const bp_atlas_row *r = bp_atlas_row_at(m->p->atlas, g->row);
    if (r->next == BP_NONE || !(r->mass_next > 0))
        return true;
    double places[BP_MOST_PLACES];
    const size_t n = places_for(m, g);
    for (size_t k = 0; k < n; k++)
        places[k] = ((double)k + 0.5) / (double)n;
    bp_given_residuals(m->p, g, places, n, m->residual);
    for (size_t k = 0; k < n; k++) {
        const double mass = log_prior(m, g->row, places[k], r->mass_next / (double)n, g->away);
        bp_hypothesis h = hypothesis_at(m, g->row, places[k], g->away);
        h.fit = fit_of(m, g, places[k], m->residual + k * g->n);
        if (!add(m, h, mass, given))
            return false;
    }
    return true;
}

static bool add_row(maker *m, size_t given) {
    const bp_given *g = &m->p->given[given];
    const bp_atlas_row *r = bp_atlas_row_at(m->p->atlas, g->row);
    static const double here = 0;
    bp_given_residuals(m->p, g, &here, 1, m->residual);
    bp_hypothesis h = hypothesis_at(m, g->row, 0, g->away);
    h.fit = fit_of(m, g, 0, m->residual);
    m->best = fmax(m->best, h.fit);
    return !(r->mass > 0) || add(m, h, log_prior(m, g->row, 0, r->mass, g->away), given);
}

static bool find_noticed(maker *m) {
    const bp_atlas *a = m->p->atlas;
    m->noticed = calloc(bp_atlas_n_faults(a) + 1, sizeof *m->noticed);
    for (size_t f = 0; m->noticed && f < bp_atlas_n_faults(a); f++)
        m->noticed[f] = bp_atlas_noticed(a, f);
    return m->noticed != NULL;
}

/* Is there a meter's reading of which it is said that the trouble was there, was not, or nothing?
 */
static bool has_presence(const bp_posterior *p, bp_present present) {
    for (size_t i = 0; i < p->n_evidence; i++)
        if (p->evidence[i].present == present && !p->evidence[i].lasting &&
            bp_atlas_test(p->atlas, p->evidence[i].test)->part == BP_NONE)
            return true;
    return false;
}

static bool all_rows(maker *m) {
    bp_posterior *p = m->p;
    const size_t n_rows = bp_atlas_n_rows(p->atlas);
    p->given = calloc(2 * n_rows + 1, sizeof *p->given);
    bool good = p->given != NULL;
    for (size_t r = 0; r < n_rows && good; r++)
        for (int away = 0; away <= 1 && good; away++) {
            if (away && (!m->some_unknown || bp_atlas_row_at(p->atlas, r)->fault == BP_NONE))
                continue;
            good = bp_given_make(p, r, away != 0, &p->given[p->n_given]);
            p->n_given += good;
            good = good && add_row(m, p->n_given - 1);
        }
    for (size_t g = 0; g < p->n_given && good; g++)
        good = add_stretch(m, g);
    return good;
}

/* The hypotheses that are alive in another posterior, with the readings of this one. */
static bool same_as(maker *m, const bp_posterior *from) {
    bp_posterior *p = m->p;
    size_t *given_now = malloc((from->n_given + 1) * sizeof *given_now);
    p->given = calloc(from->n_given + 1, sizeof *p->given);
    bool good = given_now && p->given;
    for (size_t g = 0; g < from->n_given && good; g++)
        given_now[g] = BP_NONE;
    for (size_t h = 0; h < from->n && good; h++) {
        const size_t old = from->given_of[h];
        if (given_now[old] == BP_NONE) {
            good = bp_given_make(p, from->given[old].row, from->given[old].away,
                                 &p->given[p->n_given]);
            if (!good)
                break;
            given_now[old] = p->n_given++;
        }
        const bp_given *g = &p->given[given_now[old]];
        bp_hypothesis now = from->hypothesis[h];
        bp_given_residuals(p, g, &now.between, 1, m->residual);
        now.fit = fit_of(m, g, now.between, m->residual);
        good = add(m, now, from->log_mass[h], given_now[old]);
    }
    free(given_now);
    return good;
}

bool bp_hypotheses_make(bp_posterior *p, const bp_posterior *from) {
    const size_t n = p->n_evidence;
    maker m = {.p = p,
               .best = -INFINITY,
               .some_unknown = has_presence(p, BP_PRESENT_UNKNOWN),
               .some_present = has_presence(p, BP_PRESENT_YES)};
    m.work = calloc(n * n + 3 * n + 1, sizeof *m.work);
    m.residual = calloc(n * BP_MOST_PLACES + 1, sizeof *m.residual);
    const bool good =
        m.work && m.residual && find_noticed(&m) && (from ? same_as(&m, from) : all_rows(&m));
    free(m.work);
    free(m.residual);
    free(m.noticed);
    return good;
}
