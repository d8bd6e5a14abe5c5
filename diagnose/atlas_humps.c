/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where the spread of good parts alone makes a relay or a fuse change over, readings have two humps
 * and their average is read by nobody: such a case gets a row for each way in which it can settle,
 * with the share of vehicles that settle so. Some vehicles are drawn and solved for the cases where
 * that is to be expected: the healthy one, faults without degrees, and the severities next to a
 * change-over. What is kept of a way to settle is what a vehicle with all parts as their data say
 * would read if it settled so: each drawn vehicle's readings less what its strays do to them.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"

/* How many vehicles are drawn, and how many severities on either side of a change-over. A fault
 * without degrees shows no change-over; that it is near one shows where a fuse takes its time. */
enum { DRAWS_HEALTHY = 24, DRAWS_NEXT = 3, DRAWS_PLAIN = 1, DRAWS_SLOW = 8, NEAR_ROWS = 1 };

typedef struct samples {
    bp_draft *draft; /* of all rows, one after the other */
    size_t n;
    size_t *first; /* by row, and one more */
} samples;

static size_t level_of(const bp_atlas *a, size_t row, int step) {
    const size_t at = row + (size_t)step;
    return at < a->n_rows && a->row[at].fault == a->row[row].fault ? at : BP_NONE;
}

static bool is_near_change(const bp_atlas *a, size_t row) {
    const uint64_t own = bp_look_condition(a, &a->look[row]);
    for (int step = -NEAR_ROWS; step <= NEAR_ROWS; step++) {
        const size_t other = level_of(a, row, step);
        if (other != BP_NONE && bp_look_condition(a, &a->look[other]) != own)
            return true;
    }
    return false;
}

static size_t draws_for(const bp_atlas *a, size_t row) {
    if (a->row[row].fault == BP_NONE)
        return DRAWS_HEALTHY;
    if (isnan(a->row[row].severity))
        return a->look[row].slow ? DRAWS_SLOW : DRAWS_PLAIN;
    return is_near_change(a, row) ? DRAWS_NEXT : 0;
}

static bool samples_make(const bp_atlas *a, samples *s) {
    *s = (samples){.first = calloc(a->n_rows + 1, sizeof *s->first)};
    for (size_t r = 0; s->first && r < a->n_rows; r++)
        s->first[r + 1] = s->first[r] + draws_for(a, r);
    s->n = s->first ? s->first[a->n_rows] : 0;
    s->draft = calloc(s->n + 1, sizeof *s->draft);
    for (size_t r = 0; s->first && s->draft && r < a->n_rows; r++)
        for (size_t i = s->first[r]; i < s->first[r + 1]; i++)
            s->draft[i] = (bp_draft){.fault = a->row[r].fault,
                                     .severity = a->row[r].severity,
                                     .draw = i - s->first[r] + 1};
    return s->first && s->draft;
}

static void samples_clear(samples *s) {
    for (size_t i = 0; s->draft && i < s->n; i++)
        bp_look_free(&s->draft[i].look);
    free(s->draft);
    free(s->first);
}

static double distance(const bp_atlas *a, const bp_look *x, const bp_look *y, size_t s) {
    double sum = 0;
    for (size_t i = s * a->n_places; i < (s + 1) * a->n_places; i++)
        if (isfinite(x->volts[i]) && isfinite(y->volts[i]))
            sum += fabs(x->volts[i] - y->volts[i]);
    return sum;
}

/* The moves of the row that stands like this look in a state and reads most like it. */
static unsigned kin_of(const bp_atlas *a, const bp_look *look, size_t s, unsigned otherwise) {
    unsigned best = otherwise;
    double nearest = INFINITY;
    for (size_t r = 0; r < a->n_rows; r++) {
        if (a->look[r].condition[s] != look->condition[s])
            continue;
        const double far = distance(a, look, &a->look[r], s);
        if (far < nearest) {
            nearest = far;
            best = a->kin[r * a->circuit->n_states + s];
        }
    }
    return best;
}

/* Takes a drawn vehicle's strays out of its readings. */
static bool straighten(const bp_atlas *a, const bp_draft *draft, const unsigned *kin,
                       bp_look *look) {
    double *z = calloc(a->n_spreads + 1, sizeof *z), *moves = calloc(a->n_spreads + 1, sizeof *z);
    const bool good = z && moves && bp_spreads_draw(draft->draw, a->n_spreads, z);
    for (size_t s = 0; good && s < a->circuit->n_states; s++)
        for (size_t i = 0; i < a->n_places; i++) {
            memset(moves, 0, a->n_spreads * sizeof *moves);
            bp_atlas_kin_moves(a, kin[s], look, s, i, 1, moves);
            for (size_t q = 0; q < a->n_spreads; q++)
                look->volts[s * a->n_places + i] -= moves[q] * z[q];
        }
    free(z);
    free(moves);
    return good;
}

/* What grows: rows with their looks and kins. */
typedef struct wider {
    bp_atlas_row *row;
    bp_look *look;
    unsigned *kin;
    size_t n, room, n_states;
} wider;

static bool push(wider *w, bp_atlas_row row, bp_look look, const unsigned *kin) {
    if (w->n == w->room) {
        const size_t room = 2 * w->room + 256;
        bp_atlas_row *rows = realloc(w->row, room * sizeof *rows);
        w->row = rows ? rows : w->row;
        bp_look *looks = realloc(w->look, room * sizeof *looks);
        w->look = looks ? looks : w->look;
        unsigned *kins = realloc(w->kin, room * w->n_states * sizeof *kins);
        w->kin = kins ? kins : w->kin;
        if (!rows || !looks || !kins)
            return false;
        w->room = room;
    }
    w->row[w->n] = row;
    w->look[w->n] = look;
    memcpy(&w->kin[w->n * w->n_states], kin, w->n_states * sizeof *kin);
    w->n++;
    return true;
}

/* The mean of the readings of those samples that stand like the first, put into its own look. */
static size_t merge(const bp_atlas *a, bp_draft *draft, size_t n, const unsigned *kin) {
    const uint64_t own = bp_look_condition(a, &draft[0].look);
    const size_t all = a->circuit->n_states * a->n_places;
    size_t same = 1;
    if (!straighten(a, &draft[0], kin, &draft[0].look))
        return 0;
    for (size_t i = 1; i < n; i++) {
        if (!draft[i].look.volts || bp_look_condition(a, &draft[i].look) != own)
            continue;
        if (!straighten(a, &draft[i], kin, &draft[i].look))
            return 0;
        same++;
        for (size_t k = 0; k < all; k++)
            if (isfinite(draft[i].look.volts[k]))
                draft[0].look.volts[k] +=
                    (draft[i].look.volts[k] - draft[0].look.volts[k]) / (double)same;
        bp_look_free(&draft[i].look);
    }
    return same;
}

/* The row, and one more for every other way in which its vehicles settled. */
static bool split(const bp_atlas *a, size_t r, samples *s, wider *w) {
    const size_t n_states = a->circuit->n_states, first = s->first[r], last = s->first[r + 1];
    const uint64_t own = bp_look_condition(a, &a->look[r]);
    const unsigned *kin = &a->kin[r * n_states];
    const size_t at = w->n;
    double left = 1;
    if (!push(w, a->row[r], a->look[r], kin))
        return false;
    unsigned *other = calloc(n_states + 1, sizeof *other);
    bool good = other != NULL;
    for (size_t i = first; i < last && good; i++) {
        bp_look *look = &s->draft[i].look;
        if (!look->volts || bp_look_condition(a, look) == own)
            continue;
        for (size_t k = 0; k < n_states; k++)
            other[k] = kin_of(a, look, k, kin[k]);
        const size_t same = merge(a, &s->draft[i], last - i, other);
        bp_atlas_row row = a->row[r];
        row.share = (double)same / (double)(last - first + 1);
        left -= row.share;
        good = same > 0 && push(w, row, *look, other);
        if (good)
            *look = (bp_look){0};
    }
    w->row[at].share = left;
    free(other);
    return good;
}

static bool split_all(bp_atlas *a, samples *s) {
    wider w = {.n_states = a->circuit->n_states};
    bool good = true;
    for (size_t r = 0; r < a->n_rows && good; r++)
        good = split(a, r, s, &w);
    if (good) {
        free(a->row);
        free(a->look);
        free(a->kin);
        a->row = w.row;
        a->look = w.look;
        a->kin = w.kin;
        a->n_rows = w.n;
        return true;
    }
    /* The looks of the atlas's own rows are its own; the others are left behind with their rows. */
    free(w.row);
    free(w.look);
    free(w.kin);
    return false;
}

/* Solves vehicle after vehicle and not row after row: from one case to the next only the fault's
 * own values then change in the solver, and not those of every part. */
static bp_status solve(bp_atlas *a, samples *s, bp_report *report) {
    bp_draft *by_vehicle = calloc(s->n + 1, sizeof *by_vehicle);
    size_t *home = calloc(s->n + 1, sizeof *home), n = 0;
    bp_status status = by_vehicle && home ? BP_OK : BP_ERR_MEMORY;
    for (uint64_t draw = 1; n < s->n && status == BP_OK; draw++)
        for (size_t i = 0; i < s->n; i++)
            if (s->draft[i].draw == draw) {
                by_vehicle[n] = s->draft[i];
                home[n++] = i;
            }
    if (status == BP_OK)
        status = bp_atlas_solve(a, by_vehicle, n, report);
    for (size_t k = 0; k < n; k++)
        s->draft[home[k]] = by_vehicle[k];
    free(by_vehicle);
    free(home);
    return status;
}

bp_status bp_atlas_make_humps(bp_atlas *a, bp_report *report) {
    samples s = {0};
    bp_status status = samples_make(a, &s) ? solve(a, &s, report) : BP_ERR_MEMORY;
    if (status == BP_OK && !split_all(a, &s))
        status = BP_ERR_MEMORY;
    samples_clear(&s);
    return status;
}
