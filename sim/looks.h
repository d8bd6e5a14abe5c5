/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Where people put each instrument when they look for a fault: questions that are asked of the good
 * circuit and of the faulted one.
 */
#ifndef BP_SIM_LOOKS_H
#define BP_SIM_LOOKS_H

#include "circuits/circuit.h"
#include "sim/store.h"

#include <backprobe/predict.h>

enum { BP_LOOK_ACTIONS = 3 }; /* that a look may have, and one more to provoke a fault */

typedef struct bp_look {
    bp_question question; /* for the good circuit, every state; its texts are the store's */
    size_t part;          /* only for faults of this part; BP_NONE: for all */
    const char *after[BP_LOOK_ACTIONS];
} bp_look;

/* All looks of a circuit; *looks is the store's. instruments: bits 1u << bp_instrument of
 * those that may be used. False: no memory. */
bool bp_looks_make(const bp_circuit *circuit, unsigned instruments, bp_store *store,
                   bp_look **looks, size_t *n);

#endif
