/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What brings people to the workshop: how probable it is that somebody notices a fault.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"
#include "sim/model.h"
#include "sim/wave.h"

/* Sparks, teeth and pulses happen in time. In a circuit with such parts a fault that changes
 * nothing in steady states may still be what somebody complains of, about as often as not: from
 * memory. */
#define PERHAPS 0.5

static bool behaves_otherwise(const bp_atlas *a, size_t row) {
    return memcmp(a->look[row].says, a->look[0].says, a->circuit->n_states * a->circuit->n_parts) !=
           0;
}

static bool reads_otherwise(const bp_atlas *a, size_t row, double *moves) {
    const bp_look *good = &a->look[0], *look = &a->look[row];
    static const bp_test volts = BP_TEST_INIT;
    for (size_t i = 0; i < a->circuit->n_states * a->n_places; i++) {
        const bool number = (look->sort[i] & ~BP_CELL_FIRM) == BP_CELL_VALUE;
        if (number != ((good->sort[i] & ~BP_CELL_FIRM) == BP_CELL_VALUE))
            return true;
        if (!number)
            continue;
        memset(moves, 0, a->n_spreads * sizeof *moves);
        bp_atlas_kin_moves(a, a->kin[i / a->n_places], good, i / a->n_places, i % a->n_places, 1,
                           moves); /* row 0 */
        double variance = pow(bp_atlas_meter_sd(&volts, good->volts[i]), 2);
        for (size_t q = 0; q < a->n_spreads; q++)
            variance += moves[q] * moves[q];
        if (fabs(look->volts[i] - good->volts[i]) > BP_SIGMAS_95 * sqrt(variance))
            return true;
    }
    return false;
}

/* Has it a part that does what people notice of it only over time? */
static bool acts_in_time(const bp_circuit *c) {
    for (size_t p = 0; p < c->n_parts; p++) {
        const bp_model *model = bp_models[bp_kind_index(c->parts[p].kind)];
        if (model->wave && model->wave->behave && model->senses == 0)
            return true;
    }
    return false;
}

/* Does any part of the good circuit do something that can be told? Else people complain of
 * readings. */
static bool has_doings(const bp_atlas *a) {
    for (size_t i = 0; i < a->circuit->n_states * a->circuit->n_parts; i++)
        if (a->look[0].says[i] != 0)
            return true;
    return false;
}

bool bp_atlas_find_noticed(bp_atlas *a) {
    double *moves = calloc(a->n_spreads + 1, sizeof *moves);
    const bool doings = has_doings(a);
    const double otherwise = !a->options.steady && acts_in_time(a->circuit) ? PERHAPS : 0;
    for (size_t r = 1; moves && r < a->n_rows; r++)
        if (a->row[r].fault != BP_NONE)
            a->row[r].noticed = behaves_otherwise(a, r) || (!doings && reads_otherwise(a, r, moves))
                                    ? 1
                                    : otherwise;
    free(moves);
    return moves != NULL;
}

double bp_atlas_noticed_along(const bp_atlas *a, size_t row, double place) {
    const size_t next = a->row[row].next;
    return next == BP_NONE ? a->row[row].noticed
                           : (1 - place) * a->row[row].noticed + place * a->row[next].noticed;
}

double bp_atlas_noticed(const bp_atlas *a, size_t fault) {
    double sum = 0, all = 0;
    for (size_t r = a->first_row[fault]; r < a->first_row[fault] + a->n_of[fault]; r++) {
        const bp_atlas_row *row = &a->row[r];
        sum += row->mass * row->noticed + row->mass_next * bp_atlas_noticed_along(a, r, 0.5);
        all += row->mass + row->mass_next;
    }
    return all > 0 ? sum / all : 0;
}
