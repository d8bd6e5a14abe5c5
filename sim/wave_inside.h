/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of a run over time: shared by the files sim/wave_*.c and nobody else.
 */
#ifndef BP_SIM_WAVE_INSIDE_H
#define BP_SIM_WAVE_INSIDE_H

#include "sim/wave.h"
#include "sim/wave_run.h"

/* Instants closer than this are one, s. */
#define BP_INSTANT 1e-12

/* A value that may change while the solver runs: where it came from, where it goes, and when. */
typedef struct bp_lead {
    double from, to; /* in the value's own unit */
    double begin, ramp;
} bp_lead;

typedef struct bp_run {
    bp_bench *bench;
    const bp_task *task;
    bp_wave_result *result;
    const bp_circuit *circuit;
    bp_deck *deck; /* in time */
    bp_case *c;
    double start; /* s; the solver's time is 0 there */
    double now, before;
    bool entered, seen;
    int *setting_then; /* by part: after time 0 */
    double *values;    /* in force now */
    double *wanted;    /* by value: where it goes or stands */
    double *volts;     /* the bench's own */
    bp_lead *lead;     /* by value */
    double *ramp_ends; /* by part: of its last change, s */
    double last_ramp;  /* the last of them */
    size_t changing;   /* part whose values are being led */
    size_t *memory_at; /* by part */
    double *memory;
    size_t n_lively; /* parts that are looked at after each step */
    size_t *lively;
    double *wake, *fine;          /* by part */
    double *progress;             /* by part: how much of the time to its move has gone by */
    int *wish;                    /* by part: the position that it wants, -1: none */
    size_t room, room_for_events; /* in the result */
    char why[160];                /* set: the run is given up */
} bp_run;

/* sim/wave_live.c */

/* Marks the values that can change and takes the present ones as where everything stands. */
void bp_run_find_live(bp_run *run);
/* How long a part's changes take, s. */
double bp_run_ramp(const bp_run *run, size_t part);
/* Makes a part's values anew; what differs is led there from now on. */
void bp_run_remake(bp_run *run, size_t part);
/* What is in force now, into run->values. */
void bp_run_update(bp_run *run);
/* What the solver's source has to give for a value at a time (of the run, not the solver). */
double bp_run_source(const bp_run *run, size_t value, double time);
void bp_run_give_up(bp_run *run, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* sim/wave_record.c */

/* Room for traces and events; false: no memory. */
bool bp_run_record_begin(bp_run *run);
/* One sample when the window has begun. */
void bp_run_record(bp_run *run);
void bp_run_event(bp_run *run, size_t part, int which, double value, double time);
/* How it stands at the end. False: no memory. */
bool bp_run_record_end(bp_run *run);

/* sim/wave_instant.c */

bp_moment bp_run_moment(bp_run *run, size_t part);
/* Lets every part that matters decide and see what is now. */
void bp_run_instant(bp_run *run);
/* The longest step from now. */
double bp_run_step(const bp_run *run, double wanted);

#endif
