/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>

#include "diagnose/candidates.h"
#include "tests/bench/judge/trial.h"

/* Numbers the classes from 0 on. Returns how many. */
static size_t renumber(size_t *class_of, size_t n) {
    size_t count = 0;
    size_t *now = calloc(n + 1, sizeof *now);
    for (size_t i = 0; now && i < n; i++) {
        if (now[class_of[i]] == 0)
            now[class_of[i]] = ++count;
        class_of[i] = now[class_of[i]] - 1;
    }
    free(now);
    return count;
}

static bool fix_classes(court *k) {
    bp_posterior *p = bp_posterior_new(k->atlas, &k->prior, NULL, 0);
    const size_t n = bp_atlas_n_faults(k->atlas);
    k->class_of = calloc(n + 1, sizeof *k->class_of);
    bool good = p && k->class_of;
    for (size_t i = 0; good && i < n; i++)
        k->class_of[i] = i;
    good = good && court_link(k, k->class_of);
    k->n_classes = (good ? renumber(k->class_of, n) : 0) + 2;
    double *weight = calloc(k->n_classes + 1, sizeof *weight);
    size_t *members = calloc(k->n_classes + 1, sizeof *members);
    good = good && weight && members;
    for (size_t i = 0; good && i < n; i++) {
        weight[k->class_of[i]] += bp_posterior_fault(p, i);
        if (k->prior.fault[i] > 0 && ++members[k->class_of[i]] > k->largest)
            k->largest = members[k->class_of[i]];
    }
    if (good) {
        weight[k->n_classes - 2] = bp_posterior_healthy(p);
        k->entropy = bp_entropy(weight, k->n_classes);
    }
    free(weight);
    free(members);
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
    /* What is drawn below shows in some steady state, and whoever complains says so. */
    options.steady = true;
    *k = (court){.supply = BP_NONE};
    k->atlas = bp_atlas_new(circuit, &options, report);
    if (!k->atlas || bp_prior_make(k->atlas, NULL, NULL, NULL, &k->prior, report) != BP_OK ||
        bp_candidates_plain(k->atlas, &k->test, &k->n_tests) != BP_OK)
        return false;
    k->supply = find_supply(k);
    return fix_classes(k) && court_hears(k, report);
}

void court_close(court *k) {
    bp_answer_free(&k->good);
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

/* A row, or a place on the stretch after it, by the mode's own density, among those at which
 * somebody may notice. */
static bool draw_severity(const court *k, size_t fault, gsl_rng *rng, double *severity) {
    size_t n = 0, first = bp_atlas_first_row(k->atlas, fault, &n);
    double x = gsl_rng_uniform(rng);
    for (size_t i = first; i < first + n; i++) {
        const bp_atlas_row *r = bp_atlas_row_at(k->atlas, i);
        if (x >= r->mass + r->mass_next && i + 1 < first + n) {
            x -= r->mass + r->mass_next;
            continue;
        }
        const double place =
            x < r->mass || !(r->mass_next > 0) ? 0 : fmin((x - r->mass) / r->mass_next, 1);
        *severity = bp_atlas_severity_along(k->atlas, i, place);
        return gsl_rng_uniform(rng) < bp_atlas_noticed_along(k->atlas, i, place);
    }
    return false;
}

/* Degrees and vehicles in which one fault is looked for before another is taken. */
enum { MOST_DRAWS = 200 };

suspect draw_hidden(const court *k, gsl_rng *rng, bp_report *report) {
    suspect h = {.fault = BP_NONE, .severity = NAN, .class = k->n_classes - 2};
    h.draw = gsl_rng_get(rng) + 1;
    if (gsl_rng_uniform(rng) < 0.05)
        return h;
    for (size_t i = 0;; i++) {
        if (i % MOST_DRAWS == 0)
            h.fault = pick(k->prior.fault, k->prior.n_faults, rng);
        if (draw_severity(k, h.fault, rng, &h.severity) && is_complained_of(k, &h, report))
            break;
        h.draw = gsl_rng_get(rng) + 1;
    }
    h.class = k->class_of[h.fault];
    return h;
}
