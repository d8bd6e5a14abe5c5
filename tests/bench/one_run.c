/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tests/bench/one_run.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <sys/wait.h>

#include <backprobe/load.h>

#include "circuits/fault.h"
#include "sim/model.h"
#include "sim/scope_run.h"
#include "tests/bench/measure.h"
#include "tests/bench/one_case.h"

enum { RUNS = 7, CASES = 20 };

static const char circuit_id[] = "ignition-coil-on-plug";
static const char *const plug_off = "unplug P2";
/* A cycle of the coil: dwell, spark, and the ring after it. */
static const double cycle = 12e-3;

static bp_scope_question ask_cycle(const bp_scope_trace *traces, size_t n, bool off) {
    bp_scope_question q = BP_SCOPE_QUESTION_INIT;
    q.state = "idle";
    q.traces = traces;
    q.n_traces = n;
    q.from = 0;
    q.to = cycle;
    q.after = &plug_off;
    q.n_after = off;
    return q;
}

/* Seconds of processor a case, median; NAN when a run failed. *result is the last one's. */
static double time_memory(bp_bench *bench, const bp_task *task, bp_wave_result *result) {
    double run[RUNS];
    for (size_t r = 0; r < RUNS; r++) {
        const double start = processor_with_children();
        for (size_t i = 0; i < CASES; i++) {
            bp_wave_result_clear(result);
            bp_run_wave(bench, task, result);
            if (result->status != BP_OK) {
                fprintf(stderr, "%s\n", result->why);
                return NAN;
            }
        }
        run[r] = (processor_with_children() - start) / CASES;
    }
    return median(run, RUNS);
}

/* The value that switches the driver's transistor. */
static size_t switched_value(const bp_deck *deck) {
    for (size_t i = 0; i < deck->n_elements; i++)
        if (deck->element[i].sort == BP_EL_LAW && strcmp(deck->element[i].law->id, "limited") == 0)
            return deck->element[i].first_value;
    return BP_NONE;
}

/* A source that the program steers, for a simulator that nobody steers: the driver's by the dwell,
 * all others stand still. */
static void write_source(FILE *f, const char *line, const double *values, size_t driver,
                         double begins, double dwell) {
    const size_t value = strtoul(line + 1, NULL, 10);
    const char *end = strstr(line, "external");
    fprintf(f, "%.*s", (int)(end - line), line);
    if (value == driver)
        fprintf(f, "pwl(0 0 %.9g 0 %.9g 1 %.9g 1 %.9g 0)\n", begins, begins + 5e-6, begins + dwell,
                begins + dwell + 5e-6);
    else
        fprintf(f, "%.17g\n", values[value]);
}

/* The same transient as a deck of its own, with the lowest voltage at a node measured. */
static bool write_run(const bp_deck *deck, const double *values, size_t node, const char *path) {
    const double begins = cycle / 1000;
    const bp_extent extent = {.seconds = cycle + begins, .longest = cycle / 300, .fineness = 1};
    char **lines = bp_deck_lines_in_time(deck, values, &extent);
    FILE *f = fopen(path, "w");
    for (size_t i = 0; lines && f && lines[i]; i++) {
        if (strncmp(lines[i], ".save", 5) == 0)
            fprintf(f, ".save v(n%zu)\n.meas tran lowest min v(n%zu)\n", node, node);
        else if (strstr(lines[i], " external"))
            write_source(f, lines[i], values, switched_value(deck), begins, 2.6e-3);
        else
            fprintf(f, "%s\n", lines[i]);
    }
    if (lines)
        bp_deck_lines_free(&lines);
    return f && fclose(f) == 0;
}

static double read_lowest(const char *output) {
    char line[200];
    double value = NAN;
    FILE *f = fopen(output, "r");
    while (f && fgets(line, sizeof line, f))
        (void)sscanf(line, "lowest = %lf", &value);
    if (f)
        (void)fclose(f);
    return value;
}

static double time_processes(const bp_deck *deck, const double *values, size_t node,
                             double *lowest) {
    double run[RUNS];
    for (size_t r = 0; r < RUNS; r++) {
        const double start = now();
        for (size_t i = 0; i < CASES / 4; i++) {
            if (!write_run(deck, values, node, "run.cir") ||
                !bench_run_process("run.cir", "run.out"))
                return NAN;
            *lowest = read_lowest("run.out");
        }
        run[r] = (now() - start) / (CASES / 4);
    }
    return median(run, RUNS);
}

static void compare(const bp_circuit *circuit, const bp_task *task, const bp_wave_result *r,
                    double memory) {
    bp_plan plan;
    if (!bp_wave_plan(task, circuit, &plan))
        return;
    bp_deck *deck = bp_deck_new(circuit, &plan);
    bp_plan_clear(&plan);
    double here = 0, there = NAN;
    for (size_t i = 0; i < r->n; i++)
        here = fmin(here, r->value[i]);
    const double process =
        deck ? time_processes(deck, r->values, bp_deck_node_of_face(deck, task->trace[0].red),
                              &there)
             : NAN;
    printf("  in memory:               %6.1f ms of processor a case (%zu steps), peak %.2f kV\n",
           1e3 * memory, r->n, here / 1e3);
    if (isnan(process))
        printf("  one `ngspice -b` a case: not measured, the program ngspice is not installed\n");
    else
        printf("  one `ngspice -b` a case: %6.1f ms a case, peak %.2f kV\n", 1e3 * process,
               there / 1e3);
    bp_deck_free(&deck);
}

static bool time_question(bp_bench *bench, const bp_scope_question *q, bool beside,
                          bp_report *report) {
    bp_scope_asked asked;
    if (!bp_scope_resolve(q, bench->circuit, &asked, report))
        return false;
    bp_wave_result result = {0};
    const double memory = time_memory(bench, &asked.steady.task[0], &result);
    if (!isnan(memory) && beside)
        compare(bench->circuit, &asked.steady.task[0], &result, memory);
    else if (!isnan(memory))
        printf("  in memory:               %6.1f ms of processor a case (%zu steps)\n",
               1e3 * memory, result.n);
    bp_wave_result_clear(&result);
    bp_scope_asked_clear(&asked);
    return !isnan(memory);
}

/* In a process of its own, with nothing around that the solver would read at its start. */
static int child(const bp_circuit *circuit, bp_report *report) {
    static const bp_scope_trace primary[] = {{"T2.1", NULL, NULL}, {NULL, NULL, "W13"}};
    static const bp_scope_trace secondary[] = {{"T2.4", NULL, NULL}};
    char folder[] = "/tmp/backprobe-bench-XXXXXX";
    char *path = strdup(getenv("PATH") ? getenv("PATH") : "/usr/bin:/bin");
    if (!path || clearenv() != 0 || setenv("PATH", path, 1) != 0 || setenv("TZ", "UTC0", 1) != 0 ||
        !mkdtemp(folder) || chdir(folder) != 0)
        return 1;
    bp_bench bench = {.circuit = circuit};
    bench.rig.session = bp_session_new();
    bp_scope_question q = ask_cycle(primary, 2, false);
    printf("ignition cycle of %s, 12 ms, with its spark\n", circuit_id);
    bool good = bench.rig.session && time_question(&bench, &q, false, report);
    q = ask_cycle(secondary, 1, true);
    printf("the same with the plug off: nothing fires\n");
    good = good && time_question(&bench, &q, true, report);
    unlink("run.cir");
    unlink("run.out");
    return chdir("/") == 0 && rmdir(folder) == 0 && good ? 0 : 1;
}

/* Every fault at its typical degree over the workers. */
static bool bench_faults(const bp_circuit *circuit, bp_report *report) {
    static const bp_scope_trace traces[] = {{"T2.1", NULL, NULL}, {NULL, NULL, "W13"}};
    bp_fault_row *rows = NULL;
    size_t n = 0, failed = 0;
    if (bp_fault_list(circuit, &rows, &n) != BP_OK)
        return false;
    bp_scope_question *questions = calloc(n, sizeof *questions);
    bp_scope_run **runs = calloc(n, sizeof *runs);
    char(*text)[200] = calloc(n, sizeof *text);
    bp_lab *lab = bp_lab_new(circuit, 0, report);
    const bool ready = questions && runs && text && lab;
    const double start = now();
    for (size_t i = 0; ready && i < n; i++) {
        const bp_fault_case one = {.fault = {rows[i].fault}, .n = 1};
        bp_fault_write(circuit, &one, text[i], sizeof text[i]);
        questions[i] = ask_cycle(traces, 2, false);
        questions[i].faults = text[i];
    }
    const bool good =
        ready && bp_lab_scope_many(lab, questions, n, runs, NULL, NULL, report) == BP_OK;
    const double took = now() - start;
    for (size_t i = 0; good && i < n; i++) {
        failed += runs[i]->why != NULL;
        bp_scope_run_free(&runs[i]);
    }
    printf("waveforms of all %zu faults of %s: %.2f s, %zu without a result\n", n, circuit_id, took,
           failed);
    bp_lab_free(&lab);
    free(text);
    free(runs);
    free(questions);
    free(rows);
    return good;
}

bool bench_runs(bp_report *report) {
    bp_circuit *circuit = NULL;
    if (bp_load(circuit_id, &circuit, report) != BP_OK)
        return false;
    (void)fflush(stdout);
    const pid_t process = fork();
    if (process == 0) {
        const int status = child(circuit, report);
        (void)fflush(stdout);
        _exit(status);
    }
    int status = 1;
    bool good = process > 0 && waitpid(process, &status, 0) == process && WIFEXITED(status) &&
                WEXITSTATUS(status) == 0;
    good = bench_faults(circuit, report) && good;
    bp_circuit_free(&circuit);
    return good;
}
