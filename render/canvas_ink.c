/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Lines, shapes and frames.
 */
#include <math.h>

#include "render/canvas_private.h"

static void stroke(bp_canvas *canvas, double width, bp_colour colour) {
    bp_canvas_colour(canvas, colour);
    cairo_set_line_width(canvas->cr, width);
    double x1, y1, x2, y2;
    cairo_stroke_extents(canvas->cr, &x1, &y1, &x2, &y2);
    if (x2 > x1 || y2 > y1)
        bp_canvas_note_ink(canvas, (bp_box){x1, y1, x2 - x1, y2 - y1});
    cairo_stroke(canvas->cr);
}

static void fill(bp_canvas *canvas, bp_colour colour) {
    bp_canvas_colour(canvas, colour);
    double x1, y1, x2, y2;
    cairo_fill_extents(canvas->cr, &x1, &y1, &x2, &y2);
    if (x2 > x1 && y2 > y1)
        bp_canvas_note_ink(canvas, (bp_box){x1, y1, x2 - x1, y2 - y1});
    cairo_fill_preserve(canvas->cr);
}

void bp_line(bp_canvas *canvas, double x1, double y1, double x2, double y2, double width,
             bp_colour colour) {
    bp_dashed(canvas, x1, y1, x2, y2, width, colour, NULL, 0);
}

void bp_dashed(bp_canvas *canvas, double x1, double y1, double x2, double y2, double width,
               bp_colour colour, const double *dash, size_t n) {
    if (canvas->status != BP_OK)
        return;
    cairo_set_dash(canvas->cr, dash, (int)n, 0);
    cairo_move_to(canvas->cr, x1, y1);
    cairo_line_to(canvas->cr, x2, y2);
    stroke(canvas, width, colour);
    cairo_set_dash(canvas->cr, NULL, 0, 0);
}

static void trace(bp_canvas *canvas, const double (*xy)[2], size_t n, bool closed) {
    for (size_t i = 0; i < n; i++)
        cairo_line_to(canvas->cr, xy[i][0], xy[i][1]);
    if (closed)
        cairo_close_path(canvas->cr);
}

void bp_polyline(bp_canvas *canvas, const double (*xy)[2], size_t n, double width, bp_colour colour,
                 bool closed) {
    if (canvas->status != BP_OK)
        return;
    trace(canvas, xy, n, closed);
    stroke(canvas, width, colour);
}

void bp_polydash(bp_canvas *canvas, const double (*xy)[2], size_t n, double width, bp_colour colour,
                 const double *dash, size_t n_dash) {
    if (canvas->status != BP_OK)
        return;
    cairo_save(canvas->cr);
    cairo_set_line_join(canvas->cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_line_cap(canvas->cr, n == 1 ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
    cairo_set_dash(canvas->cr, dash, n == 1 ? 0 : (int)n_dash, 0);
    trace(canvas, xy, n, n == 1);
    stroke(canvas, width, colour);
    cairo_restore(canvas->cr);
}

void bp_polygon(bp_canvas *canvas, const double (*xy)[2], size_t n, bp_colour colour) {
    if (canvas->status != BP_OK)
        return;
    trace(canvas, xy, n, true);
    fill(canvas, colour);
    cairo_new_path(canvas->cr);
}

static void round_corner(bp_canvas *canvas, double x, double y, double radius, int quarter) {
    cairo_arc(canvas->cr, x, y, radius, quarter * M_PI / 2, (quarter + 1) * M_PI / 2);
}

void bp_rect(bp_canvas *canvas, bp_box box, double radius, double width, bp_colour colour,
             bool filled, bp_colour filling) {
    if (canvas->status != BP_OK)
        return;
    if (radius > 0) {
        double left = box.x + radius, right = box.x + box.w - radius;
        double top = box.y + radius, low = box.y + box.h - radius;
        round_corner(canvas, right, low, radius, 0);
        round_corner(canvas, left, low, radius, 1);
        round_corner(canvas, left, top, radius, 2);
        round_corner(canvas, right, top, radius, 3);
        cairo_close_path(canvas->cr);
    } else {
        cairo_rectangle(canvas->cr, box.x, box.y, box.w, box.h);
    }
    if (filled)
        fill(canvas, filling);
    if (width > 0)
        stroke(canvas, width, colour);
    cairo_new_path(canvas->cr);
}

void bp_circle(bp_canvas *canvas, double x, double y, double radius, double width, bp_colour colour,
               bool filled, bp_colour filling) {
    if (canvas->status != BP_OK)
        return;
    cairo_arc(canvas->cr, x, y, radius, 0, 2 * M_PI);
    cairo_close_path(canvas->cr);
    if (filled)
        fill(canvas, filling);
    if (width > 0)
        stroke(canvas, width, colour);
    cairo_new_path(canvas->cr);
}

void bp_arc(bp_canvas *canvas, double x, double y, double radius, double from_deg, double to_deg,
            double width, bp_colour colour) {
    if (canvas->status != BP_OK)
        return;
    cairo_arc(canvas->cr, x, y, radius, from_deg * M_PI / 180, to_deg * M_PI / 180);
    stroke(canvas, width, colour);
}

void bp_canvas_push(bp_canvas *canvas, double x, double y, int turn, double scale) {
    if (canvas->status != BP_OK)
        return;
    cairo_save(canvas->cr);
    static const int cosine[] = {1, 0, -1, 0}, sine[] = {0, 1, 0, -1};
    int quarter = ((turn / 90) % 4 + 4) % 4;
    cairo_matrix_t frame;
    cairo_matrix_init(&frame, scale * cosine[quarter], scale * sine[quarter],
                      -scale * sine[quarter], scale * cosine[quarter], x, y);
    cairo_transform(canvas->cr, &frame);
}

void bp_canvas_pop(bp_canvas *canvas) {
    if (canvas->status == BP_OK)
        cairo_restore(canvas->cr);
}
