/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tests/bench/one_case.h"

#include <fcntl.h>
#include <math.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <sys/wait.h>

#include "sim/bench.h"
#include "sim/islands.h"
#include "tests/bench/measure.h"

enum { CASES = 50, RUNS = 7, ROUNDS = 20, MEMORY_SOLVES = 100000 };

/* The cases as value vectors of one deck, all with the relays as they settle in the healthy
 * circuit. */
typedef struct cases {
    bp_bench bench;
    double *values[CASES];
    double *volts[CASES]; /* as the solver in memory found them */
} cases;

static bool make_cases(cases *k, const char *state, const char *fault) {
    const bp_conditions as_it_says = {NAN, NAN, NAN, 0};
    bp_bench *b = &k->bench;
    bp_plan plan = {.instrument = BP_VOLTS};
    const size_t which = bp_state_find(b->circuit, state);
    b->rig.session = bp_session_new();
    if (!b->rig.session || which == BP_NONE || !bp_bench_load(b, &plan))
        return false;
    bp_case_enter(b->c, which, &as_it_says);
    bp_settled settled = bp_settle(b->c, &b->rig, NAN);
    const bool rests = settled.rest == BP_REST_FOUND;
    bp_settled_clear(&settled);
    for (size_t i = 0; rests && i < CASES; i++) {
        char text[80], why[200];
        snprintf(text, sizeof text, "%s=%gohm", fault, 0.1 * (double)(i + 1));
        if (bp_fault_parse(b->circuit, text, &b->c->faults, why, sizeof why) != BP_OK) {
            fprintf(stderr, "%s\n", why);
            return false;
        }
        k->values[i] = malloc(b->deck->n_values * sizeof **k->values);
        k->volts[i] = malloc(b->deck->n_nodes * sizeof **k->volts);
        if (!k->values[i] || !k->volts[i])
            return false;
        bp_case_enter(b->c, which, &as_it_says);
        bp_case_values(b->c, k->values[i]);
    }
    return rests;
}

/* Seconds a case, median of several runs; NAN when a solve failed. */
static double time_alter(cases *k) {
    double run[RUNS];
    for (size_t r = 0; r < RUNS; r++) {
        const double start = now();
        for (size_t i = 0; i < CASES * ROUNDS; i++)
            if (!bp_session_solve(k->bench.rig.session, k->values[i % CASES], k->volts[i % CASES]))
                return NAN;
        run[r] = (now() - start) / (CASES * ROUNDS);
    }
    return median(run, RUNS);
}

/* The deck with one operating point in place of the run and the saves that the solver in memory is
 * given. */
static bool write_deck(const bp_deck *deck, const double *values, const char *path) {
    char **lines = bp_deck_lines(deck, values);
    FILE *f = fopen(path, "w");
    for (size_t i = 0; lines && f && lines[i]; i++) {
        const bool run = strncmp(lines[i], ".dc", 3) == 0 || strncmp(lines[i], ".save", 5) == 0;
        if (!run)
            fprintf(f, "%s%s\n", strcmp(lines[i], ".end") == 0 ? ".op\n" : "", lines[i]);
    }
    if (lines)
        bp_deck_lines_free(&lines);
    return f && fclose(f) == 0;
}

bool bench_run_process(const char *deck, const char *output) {
    char *argument[] = {(char[]){"ngspice"}, (char[]){"-b"}, strdup(deck), NULL};
    /* It does not start without a home; ours is empty. */
    char *around[] = {(char[]){"HOME=."}, (char[]){"TZ=UTC0"}, NULL};
    posix_spawn_file_actions_t files;
    posix_spawn_file_actions_init(&files);
    posix_spawn_file_actions_addopen(&files, 1, output, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    posix_spawn_file_actions_addopen(&files, 2, "/dev/null", O_WRONLY, 0);
    pid_t process = 0;
    int status = 1;
    const bool started = posix_spawnp(&process, "ngspice", &files, NULL, argument, around) == 0;
    if (started)
        waitpid(process, &status, 0);
    posix_spawn_file_actions_destroy(&files);
    free(argument[2]);
    return started && WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

static size_t island_of(const bp_islands *islands, size_t node) {
    while (islands->first[node] != node)
        node = islands->first[node];
    return node;
}

/* The largest difference between the node voltages that a process printed and those found in
 * memory, V; NAN when it printed none. Nodes behind an open contact are left out: nothing but
 * leakage holds them, and the program takes the solver's rounding out of those. */
static double disagreement(const cases *k, size_t i, const char *output) {
    const bp_deck *deck = k->bench.deck;
    bp_islands islands = {0};
    double *level = calloc(deck->n_nodes, sizeof *level), most = NAN;
    FILE *f = fopen(output, "r");
    if (level && f && bp_islands_init(&islands, deck)) {
        memcpy(level, k->volts[i], deck->n_nodes * sizeof *level);
        bp_islands_level(&islands, deck, k->values[i], false, level);
        char line[200];
        while (fgets(line, sizeof line, f)) {
            size_t node = 0;
            double value = 0;
            if (sscanf(line, " n%zu %lf", &node, &value) == 2 && node < deck->n_nodes &&
                island_of(&islands, node) == island_of(&islands, 0))
                most = fmax(most, fabs(value - k->volts[i][node]));
        }
    }
    if (f)
        (void)fclose(f);
    bp_islands_clear(&islands);
    free(level);
    return most;
}

static double time_processes(const cases *k) {
    double run[RUNS], most = 0;
    for (size_t r = 0; r < RUNS; r++) {
        const double start = now();
        for (size_t i = 0; i < CASES; i++) {
            if (!write_deck(k->bench.deck, k->values[i], "case.cir") ||
                !bench_run_process("case.cir", "case.out"))
                return NAN;
            const double differs = disagreement(k, i, "case.out");
            most = isnan(differs) ? INFINITY : fmax(most, differs);
        }
        run[r] = (now() - start) / CASES;
    }
    printf("  largest difference between the two ways %.2g mV\n", most * 1e3);
    return median(run, RUNS);
}

static bool watch_memory(cases *k) {
    const double before = resident(0);
    for (size_t i = 0; i < MEMORY_SOLVES; i++)
        if (!bp_session_solve(k->bench.rig.session, k->values[i % CASES], k->volts[i % CASES]))
            return false;
    const double after = resident(0);
    printf("memory of a solver process: %.1f MB before, %.1f MB after %d more solves, growth %.1f "
           "MB\n",
           before, after, MEMORY_SOLVES, after - before);
    return true;
}

/* In a process of its own, with nothing around that the solver would read at its start. */
static int child(const bp_circuit *circuit, const char *state, const char *fault) {
    char folder[] = "/tmp/backprobe-bench-XXXXXX";
    char *path = strdup(getenv("PATH") ? getenv("PATH") : "/usr/bin:/bin");
    if (!path || clearenv() != 0 || setenv("PATH", path, 1) != 0 || setenv("TZ", "UTC0", 1) != 0 ||
        !mkdtemp(folder) || chdir(folder) != 0)
        return 1;
    cases k = {.bench = {.circuit = circuit}};
    if (!make_cases(&k, state, fault)) {
        fprintf(stderr, "the cases could not be made\n");
        return 1;
    }
    printf("one deck: %zu nodes, %zu elements, %s; %d cases, median of %d runs\n",
           k.bench.deck->n_nodes, k.bench.deck->n_elements, bp_session_version(), CASES, RUNS);
    const double alter = time_alter(&k);
    const double process = time_processes(&k);
    printf("  values edited in memory:  %8.1f solves per second\n", 1 / alter);
    if (isnan(process))
        printf("  one `ngspice -b` a case:  not measured, the program ngspice is not installed\n");
    else
        printf("  one `ngspice -b` a case:  %8.1f solves per second (%.0f times slower)\n",
               1 / process, process / alter);
    const bool good = !isnan(alter) && watch_memory(&k);
    unlink("case.cir");
    unlink("case.out");
    return chdir("/") == 0 && rmdir(folder) == 0 && good ? 0 : 1;
}

bool bench_one_case(const bp_circuit *circuit, const char *state, const char *fault) {
    (void)fflush(stdout);
    const pid_t process = fork();
    if (process == 0) {
        const int status = child(circuit, state, fault);
        (void)fflush(stdout);
        _exit(status);
    }
    int status = 1;
    return process > 0 && waitpid(process, &status, 0) == process && WIFEXITED(status) &&
           WEXITSTATUS(status) == 0;
}
