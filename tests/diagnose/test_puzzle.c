/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The choice of the next question against textbook examples: entropies worked by hand, twelve coins
 * on a balance, prefix codes (Huffman 1952), and brute force.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>

#include <cmocka.h>
#include <math.h>
#include <string.h>

#include "tests/diagnose/optimum.h"
#include "diagnose/puzzle.h"

static void near(double a, double b, double within) {
    if (!(fabs(a - b) <= within))
        fail_msg("%.12g, expected %.12g", a, b);
}

static void test_entropy_by_hand(void **state) {
    (void)state;
    const double fair[2] = {1, 1}, dyadic[4] = {0.5, 0.25, 0.125, 0.125}, sure[3] = {0, 7, 0};
    const double third[2] = {1, 2};
    near(bp_entropy(fair, 2), 1, 1e-12);
    near(bp_entropy(dyadic, 4), 1.75, 1e-12); /* 1/2*1 + 1/4*2 + 2*1/8*3 */
    near(bp_entropy(sure, 3), 0, 1e-12);
    near(bp_entropy(third, 2), 0.918295834054, 1e-11); /* log2 3 - 2/3 */
}

/* A binary symmetric channel with error 0.1 has capacity 1 - H(0.1) = 0.531004406 bits at a fair
 * input (Cover and Thomas, Elements of Information Theory). */
static void test_gain_of_a_noisy_answer(void **state) {
    (void)state;
    const size_t class_of[2] = {0, 1};
    float p[4] = {0.9F, 0.1F, 0.1F, 0.9F};
    const double weight[2] = {0.5, 0.5};
    const bp_puzzle_test t = {2, 2, p};
    const bp_puzzle z = {2, 2, 1, class_of, &t, NULL, NULL, 0.95, 0.001};
    double after[2];
    near(bp_puzzle_gain(&z, &t, weight), 0.531004406, 1e-6);
    near(bp_puzzle_after(&z, &t, weight, 0, after), 0.5, 1e-7);
    near(after[0], 0.9, 1e-7);
}

/* Cases of one class need not be told apart: a question that only does that is worth nothing. */
static void test_gain_counts_classes(void **state) {
    (void)state;
    const size_t class_of[4] = {0, 0, 1, 1};
    float within[8] = {1, 0, 0, 1, 1, 0, 0, 1}, between[8] = {1, 0, 1, 0, 0, 1, 0, 1};
    const double weight[4] = {0.25, 0.25, 0.25, 0.25};
    const bp_puzzle_test t[2] = {{2, 2, within}, {2, 2, between}};
    const bp_puzzle z = {4, 2, 2, class_of, t, NULL, NULL, 0.95, 0.001};
    near(bp_puzzle_gain(&z, &t[0], weight), 0, 1e-9);
    near(bp_puzzle_gain(&z, &t[1], weight), 1, 1e-9);
    assert_int_equal(bp_puzzle_best(&z, weight, NULL, 0, NULL), 1);
}

/* Every question that parts the cases in two, one minute each. */
typedef struct questions {
    bp_puzzle z;
    size_t class_of[24];
    bp_puzzle_test *test;
} questions;

static void all_questions(questions *q, size_t n) {
    const size_t count = ((size_t)1 << (n - 1)) - 1;
    q->test = calloc(count, sizeof *q->test);
    for (size_t i = 0; i < n; i++)
        q->class_of[i] = i;
    for (size_t t = 0; t < count; t++) {
        q->test[t] = (bp_puzzle_test){2, 2, calloc(2 * n, sizeof(float))};
        for (size_t i = 0; i < n; i++)
            q->test[t].p[2 * i + ((t + 1) >> i & 1)] = 1;
    }
    q->z = (bp_puzzle){n, n, count, q->class_of, q->test, NULL, NULL, 0.9999, 1e-9};
}

static void questions_clear(questions *q) {
    for (size_t t = 0; t < q->z.n_tests; t++)
        free(q->test[t].p);
    free(q->test);
}

/* Average length of Huffman's code: sum of what every merger of the two least makes. */
static double huffman(const double *weight, size_t n) {
    double list[24], sum = 0;
    memcpy(list, weight, n * sizeof *list);
    for (; n > 1; n--) {
        for (size_t k = 0; k < 2; k++)
            for (size_t i = k + 1; i < n; i++)
                if (list[i] < list[k]) {
                    const double swap = list[i];
                    list[i] = list[k];
                    list[k] = swap;
                }
        list[0] += list[1];
        sum += list[0];
        list[1] = list[n - 1];
    }
    return sum;
}

static void test_prefix_codes(void **state) {
    (void)state;
    /* The second are the seven largest of the example in Huffman's paper, from memory. */
    static const double weights[3][7] = {{0.5, 0.25, 0.125, 0.0625, 0.03125, 0.015625, 0.015625},
                                         {0.20, 0.18, 0.10, 0.10, 0.10, 0.06, 0.06},
                                         {0.36, 0.30, 0.14, 0.08, 0.06, 0.04, 0.02}};
    for (size_t k = 0; k < 3; k++) {
        questions q;
        double sum = 0, weight[7];
        all_questions(&q, 7);
        for (size_t i = 0; i < 7; i++)
            sum += weights[k][i];
        for (size_t i = 0; i < 7; i++)
            weight[i] = weights[k][i] / sum;
        const double best = huffman(weight, 7), ours = bp_puzzle_greedy_minutes(&q.z, weight, 0, 0);
        near(optimum_minutes(&q.z, weight, 100000), best, 1e-9);
        assert_true(ours >= best - 1e-9 && ours >= bp_entropy(weight, 7) - 1e-6);
        near(ours, best, k == 0 ? 1e-6 : 0.05 * best);
        questions_clear(&q);
    }
}

/* Twelve coins, one of them lighter or heavier; a balance. 24 cases and three outcomes need at
 * least three weighings (3^2 < 24 <= 3^3), and three are enough: the classic puzzle. */
enum { COINS = 12, CASES = 24 };

static size_t add_weighing(bp_puzzle_test *t, const int side[COINS]) {
    t->n_outcomes = t->n_ordered = 3;
    t->p = calloc(3 * CASES, sizeof *t->p);
    for (size_t c = 0; c < COINS; c++)
        for (size_t heavy = 0; heavy < 2; heavy++) {
            const int tilt = heavy ? side[c] : -side[c];
            t->p[3 * (2 * c + heavy) + (size_t)(1 + tilt)] = 1;
        }
    return 1;
}

/* Weighings with the first coins of each of four heaps that earlier outcomes make: enough variety,
 * and few enough to try. All with one to four coins a side that are runs of coins. */
static size_t make_weighings(bp_puzzle_test *test) {
    size_t n = 0;
    for (size_t k = 1; k <= 4; k++)
        for (size_t a = 0; a < COINS; a++)
            for (size_t b = 0; b < COINS; b++)
                for (size_t step = 1; step <= 5; step += 2) {
                    int side[COINS] = {0};
                    bool good = true;
                    for (size_t i = 0; i < k; i++) {
                        const size_t x = (a + i * step) % COINS, y = (b + i) % COINS;
                        good = good && side[x] == 0;
                        side[x] = 1;
                        good = good && side[y] == 0;
                        side[y] = -1;
                    }
                    if (good)
                        n += add_weighing(&test[n], side);
                }
    return n;
}

static size_t deepest(const bp_puzzle *z, const double *weight, size_t *made, size_t n) {
    const size_t t = bp_puzzle_greedy(z, weight, made, n, NULL);
    size_t most = 0;
    double after[CASES];
    if (t == BP_PUZZLE_NONE)
        return 0;
    for (size_t o = 0; o < 3; o++) {
        made[n] = t;
        if (bp_puzzle_after(z, &z->test[t], weight, o, after) > 0) {
            const size_t d = deepest(z, after, made, n + 1);
            most = d > most ? d : most;
        }
    }
    return most + 1;
}

static void test_twelve_coins(void **state) {
    (void)state;
    bp_puzzle_test *test = calloc(4 * COINS * COINS * 3, sizeof *test);
    size_t class_of[CASES], made[40];
    double weight[CASES];
    for (size_t i = 0; i < CASES; i++) {
        class_of[i] = i;
        weight[i] = 1.0 / CASES;
    }
    const size_t n = make_weighings(test);
    const bp_puzzle z = {CASES, CASES, n, class_of, test, NULL, NULL, 0.99, 1e-6};
    const size_t first = bp_puzzle_greedy(&z, weight, NULL, 0, NULL);
    near(bp_puzzle_gain(&z, &z.test[first], weight), log2(3), 1e-6); /* four against four */
    assert_int_equal(deepest(&z, weight, made, 0), 3);
    for (size_t t = 0; t < n; t++)
        free(test[t].p);
    free(test);
}

/* A dear question about the likeliest case, cheap ones about the others: worked by hand below. */
static double two_prices(void *data, const size_t *made, size_t n_made, size_t test) {
    (void)data, (void)made, (void)n_made;
    return test == 0 ? 10 : 3;
}

static void test_minutes_decide(void **state) {
    (void)state;
    questions q;
    const double weight[3] = {0.6, 0.3, 0.1};
    all_questions(&q, 3); /* asks: is it 0? is it 1? is it 0 or 1? */
    q.z.minutes = two_prices;
    /* Asking "1?" first (3) leaves 0 and 2 with 0.7, told apart by "0 or 1?" (3): 5.1 in all; the
     * other way round 3 + 0.9 * 3 = 5.7. The dear question never pays. */
    near(optimum_minutes(&q.z, weight, 1000), 5.1, 1e-9);
    assert_int_equal(bp_puzzle_best(&q.z, weight, NULL, 0, NULL), 1);
    questions_clear(&q);
}

/* Ranges of a scale, against every way to cut it. */
static void test_join_against_brute_force(void **state) {
    (void)state;
    enum { N = 8 };
    const size_t class_of[4] = {0, 1, 2, 0};
    const double weight[4] = {0.4, 0.3, 0.2, 0.1};
    float p[4 * N] = {0};
    for (size_t i = 0; i < 4; i++)
        for (size_t o = 0; o < N; o++)
            p[i * N + o] = expf(-powf((float)o - 2.3F * (float)i, 2));
    for (size_t i = 0; i < 4; i++) {
        float sum = 0;
        for (size_t o = 0; o < N; o++)
            sum += p[i * N + o];
        for (size_t o = 0; o < N; o++)
            p[i * N + o] /= sum;
    }
    const bp_puzzle_test t = {N, N, p};
    const bp_puzzle z = {4, 3, 1, class_of, &t, NULL, NULL, 0.95, 0.001};
    size_t first[N + 1];
    const size_t n = bp_puzzle_join(&z, &t, weight, 3, first);
    assert_int_equal(n, 3);
    bp_puzzle_test ours = bp_puzzle_joined(&z, &t, first, n);
    double most = 0;
    for (size_t a = 1; a < N; a++)
        for (size_t b = a + 1; b < N; b++) {
            const size_t cuts[4] = {0, a, b, N};
            bp_puzzle_test other = bp_puzzle_joined(&z, &t, cuts, 3);
            most = fmax(most, bp_puzzle_gain(&z, &other, weight));
            free(other.p);
        }
    near(bp_puzzle_gain(&z, &ours, weight), most, 1e-6);
    free(ours.p);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_entropy_by_hand),
        cmocka_unit_test(test_gain_of_a_noisy_answer),
        cmocka_unit_test(test_gain_counts_classes),
        cmocka_unit_test(test_prefix_codes),
        cmocka_unit_test(test_twelve_coins),
        cmocka_unit_test(test_minutes_decide),
        cmocka_unit_test(test_join_against_brute_force),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
