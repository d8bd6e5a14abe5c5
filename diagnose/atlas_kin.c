/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the spread of good parts moves the readings of every row. It is worked out for a few rows in
 * each state; a row whose relays and fuses stand the same and whose readings are near takes over
 * the moves of that one ("kin").
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"

/* Readings this near take the same moves: within so many volts, and within a part of what lies
 * between a reading and the nearer pole of the supply, since that is what a current leaves of
 * itself. The benchmark prints what that costs. */
#define KIN_VOLTS 0.1
#define KIN_PART 0.6
/* ... more within one fault, where the same current grows or dwindles. */
#define KIN_VOLTS_OWN 0.5
#define KIN_PART_OWN 1.0

/* Moves are stretched by no more than this from a leader to a row, nor shrunk by more. */
#define MOST_STRETCH 10.0
/* A supply that has next to nothing left is no measure. */
#define MOST_PART 2.0

typedef struct leader {
    size_t row, state;
} leader;

static bool is_number(const bp_look *look, size_t i) {
    return (look->sort[i] & ~BP_CELL_FIRM) == BP_CELL_VALUE;
}

static bool are_near(const bp_atlas *a, size_t row, size_t other, size_t s) {
    const bp_look *x = &a->look[row], *y = &a->look[other];
    const bool own = a->row[row].fault == a->row[other].fault;
    const double volts = own ? KIN_VOLTS_OWN : KIN_VOLTS, part = own ? KIN_PART_OWN : KIN_PART;
    if (x->condition[s] != y->condition[s])
        return false;
    for (size_t i = s * a->n_places; i < (s + 1) * a->n_places; i++) {
        if (is_number(x, i) != is_number(y, i))
            return false;
        if (!is_number(x, i))
            continue;
        const double low = fabs(x->volts[i]), high = fabs(x->supply[s] - x->volts[i]);
        const double pole = isfinite(high) ? fmin(low, high) : low;
        if (fabs(x->volts[i] - y->volts[i]) > volts + part * pole)
            return false;
    }
    return true;
}

static double distance(const bp_look *x, const bp_look *y, size_t first, size_t last) {
    double sum = 0;
    for (size_t i = first; i < last; i++)
        if (is_number(x, i))
            sum += fabs(x->volts[i] - y->volts[i]);
    return sum;
}

/* The leader that reads most like the row, of those that are near: a few hundredths of a volt along
 * a way may be all that tells a current from none. */
static size_t nearest(const bp_atlas *a, const leader *list, size_t n, size_t row, size_t s) {
    const size_t first = s * a->n_places, last = first + a->n_places;
    size_t best = n;
    double least = INFINITY;
    for (size_t k = 0; k < n; k++) {
        if (!are_near(a, list[k].row, row, s))
            continue;
        const double far = distance(&a->look[list[k].row], &a->look[row], first, last);
        if (far < least) {
            least = far;
            best = k;
        }
    }
    return best;
}

/* Every row's leader in every state, as its number and one. */
static size_t find_leaders(bp_atlas *a, leader *list) {
    const size_t n_states = a->circuit->n_states;
    size_t n = 0;
    for (size_t s = 0; s < n_states; s++) {
        const size_t first = n;
        for (size_t r = 0; r < a->n_rows; r++) {
            size_t k = first;
            while (k < n && !are_near(a, list[k].row, r, s))
                k++;
            if (k == n)
                list[n++] = (leader){r, s};
        }
        for (size_t r = 0; r < a->n_rows; r++)
            a->kin[r * n_states + s] =
                (unsigned)(first + nearest(a, &list[first], n - first, r, s)) + 1;
    }
    return n;
}

static void take_moves(bp_atlas *a, size_t k, const leader *l, const bp_answer *answer) {
    float *set = &a->kins.moves[k * a->kins.width];
    for (size_t i = 0; i < a->n_places; i++)
        set[a->n_places * a->n_spreads + i] =
            (float)a->look[l->row].volts[l->state * a->n_places + i];
    if (!answer || answer->n_states == 0)
        return;
    const bp_state_answer *state = &answer->states[answer->n_states - 1];
    for (size_t i = 0; i < a->n_places && i < state->n_readings; i++)
        for (size_t q = 0; state->readings[i].moves && q < a->n_spreads; q++)
            set[i * a->n_spreads + q] = (float)state->readings[i].moves[q];
}

typedef struct asking {
    bp_question *question;
    bp_answer **answer;
    char (*fault)[600];
    bp_pair *pair;
    char (*name)[128];
} asking;

static bool asking_make(bp_atlas *a, const leader *list, size_t n, asking *k) {
    *k = (asking){calloc(n + 1, sizeof *k->question), calloc(n + 1, sizeof *k->answer),
                  calloc(n + 1, sizeof *k->fault), calloc(a->n_places + 1, sizeof *k->pair),
                  calloc(a->n_places + 1, sizeof *k->name)};
    if (!k->question || !k->answer || !k->fault || !k->pair || !k->name)
        return false;
    for (size_t i = 0; i < a->n_places; i++) {
        bp_face_name(a->circuit, a->place[i].face, k->name[i], sizeof k->name[i]);
        k->pair[i].red = a->place[i].open ? a->circuit->points[a->place[i].point].id : k->name[i];
    }
    for (size_t i = 0; i < n; i++) {
        const bp_atlas_row *row = &a->row[list[i].row];
        bp_atlas_fault_text(a, row->fault, row->severity, k->fault[i], sizeof k->fault[i]);
        k->question[i] = (bp_question)BP_QUESTION_INIT;
        k->question[i].faults = k->fault[i];
        k->question[i].state = a->circuit->states[list[i].state].id;
        k->question[i].pairs = k->pair;
        k->question[i].n_pairs = a->n_places;
        k->question[i].moves = true;
        k->question[i].ambient = a->options.ambient;
        k->question[i].engine = a->options.engine;
    }
    return true;
}

static void asking_clear(asking *k, size_t n) {
    for (size_t i = 0; k->answer && i < n; i++)
        bp_answer_free(&k->answer[i]);
    free(k->question);
    free(k->answer);
    free(k->fault);
    free(k->pair);
    free(k->name);
}

size_t bp_atlas_kin_width(const bp_atlas *a) { return a->n_places * (a->n_spreads + 1); }

/* Slopes of a divider: where x of the supply stands, x (1 - x). Small near either pole, so kept
 * from running away there. */
static double slope_ratio(double own, double kin) {
    const double ratio = own * (1 - own) / (kin * (1 - kin));
    return isfinite(ratio) && ratio > 0 ? fmin(fmax(ratio, 1 / MOST_STRETCH), MOST_STRETCH) : 1;
}

/* A place stands at a part x of the supply. What the supply does it does in that part; what the
 * parts of a divider do to x goes with x (1 - x), since relative changes of either side are what
 * relatives have in common. */
void bp_atlas_kin_moves(const bp_atlas *a, unsigned kin, const bp_look *look, size_t s,
                        size_t place, double sign, double *moves) {
    if (kin == 0)
        return;
    const float *set = &a->kins.moves[(kin - 1) * a->kins.width];
    const float *from = &set[place * a->n_spreads], *volts = &set[a->n_places * a->n_spreads];
    double part = 0, of_kin = 0, ratio = 1;
    const float *supply = NULL;
    if (a->supply_place != BP_NONE) {
        supply = &set[a->supply_place * a->n_spreads];
        part =
            look->volts[s * a->n_places + place] / look->volts[s * a->n_places + a->supply_place];
        of_kin = (double)volts[place] / (double)volts[a->supply_place];
        if (fabs(part) <= MOST_PART && fabs(of_kin) <= MOST_PART)
            ratio = slope_ratio(part, of_kin);
        else
            part = of_kin = 0;
    }
    for (size_t q = 0; q < a->n_spreads; q++) {
        const double of_supply = supply ? (double)supply[q] : 0;
        moves[q] += sign * (part * of_supply + ratio * ((double)from[q] - of_kin * of_supply));
    }
}

bp_status bp_atlas_make_kins(bp_atlas *a, bp_report *report) {
    const size_t n_states = a->circuit->n_states;
    leader *list = calloc(a->n_rows * n_states + 1, sizeof *list);
    a->kin = calloc(a->n_rows * n_states + 1, sizeof *a->kin);
    if (!list || !a->kin) {
        free(list);
        return BP_ERR_MEMORY;
    }
    const size_t n = find_leaders(a, list);
    asking k = {0};
    bp_status status = BP_ERR_MEMORY;
    a->kins = (bp_kins){.n = n, .width = bp_atlas_kin_width(a)};
    a->kins.moves = calloc(n * a->kins.width + 1, sizeof *a->kins.moves);
    if (a->kins.moves && asking_make(a, list, n, &k))
        status = bp_atlas_ask(a, k.question, n, k.answer, report);
    for (size_t i = 0; i < n && status == BP_OK; i++)
        take_moves(a, i, &list[i], k.answer[i]);
    asking_clear(&k, n);
    free(list);
    return status;
}
