/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The contact between the two faces of a plug or bolted pin.
 */
#ifndef BP_SIM_CONTACT_H
#define BP_SIM_CONTACT_H

#include "circuits/circuit.h"
#include "circuits/fault.h"

/* A crimped and mated 2.8 to 6.3 mm plug terminal: 2 mohm; a ring on a stud or a clamp on a post:
 * 0.3 mohm. Source: data-sheet typical for plug terminals (new below 3 mohm, 10 mohm allowed after
 * ageing); common practice for bolted joints (a good one drops a few mV at 10 A). */
#define BP_PLUG_OHM 2e-3
#define BP_BOLTED_OHM 0.3e-3
/* 95 % of good contacts lie within this factor either way: between new and aged, from memory. */
#define BP_CONTACT_SPREAD 2.5

/* Does this pin have a contact of its own: two faces that belong to the part? */
bool bp_contact_exists(const bp_part *part, size_t pin);

/* What is known of a part's contacts in a case. */
typedef struct bp_contact_case {
    bool apart;             /* unplugged or pulled: plug pins are open */
    bool bolts_apart;       /* disconnected: bolted pins are open too */
    double factor;          /* on the good contact resistance: 1, or moved within its tolerance */
    const bp_fault *faults; /* active faults of the case, any scope and part */
    size_t n_faults;
} bp_contact_case;

/* Resistance of one pin's contact, ohm. */
double bp_contact_ohm(const bp_part *part, size_t pin, const bp_contact_case *c);

#endif
