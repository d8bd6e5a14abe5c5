/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The deck: one circuit as numbered nodes and elements, with every fault site already in place.
 * Built once; a case (state, faults, tolerances, positions of relays and fuses) is nothing but
 * another vector of element values.
 *
 * Node 0 is the circuit's reference. Every element value has a place in one vector,
 * bp_deck.n_values long; each part owns a run of it (its "slots", numbered from 0 in the order in
 * which its model declared them).
 */
#ifndef BP_SIM_DECK_H
#define BP_SIM_DECK_H

#include "circuits/circuit.h"

/* An open contact or an absent short, in ohm; finite so that the matrix never becomes singular. */
#define BP_OPEN_OHM 1e12
/* An ideal source's resistance, in ohm (0 would silently become 1 mohm). Only for what a voltage
 * holds at one end: a part of the circuit that hangs in the air and has such joints cannot be
 * solved, because they drown its 1e12 ohm. */
#define BP_IDEAL_OHM 1e-6
/* Metal on metal, in ohm: a hard short anywhere else. */
#define BP_METAL_OHM 1e-3

typedef enum bp_element_sort {
    BP_EL_RESISTOR, /* 1 value: ohm, > 0 */
    BP_EL_VOLTAGE,  /* 1 value: V, plus over minus */
    BP_EL_CURRENT,  /* 1 value: A, flowing from plus through the element to minus */
    BP_EL_DIODE, /* no value: saturation current and emission coefficient are fixed in the element
                  */
    BP_EL_LAW, /* law->n_params values: a current from plus to minus that is a function of voltages
                */
    /* Only in a deck for runs over time (sim/wave.h). */
    BP_EL_INDUCTOR,  /* 1 value: H, > 0 */
    BP_EL_CAPACITOR, /* 1 value: F, > 0 */
    BP_EL_COUPLING   /* 1 value: 0 < k < 1; plus and minus are the elements of the two inductors */
} bp_element_sort;

/* A behavioural current law. `spice` is the current in A from plus to minus through the element,
 * written in ngspice's expression language; "#0" .. "#9" stand for control voltages (the law's
 * pairs of nodes), "$0" .. "$9" for parameters. Smooth everywhere, finite slope at 0. */
typedef struct bp_law {
    const char *id;
    size_t n_controls; /* at most BP_MAX_CONTROLS */
    size_t n_params;
    const char *spice;
} bp_law;

enum { BP_MAX_CONTROLS = 4 };

typedef struct bp_element {
    bp_element_sort sort;
    size_t part;        /* owner, or BP_NONE for the meter's own elements */
    size_t plus, minus; /* deck nodes */
    size_t first_value; /* in the value vector */
    size_t n_values;
    double is, n; /* BP_EL_DIODE: saturation current in A, emission coefficient */
    const bp_law *law;
    size_t control[BP_MAX_CONTROLS][2]; /* deck nodes of each control voltage */
    size_t site; /* 0, or the place of the meter (from 1) that this resistor is: one at most is not
                    open */
} bp_element;

typedef struct bp_deck bp_deck;

/* What the floors above and the tests read. */
size_t bp_deck_n_nodes(const bp_deck *deck); /* node 0 included */
size_t bp_deck_n_elements(const bp_deck *deck);
size_t bp_deck_n_values(const bp_deck *deck);
const bp_element *bp_deck_element(const bp_deck *deck, size_t index);
/* The element to which a place in the value vector belongs. */
const bp_element *bp_deck_element_of_value(const bp_deck *deck, size_t value);
size_t bp_deck_node_of_face(const bp_deck *deck, size_t face);
/* First slot of a part's own run in the value vector (its model's slot 0), and how many it has. */
size_t bp_deck_first_value(const bp_deck *deck, size_t part);
size_t bp_deck_n_part_values(const bp_deck *deck, size_t part);

/* For the models' `elements`, which runs once a part while the deck is built. Slots are given in
 * calling order. */
typedef struct bp_builder bp_builder;

const bp_circuit *bp_builder_circuit(const bp_builder *b);
size_t bp_build_node(bp_builder *b); /* a new inner node */
/* The middle of a part (a wire, where it chafes through): one inner node a part, made by the first
 * call for it, so that a neighbour may ask before the part's own model has run. */
size_t bp_build_middle(bp_builder *b, const bp_part *part);
size_t bp_build_own(const bp_builder *b, const bp_part *part,
                    size_t pin); /* deck node of a pin's part face */
size_t bp_build_harness(const bp_builder *b, const bp_part *part,
                        size_t pin); /* deck node of a pin's harness face */
size_t bp_build_face(const bp_builder *b, size_t face);
size_t bp_build_body(
    const bp_builder *b); /* where short-to-ground goes: the body's metal, else the reference */
size_t bp_build_feed(const bp_builder *b); /* where short-to-feed goes: the battery's + post */
/* Each returns the part's slot of its first value. */
size_t bp_build_resistor(bp_builder *b, size_t plus, size_t minus);
size_t bp_build_voltage(bp_builder *b, size_t plus, size_t minus);
size_t bp_build_current(bp_builder *b, size_t plus, size_t minus);
void bp_build_diode(bp_builder *b, size_t anode, size_t cathode, double is, double n);
size_t bp_build_law(bp_builder *b, const bp_law *law, size_t plus, size_t minus,
                    const size_t (*control)[2]);

#endif
