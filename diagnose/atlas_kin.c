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

/* Nearer to a pole than this, V, places differ by the meter's counts only. */
#define LEAST_POLE 0.002
/* What moves a reading by less than this, V, is not kept: a hundredth of the lowest count. */
#define LEAST_MOVE 1e-5
/* Moves are stretched by no more than this from a leader to a row. */
#define MOST_STRETCH 10.0
/* A supply that has next to nothing left is no measure. */
#define MOST_PART 2.0

typedef struct leader {
    size_t row, state;
} leader;

static bool is_number(const bp_look *look, size_t i) {
    return (look->sort[i] & ~BP_CELL_FIRM) == BP_CELL_VALUE;
}

/* What lies between a reading and the nearer pole of the supply. */
static double pole_of(const bp_look *look, size_t i, size_t s) {
    const double low = fabs(look->volts[i]), high = fabs(look->supply[s] - look->volts[i]);
    return isfinite(high) ? fmin(low, high) : low;
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
        if (fabs(x->volts[i] - y->volts[i]) > volts + part * pole_of(x, i, s))
            return false;
    }
    return true;
}

/* Relative to what lies between them and the pole, since moves are fitted by that. */
static double distance(const bp_atlas *a, const bp_look *x, const bp_look *y, size_t s) {
    double sum = 0;
    for (size_t i = s * a->n_places; i < (s + 1) * a->n_places; i++)
        if (is_number(x, i))
            sum += fabs(x->volts[i] - y->volts[i]) /
                   (fmin(pole_of(x, i, s), pole_of(y, i, s)) + LEAST_POLE);
    return sum;
}

/* The leader that reads most like the row, of those that are near: a few hundredths of a volt along
 * a way may be all that tells a current from none. */
static size_t nearest(const bp_atlas *a, const leader *list, size_t n, size_t row, size_t s) {
    size_t best = n;
    double least = INFINITY;
    for (size_t k = 0; k < n; k++) {
        if (!are_near(a, list[k].row, row, s))
            continue;
        const double far = distance(a, &a->look[list[k].row], &a->look[row], s);
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

bool bp_kin_sets_make(const bp_atlas *a, size_t n, size_t n_moves, bp_kin_sets *k) {
    *k = (bp_kin_sets){.n = n,
                       .n_moves = n_moves,
                       .first = calloc(n * a->n_places + 1, sizeof *k->first),
                       .quantity = malloc((n_moves + 1) * sizeof *k->quantity),
                       .move = malloc((n_moves + 1) * sizeof *k->move),
                       .volts = malloc((n * a->n_places + 1) * sizeof *k->volts)};
    return k->first && k->quantity && k->move && k->volts;
}

void bp_kin_sets_clear(bp_kin_sets *k) {
    if (!k->borrowed) {
        free(k->first);
        free(k->quantity);
        free(k->move);
        free(k->volts);
    }
    *k = (bp_kin_sets){0};
}

static const double *moves_of(const bp_answer *answer, size_t place) {
    if (!answer || answer->n_states == 0)
        return NULL;
    const bp_state_answer *s = &answer->states[answer->n_states - 1];
    return place < s->n_readings ? s->readings[place].moves : NULL;
}

/* Moves worth keeping, counted, or put into the sets that have room for them. */
static size_t take_moves(bp_atlas *a, const leader *list, size_t n, bp_answer *const *answer,
                         bp_kin_sets *to) {
    size_t count = 0;
    for (size_t k = 0; k < n * a->n_places; k++) {
        const leader *l = &list[k / a->n_places];
        const size_t place = k % a->n_places;
        const double *moves = moves_of(answer[k / a->n_places], place);
        if (to) {
            to->first[k] = (unsigned)count;
            to->volts[k] = (float)a->look[l->row].volts[l->state * a->n_places + place];
        }
        for (size_t q = 0; moves && q < a->n_spreads; q++) {
            if (!(fabs(moves[q]) > LEAST_MOVE))
                continue;
            if (to) {
                to->quantity[count] = (unsigned short)q;
                to->move[count] = (float)moves[q];
            }
            count++;
        }
    }
    if (to)
        to->first[n * a->n_places] = (unsigned)count;
    return count;
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
        k->question[i].moves = k->question[i].bare = true;
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

static void add_set(const bp_kin_sets *k, size_t at, double times, double *moves) {
    for (size_t i = k->first[at]; i < k->first[at + 1]; i++)
        moves[k->quantity[i]] += times * (double)k->move[i];
}

/* Slopes of a divider: where x of the supply stands, x (1 - x). Small near either pole, so kept
 * from running away there. */
static double slope_ratio(double own, double kin) {
    const double ratio = own * (1 - own) / (kin * (1 - kin));
    return isfinite(ratio) && ratio > 0 ? fmin(ratio, MOST_STRETCH) : 1;
}

/* A place stands at a part x of the supply. What the supply does it does in that part; what the
 * parts of a divider do to x goes with x (1 - x), since relative changes of either side are what
 * relatives have in common. */
void bp_atlas_kin_moves(const bp_atlas *a, unsigned kin, const bp_look *look, size_t s,
                        size_t place, double sign, double *moves) {
    if (kin == 0)
        return;
    const size_t set = (kin - 1) * a->n_places;
    double of_supply = 0, ratio = 1;
    if (a->supply_place != BP_NONE) {
        const double *volts = &look->volts[s * a->n_places];
        const double part = volts[place] / volts[a->supply_place];
        const double of_kin =
            (double)a->kins.volts[set + place] / (double)a->kins.volts[set + a->supply_place];
        if (fabs(part) <= MOST_PART && fabs(of_kin) <= MOST_PART) {
            ratio = slope_ratio(part, of_kin);
            of_supply = part - ratio * of_kin;
        }
    }
    add_set(&a->kins, set + place, sign * ratio, moves);
    if (of_supply != 0)
        add_set(&a->kins, set + a->supply_place, sign * of_supply, moves);
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
    if (asking_make(a, list, n, &k))
        status = bp_atlas_ask(a, k.question, n, k.answer, report);
    if (status == BP_OK &&
        !bp_kin_sets_make(a, n, take_moves(a, list, n, k.answer, NULL), &a->kins))
        status = BP_ERR_MEMORY;
    if (status == BP_OK)
        take_moves(a, list, n, k.answer, &a->kins);
    asking_clear(&k, n);
    free(list);
    return status;
}
