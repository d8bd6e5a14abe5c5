/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A further test in the light of the readings taken: the tolerances that it shares with them are
 * known better by now.
 */
#include <math.h>
#include <stdlib.h>

#include "diagnose/posterior_parts.h"
#include "sim/instrument.h"

typedef struct room {
    double *moves, *shared, *solved;
} room;

static bool make_room(const bp_posterior *p, const bp_given *g, room *r) {
    *r = (room){calloc(p->prior->n_spreads + 1, sizeof *r->moves),
                calloc(g->n + 1, sizeof *r->shared), calloc(g->n + 1, sizeof *r->solved)};
    return r->moves && r->shared && r->solved;
}

static void clear_room(room *r) {
    free(r->moves);
    free(r->shared);
    free(r->solved);
}

/* A reading that is most likely a slip tells nothing of the tolerances. */
static bool counts(const bp_posterior *p, size_t hypothesis, const bp_given *g, size_t i) {
    return p->slip[hypothesis * p->n_evidence + g->reading[i]] < 0.5;
}

/* Solves the readings that count for the covariances in `shared`: by the inverse of all of them
 * when all count, else by that of the smaller set, which follows from it one by one. */
static bool solve(const bp_posterior *p, size_t hypothesis, const bp_given *g, room *r) {
    const size_t n = g->n;
    double *inverse = malloc((n * n + 1) * sizeof *inverse);
    if (!inverse)
        return false;
    for (size_t i = 0; i < n * n; i++)
        inverse[i] = g->gauss.inverse[i];
    for (size_t k = 0; k < n; k++) {
        if (counts(p, hypothesis, g, k))
            continue;
        for (size_t i = 0; i < n; i++)
            for (size_t j = 0; j < n; j++)
                if (i != k && j != k)
                    inverse[i * n + j] -=
                        inverse[i * n + k] * inverse[k * n + j] / inverse[k * n + k];
        for (size_t i = 0; i < n; i++)
            inverse[i * n + k] = inverse[k * n + i] = i == k ? 1 : 0;
        r->shared[k] = 0;
    }
    for (size_t i = 0; i < n; i++) {
        r->solved[i] = 0;
        for (size_t j = 0; j < n; j++)
            r->solved[i] += inverse[i * n + j] * r->shared[j];
    }
    free(inverse);
    return true;
}

void bp_predict_given(const bp_posterior *p, size_t hypothesis, size_t row, size_t test,
                      bp_predicted *out) {
    const bp_given *g = &p->given[p->given_of[hypothesis]];
    const size_t width = p->prior->n_spreads;
    double alone = 0, variance = 0;
    room r;
    if (make_room(p, g, &r)) {
        bp_atlas_moves(p->atlas, row, test, r.moves, &alone);
        for (size_t q = 0; q < width; q++) {
            out->mean += r.moves[q] * p->prior->mean[q];
            r.moves[q] *= p->prior->sd[q];
            variance += r.moves[q] * r.moves[q];
        }
        for (size_t i = 0; i < g->n; i++)
            for (size_t q = 0; q < width; q++)
                r.shared[i] += g->strays[i * width + q] * r.moves[q];
        if (solve(p, hypothesis, g, &r))
            for (size_t i = 0; i < g->n; i++) {
                out->mean += r.solved[i] * p->residual[hypothesis * p->n_evidence + i];
                variance -= r.solved[i] * r.shared[i];
            }
    }
    const bp_test *t = bp_atlas_test(p->atlas, test);
    const double meter = bp_atlas_meter_sd(t, out->mean);
    /* What stands on the display is one of its counts. */
    double (*count)(double value) = bp_instruments[t->instrument]->count;
    const double digit = count ? count(out->mean) / sqrt(12) : 0;
    out->sd = sqrt(fmax(variance, 0) + alone * alone + meter * meter + digit * digit);
    clear_room(&r);
}
