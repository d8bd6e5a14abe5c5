/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A question in numbers, as it goes to a worker, and what comes back. Both ends hold the same
 * circuit, so nothing but numbers travels. A worker has run a solver and is not trusted: all that
 * it sends is checked on arrival.
 */
#ifndef BP_SIM_TASK_H
#define BP_SIM_TASK_H

#include <stdint.h>

#include "sim/case.h"
#include "sim/instrument.h"

/* For tests: what a worker does instead of answering. */
typedef enum bp_mishap {
    BP_MISHAP_NONE,
    BP_MISHAP_DIES,
    BP_MISHAP_HANGS,
    BP_MISHAP_BABBLES
} bp_mishap;

/* What an oscilloscope is put on. */
typedef struct bp_task_trace {
    size_t red, black; /* faces; BP_NONE with a clamp */
    size_t clamp;      /* a wire, or BP_NONE */
} bp_task_trace;

/* What is known of a state before it is solved. */
typedef enum bp_known {
    BP_UNKNOWN,
    BP_FORESEEN, /* where it comes to rest */
    BP_KNOWN     /* everything: it is left out */
} bp_known;

typedef struct bp_task {
    bp_fault_case faults;
    bp_conditions conditions;
    size_t state; /* BP_NONE: every declared one */
    bool ranges;
    bool moves;
    uint64_t draw; /* 0: every part as its data say */
    size_t solve;  /* BP_NONE, or: no readings, but the whole solution with the meter on this pair
                      (n_pairs: on none) */
    bool fresh;    /* with `solve`: from a deck loaded anew with the final values instead of edited
                      ones */
    bp_mishap mishap;
    bool acts;     /* something was done: the vehicle is looked at as found first */
    bool may_harm; /* what was done could harm: it is to be asked what would happen */
    bp_what_if what_if;
    bp_done *done;        /* by part: BP_DID_ bits; owned */
    unsigned char *known; /* by state: a bp_known; owned */
    int *foreseen; /* by state and part: positions in which a state that is not BP_UNKNOWN settles;
                      owned */
    bp_plan plan;  /* owned */
    bool in_time;  /* a run over time of `state` (sim/wave_run.h): no pairs, but traces */
    double from, to; /* window, s; the state is entered at 0 */
    double fineness; /* 1; 2: steps half as long */
    bool lasting;    /* nothing is switched at 0: the run begins in `state` */
    size_t n_traces;
    bp_task_trace *trace; /* owned */
} bp_task;

bool bp_task_init(bp_task *task, const bp_circuit *circuit); /* false: no memory */
void bp_task_clear(bp_task *task);
/* A task of its own with the same content, but for what is known of the states. False: no memory;
 * clear it all the same. */
bool bp_task_copy(bp_task *to, const bp_task *from, const bp_circuit *circuit);
/* Room for what is known of the states, nothing known yet; false: no memory. */
bool bp_task_make_known(bp_task *task, const bp_circuit *circuit);

typedef enum bp_phase_sort { BP_PHASE_WHOLE, BP_PHASE_BEFORE, BP_PHASE_AFTER } bp_phase_sort;

/* One state, or one part of it before or after a slow fuse opened. */
typedef struct bp_phase {
    size_t state;
    bp_phase_sort sort;
    size_t opened;  /* the fuse that opens or opened, BP_NONE */
    double seconds; /* BEFORE: how long it takes */
    bool solved;
    bool chatter;
    int *position;        /* by part */
    unsigned char *moves; /* by part: 1 when it chatters */
    uint64_t way;         /* bp_settled.way */
    double *volts;        /* by deck node */
    bp_raw *raw;          /* by pair of the plan */
    size_t n_spreads;     /* 0, or how many toleranced quantities `strays` has for each pair */
    float *strays;        /* by pair, by quantity: change for one standard deviation of it */
} bp_phase;

typedef struct bp_result {
    bp_status status; /* BP_OK, BP_ERR_SOLVER, BP_ERR_MEMORY */
    char why[160];    /* with BP_ERR_SOLVER, or the words of the last solve that failed */
    size_t n_phases;
    bp_phase *phase;
    int *found;     /* by part: positions of lasting parts in the vehicle as found */
    double *values; /* with `solve`: the final value vector */
    size_t n_values;
} bp_result;

enum { BP_MOST_PHASES = 256 };

/* A phase with room for everything, added to the result; NULL: no memory or too many. */
bp_phase *bp_result_add(bp_result *result, size_t n_parts, size_t n_nodes, size_t n_pairs);
/* Room for the strays of a phase; false: no memory. */
bool bp_phase_make_strays(bp_phase *phase, size_t n_pairs, size_t n_spreads);
void bp_result_cut(bp_result *result, size_t n); /* keeps the first n phases */
void bp_result_drop_phases(bp_result *result);
void bp_result_clear(bp_result *result);

/* Bytes on their way. A buffer that failed (no memory, or read past its end) stays failed. */
typedef struct bp_bytes {
    unsigned char *data;
    size_t size, room, at;
    bool failed;
} bp_bytes;

void bp_bytes_clear(bp_bytes *bytes);
void bp_bytes_add(bp_bytes *to, const void *what, size_t size);
/* Reads the next bytes, or a count of at most `most`; zeros and a failed buffer when there are
 * none.
 */
void bp_bytes_get(bp_bytes *from, void *what, size_t size);
size_t bp_bytes_get_count(bp_bytes *from, size_t most);
bool bp_positions_are_sane(const int *position, const bp_circuit *circuit);

void bp_task_write(const bp_task *task, const bp_circuit *circuit, bp_bytes *to);
bool bp_task_read(bp_task *task, const bp_circuit *circuit, bp_bytes *from);
void bp_result_write(const bp_result *result, const bp_deck *deck, bp_bytes *to);
/* False when what came is not a result for this task and deck: wrong sizes, counts or places, or no
 * memory. */
bool bp_result_read(bp_result *result, const bp_task *task, const bp_deck *deck, bp_bytes *from);

#endif
