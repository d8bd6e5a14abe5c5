/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The figures of docs/benchmarks.md. Run by `cmake --build --preset release --target bench`.
 */
#include <stdio.h>
#include <stdlib.h>

#include <backprobe/load.h>
#include <backprobe/table.h>

#include "tests/bench/measure.h"
#include "tests/bench/one_case.h"
#include "tests/bench/one_run.h"

enum { RUNS = 7 };

static void print_report(const bp_report *report) {
    for (size_t i = 0; i < bp_report_count(report); i++)
        fprintf(stderr, "%s\n", bp_report_at(report, i)->text);
}

/* The whole fault table with one worker a processor, workers started before. */
static bool bench_table(const bp_circuit *circuit, bp_report *report) {
    bp_lab *lab = bp_lab_new(circuit, 0, report);
    double run[RUNS], first_memory = 0, first_processor = 0;
    size_t cases = 0, rows = 0;
    for (size_t r = 0; r <= RUNS; r++) {
        const double start = now();
        bp_table *table = lab ? bp_table_compute(lab, NULL, NULL, report) : NULL;
        if (!table) {
            bp_lab_free(&lab);
            return false;
        }
        const double took = now() - start;
        rows = bp_table_n_rows(table);
        cases = bp_table_n_cases(table);
        bp_table_free(&table);
        if (r == 0) {
            first_memory = resident_with_children();
            first_processor = processor_with_children();
            printf("fault table of %s: %zu rows, %zu cases\n", bp_circuit_id(circuit), rows, cases);
            printf("  first time, workers starting: %.2f s\n", took);
        } else
            run[r - 1] = took;
    }
    const double middle = median(run, RUNS);
    printf("  median of %d runs: %.2f s (%.2f to %.2f), %.0f cases per second\n", RUNS, middle,
           run[0], run[RUNS - 1], (double)cases / middle);
    printf("  processor time, program and workers together: %.2f s a table\n",
           (processor_with_children() - first_processor) / RUNS);
    const double last_memory = resident_with_children();
    printf("  memory of program and workers: %.1f MB after the first, %.1f MB after the last\n",
           first_memory, last_memory);
    bp_lab_free(&lab);
    return true;
}

int main(int n, char **argument) {
    const char *id = n > 1 ? argument[1] : "fuel-pump";
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    if (bp_load(id, &circuit, report) != BP_OK) {
        print_report(report);
        return 1;
    }
    print_machine();
    bool good = bench_one_case(circuit, "running", "G3:resistance");
    good = bench_table(circuit, report) && good;
    good = bench_runs(report) && good;
    print_report(report);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    return good ? 0 : 1;
}
