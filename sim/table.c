/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <backprobe/table.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sim/instrument.h"
#include "sim/lab.h"
#include "sim/store.h"

struct bp_table {
    bp_table_row *row;
    size_t n_rows, n_groups, n_cases;
    bp_answer **answer; /* by row; owned */
    bp_store store;
};

static bool add_row(bp_table *t, const bp_circuit *circuit, const bp_fault_case *faults,
                    double severity, bool typical) {
    bp_table_row *more = realloc(t->row, (t->n_rows + 1) * sizeof *more);
    if (!more)
        return false;
    t->row = more;
    char text[600], words[600];
    bp_fault_write(circuit, faults, text, sizeof text);
    bp_fault_words(circuit, faults, words, sizeof words);
    more[t->n_rows++] = (bp_table_row){.fault = bp_store_copy(&t->store, text),
                                       .words = bp_store_copy(&t->store, words),
                                       .severity = severity,
                                       .typical = typical};
    return !t->store.failed;
}

/* One fault over its grid of severities. */
static bool add_fault(bp_table *t, const bp_circuit *circuit, const bp_fault *fault) {
    double grid[BP_FAULT_MOST_GRID];
    const size_t n = bp_fault_grid(circuit, fault, grid);
    bp_fault_case faults = {.fault = {*fault}, .n = 1};
    for (size_t i = 0; i < n; i++) {
        faults.fault[0].severity = grid[i];
        const bool typical = isnan(grid[i]) || grid[i] == fault->severity;
        if (!add_row(t, circuit, &faults, grid[i], typical))
            return false;
    }
    return true;
}

static bool add_rows(bp_table *t, const bp_circuit *circuit) {
    static const bp_fault_case healthy = {.n = 0};
    bp_fault_row *faults = NULL;
    size_t n = 0;
    bool good =
        add_row(t, circuit, &healthy, NAN, true) && bp_fault_list(circuit, &faults, &n) == BP_OK;
    for (size_t i = 0; i < n && good; i++)
        good = add_fault(t, circuit, &faults[i].fault);
    free(faults);
    return good;
}

static bp_status solve(bp_table *t, bp_lab *lab, void (*progress)(void *, size_t, size_t),
                       void *data, bp_report *report) {
    bp_question *question = malloc(t->n_rows * sizeof *question);
    t->answer = calloc(t->n_rows, sizeof *t->answer);
    bp_status status = BP_ERR_MEMORY;
    if (question && t->answer) {
        for (size_t i = 0; i < t->n_rows; i++) {
            question[i] = (bp_question)BP_QUESTION_INIT;
            question[i].faults = t->row[i].fault;
            question[i].ranges = i == 0;
            question[i].bare = true;
        }
        status = bp_lab_ask_many(lab, question, t->n_rows, t->answer, progress, data, report);
    }
    free(question);
    for (size_t i = 0; status == BP_OK && i < t->n_rows; i++)
        t->row[i].answer = t->answer[i];
    return status;
}

static bool is_unsolved(const bp_answer *a) {
    for (size_t i = 0; i < a->n_states; i++)
        if (!a->states[i].why)
            return false;
    return true;
}

/* A state that a slow fuse splits has two entries; the last of a state is what stays. */
static const bp_state_answer *state_of(const bp_answer *a, const char *state) {
    const bp_state_answer *found = NULL;
    for (size_t i = 0; i < a->n_states; i++)
        if (strcmp(a->states[i].state, state) == 0)
            found = &a->states[i];
    return found;
}

/* Outside what a good circuit shows, or not a plain value at all. */
static bool leaves_range(const bp_reading *good, const bp_reading *r) {
    return r->status != good->status || bp_reading_mark(good, r) != 0;
}

static bool is_telling(const bp_answer *healthy, const bp_answer *a) {
    for (size_t i = 0; i < a->n_states; i++) {
        const bp_state_answer *good = state_of(healthy, a->states[i].state);
        for (size_t k = 0; good && k < a->states[i].n_readings; k++)
            if (leaves_range(&good->readings[k], &a->states[i].readings[k]))
                return true;
    }
    return false;
}

static bool same_look(const bp_answer *a, const bp_answer *b) {
    if (a->n_states != b->n_states)
        return false;
    for (size_t i = 0; i < a->n_states; i++) {
        const bp_state_answer *x = &a->states[i], *y = &b->states[i];
        if (strcmp(x->state, y->state) != 0 || x->n_readings != y->n_readings)
            return false;
        for (size_t k = 0; k < x->n_readings; k++)
            if (strcmp(x->readings[k].display, y->readings[k].display) != 0)
                return false;
    }
    return true;
}

/* A number that is the same for answers that look alike. */
static size_t look_of(const bp_answer *a) {
    size_t h = 5381;
    for (size_t i = 0; i < a->n_states; i++)
        for (size_t k = 0; k < a->states[i].n_readings; k++)
            for (const char *c = a->states[i].readings[k].display; *c; c++)
                h = h * 33 + (unsigned char)*c;
    return h;
}

/* Rows whose displays all agree share a group; groups are numbered in the order of their first row.
 */
static bool make_groups(bp_table *t) {
    size_t *look = calloc(t->n_rows, sizeof *look);
    if (!look)
        return false;
    for (size_t i = 0; i < t->n_rows; i++) {
        bp_table_row *row = &t->row[i];
        row->group = t->n_groups;
        look[i] = row->answer ? look_of(row->answer) : 0;
        for (size_t k = 0; row->answer && k < i; k++)
            if (t->row[k].answer && look[k] == look[i] &&
                same_look(t->row[k].answer, row->answer)) {
                row->group = t->row[k].group;
                break;
            }
        t->n_groups += row->group == t->n_groups;
    }
    free(look);
    return true;
}

static bool judge(bp_table *t) {
    for (size_t i = 0; i < t->n_rows; i++) {
        bp_table_row *row = &t->row[i];
        if (row->answer && is_unsolved(row->answer))
            row->answer = NULL;
        if (row->answer && t->row[0].answer)
            row->telling = i > 0 && is_telling(t->row[0].answer, row->answer);
    }
    return make_groups(t);
}

bp_table *bp_table_compute(bp_lab *lab, void (*progress)(void *data, size_t done, size_t of),
                           void *data, bp_report *report) {
    const bp_circuit *circuit = bp_lab_circuit(lab);
    bp_table *t = calloc(1, sizeof *t);
    bp_status status = t && add_rows(t, circuit) ? BP_OK : BP_ERR_MEMORY;
    if (status == BP_OK)
        status = solve(t, lab, progress, data, report);
    if (status == BP_OK && judge(t)) {
        t->n_cases = t->n_rows * circuit->n_states;
        return t;
    }
    if (status == BP_OK || status == BP_ERR_MEMORY)
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "out of memory for the fault table");
    bp_table_free(&t);
    return NULL;
}

void bp_table_free(bp_table **table) {
    if (!table || !*table)
        return;
    bp_table *t = *table;
    for (size_t i = 0; t->answer && i < t->n_rows; i++)
        bp_answer_free(&t->answer[i]);
    free(t->answer);
    free(t->row);
    bp_store_clear(&t->store);
    free(t);
    *table = NULL;
}

size_t bp_table_n_rows(const bp_table *table) { return table->n_rows; }
const bp_table_row *bp_table_row_at(const bp_table *table, size_t index) {
    return &table->row[index];
}
size_t bp_table_n_groups(const bp_table *table) { return table->n_groups; }
size_t bp_table_n_cases(const bp_table *table) { return table->n_cases; }
