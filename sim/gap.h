/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A gap or an insulation: open until the voltage across it reaches what it stands, then an arc that
 * holds a voltage of its own until the current is too small to feed it.
 */
#ifndef BP_SIM_GAP_H
#define BP_SIM_GAP_H

#include "sim/wave.h"

enum { BP_GAP_VALUES = 2 }; /* slots of one gap */
enum { BP_GAP_MEMORY = 4 }; /* numbers that it keeps in a run; the first is 0 unless it burns */

/* What burns in a gap. */
typedef struct bp_arc {
    double holds;       /* V, whatever the current */
    double conductance; /* S, beyond that voltage */
    double least;       /* A: below it goes out */
} bp_arc;

/* A spark that holds so many volts: out below 3 mA, from memory. */
#define BP_SPARK(volts)                                                                            \
    { .holds = (volts), .conductance = 1e-2, .least = 3e-3 }

void bp_gap_elements(bp_builder *b, size_t plus, size_t minus);
/* memory: its own in a run, NULL in steady state. */
void bp_gap_values(double *value, const double *memory, const bp_arc *arc);

typedef struct bp_gap {
    size_t slot;      /* its first */
    double *memory;   /* BP_GAP_MEMORY of them */
    double breakdown; /* V */
    const bp_arc *arc;
} bp_gap;

typedef enum bp_gap_does { BP_GAP_STAYS, BP_GAP_FIRES, BP_GAP_ENDS } bp_gap_does;

/* For `instant`: what the gap does now. At FIRES *volts is what stood across it. */
bp_gap_does bp_gap_instant(bp_moment *m, const bp_gap *gap, double *volts);

/* For `instant` of what leads high voltage: a gap on the way and the insulation beside it. A
 * flash-over there is told as `tell`. True: one of them changed. */
bool bp_gap_beside(bp_moment *m, const bp_gap *way, const bp_gap *insulation, size_t tell);

/* Volts across the gap now. */
double bp_gap_volts(const bp_view *view, size_t slot);

/* Voltage at which a gap in gas breaks down, V: gap in m, density beside that of open air at 20
 * degC and 101 kPa. Between rounded electrodes, after Kuffel and Zaengl, High Voltage Engineering
 * (from memory): 24.22 d + 6.08 sqrt(d) kV, d in cm times density. */
double bp_gap_breakdown(double metres, double density);

#endif
