/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Axes with round ticks: 1, 2 or 5 times a power of ten apart, printed in a unit whose figures are
 * short.
 */
#ifndef BP_RENDER_AXIS_H
#define BP_RENDER_AXIS_H

#include <stddef.h>

#include <backprobe/quantity.h>

typedef struct bp_axis {
    double low, high;   /* its ends, in the unit itself; low < high */
    double step, first; /* between ticks; where the first one stands */
    size_t n;           /* ticks */
    int shift;          /* figures are printed in 10^shift of the unit */
    int decimals;       /* of the printed figures */
    char unit[8];       /* as printed: "kV" */
} bp_axis;

/* Values beyond this are not drawn: no quantity of a circuit comes near (see bp_number). */
#define BP_AXIS_MOST 1e30

/* An axis of values: 0 is on it unless all values are close together far from it. It ends on a
 * tick, or a little beyond one where only little reaches beyond. `most` ticks or fewer, at least 2.
 * Ends in the wrong order, or not finite: 0 to 1. */
bp_axis bp_axis_of_values(double low, double high, bp_unit unit, size_t most);

/* An axis whose ends stay as they are, with ticks between them: time in s. */
bp_axis bp_axis_of_window(double from, double to, size_t most);

double bp_axis_tick(const bp_axis *axis, size_t index);
/* The tick's figure, without the unit. Length as snprintf. */
int bp_axis_text(const bp_axis *axis, size_t index, char *text, size_t size);

/* Where a value stands on the axis: 0 at its low end, 1 at its high end. */
double bp_axis_share(const bp_axis *axis, double value);

#endif
