/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Who looks for what tells a fault: shared by what looks at steady states and what looks at runs
 * over time.
 */
#ifndef BP_SIM_SEEN_PRIVATE_H
#define BP_SIM_SEEN_PRIVATE_H

#include <backprobe/seen.h>

#include "circuits/fault.h"
#include "sim/looks.h"

typedef struct bp_seer {
    bp_lab *lab;
    const bp_circuit *circuit;
    const char *const *faults;
    bp_fault *fault; /* by fault: parsed */
    size_t n;
    unsigned instruments; /* bits: those that may be used */
    bool first;           /* what one thing has told is let go */
    bp_seen *seen;
    bp_store store;
    bp_look *look;
    size_t n_looks;
    size_t done, of; /* questions, for the progress: at most so many */
    void (*progress)(void *data, size_t done, size_t of);
    void *data;
    bp_status status;
} bp_seer;

/* Something has told this fault. */
bool bp_seen_told(const bp_seen *seen);

/* What comes and goes is provoked: the action that does it is put after the n_after in `after`,
 * which has room for it, or the engine is made warm or cold for it. */
void bp_seer_provoke(bp_seer *s, size_t fault, const char **after, size_t *n_after, double *engine);

/* For bp_lab_ask_many and bp_lab_scope_many, `data` is the seer: reports how far all is. */
void bp_seer_step(void *data, size_t done, size_t of);

/* Does the display leave what good circuits show? A reading without a result tells by its reason,
 * if that is the meter's: that the circuit could not be solved tells nobody anything. */
bool bp_reading_tells(const bp_reading *good, const bp_reading *bad);

/* Runs that bp_seer_look_over_time will ask for. */
size_t bp_seer_n_runs(const bp_seer *s);
/* The waveforms that the circuit's file names, and meters that need time put where those are. */
void bp_seer_look_over_time(bp_seer *s);

#endif
