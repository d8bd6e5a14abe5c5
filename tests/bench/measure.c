/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tests/bench/measure.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include <sys/utsname.h>

double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int compare(const void *a, const void *b) {
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

double median(double *number, size_t n) {
    qsort(number, n, sizeof *number, compare);
    return n % 2 ? number[n / 2] : (number[n / 2 - 1] + number[n / 2]) / 2;
}

double resident(pid_t process) {
    char path[64];
    snprintf(path, sizeof path, "/proc/%ld/statm", (long)(process ? process : getpid()));
    FILE *f = fopen(path, "r");
    long all = 0, pages = 0;
    const int n = f ? fscanf(f, "%ld %ld", &all, &pages) : 0;
    if (f)
        (void)fclose(f);
    return n == 2 ? (double)pages * (double)sysconf(_SC_PAGESIZE) / 1e6 : NAN;
}

/* Adds up what `of` says of this process and its children. */
static double sum_of_family(double (*of)(pid_t)) {
    double sum = of(0);
    char path[64];
    snprintf(path, sizeof path, "/proc/self/task/%ld/children", (long)getpid());
    FILE *f = fopen(path, "r");
    long child = 0;
    while (f && fscanf(f, "%ld", &child) == 1)
        sum += of((pid_t)child);
    if (f)
        (void)fclose(f);
    return sum;
}

double resident_with_children(void) { return sum_of_family(resident); }

static double processor(pid_t process) {
    clockid_t clock;
    struct timespec t;
    if (clock_getcpuclockid(process, &clock) != 0 || clock_gettime(clock, &t) != 0)
        return NAN;
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

double processor_with_children(void) { return sum_of_family(processor); }

void print_machine(void) {
    char line[256] = "", model[200] = "processor of unknown name";
    FILE *f = fopen("/proc/cpuinfo", "r");
    while (f && fgets(line, sizeof line, f))
        if (sscanf(line, "model name : %199[^\n]", model) == 1)
            break;
    if (f)
        (void)fclose(f);
    struct utsname u;
    uname(&u);
    printf("machine: %s, %ld processors, %s %s\n", model, sysconf(_SC_NPROCESSORS_ONLN), u.sysname,
           u.release);
}
