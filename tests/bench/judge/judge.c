/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How good is the advice? Hidden faults on every circuit of the library; docs/benchmarks.md has the
 * figures. Usage: bench_judge [TRIALS [SEED [CIRCUIT...]]]
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include <backprobe/load.h>

#include "circuits/folders.h"
#include "tests/bench/judge/trial.h"

static const char *const ways[N_WAYS] = {"ours", "halving", "random"};

static void print_report(const bp_report *report) {
    for (size_t i = 0; i < bp_report_count(report); i++)
        fprintf(stderr, "%s\n", bp_report_at(report, i)->text);
}

static void print_way(const char *name, const verdict *sum, size_t right, size_t n) {
    const double share = (double)right / (double)n;
    printf("  %-22s %5.1f %% (+-%.1f)   %5.2f   %6.1f\n", name, 100 * share,
           196 * sqrt(share * (1 - share) / (double)n), (double)sum->tests / (double)n,
           sum->minutes / (double)n);
    fflush(stdout);
}

static bool judge_way(court *k, way how, size_t trials, unsigned long seed, calibration *c,
                      bp_report *report) {
    gsl_rng *who = gsl_rng_alloc(gsl_rng_mt19937), *noise = gsl_rng_alloc(gsl_rng_mt19937);
    verdict sum = {0};
    size_t right = 0, n = 0;
    bool good = who && noise;
    if (good)
        gsl_rng_set(who, seed);
    for (size_t i = 0; i < trials && good; i++) {
        const suspect h = draw_hidden(k, who);
        verdict v = {0};
        gsl_rng_set(noise, seed + 1000 + i);
        good = try_it(k, &h, how, noise, &v, c, report);
        right += v.right;
        sum.tests += v.tests;
        sum.minutes += v.minutes;
        n++;
    }
    if (good)
        print_way(ways[how], &sum, right, n);
    gsl_rng_free(who);
    gsl_rng_free(noise);
    return good;
}

/* Naming the commonest class, or nothing at all, without any test. */
static void judge_idle(const court *k, size_t trials, unsigned long seed) {
    gsl_rng *who = gsl_rng_alloc(gsl_rng_mt19937);
    double *sum = calloc(k->n_classes + 1, sizeof *sum);
    size_t best = 0, common = 0, nothing = 0;
    const verdict none = {0};
    if (!who || !sum)
        return;
    for (size_t f = 0; f < k->prior.n_faults; f++)
        sum[k->class_of[f]] += k->prior.fault[f];
    for (size_t c = 1; c < k->n_classes; c++)
        best = sum[c] > sum[best] ? c : best;
    gsl_rng_set(who, seed);
    for (size_t i = 0; i < trials; i++) {
        const suspect h = draw_hidden(k, who);
        common += h.class == best;
        nothing += h.class == k->n_classes - 2;
    }
    print_way("the commonest class", &none, common, trials);
    print_way("doing nothing", &none, nothing, trials);
    free(sum);
    gsl_rng_free(who);
}

static bool judge(const char *id, size_t trials, unsigned long seed, calibration *c,
                  bp_report *report) {
    bp_circuit *circuit = NULL;
    court k = {0};
    bool good = bp_load(id, &circuit, report) == BP_OK && court_open(&k, circuit, report);
    if (good) {
        printf("%s: %zu faults in %zu classes, %zu tests, entropy %.2f bits, %zu trials\n", id,
               k.prior.n_faults, k.n_classes - 2, k.n_tests, k.entropy, trials);
        printf("  %-22s %18s   tests   minutes\n", "", "true class first");
        fflush(stdout);
        for (size_t w = 0; w < N_WAYS && good; w++) {
            calibration aside = {0};
            good = judge_way(&k, (way)w, trials, seed, w == WAY_OURS ? c : &aside, report);
        }
        judge_idle(&k, trials, seed);
        double optimum, ours;
        size_t tests;
        if (compare_with_optimum(&k, 6, &optimum, &ours, &tests))
            printf("  6 likeliest classes, %zu plain tests: ours %.2f min, exact optimum %.2f min, "
                   "ratio %.3f\n",
                   tests, ours, optimum, ours / optimum);
    }
    court_close(&k);
    bp_circuit_free(&circuit);
    return good;
}

static void print_calibration(const calibration *c) {
    printf("calibration of the leading class after every reading, ours\n");
    printf("  given          n   said   true\n");
    for (size_t i = 0; i < 10; i++)
        if (c->n[i] > 0)
            printf("  %3zu-%3zu %% %6zu  %4.1f %%  %4.1f %%\n", 10 * i, 10 * i + 10, c->n[i],
                   100 * c->sum[i] / (double)c->n[i], 100 * (double)c->right[i] / (double)c->n[i]);
}

int main(int n, char **argument) {
    const size_t trials = n > 1 ? strtoul(argument[1], NULL, 10) : 200;
    const unsigned long seed = n > 2 ? strtoul(argument[2], NULL, 10) : 1;
    bp_report *report = bp_report_new();
    bp_found *list = NULL;
    size_t count = 0;
    calibration c = {0};
    bool good = trials > 0 && bp_folders_list(&list, &count) == BP_OK;
    for (int i = 3; i < n && good; i++)
        good = judge(argument[i], trials, seed, &c, report);
    for (size_t i = 0; n <= 3 && i < count && good; i++)
        good = judge(list[i].id, trials, seed, &c, report);
    print_calibration(&c);
    print_report(report);
    bp_found_free(&list, count);
    bp_report_free(&report);
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
