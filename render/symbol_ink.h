/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the symbols are drawn with. Coordinates are cells of the symbol's frame. Line widths and
 * small texts keep their size on the page at every scale.
 */
#ifndef BP_RENDER_SYMBOL_INK_H
#define BP_RENDER_SYMBOL_INK_H

#include "render/symbol.h"

/* Line widths on the page, points. */
#define BP_LINE 1.1
#define BP_LINE_HEAVY 2.2
#define BP_LINE_FINE 0.7

/* A shape without terminals, sized, carrying over what the wish says. wish may be NULL. */
void bp_shape_begin(bp_shape *shape, const bp_wish *wish, size_t piece, double w, double h);
void bp_shape_terminal(bp_shape *shape, size_t pin, double x, double y, bp_side side);
/* Height of a pin; 1 for the first and 0 for later ones when nothing is wished. */
double bp_wish_height(const bp_wish *wish, size_t pin);
/* Terminals side by side from x, at least `pitch` apart and wider where a tag needs room; returns
 * the last one's x. */
double bp_shape_row(bp_shape *shape, const bp_wish *wish, const size_t *pins, size_t n, double x,
                    double y, bp_side side, double pitch);
/* Two pins in line, the higher one at the top; x is the column of the terminals. */
void bp_shape_inline(const bp_part *part, const bp_wish *wish, size_t piece, bp_shape *shape,
                     double w, double h, double x);
/* Small text's height in cells of this drawing. */
double bp_small_text_cells(double scale);

void bp_ink_line(bp_canvas *canvas, const bp_shape *shape, double x1, double y1, double x2,
                 double y2);
void bp_ink_heavy(bp_canvas *canvas, const bp_shape *shape, double x1, double y1, double x2,
                  double y2);
void bp_ink_fine(bp_canvas *canvas, const bp_shape *shape, double x1, double y1, double x2,
                 double y2);
/* The dashed mechanical link. */
void bp_ink_link(bp_canvas *canvas, const bp_shape *shape, double x1, double y1, double x2,
                 double y2);
void bp_ink_box(bp_canvas *canvas, const bp_shape *shape, double x, double y, double w, double h);
/* Filled with the quiet grey of housings. */
void bp_ink_housing(bp_canvas *canvas, const bp_shape *shape, double x, double y, double w,
                    double h);
/* The dashed outline of parts that belong together. */
void bp_ink_outline(bp_canvas *canvas, const bp_shape *shape, double x, double y, double w,
                    double h);
void bp_ink_circle(bp_canvas *canvas, const bp_shape *shape, double x, double y, double radius);
void bp_ink_dot(bp_canvas *canvas, const bp_shape *shape, double x, double y);
/* An arrow head whose tip is at x, y; (dx, dy) is the direction it points to, of length 1. */
void bp_ink_arrow(bp_canvas *canvas, const bp_shape *shape, double x, double y, double dx,
                  double dy);
/* A filled triangle that points up or down along column x. */
void bp_ink_triangle(bp_canvas *canvas, const bp_shape *shape, double x, double half, double foot,
                     double tip);
/* Text centred on y; `points` is its size on the page. */
void bp_ink_text(bp_canvas *canvas, const bp_shape *shape, double x, double y, const char *text,
                 double points, bp_weight weight, bp_align align);
/* Letter of a machine ("M"), which grows with the drawing. */
void bp_ink_letter(bp_canvas *canvas, const bp_shape *shape, double x, double y, const char *text,
                   double size);
/* From terminal `i` straight in to y. */
void bp_ink_lead(bp_canvas *canvas, const bp_shape *shape, size_t i, double y);
/* The pin's name beside its lead, inside the frame: left or right of it. */
void bp_ink_pin_name(bp_canvas *canvas, const bp_part *part, const bp_shape *shape, size_t i,
                     bp_align align);
/* All pins' names, right of their leads, inside a housing whose edge is `inset` from them. */
void bp_ink_pin_names_in(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                         double inset);

/* The round end of a contact. */
void bp_ink_contact_end(bp_canvas *canvas, const bp_shape *shape, double x, double y);
/* A part that is one contact, pins a and b in line; its box leaves room for what works it on the
 * left. Draws leads, pin names and the contact. */
void bp_shape_contact(const bp_part *part, const bp_wish *wish, size_t a, size_t b,
                      bp_shape *shape);
void bp_ink_contact_in_line(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                            bool closed);
/* One contact in line between terminals 0 and 1 on column x: hinge below, drawn closed or open. */
void bp_ink_contact(bp_canvas *canvas, const bp_shape *shape, double x, double y_fixed,
                    double y_hinge, bool closed);
/* Half circles in a row from y1 down to y2 on column x, bulging right (side 1) or left (-1). */
void bp_ink_winding(bp_canvas *canvas, const bp_shape *shape, double x, double y1, double y2,
                    int turns, int side);

/* Whether a two-pin part's setting or contact joins its pins is for the kind to say; a part with
 * positions says it by its table. */
bool bp_position_joins(const bp_part *part, int setting, size_t a, size_t b);

/* A box with terminals above and below, contact ends inside and the joined ones drawn as joined:
 * for switches with more than two pins. */
void bp_shape_contacts(const bp_part *part, const bp_wish *wish, bp_shape *shape,
                       const bool *drawn_up, const bool *left_out);
void bp_ink_contacts(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                     const size_t (*joined)[2], size_t n);

/* Value of a parameter by key, NAN when there is none; and written as people write it. */
double bp_part_value(const bp_part *part, const char *key);
/* "15 A"; 0 when the parameter is absent. */
int bp_caption_value(const bp_part *part, const char *key, char *text, size_t size);
/* A wire's colour by IEC 60757 and its cross-section: "GN 1.5 mm²", "GN 16 AWG". */
int bp_wire_caption(const bp_part *wire, bool us_units, char *text, size_t size);
/* "relay · 85 Ω"; "relay" alone when the parameter is absent. */
int bp_caption_kind_value(const bp_part *part, const char *words, const char *key, char *text,
                          size_t size);
const char *bp_says_setting(const bp_part *part, const bp_look *look);

#endif
