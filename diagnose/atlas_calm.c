/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What stands still while something pulses. The core of an atlas holds steady solutions: of a state
 * in which a driver pulses, what is between two pulses. A meter shows the mean. One run of the good
 * circuit in every such state tells where the two are the same to whoever reads a meter.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"
#include "sim/held.h"
#include "sim/noticed.h"

/* Within so many standard deviations of a reading a mean cannot be told from what is between two
 * pulses. */
#define ALIKE 3.0
/* Beside what the supply itself does: on the way of a pulsing current every fault makes more of the
 * pulses than good parts do. What no range of a meter shows is no such way, V; the solver's own
 * noise is a fifth of it. */
#define OFF_THE_WAY 1e-4

bool bp_pulses_new(const bp_atlas *a, bp_pulses *p) {
    *p = (bp_pulses){calloc(a->circuit->n_states * a->n_places + 1, sizeof *p->shift),
                     calloc(a->circuit->n_states * a->circuit->n_parts + 1, 1)};
    return p->shift && p->works;
}

void bp_pulses_clear(bp_pulses *p) {
    free(p->shift);
    free(p->works);
    *p = (bp_pulses){0};
}

static const char *says_in(const bp_state_answer *s, const char *part) {
    const bp_notice *notice = bp_notice_of(s, part);
    return notice ? notice->says : "";
}

/* `s` NULL: there is no run, and nothing is known to stand still. */
static void take(bp_atlas *a, size_t state, const bp_state_answer *s) {
    const bp_look *good = &a->look[0];
    for (size_t i = 0; i < a->n_places; i++) {
        const size_t at = state * a->n_places + i;
        const bool number = (good->sort[at] & ~BP_CELL_FIRM) == BP_CELL_VALUE;
        const bp_reading *r = s && i < s->n_readings ? &s->readings[i] : NULL;
        a->pulses.shift[at] =
            r && r->status == BP_READING_OK && number ? r->value - good->volts[at] : INFINITY;
    }
    for (size_t p = 0; p < a->circuit->n_parts; p++) {
        const size_t at = state * a->circuit->n_parts + p;
        a->pulses.works[at] =
            !s || strcmp(says_in(s, a->circuit->parts[p].id), a->word[good->says[at]]) != 0;
    }
}

bp_status bp_atlas_find_pulses(bp_atlas *a, bp_report *report) {
    bp_pair *pairs = bp_atlas_core_pairs(a);
    bp_status status = pairs && bp_pulses_new(a, &a->pulses) ? BP_OK : BP_ERR_MEMORY;
    for (size_t s = 0; s < a->circuit->n_states && status == BP_OK; s++) {
        if (!bp_state_pulses(a->circuit, s))
            continue;
        bp_question q = BP_QUESTION_INIT;
        bp_answer *answer = NULL;
        q.state = a->circuit->states[s].id;
        q.pairs = pairs;
        q.n_pairs = a->n_places;
        q.ambient = a->options.ambient;
        q.engine = a->options.engine;
        q.means = true;
        status = bp_atlas_ask(a, &q, 1, &answer, report);
        const bp_state_answer *last =
            answer && answer->n_states > 0 ? &answer->states[answer->n_states - 1] : NULL;
        take(a, s, last && !last->why ? last : NULL);
        bp_answer_free(&answer);
    }
    free(pairs);
    return status;
}

/* The standard deviation of a reading in the good circuit: good parts and the meter. */
static double spread_of(const bp_atlas *a, const bp_column_home *home, double value) {
    double *moves = calloc(a->n_spreads + 1, sizeof *moves);
    const double meter = bp_atlas_meter_sd(&home->test, value);
    double variance = meter * meter;
    const size_t s = home->test.state;
    if (moves) {
        bp_atlas_kin_moves(a, a->kin[s], &a->look[0], s, home->red, 1, moves);
        if (home->black != BP_NONE)
            bp_atlas_kin_moves(a, a->kin[s], &a->look[0], s, home->black, -1, moves);
    }
    for (size_t q = 0; moves && q < a->n_spreads; q++)
        variance += moves[q] * moves[q];
    free(moves);
    return sqrt(variance);
}

/* By how much the supply moves, of each volt that it holds. */
static double supply_moves(const bp_atlas *a, size_t state) {
    const size_t at = state * a->n_places + a->supply_place;
    if (a->supply_place == BP_NONE || !(fabs(a->look[0].volts[at]) > 1))
        return 0;
    return a->pulses.shift[at] / a->look[0].volts[at];
}

/* On the supply itself, clamp or post: so much flows there that faults change little more. */
static bool is_at_supply(const bp_atlas *a, size_t place) {
    const bp_circuit *c = a->circuit;
    return place == BP_NONE || bp_is_supply(&c->parts[c->faces[a->place[place].face].part]);
}

/* Volts between two places of the core. */
static bool are_calm(const bp_atlas *a, const bp_column_home *home) {
    const size_t s = home->test.state;
    const double *volts = &a->look[0].volts[s * a->n_places];
    const double *shift = &a->pulses.shift[s * a->n_places];
    const bool two = home->black != BP_NONE;
    const double value = volts[home->red] - (two ? volts[home->black] : 0);
    const double moved = shift[home->red] - (two ? shift[home->black] : 0);
    return isfinite(moved) && fabs(moved) <= ALIKE * spread_of(a, home, value) &&
           ((is_at_supply(a, home->red) && is_at_supply(a, home->black)) ||
            fabs(moved - value * supply_moves(a, s)) <= OFF_THE_WAY);
}

bool bp_test_stands_still(const bp_atlas *a, const bp_column_home *home) {
    const bp_test *t = &home->test;
    if (!bp_state_pulses(a->circuit, t->state))
        return true;
    if (t->part != BP_NONE)
        return t->n_after == 0 && !a->pulses.works[t->state * a->circuit->n_parts + t->part];
    return home->red != BP_NONE && are_calm(a, home);
}

bool bp_atlas_stands_still(const bp_atlas *a, size_t test) { return a->test[test].still; }

bool bp_atlas_takes_runs(const bp_atlas *a, size_t test) { return bp_is_mean(&a->test[test]); }

bool bp_is_mean(const bp_column_home *home) {
    return !home->still &&
           (home->test.part != BP_NONE || bp_is_held_in_runs(home->test.instrument));
}
