/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a circuit works, from its graph alone: where each load gets its feed and its ground, what
 * switches it, which fuse guards it.
 */
#ifndef BP_CIRCUITS_EXPLAIN_H
#define BP_CIRCUITS_EXPLAIN_H

#include "circuits/circuit.h"

/* A part on the way; wires and splices are left out. */
typedef struct bp_stop {
    size_t part;
    size_t from, to;     /* pins in the direction of the current */
    bp_branch_sort sort; /* BP_BRANCH_NONE: a connector or a ground */
    char when[96];       /* of a contact: "while pulled in"; else empty */
} bp_stop;

typedef struct bp_route {
    bp_stop *stops; /* owned */
    size_t n;
} bp_route;

enum { BP_MOST_ROUTES = 3 };

/* One load, or one way of a part that is a load; or an input, which has no feed of its own. */
typedef struct bp_explained {
    size_t part, pin[2]; /* pin 0 is the fed one */
    const char *words;   /* "the coil of", or NULL: the whole part */
    size_t source;       /* of a spark plug: the coil that gives its spark; of an input: the sensor
                            that it reads, `feed` being the way from there and `ground` that of the
                            sensor's other end; else BP_NONE */
    bool listens;        /* an input; without a source `feed` and `ground` are what its pin 0 may be
                            joined to */
    bool either_way;     /* its ends can change places */
    size_t n_feeds, n_grounds;
    bp_route feed[BP_MOST_ROUTES];   /* from the battery's + (the coil) to it; shortest first */
    bp_route ground[BP_MOST_ROUTES]; /* from it to the battery's - */
} bp_explained;

typedef struct bp_explanation {
    bp_explained *item; /* owned */
    size_t n;
} bp_explanation;

/* In the order of the parts. BP_ERR_MEMORY, else BP_OK; clear it whatever comes back. */
bp_status bp_explain(const bp_circuit *circuit, bp_explanation *explanation);
void bp_explanation_clear(bp_explanation *explanation);

/* The fuse nearest to the load on the way of its feed, BP_NONE. */
size_t bp_explained_guard(const bp_explained *e);
/* Is this the stop of something that switches? */
bool bp_stop_switches(const bp_stop *stop);

/* Sentences: "M1 (fuel pump) is fed from battery positive through ...". named: by part, which have
 * been called by their labels before and are called by their ids only; it is brought up to date.
 * NULL: each label at its first place. NULL comes back: no memory; free it. */
char *bp_explained_words(const bp_circuit *circuit, const bp_explained *e, bool *named);

#endif
