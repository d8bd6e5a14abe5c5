/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One deck in the solver. Lives in a worker process only: the solver's state is the process's.
 *
 * A solve that fails is never a number: bp_session_solve and bp_session_sweep return false and
 * bp_session_why tells.
 */
#ifndef BP_SIM_SESSION_H
#define BP_SIM_SESSION_H

#include "sim/build.h"

/* The solver's options: rshunt is BP_SHUNT_OHM of sim/solve.h, so that an isolated island has a
 * voltage at all and a 10 Mohm meter on it reads under a millivolt. Tests feed the same shunt to
 * their own solver. Tolerances are tight because test points are compared to the microvolt where a
 * shunt of milliohms is measured. Pivots are chosen once, and then values move by fifteen powers of
 * ten as contacts open: with the usual pivrel=0.001 an open wire beside a motor was found to end in
 * no solution. */
#define BP_SOLVER_OPTIONS "rshunt=1e12 reltol=1e-6 vntol=1e-9 abstol=1e-12 itl1=500 pivrel=0.1"

/* A voltage beyond this is the solver's mishap (a division by zero gives -5e34 V), V. */
#define BP_SANE_VOLTS 1e5

typedef struct bp_session bp_session;

/* Starts the solver. Call once a process, in an environment in which no start-up file can be found
 * (sim/sandbox.h). NULL: it does not start, or no memory. */
bp_session *bp_session_new(void);
void bp_session_free(bp_session **session);

/* "ngspice-39"; static. */
const char *bp_session_version(void);

/* Loads a deck with these values in place of the one before. The deck must live until the next
 * load. */
bool bp_session_load(bp_session *session, const bp_deck *deck, const double *values);

/* Solves for the values (only those that differ from what is loaded are sent); volts takes every
 * deck node. */
bool bp_session_solve(bp_session *session, const double *values, double *volts);

/* The same with the meter on all its sites at once, whatever `values` says of them. */
bool bp_session_solve_all_sites(bp_session *session, const double *values, double *volts);

/* A run over time (sim/wave_run.c): what the solver asks and tells while it goes. */
typedef struct bp_watch {
    void *data;
    /* What a live value's source has to give at this time: volts, amperes, siemens. */
    double (*source)(void *data, size_t value, double time);
    /* The longest step that may follow this time, s, given what the solver would take. */
    double (*step)(void *data, double time, double wanted);
    /* A step was accepted. volts by deck node. False: nothing of the run is wanted any more. */
    bool (*point)(void *data, double time, const double *volts);
} bp_watch;

/* Tolerances of a run over time. Volts are solved tightly, since currents are read as the drop over
 * milliohms of a wire; a step's error is compared with trtol times as much. chgtol, in
 * C and V s: without it a capacitor of picofarads at rest asks for steps without end. */
#define BP_RUN_OPTIONS                                                                             \
    "rshunt=1e12 reltol=1e-6 vntol=1e-6 abstol=1e-9 chgtol=1e-10 itl1=500 itl4=60 pivrel=0.1"
#define BP_RUN_TRTOL 700.0

/* Runs a deck in time from the operating point of these values; it takes the place of the deck that
 * was loaded, so that another has to be loaded before the next steady solution. False: no result,
 * bp_session_why tells. */
bool bp_session_run(bp_session *session, const bp_deck *deck, const double *values,
                    const bp_extent *run, const bp_watch *watch);

/* Why the last call failed, in words; static or owned by the session. */
const char *bp_session_why(const bp_session *session);

/* True when the solver asked to end the process: it cannot be used again. */
bool bp_session_lost(const bp_session *session);

/* The letter with which the solver names an element: its value is altered under that name. */
char bp_element_letter(bp_element_sort sort);

#endif
