/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tests beyond the core, solved for the rows that they are wanted for.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"
#include "sim/instrument.h"

/* Rows whose values are this near take the same moves: V; of other units, as a share of the value,
 * and within what the meter itself strays by (of a lamp, whose light is 1 at 12 V, so much). */
#define KIN_VOLTS 1.0
#define KIN_SHARE 0.1
#define KIN_LIGHT 0.02

bp_column *bp_column_new(size_t n_rows) {
    bp_column *c = calloc(1, sizeof *c);
    if (!c)
        return NULL;
    c->at = calloc(n_rows + 1, sizeof *c->at);
    if (!c->at)
        bp_column_free(&c);
    return c;
}

void bp_column_free(bp_column **column) {
    if (!*column)
        return;
    free((*column)->at);
    free((*column)->rows);
    free((*column)->kins.moves);
    free(*column);
    *column = NULL;
}

bp_column_row *bp_column_find(const bp_column *c, size_t row) {
    return c->at[row] > 0 ? &c->rows[c->at[row] - 1] : NULL;
}

bp_column_row *bp_column_put(bp_column *c, size_t row) {
    if (c->at[row] == 0) {
        if (c->n == c->room) {
            const size_t room = 2 * c->room + 16;
            bp_column_row *more = realloc(c->rows, room * sizeof *more);
            if (!more)
                return NULL;
            c->rows = more;
            c->room = room;
        }
        c->rows[c->n] = (bp_column_row){.value = NAN, .row = (unsigned)row};
        c->at[row] = (unsigned)++c->n;
    }
    return &c->rows[c->at[row] - 1];
}

/* Tests that go into one question, and the rows that need it. */
typedef struct group {
    bp_atlas *a;
    const size_t *test; /* indices of tests */
    size_t n_tests;
    size_t *row;
    size_t n_rows;
    bp_pair *pair;
    char (*lead)[2][128];
    bp_report *report;
} group;

static const bp_test *test_of(const group *g, size_t i) { return &g->a->test[g->test[i]].test; }

static void name_lead(const bp_atlas *a, size_t face, size_t point, char name[128]) {
    if (point != BP_NONE)
        strncpy(name, a->circuit->points[point].id, 127);
    else
        bp_face_name(a->circuit, face, name, 128);
}

/* Leads as the lab takes them; an observation alone needs none, but a question has some. */
static bool group_leads(group *g) {
    g->pair = calloc(g->n_tests + 1, sizeof *g->pair);
    g->lead = calloc(g->n_tests + 1, sizeof *g->lead);
    if (!g->pair || !g->lead)
        return false;
    for (size_t i = 0; i < g->n_tests; i++) {
        const bp_test *t = test_of(g, i);
        const bool leads = t->part == BP_NONE && t->red != BP_NONE;
        name_lead(g->a, leads ? t->red : g->a->circuit->feed, leads ? t->red_point : BP_NONE,
                  g->lead[i][0]);
        g->pair[i].red = g->lead[i][0];
        if (leads && t->black != BP_NONE) {
            name_lead(g->a, t->black, t->black_point, g->lead[i][1]);
            g->pair[i].black = g->lead[i][1];
        }
    }
    return true;
}

static void group_clear(group *g) {
    free(g->row);
    free(g->pair);
    free(g->lead);
}

static bp_question question_of(const group *g, const char *fault) {
    const bp_test *t = test_of(g, 0);
    const bp_circuit *c = g->a->circuit;
    bp_question q = BP_QUESTION_INIT;
    q.state = c->states[t->state].id;
    q.faults = fault;
    q.after = t->after;
    q.n_after = t->n_after;
    q.instrument = t->part == BP_NONE ? t->instrument : BP_VOLTS;
    q.at = t->at == BP_NONE ? NULL : c->parts[t->at].id;
    q.pairs = q.at ? NULL : g->pair;
    q.n_pairs = q.at ? 0 : g->n_tests;
    q.ambient = g->a->options.ambient;
    q.engine = g->a->options.engine;
    q.means = bp_is_mean(&g->a->test[g->test[0]]);
    return q;
}

typedef struct asked {
    bp_question *question;
    bp_answer **answer;
    char (*fault)[600];
    size_t n;
} asked;

static void asked_clear(asked *k) {
    for (size_t i = 0; k->answer && i < k->n; i++)
        bp_answer_free(&k->answer[i]);
    free(k->question);
    free(k->answer);
    free(k->fault);
}

/* The question about each of n rows. What is refused in a faulty circuit only is no mistake of the
 * asker's: its cell says that there is no result. */
static bp_status ask(const group *g, const size_t *row, size_t n, bool moves, asked *k) {
    *k = (asked){calloc(n + 1, sizeof *k->question), calloc(n + 1, sizeof *k->answer),
                 calloc(n + 1, sizeof *k->fault), n};
    bp_report *aside = bp_report_new();
    bp_status status = BP_ERR_MEMORY;
    if (k->question && k->answer && k->fault && aside) {
        for (size_t i = 0; i < n; i++) {
            const bp_atlas_row *r = &g->a->row[row[i]];
            bp_atlas_fault_text(g->a, r->fault, r->severity, k->fault[i], sizeof k->fault[i]);
            k->question[i] = question_of(g, k->fault[i]);
            k->question[i].moves = moves;
        }
        status = bp_atlas_ask(g->a, k->question, n, k->answer, aside);
    }
    if (status == BP_ERR_USAGE && (n == 0 || k->answer[0]))
        status = BP_OK;
    if (status != BP_OK && aside && bp_report_count(aside) > 0)
        bp_report_add(g->report, BP_MISTAKE, NULL, 0, 0, "%s", bp_report_at(aside, 0)->text);
    bp_report_free(&aside);
    return status;
}

static bp_column *column_of(const group *g, size_t i) {
    bp_column_home *home = &g->a->test[g->test[i]];
    if (!home->column)
        home->column = bp_column_new(g->a->n_rows);
    return home->column;
}

/* What pulses make of a reading strays as its range says, beside the meter. */
static double strays_alone(const bp_test *t, const bp_reading *r) {
    const double half = (r->high - r->low) / 2 / BP_SIGMAS_95;
    return r->status == BP_READING_OK ? fmax(0, half - bp_atlas_meter_sd(t, r->value)) : 0;
}

static void take_reading(bp_column_row *to, const bp_reading *r) {
    static const bp_cell_sort sorts[] = {[BP_READING_OK] = BP_CELL_VALUE,
                                         [BP_READING_OVER] = BP_CELL_OVER,
                                         [BP_READING_UNSTEADY] = BP_CELL_UNSTEADY,
                                         [BP_READING_NONE] = BP_CELL_NONE};
    to->sort = (unsigned char)sorts[r->status];
    to->value = r->value;
}

static void take_notice(bp_atlas *a, bp_column_row *to, const bp_state_answer *s,
                        const char *part) {
    to->sort = BP_CELL_SAYS;
    for (size_t i = 0; i < s->n_notices; i++)
        if (strcmp(s->notices[i].part, part) == 0)
            to->says = (unsigned char)bp_atlas_word(a, s->notices[i].says);
}

/* One row's answer into the columns; the last phase of a state is what stays. */
static bool take(const group *g, size_t row, const bp_answer *answer) {
    const bp_state_answer *s =
        answer && answer->n_states > 0 ? &answer->states[answer->n_states - 1] : NULL;
    for (size_t i = 0; i < g->n_tests; i++) {
        bp_column *c = column_of(g, i);
        bp_column_row *to = c ? bp_column_put(c, row) : NULL;
        if (!to)
            return false;
        const bp_test *t = test_of(g, i);
        c->changed = true;
        to->sort = BP_CELL_NONE;
        if (!s || s->why)
            continue;
        to->condition = s->condition;
        if (t->part != BP_NONE)
            take_notice(g->a, to, s, g->a->circuit->parts[t->part].id);
        else if (i < s->n_readings)
            take_reading(to, &s->readings[i]);
        if (t->part == BP_NONE && i < s->n_readings && bp_is_mean(&g->a->test[g->test[i]]))
            to->alone = strays_alone(t, &s->readings[i]);
    }
    return true;
}

/* Moves are worked out in steady states; what needs a run has a spread that it shares with nothing.
 */
static bool has_moves(const group *g) {
    return bp_instruments[test_of(g, 0)->instrument]->over_time == NULL &&
           !bp_is_mean(&g->a->test[g->test[0]]);
}

/* The row as a number, NULL where it is none. */
static bp_column_row *number_in(const bp_column *c, size_t row) {
    bp_column_row *r = bp_column_find(c, row);
    return r && r->sort == BP_CELL_VALUE ? r : NULL;
}

static double kin_limit(const bp_test *t, double value) {
    const bp_instrument_def *meter = bp_instruments[t->instrument];
    if (meter->light)
        return KIN_VOLTS;
    return KIN_SHARE * fabs(value) +
           (meter->unit == BP_UNIT_FRACTION ? KIN_LIGHT : 2 * bp_atlas_meter_sd(t, value));
}

static bool are_kin(const bp_test *t, const bp_column_row *x, const bp_column_row *y) {
    return x && y && x->condition == y->condition &&
           fabs(x->value - y->value) <= kin_limit(t, x->value);
}

/* Takes over the moves of any row that has some that would do. */
static void find_kin(const bp_test *t, const bp_column *c, bp_column_row *to, const size_t *done,
                     size_t n) {
    for (size_t i = 0; i < n && to->kin == 0; i++) {
        const bp_column_row *from = number_in(c, done[i]);
        if (are_kin(t, from, to))
            to->kin = from->kin;
    }
}

static bool add_kin(const group *g, bp_column *c, bp_column_row *to, const double *moves) {
    const size_t width = g->a->n_spreads;
    float *more = realloc(c->kins.moves, (c->kins.n + 1) * width * sizeof *more);
    if (!more)
        return false;
    c->kins.moves = more;
    c->kins.width = width;
    for (size_t q = 0; q < width; q++)
        more[c->kins.n * width + q] = (float)moves[q];
    to->kin = (unsigned)++c->kins.n;
    return true;
}

/* The rows whose moves are solved: for every test, one for each sort of value. */
static size_t choose_leaders(const group *g, size_t *leader) {
    size_t n = 0;
    for (size_t t = 0; t < g->n_tests; t++) {
        bp_column *c = column_of(g, t);
        for (size_t i = 0; i < g->n_rows; i++) {
            const bp_column_row *r = number_in(c, g->row[i]);
            if (!r || r->kin > 0)
                continue;
            size_t k = 0;
            while (k < n && !are_kin(test_of(g, t), number_in(c, leader[k]), r))
                k++;
            if (k == n)
                leader[n++] = g->row[i];
        }
    }
    return n;
}

static bp_status solve_moves(const group *g) {
    size_t *leader = calloc(g->n_tests * g->n_rows + 1, sizeof *leader);
    if (!leader)
        return BP_ERR_MEMORY;
    const size_t n = choose_leaders(g, leader);
    asked k = {0};
    bp_status status = n > 0 ? ask(g, leader, n, true, &k) : BP_OK;
    for (size_t i = 0; i < n && status == BP_OK; i++) {
        const bp_answer *answer = k.answer[i];
        if (!answer || answer->n_states == 0)
            continue;
        const bp_state_answer *s = &answer->states[answer->n_states - 1];
        for (size_t t = 0; t < g->n_tests && t < s->n_readings && status == BP_OK; t++) {
            bp_column_row *to = bp_column_find(column_of(g, t), leader[i]);
            if (s->readings[t].moves && to && to->kin == 0 &&
                !add_kin(g, column_of(g, t), to, s->readings[t].moves))
                status = BP_ERR_MEMORY;
        }
    }
    for (size_t t = 0; t < g->n_tests && status == BP_OK; t++)
        for (size_t i = 0; i < g->n_rows; i++) {
            bp_column_row *to = number_in(column_of(g, t), g->row[i]);
            if (to)
                find_kin(test_of(g, t), column_of(g, t), to, leader, n);
        }
    asked_clear(&k);
    free(leader);
    return status;
}

/* Of a good reading, relative to its value: what common meters and parts make likely. */
#define LIKELY_SPREAD 0.05

/* How far good parts let the reading stray in the good circuit, relative to its value: taken for
 * all rows where moves are not worked out. Of means, what it is between two pulses: what strays
 * with the pulses is in every row's own, and a share of next to nothing is none of a mean. */
static bp_status solve_spread(const group *g) {
    bp_question q = question_of(g, NULL);
    const bool has_pulses = q.means;
    bp_answer *answer = NULL;
    q.ranges = true;
    q.means = false;
    bp_status status = bp_atlas_ask(g->a, &q, 1, &answer, g->report);
    const bp_state_answer *s =
        answer && answer->n_states > 0 ? &answer->states[answer->n_states - 1] : NULL;
    for (size_t t = 0; t < g->n_tests && status == BP_OK; t++) {
        double spread = LIKELY_SPREAD;
        if (s && t < s->n_readings && s->readings[t].status == BP_READING_OK &&
            s->readings[t].value != 0 && s->readings[t].high > s->readings[t].low)
            spread = (s->readings[t].high - s->readings[t].low) / (2 * BP_SIGMAS_95) /
                     fabs(s->readings[t].value);
        column_of(g, t)->spread = fmin(spread, has_pulses ? LIKELY_SPREAD : 1);
    }
    bp_answer_free(&answer);
    return status;
}

static bool lacks_spread(const group *g) {
    for (size_t t = 0; t < g->n_tests; t++)
        if (!(column_of(g, t)->spread > 0))
            return true;
    return false;
}

static bp_status solve(const group *g) {
    asked k = {0};
    bp_status status = ask(g, g->row, g->n_rows, false, &k);
    for (size_t i = 0; i < g->n_rows && status == BP_OK; i++)
        if (!take(g, g->row[i], k.answer[i]))
            status = BP_ERR_MEMORY;
    asked_clear(&k);
    if (status != BP_OK || test_of(g, 0)->part != BP_NONE)
        return status;
    return has_moves(g) ? solve_moves(g) : lacks_spread(g) ? solve_spread(g) : BP_OK;
}

static bool is_missing(const bp_atlas *a, size_t row, const size_t *test, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (bp_atlas_cell(a, row, test[i]).sort == BP_CELL_MISSING)
            return true;
    return false;
}

/* Row 0 and those of the rows that lack a cell, into g->row. False: none does. */
static bool find_rows(group *g, const size_t *rows, size_t n_rows) {
    bool any = is_missing(g->a, 0, g->test, g->n_tests);
    g->n_rows = 0;
    g->row[g->n_rows++] = 0; /* it tells whether the test can be made at all */
    for (size_t i = 0; i < n_rows; i++) {
        const size_t r = rows ? rows[i] : i;
        if (r == 0 || !is_missing(g->a, r, g->test, g->n_tests))
            continue;
        g->row[g->n_rows++] = r;
        any = true;
    }
    return any;
}

/* One group from beginning to end: what the cache does not have is solved. */
static bp_status want_group(bp_atlas *a, const size_t *test, size_t n, const size_t *rows,
                            size_t n_rows, bp_report *report) {
    group g = {.a = a, .test = test, .n_tests = n, .report = report};
    g.row = calloc(n_rows + 2, sizeof *g.row);
    if (!g.row)
        return BP_ERR_MEMORY;
    bp_status status = BP_OK;
    bool any = find_rows(&g, rows, n_rows);
    for (size_t i = 0; i < n && any; i++)
        if (!a->test[test[i]].column)
            bp_column_cache_read(a, &a->test[test[i]]);
    if (any && find_rows(&g, rows, n_rows))
        status = group_leads(&g) ? solve(&g) : BP_ERR_MEMORY;
    group_clear(&g);
    for (size_t i = 0; i < n && status == BP_OK; i++)
        bp_column_cache_write(a, &a->test[test[i]]);
    return status;
}

bp_status bp_atlas_want(bp_atlas *a, const size_t *tests, size_t n, const size_t *rows,
                        size_t n_rows, bp_report *report) {
    size_t *together = calloc(n + 1, sizeof *together);
    bool *done = calloc(n + 1, sizeof *done);
    bp_status status = together && done ? BP_OK : BP_ERR_MEMORY;
    for (size_t i = 0; i < n && status == BP_OK; i++) {
        const bp_test *first = &a->test[tests[i]].test;
        size_t k = 0;
        for (size_t j = i; j < n; j++) {
            const bp_test *t = &a->test[tests[j]].test;
            if (done[j] || !bp_test_asked_together(first, t) ||
                (first->part == BP_NONE) != (t->part == BP_NONE) ||
                a->test[tests[i]].still != a->test[tests[j]].still)
                continue;
            done[j] = true;
            together[k++] = tests[j];
        }
        if (k > 0)
            status = want_group(a, together, k, rows, rows ? n_rows : a->n_rows, report);
    }
    free(together);
    free(done);
    return status;
}
