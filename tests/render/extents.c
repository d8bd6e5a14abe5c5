/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "extents.h"

#include <math.h>
#include <stdio.h>

/* Boxes that touch by less are not seen to overlap, points. */
static const double tolerance = 0.4;
/* What an office printer leaves white at the edge: 4.2 mm, common practice, points. */
static const double printer_margin = 12;

static double overlap(double a, double a_size, double b, double b_size) {
    return fmin(a + a_size, b + b_size) - fmax(a, b);
}

static bool overlaps(bp_box a, bp_box b) {
    return overlap(a.x, a.w, b.x, b.w) > tolerance && overlap(a.y, a.h, b.y, b.h) > tolerance;
}

static bool holds(bp_box outer, bp_box inner) {
    return inner.x >= outer.x - tolerance && inner.y >= outer.y - tolerance &&
           inner.x + inner.w <= outer.x + outer.w + tolerance &&
           inner.y + inner.h <= outer.y + outer.h + tolerance;
}

/* A line has no width of its own: it crosses a box when it runs through its inside. */
static bool crosses(bp_box wire, bp_box box) {
    const double inside = 0.6;
    bp_box core = {box.x + inside, box.y + inside, box.w - 2 * inside, box.h - 2 * inside};
    return core.w > 0 && core.h > 0 && overlap(wire.x, wire.w, core.x, core.w) >= 0 &&
           overlap(wire.y, wire.h, core.y, core.h) >= 0;
}

/* Does entry `inner` belong to entry number `outer`, or to something that does? */
static bool belongs(const bp_canvas *canvas, const bp_ledger_entry *inner, size_t outer) {
    for (size_t owner = inner->owner; owner != 0; owner = bp_ledger_at(canvas, owner - 1)->owner)
        if (owner == outer)
            return true;
    return false;
}

static bool is_solid(bp_ink ink) { return ink == BP_INK_SYMBOL || ink == BP_INK_TAG; }

/* Entries i and j, once in each order. */
static const char *collision(const bp_canvas *canvas, size_t i, size_t j) {
    const bp_ledger_entry *a = bp_ledger_at(canvas, i), *b = bp_ledger_at(canvas, j);
    bool own = belongs(canvas, a, j + 1), owned = belongs(canvas, b, i + 1);
    if (a->ink == BP_INK_TEXT && b->ink == BP_INK_TEXT && i < j && overlaps(a->box, b->box))
        return "text over text";
    if (a->ink == BP_INK_TEXT && is_solid(b->ink) && !own && overlaps(a->box, b->box))
        return "text over a symbol or tag";
    if (is_solid(a->ink) && is_solid(b->ink) && i < j && !own && !owned && overlaps(a->box, b->box))
        return "symbol or tag over another";
    if (b->ink == BP_INK_FRAME && a->ink == BP_INK_TEXT && own && !holds(b->box, a->box))
        return "text out of its frame";
    if (b->ink == BP_INK_FRAME && a->ink == BP_INK_TEXT && !own && overlaps(a->box, b->box) &&
        !holds(b->box, a->box))
        return "text across the border of a frame";
    if (a->ink == BP_INK_WIRE && (b->ink == BP_INK_TEXT || is_solid(b->ink)) && !own && !owned &&
        crosses(a->box, b->box))
        return "wire through";
    return NULL;
}

static void say(size_t n, const char *what, const char *problem, const bp_ledger_entry *a,
                const bp_ledger_entry *b) {
    if (n > 12)
        return;
    fprintf(stderr, "%s, page %zu: %s: \"%s\" at %.0f,%.0f %.0fx%.0f", what, a->page + 1, problem,
            a->label, a->box.x, a->box.y, a->box.w, a->box.h);
    if (b)
        fprintf(stderr, " and \"%s\" at %.0f,%.0f %.0fx%.0f", b->label, b->box.x, b->box.y,
                b->box.w, b->box.h);
    fputc('\n', stderr);
}

static size_t off_page(const bp_canvas *canvas, const char *what, size_t n) {
    bp_box page = bp_canvas_page(canvas);
    bp_box paper = {printer_margin, printer_margin, page.w - 2 * printer_margin,
                    page.h - 2 * printer_margin};
    for (size_t i = 0; i < bp_ledger_count(canvas); i++)
        if (!holds(paper, bp_ledger_at(canvas, i)->box))
            say(++n, what, "off the page", bp_ledger_at(canvas, i), NULL);
    for (size_t p = 0; p < bp_canvas_n_pages(canvas); p++) {
        bp_box ink = bp_canvas_inked(canvas, p);
        if (ink.w >= 0 && !holds(paper, ink)) {
            n++;
            fprintf(stderr, "%s, page %zu: ink from %.0f,%.0f to %.0f,%.0f\n", what, p + 1, ink.x,
                    ink.y, ink.x + ink.w, ink.y + ink.h);
        }
    }
    return n;
}

size_t bp_extents_faults(const bp_canvas *canvas, const char *what) {
    size_t n = off_page(canvas, what, 0), count = bp_ledger_count(canvas);
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < count; j++) {
            const bp_ledger_entry *a = bp_ledger_at(canvas, i), *b = bp_ledger_at(canvas, j);
            const char *problem = i == j || a->page != b->page ? NULL : collision(canvas, i, j);
            if (problem)
                say(++n, what, problem, a, b);
        }
    return n;
}
