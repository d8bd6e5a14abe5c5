/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The tests of an atlas: those that the core holds from the start, those added later, and what a
 * test shows in a row.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"

/* An OL of the millivolt range, V. */
#define MILLIVOLTS_MOST 0.6

/* A point that is got at with its plug or socket open reads what nothing else there does. */
static bool has_own_way(const bp_atlas *a, size_t point) {
    return point != BP_NONE && (a->circuit->points[point].reach == BP_PLUG_OPEN ||
                                a->circuit->points[point].reach == BP_SOCKET_PART_OUT);
}

/* The place that stands for a lead; BP_NONE when the core does not read there. */
static size_t place_of(const bp_atlas *a, size_t face, size_t point) {
    const size_t node = bp_face_node(a->circuit, face);
    const bool own_way = has_own_way(a, point);
    for (size_t i = 0; i < a->n_places; i++)
        if (own_way ? a->place[i].point == point && a->place[i].open
                    : !a->place[i].open && bp_face_node(a->circuit, a->place[i].face) == node)
            return i;
    return BP_NONE;
}

static bool is_reference(const bp_atlas *a, size_t face) {
    return face == BP_NONE ||
           bp_face_node(a->circuit, face) == bp_face_node(a->circuit, a->circuit->reference);
}

/* The places of a test that follows from the core. */
static void find_home(const bp_atlas *a, bp_column_home *home) {
    const bp_test *t = &home->test;
    home->red = home->black = BP_NONE;
    if (t->n_after > 0 || t->part != BP_NONE || t->at != BP_NONE ||
        (t->instrument != BP_VOLTS && t->instrument != BP_MILLIVOLTS))
        return;
    const size_t red = place_of(a, t->red, t->red_point);
    const size_t black =
        is_reference(a, t->black) ? BP_NONE : place_of(a, t->black, t->black_point);
    const bool open =
        (red != BP_NONE && a->place[red].open) || (black != BP_NONE && a->place[black].open);
    if (red == BP_NONE || (black == BP_NONE && !is_reference(a, t->black)) ||
        (open && black != BP_NONE))
        return;
    home->red = red;
    home->black = black;
}

static bool same_actions(const bp_test *x, const bp_test *y) {
    if (x->n_after != y->n_after)
        return false;
    for (size_t i = 0; i < x->n_after; i++)
        if (strcmp(x->after[i], y->after[i]) != 0)
            return false;
    return true;
}

bool bp_test_asked_together(const bp_test *x, const bp_test *y) {
    return x->state == y->state && x->instrument == y->instrument && x->at == y->at &&
           same_actions(x, y);
}

static bool same_lead(const bp_atlas *a, size_t face, size_t point, size_t other,
                      size_t other_point) {
    if (face == BP_NONE || other == BP_NONE)
        return is_reference(a, face) && is_reference(a, other);
    const bool own = has_own_way(a, point), other_own = has_own_way(a, other_point);
    return own == other_own && (!own || point == other_point) &&
           bp_face_node(a->circuit, face) == bp_face_node(a->circuit, other);
}

static bool same_test(const bp_atlas *a, const bp_test *x, const bp_test *y) {
    if (x->part != y->part || x->state != y->state || !same_actions(x, y))
        return false;
    if (x->part != BP_NONE)
        return true;
    return x->instrument == y->instrument && x->at == y->at &&
           (x->at != BP_NONE || (same_lead(a, x->red, x->red_point, y->red, y->red_point) &&
                                 same_lead(a, x->black, x->black_point, y->black, y->black_point)));
}

static bool keep_texts(bp_atlas *a, bp_test *t) {
    if (t->n_after == 0) {
        t->after = NULL;
        return true;
    }
    const char **after = bp_store_get(&a->store, t->n_after, sizeof *after);
    for (size_t i = 0; after && i < t->n_after; i++)
        after[i] = bp_store_copy(&a->store, t->after[i]);
    t->after = after;
    return !a->store.failed;
}

static size_t add_test(bp_atlas *a, const bp_test *test) {
    if (a->n_tests == a->room_tests) {
        const size_t room = 2 * a->room_tests + 256;
        bp_column_home *more = realloc(a->test, room * sizeof *more);
        if (!more)
            return BP_NONE;
        a->test = more;
        a->room_tests = room;
    }
    bp_column_home *home = &a->test[a->n_tests];
    *home = (bp_column_home){.test = *test};
    if (!keep_texts(a, &home->test))
        return BP_NONE;
    find_home(a, home);
    home->still = bp_test_stands_still(a, home);
    if (!home->still)
        home->red = home->black = BP_NONE;
    return a->n_tests++;
}

size_t bp_atlas_test_find(const bp_atlas *a, const bp_test *test) {
    for (size_t i = 0; i < a->n_tests; i++)
        if (same_test(a, &a->test[i].test, test))
            return i;
    return BP_NONE;
}

/* What a part does in the states as they are. */
static bool is_seen_in_core(const bp_column_home *home) {
    return home->test.part != BP_NONE && home->test.n_after == 0 && home->still;
}

size_t bp_atlas_test_add(bp_atlas *a, const bp_test *test) {
    const size_t found = bp_atlas_test_find(a, test);
    if (found != BP_NONE)
        return found;
    const size_t at = add_test(a, test);
    if (at != BP_NONE && a->test[at].red == BP_NONE && !is_seen_in_core(&a->test[at]))
        bp_column_cache_read(a, &a->test[at]);
    return at;
}

static bp_cell no_cell(bp_cell_sort sort) { return (bp_cell){.sort = sort, .value = NAN}; }

static bp_cell number_cell(const bp_test *t, double value) {
    if (t->instrument == BP_MILLIVOLTS && fabs(value) >= MILLIVOLTS_MOST)
        return no_cell(BP_CELL_OVER);
    return (bp_cell){.sort = BP_CELL_VALUE, .value = value};
}

/* What follows from the core; BP_CELL_MISSING where it does not. */
static bp_cell core_cell(const bp_atlas *a, size_t row, const bp_column_home *home) {
    const bp_look *look = &a->look[row];
    const size_t s = home->test.state;
    const size_t red = s * a->n_places + home->red;
    const bp_cell_sort sort = (bp_cell_sort)(look->sort[red] & ~BP_CELL_FIRM);
    if (home->black == BP_NONE)
        return sort == BP_CELL_VALUE ? number_cell(&home->test, look->volts[red]) : no_cell(sort);
    const size_t black = s * a->n_places + home->black;
    const unsigned char firm = BP_CELL_VALUE | BP_CELL_FIRM;
    if (look->sort[red] != firm || look->sort[black] != firm)
        return no_cell(BP_CELL_MISSING);
    return number_cell(&home->test, look->volts[red] - look->volts[black]);
}

static bp_cell column_cell(const bp_atlas *a, size_t row, const bp_column *c) {
    const bp_column_row *r = c ? bp_column_find(c, row) : NULL;
    if (!r)
        return no_cell(BP_CELL_MISSING);
    const bp_cell_sort sort = (bp_cell_sort)r->sort;
    return (bp_cell){
        .sort = sort, .value = r->value, .says = sort == BP_CELL_SAYS ? a->word[r->says] : NULL};
}

bp_cell bp_atlas_cell(const bp_atlas *a, size_t row, size_t test) {
    const bp_column_home *home = &a->test[test];
    const bp_test *t = &home->test;
    if (is_seen_in_core(home)) {
        const unsigned char word = a->look[row].says[t->state * a->circuit->n_parts + t->part];
        return (bp_cell){.sort = BP_CELL_SAYS, .value = NAN, .says = a->word[word]};
    }
    const bp_cell core = home->red == BP_NONE ? no_cell(BP_CELL_MISSING) : core_cell(a, row, home);
    return core.sort == BP_CELL_MISSING ? column_cell(a, row, home->column) : core;
}

void bp_atlas_moves(const bp_atlas *a, size_t row, size_t test, double *moves, double *own_sd) {
    const bp_column_home *home = &a->test[test];
    const size_t s = home->test.state;
    memset(moves, 0, a->n_spreads * sizeof *moves);
    *own_sd = 0;
    if (home->test.part != BP_NONE)
        return;
    if (home->red != BP_NONE && core_cell(a, row, home).sort != BP_CELL_MISSING) {
        const unsigned kin = a->kin[row * a->circuit->n_states + s];
        bp_atlas_kin_moves(a, kin, &a->look[row], s, home->red, 1, moves);
        if (home->black != BP_NONE)
            bp_atlas_kin_moves(a, kin, &a->look[row], s, home->black, -1, moves);
        return;
    }
    const bp_column *c = home->column;
    const bp_column_row *r = c ? bp_column_find(c, row) : NULL;
    if (!r || r->sort != BP_CELL_VALUE)
        return;
    for (size_t q = 0; r->kin > 0 && q < a->n_spreads; q++)
        moves[q] = (double)c->kins.moves[(r->kin - 1) * c->kins.width + q];
    *own_sd = hypot(c->spread * fabs(r->value), r->alone);
}

/* ---- the tests that are there from the start ---- */

static bool add_points(bp_atlas *a, size_t state) {
    for (size_t i = 0; i < a->n_places; i++) {
        bp_test t = BP_TEST_INIT;
        t.state = state;
        t.red = a->place[i].face;
        t.red_point = a->place[i].point;
        if (a->place[i].point != BP_NONE && !is_reference(a, t.red) && add_test(a, &t) == BP_NONE)
            return false;
    }
    return true;
}

/* Does this part ever say anything else than in the good circuit? */
static bool is_telling(const bp_atlas *a, size_t state, size_t part) {
    const size_t at = state * a->circuit->n_parts + part;
    for (size_t r = 1; r < a->n_rows; r++)
        if (a->look[r].says[at] != a->look[0].says[at])
            return true;
    return false;
}

static bool add_observations(bp_atlas *a, size_t state) {
    for (size_t p = 0; p < a->circuit->n_parts; p++) {
        bp_test t = BP_TEST_INIT;
        t.state = state;
        t.part = p;
        if (is_telling(a, state, p) && add_test(a, &t) == BP_NONE)
            return false;
    }
    return true;
}

static double good_drop(const bp_atlas *a, size_t state, const size_t pair[2]) {
    const double *volts = &a->look[0].volts[state * a->n_places];
    return volts[pair[0]] - volts[pair[1]];
}

/* In which states do the stretches between points carry current? The two in which the good circuit
 * drops most, without what loads take, and nothing pulses. */
static void busiest(const bp_atlas *a, size_t (*pair)[2], size_t n, size_t best[2]) {
    double most[2] = {1e-3, 1e-3};
    best[0] = best[1] = BP_NONE;
    for (size_t s = 0; s < a->circuit->n_states; s++) {
        double sum = 0;
        for (size_t i = 0; i < n && !bp_state_pulses(a->circuit, s); i++) {
            const double drop = fabs(good_drop(a, s, pair[i]));
            sum += drop < 1 ? drop : 0;
        }
        if (sum > most[0]) {
            most[1] = most[0], best[1] = best[0];
            most[0] = sum, best[0] = s;
        } else if (sum > most[1])
            most[1] = sum, best[1] = s;
    }
}

static bool add_drop(bp_atlas *a, size_t state, const size_t pair[2]) {
    const bool down = !(good_drop(a, state, pair) < 0); /* red on the higher one */
    const bp_place *red = &a->place[pair[down ? 0 : 1]], *black = &a->place[pair[down ? 1 : 0]];
    bp_test t = BP_TEST_INIT;
    t.state = state;
    t.red = red->face;
    t.red_point = red->point;
    t.black = black->face;
    t.black_point = black->point;
    return add_test(a, &t) != BP_NONE;
}

static bool add_drops(bp_atlas *a) {
    size_t n = 0, best[2];
    size_t(*pair)[2] = bp_neighbour_places(a, &n);
    bool good = pair != NULL;
    if (good)
        busiest(a, pair, n, best);
    for (int k = 0; k < 2 && good; k++)
        for (size_t i = 0; i < n && good && best[k] != BP_NONE; i++)
            good = add_drop(a, best[k], pair[i]);
    free(pair);
    return good;
}

bool bp_atlas_list_tests(bp_atlas *a) {
    bool good = true;
    for (size_t s = 0; s < a->circuit->n_states && good; s++)
        good = add_points(a, s) && add_observations(a, s);
    return good && add_drops(a);
}
