/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/atlas.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "diagnose/atlas_parts.h"
#include "sim/instrument.h"

static bool list_faults(bp_atlas *a) {
    return bp_fault_list(a->circuit, &a->fault, &a->n_faults) == BP_OK &&
           bp_spreads_list(a->circuit, &a->spread, &a->n_spreads) && bp_atlas_find_places(a);
}

static bp_status compute(bp_atlas *a, bp_report *report) {
    bp_status status = bp_atlas_make_rows(a, report);
    if (status == BP_OK)
        status = bp_atlas_make_kins(a, report);
    if (status == BP_OK)
        status = bp_atlas_make_humps(a, report);
    if (status == BP_OK)
        status = bp_atlas_find_pulses(a, report);
    if (status == BP_OK)
        bp_atlas_cache_write(a);
    return status;
}

bp_atlas *bp_atlas_new(const bp_circuit *circuit, const bp_atlas_options *options,
                       bp_report *report) {
    bp_atlas *a = calloc(1, sizeof *a);
    if (!a)
        return NULL;
    a->circuit = circuit;
    a->options = *options;
    a->word[0] = "";
    a->n_words = 1;
    bp_status status = list_faults(a) ? BP_OK : BP_ERR_MEMORY;
    if (status == BP_OK) {
        bp_fingerprint(circuit, options->ambient, options->engine, a->key);
        bp_atlas_cache_open(a);
        status = bp_atlas_cache_read(a) ? BP_OK : compute(a, report);
    }
    if (status == BP_OK && (!bp_atlas_link_rows(a) || !bp_atlas_list_tests(a)))
        status = BP_ERR_MEMORY;
    if (status == BP_ERR_MEMORY)
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "out of memory for the atlas of tests");
    if (status != BP_OK)
        bp_atlas_free(&a);
    return a;
}

void bp_atlas_free(bp_atlas **atlas) {
    if (!atlas || !*atlas)
        return;
    bp_atlas *a = *atlas;
    bp_lab_free(&a->lab);
    free(a->folder);
    free(a->fault);
    free(a->first_row);
    free(a->n_of);
    free(a->spread);
    free(a->place);
    free(a->row);
    free(a->scale);
    for (size_t i = 0; a->look && i < a->n_rows; i++)
        bp_look_free(&a->look[i]);
    free(a->look);
    free(a->file);
    free(a->kin);
    bp_kin_sets_clear(&a->kins);
    bp_pulses_clear(&a->pulses);
    for (size_t i = 0; i < a->n_tests; i++)
        bp_column_free(&a->test[i].column);
    free(a->test);
    bp_store_clear(&a->store);
    free(a);
    *atlas = NULL;
}

const bp_circuit *bp_atlas_circuit(const bp_atlas *atlas) { return atlas->circuit; }

bp_lab *bp_atlas_lab(bp_atlas *atlas) {
    if (!atlas->lab)
        atlas->lab = bp_lab_new(atlas->circuit, atlas->options.workers, NULL);
    return atlas->lab;
}

bp_status bp_atlas_ask(bp_atlas *a, const bp_question *questions, size_t n, bp_answer **answers,
                       bp_report *report) {
    bp_lab *lab = bp_atlas_lab(a);
    if (lab)
        return bp_lab_ask_many(lab, questions, n, answers, a->options.progress, a->options.data,
                               report);
    bp_report_add(report, BP_MISTAKE, NULL, 0, 0,
                  "the solver does not start; see `backprobe doctor`");
    return BP_ERR_SOLVER;
}

size_t bp_atlas_n_rows(const bp_atlas *atlas) { return atlas->n_rows; }
const bp_atlas_row *bp_atlas_row_at(const bp_atlas *atlas, size_t row) { return &atlas->row[row]; }
size_t bp_atlas_n_faults(const bp_atlas *atlas) { return atlas->n_faults; }
const bp_fault_row *bp_atlas_fault(const bp_atlas *atlas, size_t fault) {
    return &atlas->fault[fault];
}
size_t bp_atlas_first_row(const bp_atlas *atlas, size_t fault, size_t *n) {
    *n = atlas->n_of[fault];
    return atlas->first_row[fault];
}
size_t bp_atlas_n_tests(const bp_atlas *atlas) { return atlas->n_tests; }
const bp_test *bp_atlas_test(const bp_atlas *atlas, size_t test) { return &atlas->test[test].test; }
const bp_spread *bp_atlas_spreads(const bp_atlas *atlas, size_t *n) {
    *n = atlas->n_spreads;
    return atlas->spread;
}

double bp_atlas_supply(const bp_atlas *atlas, size_t row, size_t state) {
    return atlas->look[row].supply[state];
}

double bp_atlas_meter_sd(const bp_test *test, double value) {
    const bp_instrument_def *meter = bp_instruments[test->instrument];
    return isfinite(value) ? meter->accuracy(value) / BP_SIGMAS_95 : 0;
}
