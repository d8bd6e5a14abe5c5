/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What fuses, fusible links and breakers share: a current, how long it is carried, and what is said
 * of it.
 */
#ifndef BP_SIM_FUSING_H
#define BP_SIM_FUSING_H

#include "sim/model.h"

/* What begins `says` of a model that tells by bp_fusing_behave. */
#define BP_FUSING_SAYS "holds", "overloaded", "opens-slowly", "opens-at-once"

enum { BP_FUSING_WHOLE, BP_FUSING_OPEN };

typedef struct bp_fusing {
    double amps;        /* through it now */
    double times;       /* the same as a multiple of its limit at this temperature */
    double carries;     /* multiples up to which it is content */
    double opens_above; /* multiples above which it opens */
    double seconds;     /* how soon at this current; of no account at or below opens_above */
    char what[48];      /* "a 15 A fuse" */
    char limit[48];     /* "its 15 A" */
} bp_fusing;

/* A whole one opens when there is too much current, or before anything else when it was found
 * open. */
bp_move bp_fusing_next(const bp_fusing *fusing, bool found_open);
/* Of a whole one. */
void bp_fusing_behave(const bp_fusing *fusing, bp_behaviour *out);

#endif
