/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One case: the circuit in one state with its faults, what was done to it, and where its relays and
 * fuses stand. From it comes the vector of element values that the solver gets.
 */
#ifndef BP_SIM_CASE_H
#define BP_SIM_CASE_H

#include "sim/build.h"
#include "sim/model.h"
#include "sim/spread.h"

/* What actions did to a part, as bits. */
typedef unsigned short bp_done;
enum {
    BP_DID_UNPLUG = 1,     /* plug pins are open; a connector opens itself */
    BP_DID_DISCONNECT = 2, /* bolted pins are open too */
    BP_DID_TUG = 4,
    BP_DID_HEAT = 8,
    BP_DID_COOL = 16,
    BP_DID_WET = 32,
    BP_DID_RENEW = 64,
    BP_DID_RESEAT = 128,     /* plug pins were taken apart and put together again */
    BP_DID_SUBSTITUTE = 256, /* a part that is known to be good sits there */
};

/* A parameter moved within its tolerance: of one part, `param` BP_NONE = its pin contacts;
 * direction +1 or -1, 0 = none. */
typedef struct bp_moved {
    size_t part, param;
    int direction;
} bp_moved;

/* Asked in order to know what harm could come. */
typedef enum bp_what_if {
    BP_AS_IT_IS,
    BP_FUSES_HOLD, /* and outputs do not shut down: how much would flow? */
    BP_OUTPUTS_ON, /* the same, with every output that a module switches by itself switched on */
    BP_N_WHAT_IFS
} bp_what_if;

typedef struct bp_case {
    const bp_circuit *circuit;
    const bp_deck *deck;
    bp_surroundings around;
    int *setting;         /* by part */
    int *position;        /* by part */
    bp_done *done;        /* by part: BP_DID_ bits */
    bp_fault_case faults; /* as asked */
    bp_fault active[4];   /* those that are there now, by part */
    size_t n_active;
    bp_moved moved;
    bp_spread *spread; /* the circuit's toleranced quantities; owned */
    size_t n_spreads;
    size_t *first_spread; /* by part, and one more */
    double *drawn; /* by quantity: so many standard deviations it lies off; all zero = as the data
                      say; owned */
    bool as_found; /* before anything was done: leads are not there yet */
    bp_what_if what_if;
    bp_surroundings *near_by; /* room for those of the part in the last view, heated or cooled */
    double *param;            /* room for one part's parameters */
    /* In a run over time: what the wave blocks keep, and by part where its share begins; not
     * owned, NULL otherwise. */
    const double *memory;
    const size_t *memory_at;
} bp_case;

/* All zero positions, default settings, nothing done. NULL: no memory. */
bp_case *bp_case_new(const bp_circuit *circuit, const bp_deck *deck);
void bp_case_free(bp_case **c);

/* A spread terminal holds while cold and still: by nature it comes and goes. */
bool bp_fault_rests(const bp_circuit *circuit, const bp_fault *fault);

/* Conditions asked for instead of the state's own; NAN = the state's. */
typedef struct bp_conditions {
    double ambient, engine, supply;
    double waited; /* s that the vehicle stood before */
} bp_conditions;

/* Settings and surroundings of a state, BP_NONE: everything released. Faults that come and go are
 * looked at again. */
void bp_case_enter(bp_case *c, size_t state, const bp_conditions *wanted);

/* The values of all parts, contacts and leads; the meter's are left alone. */
void bp_case_values(const bp_case *c, double *values);
/* The same for one part and its contacts. */
void bp_case_part_values(const bp_case *c, size_t part, double *values);

/* What a model sees of a part. values and volts may be NULL. The view's parameters last until the
 * next view. */
bp_view bp_case_view(const bp_case *c, size_t part, const double *values, const double *volts);

/* All quantities as the data say. The values are not touched. */
void bp_case_undraw(bp_case *c);

/* Half the width of a parameter's 95 % range in its unit; 0 when it is exact or absent. */
double bp_case_tolerance(const bp_part *part, size_t param);

#endif
