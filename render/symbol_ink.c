/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lines, boxes and texts of symbols, in cells.
 */
#include <math.h>

#include "render/symbol_ink.h"

/* Mirrored symbols turn left into right here, and nowhere else. */
static double column(const bp_shape *shape, double x) { return shape->mirror ? shape->w - x : x; }

static double points(const bp_shape *shape, double on_page) { return on_page / shape->scale; }

static void line(bp_canvas *canvas, const bp_shape *shape, const double xy[4], double width,
                 const double *dash, size_t n) {
    double scaled[2] = {0, 0};
    for (size_t i = 0; i < n && i < 2; i++)
        scaled[i] = points(shape, dash[i]);
    bp_dashed(canvas, column(shape, xy[0]) * BP_CELL, xy[1] * BP_CELL,
              column(shape, xy[2]) * BP_CELL, xy[3] * BP_CELL, points(shape, width), BP_INK_BLACK,
              n ? scaled : NULL, n);
}

void bp_ink_line(bp_canvas *canvas, const bp_shape *shape, double x1, double y1, double x2,
                 double y2) {
    line(canvas, shape, (const double[]){x1, y1, x2, y2}, BP_LINE, NULL, 0);
}

void bp_ink_heavy(bp_canvas *canvas, const bp_shape *shape, double x1, double y1, double x2,
                  double y2) {
    line(canvas, shape, (const double[]){x1, y1, x2, y2}, BP_LINE_HEAVY, NULL, 0);
}

void bp_ink_fine(bp_canvas *canvas, const bp_shape *shape, double x1, double y1, double x2,
                 double y2) {
    line(canvas, shape, (const double[]){x1, y1, x2, y2}, BP_LINE_FINE, NULL, 0);
}

void bp_ink_link(bp_canvas *canvas, const bp_shape *shape, double x1, double y1, double x2,
                 double y2) {
    static const double dash[] = {2.4, 1.8};
    line(canvas, shape, (const double[]){x1, y1, x2, y2}, BP_LINE_FINE, dash, 2);
}

static bp_box cells(const bp_shape *shape, double x, double y, double w, double h) {
    double left = shape->mirror ? shape->w - x - w : x;
    return (bp_box){left * BP_CELL, y * BP_CELL, w * BP_CELL, h * BP_CELL};
}

void bp_ink_box(bp_canvas *canvas, const bp_shape *shape, double x, double y, double w, double h) {
    bp_rect(canvas, cells(shape, x, y, w, h), 0, points(shape, BP_LINE), BP_INK_BLACK, true,
            BP_PAPER_WHITE);
}

void bp_ink_housing(bp_canvas *canvas, const bp_shape *shape, double x, double y, double w,
                    double h) {
    bp_rect(canvas, cells(shape, x, y, w, h), points(shape, 2), points(shape, BP_LINE_FINE),
            BP_INK_BLACK, true, BP_GREY_FILL);
}

void bp_ink_outline(bp_canvas *canvas, const bp_shape *shape, double x, double y, double w,
                    double h) {
    static const double dash[] = {4, 2.4};
    const double corner[5][2] = {{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}};
    for (int i = 0; i < 4; i++)
        line(canvas, shape,
             (const double[]){corner[i][0], corner[i][1], corner[i + 1][0], corner[i + 1][1]},
             BP_LINE_FINE, dash, 2);
}

void bp_ink_circle(bp_canvas *canvas, const bp_shape *shape, double x, double y, double radius) {
    bp_circle(canvas, column(shape, x) * BP_CELL, y * BP_CELL, radius * BP_CELL,
              points(shape, BP_LINE), BP_INK_BLACK, true, BP_PAPER_WHITE);
}

void bp_ink_dot(bp_canvas *canvas, const bp_shape *shape, double x, double y) {
    bp_circle(canvas, column(shape, x) * BP_CELL, y * BP_CELL, points(shape, 1.9), 0, BP_INK_BLACK,
              true, BP_INK_BLACK);
}

void bp_ink_arrow(bp_canvas *canvas, const bp_shape *shape, double x, double y, double dx,
                  double dy) {
    double length = points(shape, 4.2), half = points(shape, 1.7);
    double px = column(shape, x) * BP_CELL, py = y * BP_CELL;
    dx = shape->mirror ? -dx : dx;
    double back_x = px - dx * length, back_y = py - dy * length;
    const double tip[3][2] = {{px, py},
                              {back_x - dy * half, back_y + dx * half},
                              {back_x + dy * half, back_y - dx * half}};
    bp_polygon(canvas, tip, 3, BP_INK_BLACK);
}

void bp_ink_triangle(bp_canvas *canvas, const bp_shape *shape, double x, double half, double foot,
                     double tip) {
    x = column(shape, x);
    const double corner[3][2] = {{(x - half) * BP_CELL, foot * BP_CELL},
                                 {(x + half) * BP_CELL, foot * BP_CELL},
                                 {x * BP_CELL, tip * BP_CELL}};
    bp_polygon(canvas, corner, 3, BP_INK_BLACK);
}

void bp_ink_text(bp_canvas *canvas, const bp_shape *shape, double x, double y, const char *text,
                 double on_page, bp_weight weight, bp_align align) {
    bp_font font = {.size = points(shape, on_page), .weight = weight, .colour = BP_GREY_TEXT};
    bp_box size = bp_text_size(canvas, text, &font, 0);
    if (shape->mirror && align != BP_CENTRE)
        align = align == BP_LEFT ? BP_RIGHT : BP_LEFT;
    bp_text(canvas, column(shape, x) * BP_CELL, y * BP_CELL - size.h / 2, text, &font, align, 0);
}

void bp_ink_letter(bp_canvas *canvas, const bp_shape *shape, double x, double y, const char *text,
                   double size) {
    bp_font font = {.size = size, .weight = BP_REGULAR, .colour = BP_INK_BLACK};
    bp_box box = bp_text_size(canvas, text, &font, 0);
    bp_text(canvas, column(shape, x) * BP_CELL, y * BP_CELL - box.h / 2, text, &font, BP_CENTRE, 0);
}

void bp_ink_lead(bp_canvas *canvas, const bp_shape *shape, size_t i, double y) {
    const bp_terminal *terminal = &shape->terminal[i];
    bp_ink_line(canvas, shape, terminal->x, terminal->y, terminal->x, y);
}

void bp_ink_pin_name(bp_canvas *canvas, const bp_part *part, const bp_shape *shape, size_t i,
                     bp_align align) {
    const bp_terminal *terminal = &shape->terminal[i];
    double aside = 2.6 / (BP_CELL * shape->scale);
    double in = 0.52 * bp_small_text_cells(shape->scale);
    bp_ink_text(canvas, shape, terminal->x + (align == BP_LEFT ? aside : -aside),
                terminal->y + (terminal->side == BP_TOP ? in : -in), part->pins[terminal->pin].name,
                BP_SMALL_TEXT, BP_REGULAR, align);
}

void bp_ink_pin_names_in(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                         double inset) {
    bp_shape inner = *shape;
    for (size_t i = 0; i < inner.n_terminals; i++) {
        inner.terminal[i].y += inner.terminal[i].side == BP_TOP ? inset : -inset;
        bp_ink_pin_name(canvas, part, &inner, i, BP_LEFT);
    }
}

void bp_ink_contact_end(bp_canvas *canvas, const bp_shape *shape, double x, double y) {
    /* Open at every scale: as wide as the line leaves a hole in it. */
    bp_ink_circle(canvas, shape, x, y, fmax(0.24, points(shape, 1.5) / BP_CELL));
}

/* How far an open blade swings out, in cells. */
#define SWING 1.15

void bp_ink_contact(bp_canvas *canvas, const bp_shape *shape, double x, double y_fixed,
                    double y_hinge, bool closed) {
    double up = y_fixed < y_hinge ? 1 : -1;
    if (closed)
        bp_ink_line(canvas, shape, x + 0.12, y_hinge, x + 0.24, y_fixed);
    else
        bp_ink_line(canvas, shape, x, y_hinge, x - SWING, y_fixed + 0.3 * up);
    bp_ink_contact_end(canvas, shape, x, y_fixed);
    bp_ink_contact_end(canvas, shape, x, y_hinge);
}

void bp_ink_contact_in_line(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                            bool closed) {
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, shape->terminal[i].side == BP_TOP ? 1.4 : 3.6);
        bp_ink_pin_name(canvas, part, shape, i, BP_RIGHT);
    }
    bp_ink_contact(canvas, shape, 3, 1.4, 3.6, closed);
}

void bp_ink_winding(bp_canvas *canvas, const bp_shape *shape, double x, double y1, double y2,
                    int turns, int side) {
    double radius = (y2 - y1) / (2 * turns);
    side = shape->mirror ? -side : side;
    for (int i = 0; i < turns; i++)
        bp_arc(canvas, column(shape, x) * BP_CELL, (y1 + (2 * i + 1) * radius) * BP_CELL,
               radius * BP_CELL, side > 0 ? -90 : 90, side > 0 ? 90 : 270, points(shape, BP_LINE),
               BP_INK_BLACK);
}

/* Index of the terminal of a pin, or n_terminals. */
static size_t terminal_of(const bp_shape *shape, size_t pin) {
    size_t i = 0;
    while (i < shape->n_terminals && shape->terminal[i].pin != pin)
        i++;
    return i;
}

static double contact_y(const bp_shape *shape, size_t i) {
    double in = 1.2 + ceil(bp_small_text_cells(shape->scale));
    return shape->terminal[i].side == BP_TOP ? in : shape->h - in;
}

static void thick(bp_canvas *canvas, const bp_shape *shape, double x1, double y1, double x2,
                  double y2, double width, bp_colour colour) {
    bp_line(canvas, column(shape, x1) * BP_CELL, y1 * BP_CELL, column(shape, x2) * BP_CELL,
            y2 * BP_CELL, points(shape, width), colour);
}

/* Two ends on one side are joined by a bar that keeps clear of the ends between them; across, by a
 * blade that leaves a gap in the bars that it passes over. */
static void join(bp_canvas *canvas, const bp_shape *shape, size_t i, size_t k, bool bars) {
    double x1 = shape->terminal[i].x, y1 = contact_y(shape, i);
    double x2 = shape->terminal[k].x, y2 = contact_y(shape, k);
    bool across = shape->terminal[i].side != shape->terminal[k].side;
    if (across && !bars) {
        double gap = 0.75 / hypot(x2 - x1, y2 - y1); /* not over the ends */
        double gx = gap * (x2 - x1), gy = gap * (y2 - y1);
        thick(canvas, shape, x1 + gx / 2, y1 + gy / 2, x2 - gx / 2, y2 - gy / 2, 5.5, BP_GREY_FILL);
        thick(canvas, shape, x1, y1, x2, y2, 1.8, BP_INK_BLACK);
    } else if (!across && bars) {
        double in = shape->terminal[i].side == BP_TOP ? 0.8 : -0.8;
        thick(canvas, shape, x1, y1, x1, y1 + in, 1.8, BP_INK_BLACK);
        thick(canvas, shape, x1, y1 + in, x2, y2 + in, 1.8, BP_INK_BLACK);
        thick(canvas, shape, x2, y2 + in, x2, y2, 1.8, BP_INK_BLACK);
    }
}

void bp_ink_contacts(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                     const size_t (*joined)[2], size_t n) {
    bp_ink_housing(canvas, shape, 0.5, 0.5, shape->w - 1, shape->h - 1);
    for (int pass = 0; pass < 2; pass++)
        for (size_t p = 0; p < n; p++) {
            size_t i = terminal_of(shape, joined[p][0]), k = terminal_of(shape, joined[p][1]);
            if (i < shape->n_terminals && k < shape->n_terminals)
                join(canvas, shape, i, k, pass == 0);
        }
    for (size_t i = 0; i < shape->n_terminals; i++) {
        bp_ink_lead(canvas, shape, i, contact_y(shape, i));
        bp_ink_contact_end(canvas, shape, shape->terminal[i].x, contact_y(shape, i));
    }
    bp_ink_pin_names_in(canvas, part, shape, 0.6);
}
