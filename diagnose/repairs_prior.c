/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/repairs.h"

#include <stdlib.h>

#include "circuits/memory.h"

typedef struct counter {
    const bp_circuit *circuit;
    const bp_fault_row *const *faults;
    size_t n, strange;
    double *counts;
    bp_status status;
} counter;

/* The fault's place in the list, whatever its degree and condition; BP_NONE. */
static size_t place_of(const counter *c, const bp_fault *fault) {
    for (size_t i = 0; i < c->n; i++) {
        const bp_fault *f = &c->faults[i]->fault;
        if (f->part == fault->part && f->sub == fault->sub && f->mode == fault->mode &&
            f->partner == fault->partner && f->partner_sub == fault->partner_sub)
            return i;
    }
    return BP_NONE;
}

static void count(void *data, const bp_repair *repair) {
    counter *c = data;
    bp_fault_case faults;
    char why[400];
    if (repair->struck || c->status != BP_OK)
        return;
    bp_status status = bp_fault_parse(c->circuit, repair->fault, &faults, why, sizeof why);
    if (status == BP_ERR_MEMORY)
        c->status = status;
    size_t place = status == BP_OK && faults.n == 1 ? place_of(c, &faults.fault[0]) : BP_NONE;
    if (place == BP_NONE)
        c->strange++;
    else
        c->counts[place]++;
}

bp_status bp_repairs_counts(bp_repairs *book, const bp_circuit *circuit,
                            const bp_fault_row *const *faults, size_t n, double *counts,
                            bp_report *report) {
    counter c = {.circuit = circuit, .faults = faults, .n = n, .counts = counts, .status = BP_OK};
    for (size_t i = 0; i < n; i++)
        counts[i] = 0;
    bp_status status = bp_repairs_each(book, circuit->id, count, &c, report);
    if (c.strange)
        bp_report_add(report, BP_NOTE, NULL, 0, 0,
                      "the book of repairs has %zu %s about faults that %s does not have: not "
                      "counted; 'backprobe repairs list %s' shows %s",
                      c.strange, c.strange == 1 ? "entry" : "entries", circuit->id, circuit->id,
                      c.strange == 1 ? "it" : "them");
    return status != BP_OK ? status : c.status;
}

bp_status bp_repairs_weigh(void *book, const bp_circuit *circuit, const bp_fault_row *const *faults,
                           size_t n, double *weight, bp_report *report) {
    double *counts = bp_zeroed(n, sizeof *counts), sum = 0;
    if (!counts)
        return BP_ERR_MEMORY;
    bp_status status = bp_repairs_counts(book, circuit, faults, n, counts, report);
    for (size_t i = 0; i < n; i++)
        sum += weight[i];
    if (status == BP_OK)
        bp_prior_dirichlet(sum, counts, n, weight);
    free(counts);
    return status;
}
