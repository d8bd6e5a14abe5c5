/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>

#include "diagnose/candidates.h"
#include "tests/bench/judge/trial.h"

/* Classes of faults that no candidate tells apart, at any of the severities that stand for them
 * before anything was measured. */
static bool fix_classes(court *k) {
    bp_posterior *p = bp_posterior_new(k->atlas, &k->prior, NULL, 0);
    bp_forecast *f = p ? bp_forecast_new(p) : NULL;
    const size_t n = bp_atlas_n_faults(k->atlas);
    k->class_of = calloc(n + 1, sizeof *k->class_of);
    bool good = f && k->class_of && bp_forecast_tests(f, k->test, k->n_tests) == BP_OK;
    for (size_t i = 0; good && i < n; i++)
        k->class_of[i] = BP_NONE;
    for (size_t i = 0; good && i < f->n_cases; i++)
        if (f->fault[i] != BP_NONE) {
            k->class_of[f->fault[i]] = f->class_of[i];
            if (f->class_of[i] >= k->n_classes)
                k->n_classes = f->class_of[i] + 1;
        }
    for (size_t i = 0; good && i < n; i++)
        if (k->class_of[i] == BP_NONE)
            k->class_of[i] = k->n_classes++;
    k->n_classes += 2;
    double *weight = calloc(k->n_classes + 1, sizeof *weight);
    for (size_t i = 0; good && weight && i < n; i++)
        weight[k->class_of[i]] += bp_posterior_fault(p, i);
    if (good && weight) {
        weight[k->n_classes - 2] = bp_posterior_healthy(p);
        k->entropy = bp_entropy(weight, k->n_classes);
    }
    good = good && weight;
    free(weight);
    bp_forecast_free(&f);
    bp_posterior_free(&p);
    return good;
}

static size_t find_supply(const court *k) {
    const bp_circuit *c = bp_atlas_circuit(k->atlas);
    for (size_t i = 0; i < k->n_tests; i++) {
        const bp_test *t = bp_atlas_test(k->atlas, k->test[i]);
        if (t->part == BP_NONE && t->instrument == BP_VOLTS && t->n_after == 0 &&
            t->black == BP_NONE && t->red_point != BP_NONE &&
            bp_face_node(c, t->red) ==
                bp_face_node(c, c->parts[c->faces[c->reference].part].pins[0].own))
            return k->test[i];
    }
    return BP_NONE;
}

bool court_open(court *k, const bp_circuit *circuit, bp_report *report) {
    bp_atlas_options options = BP_ATLAS_OPTIONS_INIT;
    *k = (court){.supply = BP_NONE};
    k->atlas = bp_atlas_new(circuit, &options, report);
    if (!k->atlas || bp_prior_make(k->atlas, NULL, NULL, NULL, &k->prior, report) != BP_OK ||
        bp_candidates_plain(k->atlas, &k->test, &k->n_tests) != BP_OK)
        return false;
    k->supply = find_supply(k);
    return fix_classes(k);
}

void court_close(court *k) {
    free(k->class_of);
    free(k->test);
    bp_prior_clear(&k->prior);
    bp_atlas_free(&k->atlas);
}

/* ---- whom to try ---- */

static size_t pick(const double *weight, size_t n, gsl_rng *rng) {
    double sum = 0;
    for (size_t i = 0; i < n; i++)
        sum += weight[i];
    double x = gsl_rng_uniform(rng) * sum;
    for (size_t i = 0; i < n; i++) {
        x -= weight[i];
        if (x < 0)
            return i;
    }
    return n - 1;
}

/* A row, or a place on the stretch after it, by the mode's own density; only where a part behaves
 * otherwise than in a good circuit. */
static bool draw_severity(const court *k, size_t fault, gsl_rng *rng, double *severity) {
    size_t n = 0, first = bp_atlas_first_row(k->atlas, fault, &n);
    double sum = 0;
    for (size_t i = 0; i < n; i++) {
        const bp_atlas_row *r = bp_atlas_row_at(k->atlas, first + i);
        sum += r->telling ? r->mass + r->mass_next : 0;
    }
    double x = gsl_rng_uniform(rng) * sum;
    for (size_t i = 0; i < n; i++) {
        const bp_atlas_row *r = bp_atlas_row_at(k->atlas, first + i);
        if (!r->telling || x >= r->mass + r->mass_next) {
            x -= r->telling ? r->mass + r->mass_next : 0;
            continue;
        }
        *severity =
            x < r->mass || !(r->mass_next > 0)
                ? r->severity
                : bp_atlas_severity_along(k->atlas, first + i, (x - r->mass) / r->mass_next);
        return true;
    }
    return false;
}

suspect draw_hidden(const court *k, gsl_rng *rng) {
    suspect h = {.fault = BP_NONE, .severity = NAN, .class = k->n_classes - 2};
    h.draw = gsl_rng_get(rng) + 1;
    if (gsl_rng_uniform(rng) < 0.05)
        return h;
    do
        h.fault = pick(k->prior.fault, k->prior.n_faults, rng);
    while (!draw_severity(k, h.fault, rng, &h.severity));
    h.class = k->class_of[h.fault];
    return h;
}
