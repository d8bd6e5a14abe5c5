/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Simulator, sandbox and folders. Each check does the thing itself: it solves, starts a worker,
 * loads circuits.
 */
#include <ctype.h>
#include <errno.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <backprobe/load.h>
#include <backprobe/predict.h>

#include "cli/doctor.h"

/* 12 V over 1 kohm and 3 kohm: 9 V by Ohm's law, and 8.9993 V with a 10 Mohm meter on it. */
static bp_circuit *divider(bp_report *report) {
    bp_circuit *c = bp_circuit_new("divider", report);
    if (!c)
        return NULL;
    bp_circuit_part(c, "V1", "source");
    bp_circuit_set(c, "V1", "emf", "12 V");
    bp_circuit_part(c, "R1", "resistor");
    bp_circuit_set(c, "R1", "resistance", "1 kohm");
    bp_circuit_part(c, "R2", "resistor");
    bp_circuit_set(c, "R2", "resistance", "3 kohm");
    bp_circuit_wire(c, "W1", "V1.+", "R1.1");
    bp_circuit_wire(c, "W2", "R1.2", "R2.1");
    bp_circuit_wire(c, "W3", "R2.2", "V1.-");
    if (bp_circuit_finish(c) != BP_OK)
        bp_circuit_free(&c);
    return c;
}
#define DIVIDER_VOLTS (9.0 * 10e6 / (10e6 + 750))

/* What the report says first, or nothing. */
static const char *reason(const bp_report *report) {
    const bp_message *message = bp_report_at(report, 0);
    return message ? message->text : "no reason given";
}

/* Asks for the divider's voltage; NAN when there is none. `look` sees the lab while its worker is
 * alive. */
static double ask_divider(bp_report *report, void (*look)(const bp_lab *lab, bp_finding *finding),
                          bp_finding *finding) {
    bp_circuit *circuit = divider(report);
    bp_lab *lab = circuit ? bp_lab_new(circuit, 1, report) : NULL;
    const bp_pair pair = {"R2.1", NULL};
    bp_question question = BP_QUESTION_INIT;
    question.pairs = &pair;
    question.n_pairs = 1;
    bp_answer *answer = lab ? bp_lab_ask(lab, &question, report) : NULL;
    double volts = NAN;
    if (answer && answer->n_states && answer->states[0].n_readings)
        volts = answer->states[0].readings[0].value;
    if (answer)
        look(lab, finding);
    bp_answer_free(&answer);
    bp_lab_free(&lab);
    bp_circuit_free(&circuit);
    return volts;
}

static void look_at_version(const bp_lab *lab, bp_finding *finding) {
    snprintf(finding->found, sizeof finding->found, "%s", bp_lab_solver(lab));
}

void bp_doctor_solver(bp_cli *cli, bp_finding *finding) {
    (void)cli;
    bp_report *report = bp_must(bp_report_new());
    double volts = ask_divider(report, look_at_version, finding);
    finding->good = fabs(volts - DIVIDER_VOLTS) < 1e-3;
    size_t used = strlen(finding->found);
    char *end = finding->found + used;
    if (finding->good)
        snprintf(end, sizeof finding->found - used,
                 "; a divider that must read 9.00 V reads %.2f V", volts);
    else if (isnan(volts))
        snprintf(end, sizeof finding->found - used, "%sno answer: %s", used ? "; " : "",
                 reason(report));
    else
        snprintf(end, sizeof finding->found - used,
                 "; a divider that must read 9.00 V reads %.3f V", volts);
    if (!finding->good)
        snprintf(finding->mend, sizeof finding->mend,
                 "Install the ngspice library again: apt install --reinstall libngspice0");
    bp_report_free(&report);
}

/* The value of "Seccomp:" in a process's status: 2 is a filter, -1 not known. */
static long seccomp_of(const char *pid) {
    char path[64], line[256];
    long mode = -1;
    snprintf(path, sizeof path, "/proc/%s/status", pid);
    FILE *f = fopen(path, "r");
    while (f && mode < 0 && fgets(line, sizeof line, f))
        if (strncmp(line, "Seccomp:", 8) == 0)
            mode = strtol(line + 8, NULL, 10);
    if (f)
        (void)fclose(f); /* it was only read */
    return mode;
}

/* The worker processes are our children: each must have its filter in place. */
static void look_at_workers(const bp_lab *lab, bp_finding *finding) {
    (void)lab;
    char path[64], pid[24];
    int workers = 0, filtered = 0;
    snprintf(path, sizeof path, "/proc/self/task/%ld/children", (long)getpid());
    FILE *f = fopen(path, "r");
    while (f && fscanf(f, "%23s", pid) == 1) {
        workers++;
        filtered += seccomp_of(pid) == 2;
    }
    if (f)
        (void)fclose(f);
    finding->good = workers > 0 && filtered == workers;
    if (finding->good)
        snprintf(finding->found, sizeof finding->found,
                 "the simulator runs in a process of its own that can open no files and start no "
                 "programs");
    else
        snprintf(finding->found, sizeof finding->found, "%d of %d simulator processes are shut in",
                 filtered, workers);
}

void bp_doctor_sandbox(bp_cli *cli, bp_finding *finding) {
    (void)cli;
    bp_report *report = bp_must(bp_report_new());
    ask_divider(report, look_at_workers, finding);
    if (!finding->good && !finding->found[0])
        snprintf(finding->found, sizeof finding->found, "no worker started: %s", reason(report));
    if (!finding->good)
        snprintf(finding->mend, sizeof finding->mend,
                 "The kernel must offer seccomp filters and /proc; in a container, allow seccomp");
    bp_report_free(&report);
}

/* Circuits of one folder, own or not, and whether all of them load. */
static size_t count_circuits(bool own, bp_report *report) {
    bp_listing *list = NULL;
    size_t n = 0, count = 0;
    if (bp_list_circuits(&list, &n, report) == BP_OK)
        for (size_t i = 0; i < n; i++)
            count += list[i].own == own;
    bp_listing_free(&list, n);
    return count;
}

static size_t faulty_files(const bp_report *report, const char *folder) {
    size_t n = 0;
    for (size_t i = 0; i < bp_report_count(report); i++) {
        const char *file = bp_report_at(report, i)->file;
        n += file && strncmp(file, folder, strlen(folder)) == 0;
    }
    return n;
}

static void look_at_folder(bool own, const char *folder, bp_finding *finding) {
    bp_report *report = bp_must(bp_report_new());
    size_t circuits = count_circuits(own, report), faulty = faulty_files(report, folder);
    finding->good = faulty == 0 && (own || circuits > 0);
    snprintf(finding->found, sizeof finding->found, "%s: %zu circuit%s", folder, circuits,
             circuits == 1 ? "" : "s");
    if (faulty > 0)
        snprintf(finding->mend, sizeof finding->mend,
                 "Some files there do not load: 'backprobe check %s/*.yaml' names their mistakes",
                 folder);
    else if (!finding->good)
        snprintf(finding->mend, sizeof finding->mend,
                 "The folder is empty: install backprobe again, or set BACKPROBE_LIBRARY to the "
                 "folder of the circuits");
    bp_report_free(&report);
}

void bp_doctor_library(bp_cli *cli, bp_finding *finding) {
    (void)cli;
    char *folder = bp_library_folder();
    if (folder) {
        look_at_folder(false, folder, finding);
    } else {
        snprintf(finding->found, sizeof finding->found, "there is no library folder");
        snprintf(finding->mend, sizeof finding->mend,
                 "Install backprobe again, or set BACKPROBE_LIBRARY to the folder of the circuits");
    }
    free(folder);
}

void bp_doctor_own(bp_cli *cli, bp_finding *finding) {
    (void)cli;
    char *folder = bp_user_folder();
    finding->good = folder != NULL;
    if (!folder) {
        snprintf(finding->found, sizeof finding->found, "neither HOME nor XDG_DATA_HOME is set");
        snprintf(finding->mend, sizeof finding->mend,
                 "Set HOME, so that your own circuits are found");
    } else if (access(folder, F_OK) != 0) {
        snprintf(finding->found, sizeof finding->found, "none yet; put them into %s", folder);
    } else if (access(folder, R_OK | X_OK) != 0) {
        finding->good = false;
        snprintf(finding->found, sizeof finding->found, "%s cannot be read: %s", folder,
                 strerror(errno));
        snprintf(finding->mend, sizeof finding->mend, "chmod u+rx '%s'", folder);
    } else {
        look_at_folder(true, folder, finding);
    }
    free(folder);
}

void bp_doctor_temporary(bp_cli *cli, bp_finding *finding) {
    (void)cli;
    const char *set = getenv("TMPDIR");
    const char *folder = set && *set ? set : "/tmp";
    char *trial = bp_format("%s/backprobe-XXXXXX", folder);
    finding->good = mkdtemp(trial) != NULL;
    snprintf(finding->found, sizeof finding->found,
             finding->good ? "%s can be written to" : "%s: %s", folder, strerror(errno));
    if (finding->good)
        rmdir(trial);
    else
        snprintf(finding->mend, sizeof finding->mend,
                 "Make room there, or set TMPDIR to a folder that can be written to");
    free(trial);
}
