/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/axis.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>

/* Where the values take up less than this part of their distance from 0, they fill the axis and 0
 * is left out: the ripple on a charged battery's voltage. */
static const double close_together = 0.3;
/* What reaches less than this part of a step beyond a tick gets no further tick. */
static const double little = 0.35;
/* White left between the axis's end and such a value, as a part of the axis. */
static const double white = 0.03;
/* From a tenth of a volt or an ampere on nobody writes thousandths. */
static const double plain_from = 0.1;
/* Ticks that miss an end by less, in steps, count as standing on it. */
static const double slack = 1e-6;

/* The smallest of 1, 2, 5 times a power of ten that is no less than `raw`. */
static double round_step(double raw) {
    const double power = pow(10, floor(log10(raw)));
    static const double parts[] = {1, 2, 5};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        if (parts[i] * power >= raw * (1 - slack))
            return parts[i] * power;
    return 10 * power;
}

/* Chooses prefix and digits so that the largest figure reads 1 to 999, as far as prefixes go. */
static void choose_figures(bp_axis *axis, bp_unit unit, int most_shift) {
    static const char *const prefixes[] = {"n", "µ", "m", "", "k", "M", "G"};
    const double largest = fmax(fabs(axis->low), fabs(axis->high));
    int shift = 3 * (int)floor(log10(largest) / 3 + slack);
    if (largest >= plain_from && largest < 1) /* as measured values are written: 0.737 A */
        shift = 0;
    shift = shift < -9 ? -9 : shift > most_shift ? most_shift : shift;
    axis->shift = shift;
    const double decimals = shift - floor(log10(axis->step) + slack);
    axis->decimals = decimals < 0 ? 0 : (int)decimals;
    snprintf(axis->unit, sizeof axis->unit, "%s%s", prefixes[shift / 3 + 3], bp_unit_symbol(unit));
}

static bool is_drawable(double low, double high) {
    return fabs(low) <= BP_AXIS_MOST && fabs(high) <= BP_AXIS_MOST && low <= high;
}

/* Ends around low and high, and the ticks between them. */
static void set_ends(bp_axis *axis, double low, double high) {
    double first = floor(low / axis->step + slack), last = ceil(high / axis->step - slack);
    const double margin = white * (high - low);
    axis->low = first * axis->step;
    axis->high = last * axis->step;
    if (last - first > 1 && axis->low + axis->step - low < little * axis->step) {
        axis->low = low - margin;
        first++;
    }
    if (last - first > 1 && high - axis->high + axis->step < little * axis->step) {
        axis->high = high + margin;
        last--;
    }
    axis->first = first * axis->step;
    axis->n = (size_t)lround(last - first) + 1;
}

bp_axis bp_axis_of_values(double low, double high, bp_unit unit, size_t most) {
    if (!is_drawable(low, high)) {
        low = 0;
        high = 1;
    }
    const double largest = fmax(fabs(low), fabs(high));
    if (high - low > close_together * largest || high - low < slack * largest) {
        low = fmin(low, 0);
        high = fmax(high, 0);
    }
    if (high - low <= 1e-12) { /* nothing at all is shown on a line of its own */
        low = 0;
        high = 1;
    }
    bp_axis axis = {.step = round_step((high - low) / (double)(most > 2 ? most - 1 : 1))};
    set_ends(&axis, low, high);
    while (axis.n > (most > 2 ? most : 2)) {
        axis.step = round_step(axis.step * 1.5);
        set_ends(&axis, low, high);
    }
    choose_figures(&axis, unit, 9);
    return axis;
}

bp_axis bp_axis_of_window(double from, double to, size_t most) {
    if (!is_drawable(from, to) || from == to) {
        from = 0;
        to = 1;
    }
    bp_axis axis = {.low = from,
                    .high = to,
                    .step = round_step((to - from) / (double)(most > 1 ? most - 1 : 1))};
    axis.first = ceil(from / axis.step - slack) * axis.step;
    axis.n = (size_t)floor((to - axis.first) / axis.step + slack) + 1;
    choose_figures(&axis, BP_UNIT_SECOND, 0);
    return axis;
}

double bp_axis_tick(const bp_axis *axis, size_t index) {
    return axis->first + axis->step * (double)index;
}

int bp_axis_text(const bp_axis *axis, size_t index, char *text, size_t size) {
    double figure = bp_axis_tick(axis, index) * pow(10, -axis->shift);
    const double least = 0.5 * pow(10, -axis->decimals);
    if (fabs(figure) < least)
        figure = 0;
    return snprintf(text, size, "%s%.*f", figure < 0 ? "−" : "", axis->decimals, fabs(figure));
}

double bp_axis_share(const bp_axis *axis, double value) {
    return (value - axis->low) / (axis->high - axis->low);
}
