/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A gap or an insulation: open until the voltage across it reaches what it stands, then an arc that
 * holds a voltage of its own until the current is too small to feed it.
 */
#ifndef BP_SIM_GAP_H
#define BP_SIM_GAP_H

#include "sim/wave.h"

enum { BP_GAP_VALUES = 3 }; /* slots of one gap */
enum { BP_GAP_MEMORY = 4 }; /* numbers that it keeps in a run; the first is 1 while it burns */

/* What burns in a gap. */
typedef struct bp_arc {
    double holds;       /* V, whatever the current */
    double conductance; /* S, beyond that voltage */
    double corner;      /* V over which the law is rounded, well below `holds` */
    double least;       /* A: below it for `small_for` seconds it goes out */
    double small_for;
} bp_arc;

/* A spark that holds so many volts: out below 3 mA for 4 us, from memory. */
#define BP_SPARK(volts)                                                                            \
    { .holds = (volts), .conductance = 1e-2, .corner = 20, .least = 3e-3, .small_for = 4e-6 }

void bp_gap_elements(bp_builder *b, size_t plus, size_t minus);
/* burning: memory[0] in a run, false in steady state. */
void bp_gap_values(double *value, bool burning, const bp_arc *arc);

typedef struct bp_gap {
    size_t slot;      /* its first */
    double *memory;   /* BP_GAP_MEMORY of them */
    double breakdown; /* V */
    const bp_arc *arc;
} bp_gap;

typedef enum bp_gap_does { BP_GAP_STAYS, BP_GAP_FIRES, BP_GAP_ENDS } bp_gap_does;

/* For `instant`: what the gap does now. At FIRES *volts is what stood across it. */
bp_gap_does bp_gap_instant(bp_moment *m, const bp_gap *gap, double *volts);

/* Volts across the gap now. */
double bp_gap_volts(const bp_view *view, size_t slot);

/* Voltage at which a gap in gas breaks down, V: gap in m, density beside that of open air at 20
 * degC and 101 kPa. Between rounded electrodes, after Kuffel and Zaengl, High Voltage Engineering
 * (from memory): 24.22 d + 6.08 sqrt(d) kV, d in cm times density. */
double bp_gap_breakdown(double metres, double density);

#endif
