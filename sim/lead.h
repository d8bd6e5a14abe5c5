/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A lead or a lamp that an action puts between two places of the circuit.
 */
#ifndef BP_SIM_LEAD_H
#define BP_SIM_LEAD_H

#include <stddef.h>

typedef enum bp_lead_sort {
    BP_LEAD_JUMPER, /* between any two places */
    BP_LEAD_FEED,   /* from the battery's + */
    BP_LEAD_EARTH,  /* to the battery's - */
    BP_LEAD_BYPASS, /* from a ground's eyelet to its metal */
    BP_LEAD_BULB,   /* a lamp in a fuse's socket */
    BP_LEAD_LOAD,   /* a lamp that loads an open circuit */
    BP_N_LEAD_SORTS
} bp_lead_sort;

/* No padding in it: leads are compared as bytes. */
typedef struct bp_patch {
    size_t sort;    /* bp_lead_sort */
    size_t part;    /* that the action named, BP_NONE: it named places */
    size_t face[2]; /* red end, black end */
    double watt;    /* of a 12 V lamp; 0: a plain lead */
} bp_patch;

#endif
