/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every kind, every failure mode: in a small circuit some instrument or sense tells it from the
 * good one, at its typical degree or at an end of its range, or the kind declares why nothing can.
 * A mode that somebody adds and that changes nothing fails here, and so does a kind without a
 * circuit.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/seen.h>

#include "circuits/fault.h"
#include "tests/sim/desk.h"
#include "tests/sim/matrix.h"
#include "tests/sweep.h"

enum { MOST_MODES = 32, DEGREES = 3, TEXT = 200 };

/* By kind and mode: met in some circuit, and told in some. Pins have their own. */
static bool met[BP_N_KINDS][MOST_MODES], told[BP_N_KINDS][MOST_MODES];
static bool met_pin[BP_N_KINDS][MOST_MODES], told_pin[BP_N_KINDS][MOST_MODES];

/* A fault at its typical degree; and, for those which that does not tell, at its worst and its
 * least.
 */
typedef struct degrees {
    const bp_mode_decl *mode;
    size_t kind;
    int index; /* of the mode */
    char text[DEGREES][TEXT];
    size_t n; /* of them */
    bool told;
} degrees;

static void write_degrees(const bp_circuit *c, const bp_fault *fault, degrees *d) {
    bp_fault_case one = {.fault = {*fault}, .n = 1};
    d->mode = bp_fault_mode(c, fault);
    const double at[DEGREES] = {fault->severity, d->mode->hi, d->mode->lo};
    d->n = d->mode->scale == BP_SCALE_NONE ? 1 : DEGREES;
    for (size_t i = 0; i < d->n; i++) {
        one.fault[0].severity = at[i];
        bp_fault_write(c, &one, d->text[i], TEXT);
    }
}

/* All faults of X. Owned by the caller. */
static degrees *list(const bp_circuit *c, size_t *n) {
    bp_fault_row *rows;
    size_t n_rows;
    const size_t x = bp_part_find(c, "X");
    assert_int_equal(bp_fault_list(c, &rows, &n_rows), BP_OK);
    degrees *faults = calloc(n_rows, sizeof *faults);
    *n = 0;
    for (size_t i = 0; i < n_rows; i++) {
        if (rows[i].fault.part != x && rows[i].fault.partner != x)
            continue;
        degrees *d = &faults[(*n)++];
        write_degrees(c, &rows[i].fault, d);
        d->kind = bp_kind_index(c->parts[rows[i].fault.part].kind);
        d->index = rows[i].fault.mode;
        assert_in_range(d->index, 0, MOST_MODES - 1);
    }
    free(rows);
    return faults;
}

/* Asks for the degrees first .. last of what is not told yet. */
static void ask(desk *d, degrees *faults, size_t n, size_t first, size_t last) {
    const char **texts = calloc(n * DEGREES, sizeof *texts);
    degrees **of = calloc(n * DEGREES, sizeof *of);
    bp_seen *seen = calloc(n * DEGREES, sizeof *seen);
    size_t n_texts = 0;
    for (size_t i = 0; i < n; i++)
        for (size_t k = first; k < faults[i].n && k <= last && !faults[i].told; k++) {
            of[n_texts] = &faults[i];
            texts[n_texts++] = faults[i].text[k];
        }
    assert_int_equal(bp_seen_at_all(d->lab, texts, n_texts, ~0u, seen, d->report), BP_OK);
    for (size_t i = 0; i < n_texts; i++)
        of[i]->told = of[i]->told || seen[i].instruments || seen[i].senses;
    free(seen);
    free(of);
    free(texts);
}

static void look_at_row(const matrix_row *row) {
    desk d;
    size_t n;
    desk_set(&d, row->parts, row->wires, row->states);
    degrees *faults = list(d.circuit, &n);
    ask(&d, faults, n, 0, 0);
    ask(&d, faults, n, 1, DEGREES - 1);
    for (size_t i = 0; i < n; i++) {
        const bool pin = faults[i].mode->scope == BP_SCOPE_PIN;
        (pin ? met_pin : met)[faults[i].kind][faults[i].index] = true;
        if (faults[i].told || faults[i].mode->seen_by_eye)
            (pin ? told_pin : told)[faults[i].kind][faults[i].index] = true;
    }
    free(faults);
    desk_clear(&d);
}

/* Complaints about one mode of a kind: 0 or 1. */
static size_t judge(const char *kind, const bp_mode_decl *mode, bool is_met, bool is_told_of,
                    const char *unseen) {
    if (!is_met)
        print_error("%s: no circuit of the matrix has the mode %s\n", kind, mode->id);
    else if (!is_told_of && !unseen)
        print_error("%s: nothing tells %s (%s)\n", kind, mode->id, mode->words);
    else if (is_told_of && unseen)
        print_error("%s: %s is told, and declared unseen: %s\n", kind, mode->id, unseen);
    return !is_met || is_told_of == (unseen != NULL);
}

static size_t judge_kind(const bp_kind *kind, size_t k) {
    size_t wrong = 0;
    const char *open = NULL;
    for (size_t m = 0; kind->modes && kind->modes[m].id; m++) {
        assert_true(m < MOST_MODES);
        wrong += judge(kind->id, &kind->modes[m], met[k][m], told[k][m], kind->modes[m].unseen);
        if (strcmp(kind->modes[m].id, "open") == 0)
            open = kind->modes[m].unseen;
    }
    for (size_t m = 0; bp_pin_modes[m].id; m++)
        if (met_pin[k][m])
            wrong += judge(kind->id, &bp_pin_modes[m], true, told_pin[k][m], open);
    return wrong;
}

static void every_mode_is_told_or_declared_unseen(void **state) {
    (void)state;
    size_t wrong = 0;
    for (size_t i = 0; i < n_matrix_rows; i += SWEEP_CIRCUITS)
        look_at_row(&matrix_rows[i]);
    /* A sample is not judged: what tells a mode may stand in a row that was left out. */
    for (size_t k = 0; SWEEP_CIRCUITS == 1 && k < BP_N_KINDS; k++)
        wrong += judge_kind(bp_kinds[k], k);
    assert_int_equal(wrong, 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_mode_is_told_or_declared_unseen),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
