/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "render/tags.h"

static const bp_font letter = {8.0, BP_BOLD, BP_PAPER_WHITE, false};
static const bp_font loud = {7.6, BP_BOLD, BP_INK_BLACK, true};
static const bp_font plain = {7.6, BP_REGULAR, BP_INK_BLACK, true};
static const bp_font good = {7.2, BP_REGULAR, BP_GREY_TEXT, true};
static const bp_font small_id = {BP_SMALL_TEXT, BP_BOLD, BP_GREY_TEXT, false};
static const bp_font small_plain = {BP_SMALL_TEXT, BP_REGULAR, BP_INK_BLACK, true};
static const bp_font small_good = {BP_SMALL_TEXT, BP_REGULAR, BP_GREY_TEXT, true};
static const bp_font small_loud = {BP_SMALL_TEXT, BP_BOLD, BP_INK_BLACK, true};

#define PAD 2.6

/* The widest reading of a 12 V circuit, with its mark. */
static const char widest[] = "▼ −12.43 V";

static double id_width(bp_canvas *measure, const bp_point *point) {
    const bp_font *font = point->automatic ? &small_id : &letter;
    return fmax(bp_text_size(measure, point->id, font, 0).w + 2 * PAD, 12);
}

bp_box bp_tag_size(bp_canvas *measure, const bp_point *point, int lines) {
    bool quiet = point->automatic;
    bp_box reading = bp_text_size(measure, widest, quiet ? &small_loud : &loud, 0);
    double pad = quiet ? 1.2 : PAD;
    return (bp_box){0, 0, id_width(measure, point) + reading.w + 2 * pad,
                    (quiet ? 8.2 : 9.4) * lines + (quiet ? 1.4 : 3.2)};
}

static void write_reading(bp_canvas *canvas, bp_box cell, const char *text, const bp_font *font) {
    bp_font fitted = *font;
    bp_box size = bp_text_size(canvas, text, &fitted, 0);
    if (size.w > cell.w) { /* "no result" and the like */
        fitted.size *= cell.w / size.w;
        size = bp_text_size(canvas, text, &fitted, 0);
    }
    bp_text(canvas, cell.x + cell.w, cell.y + (cell.h - size.h) / 2, text, &fitted, BP_RIGHT, 0);
}

static void write_fault(bp_canvas *canvas, bp_box cell, const bp_tag *tag, bool quiet) {
    char text[64];
    const char *mark = tag->mark > 0 ? "▲ " : tag->mark < 0 ? "▼ " : "";
    snprintf(text, sizeof text, "%s%s", mark, tag->fault);
    const bp_font *font =
        tag->mark ? (quiet ? &small_loud : &loud) : (quiet ? &small_plain : &plain);
    bp_font alarm = *font;
    if (tag->mark)
        alarm.colour = BP_ALARM;
    write_reading(canvas, cell, text, &alarm);
}

static void draw_id(bp_canvas *canvas, const bp_point *point, bp_box field, bool alarm) {
    const bp_font *font = point->automatic ? &small_id : &letter;
    if (!point->automatic)
        bp_rect(canvas, field, 0, 0, BP_ACCENT, true, alarm ? BP_ALARM : BP_ACCENT);
    bp_box size = bp_text_size(canvas, point->id, font, 0);
    bp_text(canvas, field.x + field.w / 2, field.y + (field.h - size.h) / 2, point->id, font,
            BP_CENTRE, 0);
}

void bp_tag_draw(bp_canvas *canvas, const bp_point *point, const bp_tag *tag, bp_box box,
                 bool left) {
    bool quiet = point->automatic, alarm = tag && tag->fault && tag->mark;
    double id = id_width(canvas, point), pad = quiet ? 1.2 : PAD;
    bp_colour edge = alarm ? BP_ALARM : quiet ? BP_GREY_RULE : BP_ACCENT;
    bp_ledger_begin(canvas, BP_INK_TAG, box, point->id);
    bp_rect(canvas, box, 1.2, 0, edge, true, alarm ? BP_ALARM_FILL : BP_PAPER_WHITE);
    bp_box field = {left ? box.x + box.w - id : box.x, box.y, id, box.h};
    draw_id(canvas, point, field, alarm);
    bp_rect(canvas, box, 1.2, alarm ? 1.3 : quiet ? 0.5 : 0.8, edge, false, BP_PAPER_WHITE);
    bp_box readings = {left ? box.x + pad : box.x + id + pad, box.y, box.w - id - 2 * pad, box.h};
    if (tag && tag->good && tag->fault) {
        bp_box upper = {readings.x, readings.y + 0.6, readings.w, readings.h / 2 - 0.6};
        bp_box lower = {readings.x, readings.y + readings.h / 2, readings.w, readings.h / 2 - 0.6};
        write_reading(canvas, upper, tag->good, quiet ? &small_good : &good);
        write_fault(canvas, lower, tag, quiet);
    } else if (tag && tag->fault) {
        write_fault(canvas, readings, tag, quiet);
    } else if (tag && tag->good) {
        write_reading(canvas, readings, tag->good, quiet ? &small_plain : &plain);
    }
    bp_ledger_end(canvas);
}
