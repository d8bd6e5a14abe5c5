/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Text by pango. Metrics are not hinted, so that a text takes the same room on the screen, in print
 * and while measuring.
 */
#include <math.h>
#include <string.h>

#include "render/canvas_private.h"
#include "render/text_memo.h"

/* Digits of DejaVu Sans have one width, and it carries the signs that a sheet needs (ohm, arrows,
 * triangles). Its condensed cut is taken where it is installed. The rest of the list is for
 * machines without it. */
const char bp_font_families[] = "DejaVu Sans, Noto Sans, Liberation Sans, sans-serif";

/* Extra room between wrapped lines, as a part of the font size. */
static const double leading = 0.14;

static const char no_break_space[] = "\u00a0";
enum { LONGEST_UNIT = 3 }; /* letters: "rev", "ohm", "mm²" */

/* A number and its unit stay on one line: "11 A" is not parted. Returns a new text (g_free). */
static char *keep_units(const char *text) {
    GString *kept = g_string_new(NULL);
    for (const char *at = text; *at; at = g_utf8_next_char(at)) {
        bool behind_digit = at > text && g_ascii_isdigit(at[-1]);
        size_t word = strcspn(at + (*at == ' '), " ,.;:)");
        if (*at == ' ' && behind_digit && word > 0 &&
            g_utf8_strlen(at + 1, (gssize)word) <= LONGEST_UNIT)
            g_string_append(kept, no_break_space);
        else
            g_string_append_len(kept, at, g_utf8_next_char(at) - at);
    }
    return g_string_free(kept, FALSE);
}

/* A hyphen before a figure is a minus: a meter's display is written with the characters of a
 * keyboard. Returns a new text (g_free). */
static char *with_minus(const char *text) {
    const bool negative = text[0] == '-' && g_ascii_isdigit(text[1]);
    return g_strconcat(negative ? "−" : "", text + negative, NULL);
}

static PangoLayout *lay_out(bp_canvas *canvas, const char *text, const bp_font *font,
                            bp_align align, double width) {
    PangoLayout *layout = pango_layout_new(canvas->pango);
    PangoFontDescription *description = pango_font_description_new();
    pango_font_description_set_family_static(description, bp_font_families);
    pango_font_description_set_stretch(description, PANGO_STRETCH_SEMI_CONDENSED);
    pango_font_description_set_weight(description, font->weight == BP_BOLD ? PANGO_WEIGHT_BOLD
                                                                           : PANGO_WEIGHT_NORMAL);
    pango_font_description_set_absolute_size(description, font->size * PANGO_SCALE);
    pango_layout_set_font_description(layout, description);
    pango_font_description_free(description);
    if (font->tabular) {
        PangoAttrList *attributes = pango_attr_list_new();
        pango_attr_list_insert(attributes, pango_attr_font_features_new("tnum=1"));
        pango_layout_set_attributes(layout, attributes);
        pango_attr_list_unref(attributes);
    }
    if (width > 0) {
        pango_layout_set_width(layout, (int)floor(width * PANGO_SCALE));
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
        pango_layout_set_spacing(layout, (int)(leading * font->size * PANGO_SCALE));
        pango_layout_set_alignment(layout, align == BP_LEFT     ? PANGO_ALIGN_LEFT
                                           : align == BP_CENTRE ? PANGO_ALIGN_CENTER
                                                                : PANGO_ALIGN_RIGHT);
    }
    char *plain = with_minus(text), *valid = g_utf8_make_valid(plain, -1),
         *kept = width > 0 ? keep_units(valid) : NULL;
    pango_layout_set_text(layout, kept ? kept : valid, -1);
    g_free(kept);
    g_free(valid);
    g_free(plain);
    return layout;
}

static bp_box box_of(const PangoRectangle *r) {
    return (bp_box){(double)r->x / PANGO_SCALE, (double)r->y / PANGO_SCALE,
                    (double)r->width / PANGO_SCALE, (double)r->height / PANGO_SCALE};
}

bp_box bp_text_size(bp_canvas *canvas, const char *text, const bp_font *font, double width) {
    if (canvas->status != BP_OK)
        return (bp_box){0};
    const bp_box *known = bp_text_memo_find(canvas->sizes, text, font, width);
    if (known)
        return *known;
    PangoLayout *layout = lay_out(canvas, text, font, BP_LEFT, width);
    PangoRectangle logical;
    pango_layout_get_extents(layout, NULL, &logical);
    g_object_unref(layout);
    bp_box box = {0, 0, box_of(&logical).w, box_of(&logical).h};
    bp_text_memo_keep(canvas->sizes, text, font, width, box);
    return box;
}

/* Turns the frame back around the middle of the box, so that the text stands upright in a turned
 * symbol. The box becomes the one that the upright text takes. */
static void stand_upright(bp_canvas *canvas, bp_box box) {
    cairo_matrix_t now;
    cairo_get_matrix(canvas->cr, &now);
    double scale = hypot(now.xx, now.yx);
    double x = box.x + box.w / 2, y = box.y + box.h / 2;
    cairo_user_to_device(canvas->cr, &x, &y);
    cairo_matrix_init(&now, scale, 0, 0, scale, x, y);
    cairo_set_matrix(canvas->cr, &now);
    cairo_translate(canvas->cr, -box.x - box.w / 2, -box.y - box.h / 2);
}

bp_box bp_text(bp_canvas *canvas, double x, double y, const char *text, const bp_font *font,
               bp_align align, double width) {
    if (canvas->status != BP_OK || !text || !*text)
        return (bp_box){x, y, 0, 0};
    PangoLayout *layout = lay_out(canvas, text, font, align, width);
    PangoRectangle ink, logical;
    pango_layout_get_extents(layout, &ink, &logical);
    bp_box around = box_of(&logical), inked = box_of(&ink);
    double whole = width > 0 ? width : around.w;
    double left = align == BP_LEFT ? x : align == BP_CENTRE ? x - whole / 2 : x - whole;
    bp_box box = {left + around.x, y, around.w, around.h};
    inked.x += left;
    inked.y += y - around.y;
    cairo_save(canvas->cr);
    stand_upright(canvas, box);
    bp_canvas_colour(canvas, font->colour);
    cairo_move_to(canvas->cr, left, y - around.y);
    pango_cairo_show_layout(canvas->cr, layout);
    if (inked.w > 0) {
        bp_canvas_note_ink(canvas, inked);
        bp_ledger_add(canvas, BP_INK_TEXT, bp_canvas_to_page(canvas, inked), text);
    }
    cairo_restore(canvas->cr);
    cairo_new_path(canvas->cr);
    g_object_unref(layout);
    return box;
}
