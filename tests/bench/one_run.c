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

static const char ignition_id[] = "ignition-coil-on-plug", wiper_id[] = "wiper";
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

/* What a simulator that nobody steers is told beforehand, of what the program steers. */
typedef struct steered {
    double seconds;         /* of the run, after its run-up */
    size_t driver;          /* a value that is 1 during the dwell, 0 else; BP_NONE: there is none */
    double dwell;           /* s */
    const double *at_first; /* all other values: until `changes`, NULL: they stand still */
    const double *in_end;
    double changes; /* s */
} steered;

/* As the source of a steered value takes it: a resistor's as what it conducts. */
static double steering(const bp_deck *deck, size_t value, const double *values) {
    const bp_element *e = bp_deck_element_of_value(deck, value);
    return e->sort == BP_EL_RESISTOR ? 1 / values[value] : values[value];
}

static void write_source(FILE *f, const char *line, const bp_deck *deck, const steered *s) {
    const size_t value = strtoul(line + 1, NULL, 10);
    const char *end = strstr(line, "external");
    const double begins = s->seconds / 1000, at = begins + s->changes, ramp = 5e-6;
    fprintf(f, "%.*s", (int)(end - line), line);
    if (value == s->driver)
        fprintf(f, "pwl(0 0 %.9g 0 %.9g 1 %.9g 1 %.9g 0)\n", begins, begins + ramp,
                begins + s->dwell, begins + s->dwell + ramp);
    else if (s->at_first && s->at_first[value] != s->in_end[value])
        fprintf(f, "pwl(0 %.17g %.9g %.17g %.9g %.17g)\n", steering(deck, value, s->at_first), at,
                steering(deck, value, s->at_first), at + ramp, steering(deck, value, s->in_end));
    else
        fprintf(f, "%.17g\n", steering(deck, value, s->in_end));
}

/* The same transient as a deck of its own, with the lowest voltage at a node measured. */
static bool write_run(const bp_deck *deck, const steered *s, size_t node, const char *path) {
    const bp_extent extent = {
        .seconds = 1.001 * s->seconds, .longest = s->seconds / 300, .fineness = 1};
    char **lines = bp_deck_lines_in_time(deck, s->at_first ? s->at_first : s->in_end, &extent);
    FILE *f = fopen(path, "w");
    for (size_t i = 0; lines && f && lines[i]; i++) {
        if (strncmp(lines[i], ".save", 5) == 0)
            fprintf(f,
                    ".save v(n%zu)\n.meas tran lowest min v(n%zu)\n.meas tran mean avg v(n%zu)\n",
                    node, node, node);
        else if (strstr(lines[i], " external"))
            write_source(f, lines[i], deck, s);
        else
            fprintf(f, "%s\n", lines[i]);
    }
    if (lines)
        bp_deck_lines_free(&lines);
    return f && fclose(f) == 0;
}

/* What both ways must agree in, of the node's voltage. */
typedef struct measured {
    double lowest, mean;
} measured;

static measured read_measured(const char *output) {
    char line[200];
    measured m = {NAN, NAN};
    FILE *f = fopen(output, "r");
    while (f && fgets(line, sizeof line, f)) {
        (void)sscanf(line, "lowest = %lf", &m.lowest);
        (void)sscanf(line, "mean = %lf", &m.mean);
    }
    if (f)
        (void)fclose(f);
    return m;
}

static measured measure(const bp_wave_result *r) {
    measured m = {INFINITY, 0};
    for (size_t i = 0; i < r->n; i++)
        m.lowest = fmin(m.lowest, r->value[i]);
    for (size_t i = 1; i < r->n; i++)
        m.mean += (r->time[i] - r->time[i - 1]) * (r->value[i] + r->value[i - 1]) / 2;
    m.mean /= r->time[r->n - 1] - r->time[0];
    return m;
}

static double time_processes(const bp_deck *deck, const steered *s, size_t node, measured *m) {
    double run[RUNS];
    for (size_t r = 0; r < RUNS; r++) {
        const double start = now();
        for (size_t i = 0; i < CASES / 4; i++) {
            if (!write_run(deck, s, node, "run.cir") || !bench_run_process("run.cir", "run.out"))
                return NAN;
            *m = read_measured("run.out");
        }
        run[r] = (now() - start) / (CASES / 4);
    }
    return median(run, RUNS);
}

static void compare(const bp_circuit *circuit, const bp_task *task, const bp_wave_result *r,
                    steered *s, double memory) {
    bp_plan plan;
    if (!bp_wave_plan(task, circuit, &plan))
        return;
    bp_deck *deck = bp_deck_new(circuit, &plan);
    bp_plan_clear(&plan);
    const measured here = measure(r);
    measured there = {NAN, NAN};
    if (deck && !s->at_first)
        s->driver = switched_value(deck);
    s->in_end = r->values;
    const size_t node = deck ? bp_deck_node_of_face(deck, task->trace[0].red) : BP_NONE;
    const double process = deck ? time_processes(deck, s, node, &there) : NAN;
    printf(
        "  in memory:               %6.1f ms of processor a case (%zu steps), lowest %.4g V, mean "
        "%.4g V\n",
        1e3 * memory, r->n, here.lowest, here.mean);
    if (isnan(process))
        printf("  one `ngspice -b` a case: not measured, the program ngspice is not installed\n");
    else
        printf("  one `ngspice -b` a case: %6.1f ms a case, lowest %.4g V, mean %.4g V\n",
               1e3 * process, there.lowest, there.mean);
    bp_deck_free(&deck);
}

/* beside NULL: without a process a case. */
static bool time_question(bp_bench *bench, const bp_scope_question *q, steered *beside,
                          bp_report *report) {
    bp_scope_asked asked;
    if (!bp_scope_resolve(q, bench->circuit, &asked, report))
        return false;
    bp_wave_result result = {0};
    const double memory = time_memory(bench, &asked.steady.task[0], &result);
    if (!isnan(memory) && beside)
        compare(bench->circuit, &asked.steady.task[0], &result, beside, memory);
    else if (!isnan(memory))
        printf("  in memory:               %6.1f ms of processor a case (%zu steps)\n",
               1e3 * memory, result.n);
    bp_wave_result_clear(&result);
    bp_scope_asked_clear(&asked);
    return !isnan(memory);
}

static bool time_ignition(bp_bench *bench, bp_report *report) {
    static const bp_scope_trace primary[] = {{"T2.1", NULL, NULL}, {NULL, NULL, "W13"}};
    static const bp_scope_trace secondary[] = {{"T2.4", NULL, NULL}};
    steered dwell = {.seconds = cycle, .dwell = 2.6e-3};
    bp_scope_question q = ask_cycle(primary, 2, false);
    printf("ignition cycle of %s, 12 ms, with its spark\n", ignition_id);
    if (!time_question(bench, &q, NULL, report))
        return false;
    q = ask_cycle(secondary, 1, true);
    printf("the same with the plug off: nothing fires\n");
    return time_question(bench, &q, &dwell, report);
}

static bp_scope_question ask_park(const bp_scope_trace *traces, double to) {
    bp_scope_question q = BP_SCOPE_QUESTION_INIT;
    q.state = "returning";
    q.traces = traces;
    q.n_traces = 1;
    q.from = 0;
    q.to = to;
    return q;
}

/* When the cam comes to its ground contact, s; NAN: it does not. */
static double cam_comes(const bp_wave_result *r) {
    return r->n_events > 0 ? r->event[0].time : NAN;
}

/* Switched off, run home, braked and at rest. Beside it the simulator is told when the cam moves;
 * the values before that are those with which a shorter run ends. */
static bool time_park(bp_bench *bench, bp_report *report) {
    static const bp_scope_trace trace[] = {{"M1.53", NULL, NULL}};
    const double whole = 2;
    bp_scope_asked asked;
    bp_wave_result result = {0};
    steered cam = {.seconds = whole, .driver = BP_NONE};
    bp_scope_question q = ask_park(trace, whole);
    if (!bp_scope_resolve(&q, bench->circuit, &asked, report))
        return false;
    bp_run_wave(bench, &asked.steady.task[0], &result);
    cam.changes = cam_comes(&result);
    bp_wave_result_clear(&result);
    asked.steady.task[0].to = cam.changes / 2;
    bp_run_wave(bench, &asked.steady.task[0], &result);
    cam.at_first = result.values;
    printf("a full park of %s, 2 s, its cam on ground after %.2f s\n", wiper_id, cam.changes);
    const bool good = result.status == BP_OK && time_question(bench, &q, &cam, report);
    bp_wave_result_clear(&result);
    bp_scope_asked_clear(&asked);
    return good;
}

/* In a process of its own, with nothing around that the solver would read at its start. */
static int child(const bp_circuit *circuit, bool (*time)(bp_bench *bench, bp_report *report),
                 bp_report *report) {
    char folder[] = "/tmp/backprobe-bench-XXXXXX";
    char *path = strdup(getenv("PATH") ? getenv("PATH") : "/usr/bin:/bin");
    if (!path || clearenv() != 0 || setenv("PATH", path, 1) != 0 || setenv("TZ", "UTC0", 1) != 0 ||
        !mkdtemp(folder) || chdir(folder) != 0)
        return 1;
    bp_bench bench = {.circuit = circuit};
    bench.rig.session = bp_session_new();
    const bool good = bench.rig.session && time(&bench, report);
    unlink("run.cir");
    unlink("run.out");
    return chdir("/") == 0 && rmdir(folder) == 0 && good ? 0 : 1;
}

/* Every fault at its typical degree over the workers. */
static bool bench_faults(const bp_circuit *circuit, const bp_scope_question *like,
                         bp_report *report) {
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
        questions[i] = *like;
        questions[i].faults = text[i];
    }
    const bool good =
        ready && bp_lab_scope_many(lab, questions, n, runs, NULL, NULL, report) == BP_OK;
    const double took = now() - start;
    for (size_t i = 0; good && i < n; i++) {
        failed += runs[i]->why != NULL;
        bp_scope_run_free(&runs[i]);
    }
    printf("waveforms of all %zu faults of %s: %.2f s, %zu without a result\n", n,
           bp_circuit_id(circuit), took, failed);
    bp_lab_free(&lab);
    free(text);
    free(runs);
    free(questions);
    free(rows);
    return good;
}

static bool bench_circuit(const char *id, bool (*time)(bp_bench *bench, bp_report *report),
                          const bp_scope_question *faulted, bp_report *report) {
    bp_circuit *circuit = NULL;
    if (bp_load(id, &circuit, report) != BP_OK)
        return false;
    (void)fflush(stdout);
    const pid_t process = fork();
    if (process == 0) {
        const int status = child(circuit, time, report);
        (void)fflush(stdout);
        _exit(status);
    }
    int status = 1;
    bool good = process > 0 && waitpid(process, &status, 0) == process && WIFEXITED(status) &&
                WEXITSTATUS(status) == 0;
    good = bench_faults(circuit, faulted, report) && good;
    bp_circuit_free(&circuit);
    return good;
}

bool bench_runs(bp_report *report) {
    static const bp_scope_trace primary[] = {{"T2.1", NULL, NULL}, {NULL, NULL, "W13"}};
    static const bp_scope_trace park[] = {{"M1.53", NULL, NULL}};
    const bp_scope_question spark = ask_cycle(primary, 2, false), home = ask_park(park, 2);
    const bool good = bench_circuit(ignition_id, time_ignition, &spark, report);
    return bench_circuit(wiper_id, time_park, &home, report) && good;
}
