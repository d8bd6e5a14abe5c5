/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/repairs.h"

#include <string.h>

typedef struct counter {
    const bp_circuit *circuit;
    const bp_fault_row *rows;
    size_t n, *counts, strange;
    bp_status status;
} counter;

/* The row of the fault, whatever its degree and condition; BP_NONE. */
static size_t row_of(const counter *c, const bp_fault *fault) {
    for (size_t i = 0; i < c->n; i++) {
        const bp_fault *f = &c->rows[i].fault;
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
    size_t row = status == BP_OK && faults.n == 1 ? row_of(c, &faults.fault[0]) : BP_NONE;
    if (row == BP_NONE)
        c->strange++;
    else
        c->counts[row]++;
}

bp_status bp_repairs_counts(bp_repairs *book, const bp_circuit *circuit, const bp_fault_row *rows,
                            size_t n, size_t *counts, bp_report *report) {
    counter c = {.circuit = circuit, .rows = rows, .n = n, .counts = counts, .status = BP_OK};
    for (size_t i = 0; i < n; i++)
        counts[i] = 0;
    if (!book)
        return BP_OK;
    bp_status status = bp_repairs_each(book, circuit->id, count, &c, report);
    if (c.strange)
        bp_report_add(report, BP_NOTE, NULL, 0, 0,
                      "the book of repairs has %zu %s about faults that %s does not have: not "
                      "counted; 'repairs list %s' shows %s",
                      c.strange, c.strange == 1 ? "entry" : "entries", circuit->id, circuit->id,
                      c.strange == 1 ? "it" : "them");
    return status != BP_OK ? status : c.status;
}

void bp_repairs_posterior(const bp_fault_row *rows, const size_t *counts, size_t n,
                          double *weights) {
    for (size_t i = 0; i < n; i++)
        weights[i] = rows[i].weight + (double)counts[i];
}
