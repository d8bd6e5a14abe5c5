/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One drawing surface for PNG, PDF and SVG. Lengths are points (1/72 inch), x to the right, y
 * downwards from the page's top left corner. Text is laid out by pango and stays text in PDF and
 * SVG. Everything that is drawn leaves its box in a ledger, so that a test can find overlaps and
 * ink outside the page.
 *
 * A canvas that has failed keeps its first error; later calls on it do nothing.
 */
#ifndef BP_RENDER_CANVAS_H
#define BP_RENDER_CANVAS_H

#include <stdbool.h>
#include <stddef.h>

#include <backprobe/report.h>

typedef enum bp_paper { BP_PAPER_A4, BP_PAPER_LETTER } bp_paper;

typedef struct bp_box {
    double x, y, w, h;
} bp_box;

/* What a ledger entry is: text must not overlap text, symbols or tags; wires must not run through
 * text, symbols or tags. */
typedef enum bp_ink { BP_INK_TEXT, BP_INK_SYMBOL, BP_INK_TAG, BP_INK_WIRE, BP_INK_FRAME } bp_ink;

typedef struct bp_ledger_entry {
    bp_ink ink;
    size_t page; /* from 0 */
    bp_box box;
    size_t owner; /* texts inside the frame or tag that they belong to carry its number; 0 = none */
    const char *label; /* for messages; owned by the canvas */
} bp_ledger_entry;

/* The palette: roles, not colours; every role is told apart in grey as well. */
typedef enum bp_colour {
    BP_INK_BLACK, /* wiring, text */
    BP_GREY_TEXT, /* second-rank text */
    BP_GREY_RULE, /* hairlines, table rules */
    BP_GREY_FILL, /* quiet backgrounds */
    BP_ACCENT,    /* our one accent */
    BP_ACCENT_FILL,
    BP_ALARM, /* what left its good range (never the only sign of it) */
    BP_ALARM_FILL,
    BP_PAPER_WHITE
} bp_colour;

typedef enum bp_weight { BP_REGULAR, BP_BOLD } bp_weight;
typedef enum bp_align { BP_LEFT, BP_CENTRE, BP_RIGHT } bp_align;

typedef struct bp_font {
    double size; /* points */
    bp_weight weight;
    bp_colour colour;
    bool tabular; /* digits of one width */
} bp_font;

typedef struct bp_canvas bp_canvas;

/* Format from the path's ending (.png, .pdf, .svg). Nothing appears at `path` before
 * bp_canvas_finish: the file is written beside it and renamed. PNG and SVG hold one page a file:
 * further pages get "-2", "-3" before the ending. path NULL: measures only. */
bp_canvas *bp_canvas_new(const char *path, bp_paper paper, const char *title, bp_report *report);
bp_status bp_canvas_finish(bp_canvas *canvas, bp_report *report);
/* Drops what was not finished; no file is left behind. */
void bp_canvas_free(bp_canvas **canvas);

bp_box bp_canvas_page(const bp_canvas *canvas); /* whole page */
void bp_canvas_next_page(bp_canvas *canvas);
size_t bp_canvas_n_pages(const bp_canvas *canvas); /* begun so far, from 1 */
/* What of a page carries ink, strokes and fills outside the ledger too; w < 0 on an empty page. */
bp_box bp_canvas_inked(const bp_canvas *canvas, size_t page);

/* Size that a text would take; width 0 = one line, else wrapped. */
bp_box bp_text_size(bp_canvas *canvas, const char *text, const bp_font *font, double width);
/* Draws a text whose top edge is y; aligned at x (left edge, centre, right edge). width 0 = one
 * line, else wrapped to it. Returns the box it took. Pango markup is not interpreted. */
bp_box bp_text(bp_canvas *canvas, double x, double y, const char *text, const bp_font *font,
               bp_align align, double width);

/* Paths. Line widths in points; dash: NULL-less array, n = 0 solid. */
void bp_line(bp_canvas *canvas, double x1, double y1, double x2, double y2, double width,
             bp_colour colour);
void bp_dashed(bp_canvas *canvas, double x1, double y1, double x2, double y2, double width,
               bp_colour colour, const double *dash, size_t n);
void bp_polyline(bp_canvas *canvas, const double (*xy)[2], size_t n, double width, bp_colour colour,
                 bool closed);
/* An open line with rounded corners: a sharp peak ends where it is. A single point is a dot. */
void bp_polydash(bp_canvas *canvas, const double (*xy)[2], size_t n, double width, bp_colour colour,
                 const double *dash, size_t n_dash);
void bp_polygon(bp_canvas *canvas, const double (*xy)[2], size_t n, bp_colour fill);
void bp_rect(bp_canvas *canvas, bp_box box, double radius, double width, bp_colour stroke,
             bool filled, bp_colour fill);
void bp_circle(bp_canvas *canvas, double x, double y, double radius, double width, bp_colour stroke,
               bool filled, bp_colour fill);
void bp_arc(bp_canvas *canvas, double x, double y, double radius, double from_deg, double to_deg,
            double width, bp_colour colour);

/* A local coordinate frame: translate, then turn clockwise by degrees (0, 90, 180, 270), then
 * scale. Nests. */
void bp_canvas_push(bp_canvas *canvas, double x, double y, int turn, double scale);
void bp_canvas_pop(bp_canvas *canvas);

/* The ledger. bp_text notes the box of its ink (owner: the innermost bp_ledger_begin). Symbols,
 * tags, wires and frames are noted by who draws them, in page coordinates or in the pushed frame's
 * (they are transformed). */
size_t bp_ledger_begin(bp_canvas *canvas, bp_ink ink, bp_box box, const char *label);
void bp_ledger_end(bp_canvas *canvas);
void bp_ledger_wire(bp_canvas *canvas, double x1, double y1, double x2, double y2,
                    const char *label);
size_t bp_ledger_count(const bp_canvas *canvas);
const bp_ledger_entry *bp_ledger_at(const bp_canvas *canvas, size_t index);

/* The fonts that texts are set in, first choice first, as pango takes them. */
extern const char bp_font_families[];

#endif
