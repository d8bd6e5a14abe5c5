/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What comes of a run over time, in numbers, as it comes from a worker. All of it is checked on
 * arrival.
 */
#ifndef BP_SIM_WAVE_RESULT_H
#define BP_SIM_WAVE_RESULT_H

#include "sim/task.h"

typedef struct bp_wave_event {
    double time; /* s; the state is entered at 0 */
    size_t part;
    int which;    /* index of what the part's wave block tells, or -1 - position that it moved to */
    double value; /* NAN: none */
} bp_wave_event;

typedef struct bp_wave_result {
    bp_status status; /* BP_OK, BP_ERR_SOLVER, BP_ERR_MEMORY */
    char why[160];    /* with BP_ERR_SOLVER */
    size_t n, n_traces;
    double *time;  /* n, rising, from the window's one end to its other */
    double *value; /* by trace, n each: V or A */
    size_t n_events;
    bp_wave_event *event; /* by time */
    /* How it stood at the end of the run, for what people noticed. */
    size_t n_memory, n_values, n_nodes;
    double *memory, *values, *volts;
    int *position; /* by part */
} bp_wave_result;

enum { BP_MOST_SAMPLES = 200000, BP_MOST_EVENTS = 20000 };

void bp_wave_result_clear(bp_wave_result *result);
void bp_wave_result_write(const bp_wave_result *result, const bp_circuit *circuit, bp_bytes *to);
/* False when what came is no result of this task. deck: the one in time. */
bool bp_wave_result_read(bp_wave_result *result, const bp_task *task, const bp_deck *deck,
                         bp_bytes *from);

/* Numbers that the wave blocks of a circuit keep, in all; at (n_parts entries, may be NULL): where
 * each part's begin. */
size_t bp_wave_memory(const bp_circuit *circuit, size_t *at);

#endif
