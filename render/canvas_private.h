/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Inside of the canvas, shared by the canvas_*.c files only.
 */
#ifndef BP_RENDER_CANVAS_PRIVATE_H
#define BP_RENDER_CANVAS_PRIVATE_H

#include <cairo.h>
#include <pango/pangocairo.h>

#include "render/canvas.h"
#include "render/files.h"

typedef enum bp_format { BP_FORMAT_NONE, BP_FORMAT_PNG, BP_FORMAT_PDF, BP_FORMAT_SVG } bp_format;

enum { BP_MAX_OWNERS = 32 }; /* frames within frames; a drawing nests three deep */

struct bp_canvas {
    bp_format format;
    char *path; /* NULL: measures only */
    char *title;
    bp_box page;
    cairo_surface_t *surface;
    cairo_t *cr;
    PangoContext *pango;
    GHashTable *sizes; /* render/text_memo.h */
    bp_file *files;    /* finished ones, and the one being written at [n_files] */
    size_t n_files;
    bp_box *inked; /* by page */
    size_t n_pages;
    bp_ledger_entry *entries;
    size_t n_entries, room;
    size_t owners[BP_MAX_OWNERS];
    size_t n_owners;
    bp_status status; /* the first error; later calls do nothing */
    char why[160];    /* what it was, for the report */
};

/* Keeps the first error. */
void bp_canvas_fail(bp_canvas *canvas, bp_status status, const char *why);

/* Red, green, blue of a role, 0 to 1. */
void bp_palette(bp_colour colour, double rgb[3]);
void bp_canvas_colour(bp_canvas *canvas, bp_colour colour);

/* A box of the pushed frame in page coordinates. */
bp_box bp_canvas_to_page(const bp_canvas *canvas, bp_box box);
/* Notes that the box (pushed frame) carries ink. */
void bp_canvas_note_ink(bp_canvas *canvas, bp_box box);

/* Adds an entry in page coordinates; the label is copied. Returns its number, from 1; 0 when it
 * failed. */
size_t bp_ledger_add(bp_canvas *canvas, bp_ink ink, bp_box page_box, const char *label);
void bp_ledger_clear(bp_canvas *canvas);

#endif
