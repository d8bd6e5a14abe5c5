/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A trial that ended with the wrong class first, in full: what was hidden, what was read, what the
 * program made of it. For those who look for the reason.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/posterior_parts.h"
#include "tests/bench/judge/trial.h"

enum { SHOWN = 4, MEMBERS = 4 };

static void fault_words(const court *k, size_t fault, double severity, char *text, size_t size) {
    bp_fault_case faults = {.n = 1};
    if (fault == BP_NONE) {
        snprintf(text, size, "good circuit");
        return;
    }
    faults.fault[0] = bp_atlas_fault(k->atlas, fault)->fault;
    faults.fault[0].severity = severity;
    bp_fault_write(bp_atlas_circuit(k->atlas), &faults, text, size);
}

static void test_words(const court *k, const bp_test *t, char *text, size_t size) {
    const bp_circuit *c = bp_atlas_circuit(k->atlas);
    char red[128] = "", black[128] = "";
    if (t->part != BP_NONE) {
        snprintf(text, size, "%s: see %s", c->states[t->state].id, c->parts[t->part].id);
        return;
    }
    bp_face_name(c, t->red, red, sizeof red);
    if (t->black != BP_NONE)
        bp_face_name(c, t->black, black, sizeof black);
    snprintf(text, size, "%s: %s%s%s", c->states[t->state].id, red,
             t->black == BP_NONE ? "" : " to ", black);
}

/* The hypothesis of a fault that is most probable and nearest to the severity, or BP_NONE. */
static size_t nearest(const bp_posterior *p, size_t fault, double severity) {
    size_t best = BP_NONE;
    double least = INFINITY;
    for (size_t h = 0; h < bp_posterior_n(p); h++) {
        const bp_hypothesis *x = bp_posterior_at(p, h);
        const double far = isnan(severity) ? 0 : fabs(log(x->severity / severity));
        if (x->fault == fault && x->sort != BP_HYPOTHESIS_ABSENT &&
            (best == BP_NONE || far < least)) {
            best = h;
            least = far;
        }
    }
    return best;
}

static size_t best_of(const bp_posterior *p, const court *k, size_t class) {
    size_t best = BP_NONE;
    for (size_t h = 0; h < bp_posterior_n(p); h++) {
        const bp_hypothesis *x = bp_posterior_at(p, h);
        const size_t own = x->fault == BP_NONE ? k->n_classes - 2 : k->class_of[x->fault];
        if (own == class &&
            (best == BP_NONE || x->probability > bp_posterior_at(p, best)->probability))
            best = h;
    }
    return best;
}

/* How many standard deviations each number lies from what the others make of it. */
static void misfits(const bp_posterior *p, size_t hypothesis, double *z) {
    const bp_given *g = &p->given[p->given_of[hypothesis]];
    double *residual = calloc(g->n + 1, sizeof *residual);
    if (residual)
        bp_given_residuals(p, g, &p->hypothesis[hypothesis].between, 1, residual);
    for (size_t i = 0; residual && i < g->n; i++) {
        double sum = 0;
        for (size_t j = 0; j < g->n; j++)
            sum += g->gauss.inverse[i * g->n + j] * residual[j];
        z[g->reading[i]] = sum / sqrt(g->gauss.inverse[i * g->n + i]);
    }
    free(residual);
}

static void print_under(const court *k, const bp_posterior *p, size_t h, const bp_evidence *e,
                        double z) {
    const bp_hypothesis *x = bp_posterior_at(p, h);
    const bp_cell cell = bp_atlas_cell(k->atlas, x->between > 0.5 ? x->next : x->row, e->test);
    if (cell.sort == BP_CELL_VALUE)
        printf("  %8.3f (%+5.1f)", cell.value, z);
    else
        printf("  %16s", cell.sort == BP_CELL_SAYS ? cell.says : "no number");
}

static void print_readings(const court *k, const bp_posterior *p, const size_t under[2]) {
    static const char *const names[2] = {"true", "first"};
    const size_t n = bp_posterior_n_evidence(p);
    double *z = calloc(2 * n + 1, sizeof *z);
    for (int j = 0; z && j < 2; j++) {
        const bp_hypothesis *x = under[j] == BP_NONE ? NULL : bp_posterior_at(p, under[j]);
        if (!x)
            continue;
        misfits(p, under[j], &z[(size_t)j * n]);
        printf("    %s: severity %g, log fit %.2f, prior %.3g\n", names[j], x->severity, x->fit,
               exp(p->log_mass[under[j]]));
    }
    for (size_t i = 0; z && i < n; i++) {
        const bp_evidence *e = bp_posterior_evidence(p, i);
        const bp_cell good = bp_atlas_cell(k->atlas, 0, e->test);
        char words[300];
        test_words(k, bp_atlas_test(k->atlas, e->test), words, sizeof words);
        printf("    %-40s ", words);
        if (e->sort == BP_SEEN_VALUE)
            printf("%11.3f", e->value);
        else
            printf("%11s", e->sort == BP_SEEN_WORD   ? e->word
                           : e->sort == BP_SEEN_OVER ? "OL"
                                                     : "unsteady");
        printf("  good %7.3f", good.value);
        for (size_t j = 0; j < 2; j++)
            if (under[j] != BP_NONE)
                print_under(k, p, under[j], e, z[j * n + i]);
        printf("  slip %.2f\n", bp_posterior_slip(p, i));
    }
    free(z);
}

void print_miss(const court *k, const suspect *hidden, const bp_posterior *p, const double *share) {
    char words[400];
    fault_words(k, hidden->fault, hidden->severity, words, sizeof words);
    printf("  missed: %s (class %zu, now %.3f)\n", words, hidden->class, share[hidden->class]);
    bool *done = calloc(k->n_classes + 1, sizeof *done);
    size_t first = 0;
    for (int n = 0; done && n < SHOWN; n++) {
        size_t best = BP_NONE;
        for (size_t c = 0; c < k->n_classes; c++)
            if (!done[c] && (best == BP_NONE || share[c] > share[best]))
                best = c;
        if (best == BP_NONE)
            break;
        first = n == 0 ? best : first;
        done[best] = true;
        printf("    %5.3f class %zu:", share[best], best);
        if (best >= k->n_classes - 2)
            printf(" %s", best == k->n_classes - 1 ? "not in the list" : "good circuit");
        for (size_t f = 0, m = 0; f < k->prior.n_faults && m < MEMBERS; f++)
            if (k->class_of[f] == best && bp_posterior_fault(p, f) > 1e-3) {
                fault_words(k, f, bp_posterior_severity(p, f, 0.5), words, sizeof words);
                printf(" [%s %.3f]", words, bp_posterior_fault(p, f));
                m++;
            }
        printf("\n");
    }
    const size_t under[2] = {nearest(p, hidden->fault, hidden->severity), best_of(p, k, first)};
    print_readings(k, p, under);
    free(done);
}
