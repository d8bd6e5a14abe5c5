/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Clock, medians and memory, for the benchmark.
 */
#ifndef BP_TESTS_BENCH_MEASURE_H
#define BP_TESTS_BENCH_MEASURE_H

#include <stddef.h>

#include <sys/types.h>

/* Seconds on a clock that only runs forward. */
double now(void);

/* The middle one of n numbers, which are sorted in place; n > 0. */
double median(double *number, size_t n);

/* Resident memory of a process, MB; 0 = this one. NAN when there is no such process. */
double resident(pid_t process);

/* Resident memory of this process and all its children, MB. */
double resident_with_children(void);

/* Processor time that this process and its living children have used so far, s. What else the
 * machine is doing hardly shows in it. */
double processor_with_children(void);

/* One line that names the machine: processor, how many, kernel. */
void print_machine(void);

#endif
