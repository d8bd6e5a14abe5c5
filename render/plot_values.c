/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Values of waveforms as they are written.
 */
#include <math.h>
#include <stdio.h>

#include "render/plot.h"

/* Less than this, V or A, is what the solver leaves over; more than that needs powers of ten. */
static const double nothing = 5e-7, endless = 1e12;

/* A scope resolves about 10 bits of its screen (data-sheet typical, from memory): what is less than
 * this part of a trace's height does not show on it. */
static const double unseen = 1 / 1000.0;

double bp_plot_rounded(double value, bp_unit unit) {
    const bool dust = unit == BP_UNIT_VOLT || unit == BP_UNIT_AMPERE;
    return dust && fabs(value) < nothing ? 0 : value;
}

static int with_minus(const char *plain, char *text, size_t size) {
    const bool negative = plain[0] == '-';
    return snprintf(text, size, "%s%s", negative ? "−" : "", plain + negative);
}

int bp_plot_value(double value, bp_unit unit, char *text, size_t size) {
    char plain[64];
    bp_quantity_format(bp_plot_rounded(value, unit), unit, 3, plain, sizeof plain);
    return with_minus(plain, text, size);
}

int bp_plot_measured(double value, bp_unit unit, char *text, size_t size) {
    char plain[64];
    if (fabs(value) > endless)
        return snprintf(text, size, "%.2e %s", value, bp_unit_symbol(unit));
    bp_quantity_measured(bp_plot_rounded(value, unit), unit, 3, plain, sizeof plain);
    return with_minus(plain, text, size);
}

static double height_of(const bp_scope_run *run, size_t trace) {
    const bp_feature *high = bp_scope_feature(run, trace, "highest");
    const bp_feature *low = bp_scope_feature(run, trace, "lowest");
    return high && low ? fmax(fabs(high->value), fabs(low->value)) : 0;
}

double bp_plot_feature_value(const bp_scope_run *run, const bp_feature *feature) {
    const bool on_trace =
        feature->trace < run->n_traces && run->traces[feature->trace].unit == feature->unit;
    if (on_trace && fabs(feature->value) < unseen * height_of(run, feature->trace))
        return 0;
    return bp_plot_rounded(feature->value, feature->unit);
}

int bp_plot_feature(const bp_scope_run *run, const bp_feature *feature, char *text, size_t size) {
    return bp_plot_measured(bp_plot_feature_value(run, feature), feature->unit, text, size);
}
