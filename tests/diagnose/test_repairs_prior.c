/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How the book of repairs changes the weights of faults.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>
#include <string.h>

#include "diagnose/repairs.h"
#include "tests/diagnose/book.h"

static void near(double got, double want) {
    assert_true(got > want * (1 - 1e-12) && got < want * (1 + 1e-12));
}

/* Gelman et al., Bayesian Data Analysis, 3rd edition, section 3.4, pre-election polling: 727, 583
 * and 137 answers on a uniform Dirichlet(1, 1, 1) give Dirichlet(728, 584, 138), from memory. */
static void test_polling(void **state) {
    (void)state;
    double share[] = {1, 1, 1};
    bp_prior_dirichlet(3, (const double[]){727, 583, 137}, 3, share);
    near(share[0] / 3, 728.0 / 1450);
    near(share[1] / 3, 584.0 / 1450);
    near(share[2] / 3, 138.0 / 1450);
}

/* By hand: weights 4, 2 and 2 with the trust of 8 repairs, and 3 repairs of the second, 1 of the
 * third. (8 * 4/8 + 0) / 12 = 1/3, (8 * 2/8 + 3) / 12 = 5/12, (8 * 2/8 + 1) / 12 = 3/12, times 8.
 */
static void test_by_hand(void **state) {
    (void)state;
    double weight[] = {4, 2, 2};
    bp_prior_dirichlet(8, (const double[]){0, 3, 1}, 3, weight);
    near(weight[0], 8 / 3.0);
    near(weight[1], 8 * 5 / 12.0);
    near(weight[2], 2);
    double same[] = {4, 2, 2}; /* without repairs nothing changes */
    bp_prior_dirichlet(8, (const double[]){0, 0, 0}, 3, same);
    near(same[0], 4);
    near(same[2], 2);
}

typedef struct list {
    bp_fault_row *rows;
    const bp_fault_row **faults;
    double *weight;
    size_t n;
    double sum;
} list;

static list list_of(const bp_circuit *circuit) {
    list l = {0};
    assert_int_equal(bp_fault_list(circuit, &l.rows, &l.n), BP_OK);
    l.faults = calloc(l.n, sizeof *l.faults);
    l.weight = calloc(l.n, sizeof *l.weight);
    assert_true(l.faults && l.weight);
    for (size_t i = 0; i < l.n; i++) {
        l.faults[i] = &l.rows[i];
        l.weight[i] = l.rows[i].weight;
        l.sum += l.weight[i];
    }
    return l;
}

static void list_free(list *l) {
    free(l->rows);
    free(l->faults);
    free(l->weight);
}

static size_t find(const bp_circuit *circuit, const list *l, const char *fault) {
    bp_fault_case faults;
    char why[200];
    assert_int_equal(bp_fault_parse(circuit, fault, &faults, why, sizeof why), BP_OK);
    const bp_fault *f = &faults.fault[0];
    for (size_t i = 0; i < l->n; i++)
        if (l->rows[i].fault.part == f->part && l->rows[i].fault.sub == f->sub &&
            l->rows[i].fault.mode == f->mode && l->rows[i].fault.partner == f->partner)
            return i;
    fail_msg("%s is not in the list", fault);
    return 0;
}

static void strike(book *b, long long number) {
    bp_repairs *repairs;
    assert_int_equal(bp_repairs_open(b->path, true, &repairs, b->report), BP_OK);
    assert_int_equal(bp_repairs_strike(repairs, number, "came back", b->report), BP_OK);
    bp_repairs_close(&repairs);
}

/* Two repairs of the ground at different degrees, one of a short whose pair was written the other
 * way round, one that was struck out, one about a fault that is no more. */
static void test_book(void **state) {
    (void)state;
    book b;
    book_set(&b);
    assert_int_equal(book_add(&b, "G3:resistance=1.5ohm"), BP_OK);
    assert_int_equal(book_add(&b, "G3:resistance"), BP_OK);
    assert_int_equal(book_add(&b, "W3:short-to=W2"), BP_OK);
    assert_int_equal(book_add(&b, "W6:open"), BP_OK);
    assert_int_equal(book_add(&b, "W4:open"), BP_OK);
    strike(&b, 4);
    list l = list_of(b.circuit);
    const size_t ground = find(b.circuit, &l, "G3:resistance"),
                 pair = find(b.circuit, &l, "W2:short-to=W3"),
                 struck = find(b.circuit, &l, "W6:open"), gone = find(b.circuit, &l, "W4:open");
    const double before[] = {l.weight[ground], l.weight[pair], l.weight[struck]};
    const bp_fault_row *kept = l.faults[gone];
    l.faults[gone] = l.faults[struck]; /* W4:open is in no list now */
    bp_repairs *repairs;
    assert_int_equal(bp_repairs_open(b.path, false, &repairs, b.report), BP_OK);
    assert_int_equal(bp_repairs_weigh(repairs, b.circuit, l.faults, l.n, l.weight, b.report),
                     BP_OK);
    bp_repairs_close(&repairs);
    /* A weight of 1 is worth one repair: (weight + count) * sum / (sum + 3 that count). */
    near(l.weight[ground], (before[0] + 2) * l.sum / (l.sum + 3));
    near(l.weight[pair], (before[1] + 1) * l.sum / (l.sum + 3));
    near(l.weight[struck], before[2] * l.sum / (l.sum + 3));
    assert_non_null(strstr(book_messages(&b), "1 entry about faults that horn does not have"));
    l.faults[gone] = kept;
    list_free(&l);
    book_clear(&b);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_polling),
        cmocka_unit_test(test_by_hand),
        cmocka_unit_test(test_book),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
