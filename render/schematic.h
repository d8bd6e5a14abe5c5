/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The wiring drawn: parts placed (by the file's `layout`, else automatically: feed at the top,
 * grounds at the bottom), wires routed at right angles around parts and texts, every test point
 * flagged.
 */
#ifndef BP_RENDER_SCHEMATIC_H
#define BP_RENDER_SCHEMATIC_H

#include "circuits/fault.h"
#include "render/canvas.h"
#include "render/symbol.h"

/* What a point's tag says. */
typedef struct bp_tag {
    const char *good;  /* healthy reading as displayed, or NULL (a worksheet) */
    const char *fault; /* with this fault, or NULL when healthy is shown */
    int mark;          /* +1 above its good range, -1 below, 0 inside */
} bp_tag;

typedef struct bp_schematic_view {
    const bp_look *looks;        /* by part index, or NULL: all released */
    const bp_tag *tags;          /* by point index, or NULL: letters only */
    const bp_fault_case *faults; /* drawn where they are, or NULL */
} bp_schematic_view;

typedef struct bp_schematic bp_schematic;

/* Places and routes for a drawing `width` points wide and at most `max_height` high, choosing the
 * scale (texts keep their size). `measure` lends its text measuring. lines: 1 or 2 readings a tag;
 * us_units: wires in AWG. NULL when memory is out. */
bp_schematic *bp_schematic_new(const bp_circuit *circuit, bp_canvas *measure, double width,
                               double max_height, int lines, bool us_units);
/* The same with parts left out, by part, their wires too. */
bp_schematic *bp_schematic_new_without(const bp_circuit *circuit, const bool *left_out,
                                       bp_canvas *measure, double width, double max_height,
                                       int lines, bool us_units);
void bp_schematic_free(bp_schematic **schematic);

/* Size that it takes, points. */
bp_box bp_schematic_size(const bp_schematic *schematic);
/* 1 when it fits with texts at their size; less: it had to be shrunk, texts too, to fit. */
double bp_schematic_shrink(const bp_schematic *schematic);

void bp_schematic_draw(const bp_schematic *schematic, bp_canvas *canvas, double x, double y,
                       const bp_schematic_view *view);

#endif
