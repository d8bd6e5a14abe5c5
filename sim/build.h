/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of a deck, for this floor only: how it is built for a plan of measurement, and where
 * its values lie.
 *
 * The value vector holds, in this order: the contacts of all pins (part by part), each part's own
 * run, the leads of actions, and what belongs to the meter.
 */
#ifndef BP_SIM_BUILD_H
#define BP_SIM_BUILD_H

#include <backprobe/predict.h>

#include "circuits/fault.h"
#include "sim/deck.h"
#include "sim/lead.h"
#include "sim/model.h"

/* What is measured, and what has no place in the bare circuit: it decides the deck, so another plan
 * is another deck. */
typedef struct bp_plan {
    bp_instrument instrument;
    size_t n_pairs;
    size_t (*pair)[2]; /* faces: red, black; of a clamp, which is apart: the wire, twice */
    size_t n_leads;
    bp_patch *lead; /* that actions add */
    size_t n_wires;
    size_t *wire; /* parts, rising: wires that faults make elements; see bp_plan_add_faults */
    bool afloat;  /* the battery is off: node 0 is the clamp that was on the reference */
    bool in_time; /* for a run over time (sim/wave.h): no meter, but probes */
    size_t n_probes;
    size_t (*probe)[2]; /* faces: red, black; each loads as an oscilloscope's probe does */
} bp_plan;

struct bp_deck {
    const bp_circuit *circuit;
    bp_plan plan;   /* a copy */
    size_t *node;   /* deck node of each node of the circuit */
    size_t n_nodes; /* node 0 included */
    bp_element *element;
    size_t n_elements, room;
    size_t n_values;
    size_t *element_of; /* by value */
    size_t
        *contact;  /* by part: value of its first pin contact; one more entry closes the last run */
    size_t *first; /* by part: value of its slot 0; one more entry closes the last run */
    size_t first_lead;  /* value of the first lead */
    size_t first_meter; /* value of the first element of the meter */
    size_t *middle;     /* by part: its inner node, 0 while nobody asked for it */
    size_t n_sites;  /* places of the meter that can be stepped through in one run of the solver */
    double site_ohm; /* the meter's resistance there */
    bool *live;      /* by value, in a deck for runs over time: may change while the solver runs */
};

/* The deck of a circuit for one plan, or NULL when memory is out. The circuit must outlive it. */
bp_deck *bp_deck_new(const bp_circuit *circuit, const bp_plan *plan);
void bp_deck_free(bp_deck **deck);

bool bp_plan_equal(const bp_plan *a, const bp_plan *b);
bool bp_plan_copy(bp_plan *to, const bp_plan *from); /* false: no memory */
void bp_plan_clear(bp_plan *plan);

/* An ideal wire is no element: its two ends are one node, since joints without resistance make a
 * part that hangs in the air insoluble. A fault on it needs it as an element, and a short between
 * wires that are no neighbours needs a place too: those wires go into the plan. False: no memory.
 */
bool bp_plan_add_faults(bp_plan *plan, const bp_circuit *circuit, const bp_fault_case *faults);
/* The same for a wire around which a clamp is. */
bool bp_plan_add_clamped(bp_plan *plan, const bp_circuit *circuit, size_t wire);
/* Is the wire one of them? */
bool bp_plan_has_wire(const bp_plan *plan, size_t wire);
const bp_plan *bp_builder_plan(const bp_builder *b);

/* For the meter's elements, which belong to no part. A site is a resistor that the solver can step
 * through; all sites of a deck have the same resistance. */
size_t bp_build_site(bp_builder *b, size_t plus, size_t minus, double ohm);

/* What a plain oscilloscope probe is to a circuit, ohm: common practice. High-voltage pins are read
 * by a pick-up that does not load them. */
#define BP_PROBE_OHM 10e6

/* The terminal on the reference, from which it can be taken off. */
size_t bp_clamp_of_reference(const bp_circuit *circuit);
/* The node of the post of a battery that is off; 0: it is not off. */
size_t bp_deck_post_afloat(const bp_deck *deck);

/* The values of a part's own run in a case; in a deck for runs over time those of its wave block.
 */
void bp_part_values(const bp_view *view, double *value);

/* How far a run over time goes. */
typedef struct bp_extent {
    double seconds;
    double longest;  /* step, s */
    double fineness; /* 1; 2: steps half as long */
} bp_extent;

/* The deck as lines for the solver, made from numbers and own names only; *lines ends with NULL.
 * Free with bp_deck_lines_free. NULL when memory is out. */
char **bp_deck_lines(const bp_deck *deck, const double *values);
/* The same of a deck for runs over time. */
char **bp_deck_lines_in_time(const bp_deck *deck, const double *values, const bp_extent *run);
void bp_deck_lines_free(char ***lines);

#endif
