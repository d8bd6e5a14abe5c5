/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>

#include "render/tags.h"

typedef struct bp_tag_fonts {
    bp_font id, good, plain, loud;
} bp_tag_fonts;

static double at_least(double size) { return fmax(size, BP_SMALL_TEXT); }

static bp_tag_fonts fonts_of(const bp_point *point, double text) {
    double size = at_least(7.6 * text), id = at_least(8.0 * text);
    bp_tag_fonts fonts = {{id, BP_BOLD, BP_PAPER_WHITE, false},
                          {at_least(7.2 * text), BP_REGULAR, BP_GREY_TEXT, true},
                          {size, BP_REGULAR, BP_INK_BLACK, true},
                          {size, BP_BOLD, BP_INK_BLACK, true}};
    if (!point->automatic)
        return fonts;
    fonts.id = (bp_font){BP_SMALL_TEXT, BP_BOLD, BP_GREY_TEXT, false};
    fonts.good.size = fonts.plain.size = fonts.loud.size = BP_SMALL_TEXT;
    return fonts;
}

#define PAD 2.6

/* The widest reading of a 12 V circuit, with its mark. */
static const char widest[] = "▼ 12.43 V", narrower[] = "12.43 V";

static double id_width(bp_canvas *measure, const bp_point *point, const bp_tag_fonts *fonts) {
    double pad = point->automatic ? 1.8 : PAD;
    return fmax(bp_text_size(measure, point->id, &fonts->id, 0).w + 2 * pad, 12);
}

bp_box bp_tag_size(bp_canvas *measure, const bp_point *point, const bp_tag_style *style) {
    bool quiet = point->automatic;
    bp_tag_fonts fonts = fonts_of(point, style->text);
    bp_box reading = bp_text_size(measure, widest, &fonts.loud, 0);
    double id = id_width(measure, point, &fonts), pad = quiet ? 1.2 : PAD;
    double line = quiet ? 8.2 : fmax(8.2, 9.4 * style->text);
    double first = 0;
    bool flat = style->lines > 1 && (quiet || style->flat);
    if (flat)
        first = bp_text_size(measure, narrower, &fonts.good, 0).w + 3;
    return (bp_box){0, 0, id + first + reading.w + 2 * pad,
                    line * (flat ? 1 : style->lines) + (quiet ? 1.2 : 2.6)};
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

static void write_fault(bp_canvas *canvas, bp_box cell, const bp_tag *tag,
                        const bp_tag_fonts *fonts) {
    char text[64];
    const char *mark = tag->mark > 0 ? "▲ " : tag->mark < 0 ? "▼ " : "";
    snprintf(text, sizeof text, "%s%s", mark, tag->fault);
    bp_font font = tag->mark ? fonts->loud : fonts->plain;
    if (tag->mark)
        font.colour = BP_ALARM;
    write_reading(canvas, cell, text, &font);
}

static void draw_id(bp_canvas *canvas, const bp_point *point, bp_box field, bool alarm,
                    const bp_font *font) {
    if (!point->automatic)
        bp_rect(canvas, field, 0, 0, BP_ACCENT, true, alarm ? BP_ALARM : BP_ACCENT);
    bp_box size = bp_text_size(canvas, point->id, font, 0);
    bp_text(canvas, field.x + field.w / 2, field.y + (field.h - size.h) / 2, point->id, font,
            BP_CENTRE, 0);
}

void bp_tag_draw(bp_canvas *canvas, const bp_point *point, const bp_tag *tag, bp_box box, bool left,
                 const bp_tag_style *style) {
    bool quiet = point->automatic, alarm = tag && tag->fault && tag->mark;
    bp_tag_fonts fonts = fonts_of(point, style->text);
    double id = id_width(canvas, point, &fonts), pad = quiet ? 1.2 : PAD;
    bp_colour edge = alarm ? BP_ALARM : quiet ? BP_GREY_RULE : BP_ACCENT;
    bp_ledger_begin(canvas, BP_INK_TAG, box, point->id);
    bp_rect(canvas, box, 1.2, 0, edge, true, alarm ? BP_ALARM_FILL : BP_PAPER_WHITE);
    bp_box field = {left ? box.x + box.w - id : box.x, box.y, id, box.h};
    draw_id(canvas, point, field, alarm, &fonts.id);
    bp_rect(canvas, box, 1.2, alarm ? 1.2 : quiet ? 0.5 : 0.8, edge, false, BP_PAPER_WHITE);
    bp_box readings = {left ? box.x + pad : box.x + id + pad, box.y, box.w - id - 2 * pad, box.h};
    if (tag && tag->good && tag->fault && (quiet || style->flat)) {
        double first = bp_text_size(canvas, narrower, &fonts.good, 0).w;
        write_reading(canvas, (bp_box){readings.x, box.y, first, box.h}, tag->good, &fonts.good);
        readings.x += first + 3;
        readings.w -= first + 3;
        write_fault(canvas, readings, tag, &fonts);
    } else if (tag && tag->good && tag->fault) {
        double half = box.h / 2;
        bp_box upper = {readings.x, box.y + 0.4, readings.w, half - 0.4};
        bp_box lower = {readings.x, box.y + half, readings.w, half - 0.4};
        write_reading(canvas, upper, tag->good, &fonts.good);
        write_fault(canvas, lower, tag, &fonts);
    } else if (tag && tag->fault) {
        write_fault(canvas, readings, tag, &fonts);
    } else if (tag && tag->good) {
        write_reading(canvas, readings, tag->good, &fonts.plain);
    }
    bp_ledger_end(canvas);
}
