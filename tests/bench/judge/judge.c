/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How good the advice is: hidden faults on every circuit of the library; docs/benchmarks.md has the
 * figures.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <backprobe/load.h>

#include "circuits/folders.h"
#include "tests/bench/judge/trial.h"

static const char *const ways[N_WAYS] = {"ours", "halving", "random"};

typedef struct orders {
    size_t trials, samples;
    unsigned long seed;
    bool way[N_WAYS];
    bool misses;
} orders;

/* What one circuit came to. */
typedef struct outcome {
    double right[N_WAYS], tests[N_WAYS], minutes[N_WAYS]; /* means */
    double common, nothing, ratio;                        /* ratio NAN: no optimum */
    size_t n;
} outcome;

static void print_report(const bp_report *report) {
    for (size_t i = 0; i < bp_report_count(report); i++)
        fprintf(stderr, "%s\n", bp_report_at(report, i)->text);
}

typedef struct chance {
    gsl_rng *who, *noise;
} chance;

static bool chance_make(chance *c, unsigned long seed) {
    c->who = gsl_rng_alloc(gsl_rng_mt19937);
    c->noise = gsl_rng_alloc(gsl_rng_mt19937);
    if (!c->who || !c->noise)
        return false;
    gsl_rng_set(c->who, seed);
    return true;
}

static void chance_free(chance *c) {
    gsl_rng_free(c->who);
    gsl_rng_free(c->noise);
}

static bool judge_way(court *k, way how, const orders *o, outcome *out, bp_report *report) {
    chance c;
    bool good = chance_make(&c, o->seed);
    k->print_misses = o->misses && how == WAY_OURS;
    for (size_t i = 0; i < o->trials && good; i++) {
        const suspect h = draw_hidden(k, c.who, report);
        verdict v = {0};
        gsl_rng_set(c.noise, o->seed + 1000 + i);
        good = try_it(k, &h, how, c.noise, &v, report);
        out->right[how] += v.right ? 1 : 0;
        out->tests[how] += (double)v.tests;
        out->minutes[how] += v.minutes;
    }
    const double n = (double)o->trials;
    out->right[how] /= n;
    out->tests[how] /= n;
    out->minutes[how] /= n;
    chance_free(&c);
    return good;
}

/* Naming the commonest class, or nothing at all, without any test. */
static bool judge_idle(const court *k, const orders *o, outcome *out, bp_report *report) {
    chance c;
    double *sum = calloc(k->n_classes + 1, sizeof *sum);
    size_t best = 0, common = 0, nothing = 0;
    const bool good = chance_make(&c, o->seed) && sum;
    for (size_t f = 0; good && f < k->prior.n_faults; f++)
        sum[k->class_of[f]] += k->prior.fault[f];
    for (size_t i = 1; good && i < k->n_classes; i++)
        best = sum[i] > sum[best] ? i : best;
    for (size_t i = 0; good && i < o->trials; i++) {
        const suspect h = draw_hidden(k, c.who, report);
        common += h.class == best;
        nothing += h.class == k->n_classes - 2;
    }
    out->common = (double)common / (double)o->trials;
    out->nothing = (double)nothing / (double)o->trials;
    free(sum);
    chance_free(&c);
    return good;
}

static bool sample(court *k, const orders *o, calibration *sum, bp_report *report) {
    chance c;
    bool good = chance_make(&c, o->seed + 500000);
    for (size_t i = 0; i < o->samples && good; i++) {
        const suspect h = draw_hidden(k, c.who, report);
        gsl_rng_set(c.noise, o->seed + 600000 + i);
        good = sample_it(k, &h, c.noise, sum, report);
    }
    chance_free(&c);
    return good;
}

static void print_head(void) {
    printf(
        "%-22s faults classes largest tests  bits  way       true first          tests  minutes\n",
        "");
}

static void print_outcome(const char *id, const court *k, const orders *o, const outcome *out) {
    printf("%-22s %6zu %7zu %7zu %5zu %5.2f", id, k->prior.n_faults, k->n_classes - 2, k->largest,
           k->n_tests, k->entropy);
    const char *indent = "";
    for (size_t w = 0; w < N_WAYS; w++) {
        if (!o->way[w])
            continue;
        const double x = out->right[w];
        printf("%s  %-8s %5.1f %% (+-%4.1f)   %6.2f   %6.1f\n", indent, ways[w], 100 * x,
               196 * sqrt(x * (1 - x) / (double)o->trials), out->tests[w], out->minutes[w]);
        indent = "                                                        ";
    }
    printf("%s  commonest class %.1f %%, doing nothing %.1f %%", indent, 100 * out->common,
           100 * out->nothing);
    if (!isnan(out->ratio))
        printf(", minutes by the optimum's %.3f", out->ratio);
    printf("\n");
    fflush(stdout);
}

static bool judge(const char *id, const orders *o, calibration *c, outcome *out,
                  bp_report *report) {
    bp_circuit *circuit = NULL;
    court k = {0};
    *out = (outcome){.ratio = NAN};
    bool good = bp_load(id, &circuit, report) == BP_OK && court_open(&k, circuit, report);
    for (size_t w = 0; w < N_WAYS && good && o->trials > 0; w++)
        good = !o->way[w] || judge_way(&k, (way)w, o, out, report);
    if (good && o->trials > 0) {
        double optimum, ours;
        size_t tests;
        good = judge_idle(&k, o, out, report);
        if (o->way[WAY_OURS] && compare_with_optimum(&k, 6, &optimum, &ours, &tests))
            out->ratio = ours / optimum;
        print_outcome(id, &k, o, out);
    }
    good = good && sample(&k, o, c, report);
    court_close(&k);
    bp_circuit_free(&circuit);
    return good;
}

static void print_calibration(const calibration *c) {
    printf("calibration: classes after readings at random\n  given            n    said    true\n");
    for (size_t i = 0; i < 10; i++)
        if (c->n[i] > 0)
            printf("  %3zu-%3zu %% %7zu  %4.1f %%  %4.1f %%\n", 10 * i, 10 * i + 10, c->n[i],
                   100 * c->sum[i] / (double)c->n[i], 100 * (double)c->right[i] / (double)c->n[i]);
}

/* The mean over circuits, each counting alike. */
static void print_means(const orders *o, const outcome *out, size_t n) {
    for (size_t w = 0; w < N_WAYS; w++) {
        double right = 0, tests = 0, minutes = 0;
        for (size_t i = 0; i < n; i++) {
            right += out[i].right[w] / (double)n;
            tests += out[i].tests[w] / (double)n;
            minutes += out[i].minutes[w] / (double)n;
        }
        if (o->way[w])
            printf("mean of %zu circuits, %-8s %5.1f %%  %6.2f tests  %6.1f minutes\n", n, ways[w],
                   100 * right, tests, minutes);
    }
}

static int usage(void) {
    fprintf(stderr,
            "usage: bench_judge [-t TRIALS] [-c SAMPLES] [-s SEED] [-w WAY]... [-m] [CIRCUIT...]\n"
            "  -t  hidden faults for each circuit and way of choosing tests (200)\n"
            "  -c  hidden faults for each circuit with readings at random, for the calibration "
            "(0)\n"
            "  -w  ours, halving or random; all unless given\n"
            "  -m  print the trials that we missed\n");
    return EXIT_FAILURE;
}

static bool read_orders(int n, char **argument, orders *o) {
    bool any = false;
    *o = (orders){.trials = 200, .seed = 1};
    for (int c; (c = getopt(n, argument, "ht:c:s:w:m")) != -1;) {
        if (c == 't')
            o->trials = strtoul(optarg, NULL, 10);
        else if (c == 'c')
            o->samples = strtoul(optarg, NULL, 10);
        else if (c == 's')
            o->seed = strtoul(optarg, NULL, 10);
        else if (c == 'm')
            o->misses = true;
        else if (c != 'w')
            return false;
        for (size_t w = 0; c == 'w' && w < N_WAYS; w++)
            any = (strcmp(optarg, ways[w]) == 0 && (o->way[w] = true)) || any;
    }
    for (size_t w = 0; w < N_WAYS && !any; w++)
        o->way[w] = true;
    return true;
}

int main(int n, char **argument) {
    orders o;
    if (!read_orders(n, argument, &o))
        return usage();
    bp_report *report = bp_report_new();
    bp_found *list = NULL;
    size_t count = 0, done = 0;
    calibration c = {0};
    bool good = bp_folders_list(&list, &count) == BP_OK;
    const size_t asked = optind < n ? (size_t)(n - optind) : count;
    outcome *out = calloc(asked + 1, sizeof *out);
    good = good && out;
    if (good && o.trials > 0)
        print_head();
    for (; good && done < asked; done += good)
        good = judge(optind < n ? argument[(size_t)optind + done] : list[done].id, &o, &c,
                     &out[done], report);
    if (good && o.trials > 0 && asked > 1)
        print_means(&o, out, asked);
    if (o.samples > 0)
        print_calibration(&c);
    print_report(report);
    free(out);
    bp_found_free(&list, count);
    bp_report_free(&report);
    return good ? EXIT_SUCCESS : EXIT_FAILURE;
}
