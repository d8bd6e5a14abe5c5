/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Waveforms in a rectangle of paper: one panel and one axis for each unit, all above one axis of
 * time; the good circuit's trace wide and grey behind the one with the fault; what was measured,
 * named where it stands.
 */
#ifndef BP_RENDER_PLOT_H
#define BP_RENDER_PLOT_H

#include <backprobe/scope.h>

#include "render/canvas.h"

/* Either may be NULL or without result, then it is not drawn; not both. Both were asked for the
 * same traces and the same window. */
typedef struct bp_plot_runs {
    const bp_scope_run *good, *fault;
} bp_plot_runs;

enum { BP_PLOT_MOST_TRACES = 16 };

/* NULL for a run that cannot be drawn. */
const bp_scope_run *bp_plot_drawable(const bp_scope_run *run);

/* The height below which the plot is too small to read. BP_ERR_MEMORY, else BP_OK. */
bp_status bp_plot_least(bp_canvas *canvas, double width, const bp_plot_runs *runs, double *height);
/* Draws it; the box is filled. Likewise. */
bp_status bp_plot_draw(bp_canvas *canvas, bp_box box, const bp_plot_runs *runs);

/* 0 for what is too little to be anything but the solver's rounding: less than 0.5 µV or µA. */
double bp_plot_rounded(double value, bp_unit unit);

/* "381 V", with a true minus sign; what was measured keeps its last zeros: "5.00 V". Length as
 * snprintf. */
int bp_plot_value(double value, bp_unit unit, char *text, size_t size);
int bp_plot_measured(double value, bp_unit unit, char *text, size_t size);

/* The value of a feature as a scope's screen tells it: 0 for what is lost beside the height of its
 * trace. And in words. */
double bp_plot_feature_value(const bp_scope_run *run, const bp_feature *feature);
int bp_plot_feature(const bp_scope_run *run, const bp_feature *feature, char *text, size_t size);

#endif
