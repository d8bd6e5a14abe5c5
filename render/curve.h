/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A trace on its way to paper: thinned to what a printer resolves, without losing a peak, and the
 * room that it takes.
 */
#ifndef BP_RENDER_CURVE_H
#define BP_RENDER_CURVE_H

#include <stdbool.h>
#include <stddef.h>

#include "render/axis.h"
#include "render/canvas.h"

typedef struct bp_curve {
    double (*xy)[2]; /* points of the page, x never falling; owned */
    bool *joined;    /* whether a line runs to this point from the one before; owned */
    size_t n;
    bp_box room;              /* the panel */
    double *highest, *lowest; /* y of the ink in each column of the room; owned */
    size_t n_columns;         /* each BP_CURVE_COLUMN wide; highest > lowest: no ink */
} bp_curve;
#define BP_CURVE_COLUMN 2.0

/* n samples, time rising, in a room with these axes. Values that are not finite or beyond
 * BP_AXIS_MOST leave a gap. False when memory is out. Free with bp_curve_clear either way. */
bool bp_curve_make(bp_curve *curve, const double *time, const double *value, size_t n,
                   const bp_axis *across, const bp_axis *up, bp_box room);
void bp_curve_clear(bp_curve *curve);

/* Does ink of the curve lie nearer to the box than `clearance`? */
bool bp_curve_meets(const bp_curve *curve, bp_box box, double clearance);

/* The styles in which curves of one panel are told apart: dashes and widths, in this order. */
enum { BP_CURVE_STYLES = 16 };
void bp_curve_draw(bp_canvas *canvas, const bp_curve *curve, size_t style, bool behind);
/* A sample of the style for a legend, from x, y to the right. */
void bp_curve_sample(bp_canvas *canvas, double x, double y, double width, size_t style,
                     bool behind);
/* Width of the line and lengths of its dashes; *n 0: solid. */
double bp_curve_style(size_t style, const double **dash, size_t *n);
/* Notes the curve in the ledger, column by column. */
void bp_curve_note(bp_canvas *canvas, const bp_curve *curve, const char *label);

#endif
