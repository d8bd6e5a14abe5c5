/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/fusing.h"

#include <math.h>
#include <stdio.h>

#include "sim/settle.h"

bp_move bp_fusing_next(const bp_fusing *fusing, bool found_open) {
    if (found_open)
        return (bp_move){
            .moves = true, .position = BP_FUSING_OPEN, .seconds = 0, .beyond = INFINITY};
    return (bp_move){.moves = fusing->times > fusing->opens_above,
                     .position = BP_FUSING_OPEN,
                     .seconds = fusing->seconds,
                     .beyond = fusing->times / fusing->opens_above - 1};
}

enum { HOLDS, OVERLOADED, OPENS_SLOWLY, OPENS_AT_ONCE };
static const char *const ids[] = {BP_FUSING_SAYS};

/* Less than this is no current to anybody: what flows through a meter or a dirty switch, A. */
#define NOTHING 1e-3

void bp_fusing_behave(const bp_fusing *fusing, bp_behaviour *out) {
    out->senses = 0; /* how much it carries is neither seen nor heard */
    const double times = fusing->times, seconds = fusing->seconds;
    const int what = times <= fusing->carries       ? HOLDS
                     : times <= fusing->opens_above ? OVERLOADED
                     : seconds <= BP_SLOW_SECONDS   ? OPENS_AT_ONCE
                                                    : OPENS_SLOWLY;
    char amps[40] = "no current", *words = out->words;
    const size_t size = sizeof out->words;
    if (fusing->amps >= NOTHING)
        bp_quantity_format(fusing->amps, BP_UNIT_AMPERE, 3, amps, sizeof amps);
    out->says = ids[what];
    out->value = fusing->amps;
    out->unit = BP_UNIT_AMPERE;
    if (what == HOLDS)
        snprintf(words, size, "holds: %s through %s", amps, fusing->what);
    else if (what == OVERLOADED)
        snprintf(words, size, "overloaded: %s, %.2f times %s; it may hold for hours", amps, times,
                 fusing->limit);
    else if (what == OPENS_SLOWLY)
        snprintf(words, size, "opens within %.2g %s: %s, %.1f times %s",
                 seconds < 90 ? seconds : seconds / 60, seconds < 90 ? "s" : "min", amps, times,
                 fusing->limit);
    else
        snprintf(words, size, "opens at once: %s, %.1f times %s", amps, times, fusing->limit);
}
