/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/settle.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const bp_model *model_of(const bp_case *c, size_t part) {
    return bp_models[bp_kind_index(c->circuit->parts[part].kind)];
}

/* Of two moves, the sooner one; of two equally soon, the one further past its threshold. */
static bool is_before(const bp_move *a, const bp_move *b) {
    return a->seconds != b->seconds ? a->seconds < b->seconds : a->beyond > b->beyond;
}

/* The first part to move, BP_NONE when all rest. Lasting parts that take long are kept apart in
 * *slow: they open when everything else has come to rest. */
static size_t first_to_move(const bp_case *c, const double *values, const double *volts,
                            double lasts, bp_move *move, bp_settled *slow) {
    size_t first = BP_NONE;
    bp_move soonest_slow = {.seconds = INFINITY};
    for (size_t i = 0; i < c->circuit->n_parts; i++) {
        const bp_model *model = model_of(c, i);
        if (model->n_positions < 2 || !model->next)
            continue;
        const bool lasts_for_good = bp_part_lasts(&c->circuit->parts[i]);
        if (lasts_for_good && c->position[i] != 0)
            continue;
        const bp_view view = bp_case_view(c, i, values, volts);
        if (lasts_for_good && view.unprotected)
            continue;
        const bp_move wish = model->next(&view);
        if (!wish.moves || wish.position == c->position[i] || wish.seconds > lasts)
            continue;
        if (lasts_for_good && wish.seconds > BP_SLOW_SECONDS) {
            if (!is_before(&wish, &soonest_slow))
                continue;
            soonest_slow = wish;
            if (slow) {
                slow->slow = i;
                slow->slow_position = wish.position;
                slow->slow_seconds = wish.seconds;
            }
        } else if (first == BP_NONE || is_before(&wish, move)) {
            *move = wish;
            first = i;
        }
    }
    return first;
}

bool bp_restless(const bp_case *c, const double *values, const double *volts, double lasts) {
    bp_move move;
    return first_to_move(c, values, volts, lasts, &move, NULL) != BP_NONE;
}

void bp_take_positions(bp_case *c, bp_rig *rig, const int *position) {
    for (size_t i = 0; i < c->circuit->n_parts; i++) {
        if (c->position[i] == position[i])
            continue;
        c->position[i] = position[i];
        bp_case_part_values(c, i, rig->values);
    }
}

/* Has this configuration been met? The history's rows lie one after the other. */
static size_t find_row(const int *history, size_t rows, const int *row, size_t width) {
    for (size_t i = 0; i < rows; i++)
        if (memcmp(&history[i * width], row, width * sizeof *row) == 0)
            return i;
    return rows;
}

static void keep_loop(bp_settled *out, const int *rows, size_t n, size_t width) {
    out->rest = BP_REST_CHATTER;
    out->n_loop = n;
    out->loop = malloc((n * width + 1) * sizeof *out->loop);
    if (out->loop)
        memcpy(out->loop, rows, n * width * sizeof *rows);
    else
        out->rest = BP_REST_NO_MEMORY;
}

/* FNV-1a, taken on with one more configuration. */
static uint64_t digest(uint64_t so_far, const int *position, size_t n) {
    for (size_t i = 0; i < n; i++)
        so_far = (so_far ^ (uint64_t)position[i]) * UINT64_C(1099511628211);
    return so_far;
}

bp_settled bp_settle(bp_case *c, bp_rig *rig, double lasts) {
    const size_t width = c->circuit->n_parts;
    bp_settled out = {
        .rest = BP_REST_NO_MEMORY, .slow = BP_NONE, .way = UINT64_C(14695981039346656037)};
    int *history = malloc((BP_MOST_CONFIGURATIONS * width + 1) * sizeof *history);
    if (!history)
        return out;
    for (size_t rows = 0;;) {
        const size_t met = find_row(history, rows, c->position, width);
        if (met < rows || rows == BP_MOST_CONFIGURATIONS) {
            const size_t from = met < rows ? met : 0;
            keep_loop(&out, &history[from * width], rows - from, width);
            break;
        }
        memcpy(&history[rows++ * width], c->position, width * sizeof *history);
        out.way = digest(out.way, c->position, width);
        out.rest = BP_REST_UNSOLVED;
        if (!bp_session_solve(rig->session, rig->values, rig->volts))
            break;
        bp_move move = {0};
        out.slow = BP_NONE;
        const size_t part = first_to_move(c, rig->values, rig->volts, lasts, &move, &out);
        out.rest = BP_REST_FOUND;
        if (part == BP_NONE)
            break;
        out.moves++;
        c->position[part] = move.position;
        bp_case_part_values(c, part, rig->values);
    }
    free(history);
    return out;
}

void bp_settled_clear(bp_settled *settled) {
    free(settled->loop);
    settled->loop = NULL;
    settled->n_loop = 0;
}
