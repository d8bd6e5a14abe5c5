/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The boxes of a reply sheet: what not to buy yet with what each way costs, when to stop, advice.
 */
#include "render/reply_blocks.h"

#include <math.h>

#include "render/style.h"

static const double padding = 7, gap = 9;
static const bp_font heading_font = {9.2, BP_BOLD, BP_ACCENT, false};
static const bp_font plain = {8, BP_REGULAR, BP_INK_BLACK, true};
static const bp_font strong = {8, BP_BOLD, BP_INK_BLACK, true};

typedef struct box {
    const char *heading;
    const bp_words *words;
    const bp_reply_cost *costs; /* or NULL */
    bool filled;
} box;

static double sentences(bp_canvas *canvas, const bp_words *words, double x, double y, double width,
                        bool draw) {
    for (size_t i = 0; i < words->n; i++) {
        const bp_font *font = words->strong[i] ? &strong : &plain;
        y += (draw ? bp_text(canvas, x, y, words->line[i], font, BP_LEFT, width)
                   : bp_text_size(canvas, words->line[i], font, width))
                 .h +
             2.5;
    }
    return y;
}

/* The columns of figures: right edges, and which of them are there. */
enum { TIME, PARTS, ALL, COLUMNS };

typedef struct figures {
    double edge[COLUMNS], ways; /* ways: the room that is left for what each row is about */
    bool shown[COLUMNS];
} figures;

static const char *const heads[COLUMNS] = {"time", "parts", "in all"};

static figures lay_out(bp_canvas *canvas, const bp_reply_cost *costs, double width, bool parts) {
    figures f = {.ways = width};
    for (int column = COLUMNS - 1; column >= 0; column--) {
        double widest = bp_text_size(canvas, heads[column], &bp_font_small, 0).w;
        for (int i = 0; i < BP_REPLY_COSTS; i++)
            widest = fmax(widest, bp_text_size(canvas, costs[i].figure[column], &strong, 0).w);
        f.shown[column] = costs[0].figure[column][0] != '\0' && (parts || column != PARTS);
        f.edge[column] = f.ways;
        if (f.shown[column])
            f.ways -= widest + 9;
    }
    return f;
}

/* Where there is little room, the parts give way to what it costs in all. */
static figures figures_of(bp_canvas *canvas, const bp_reply_cost *costs, double width) {
    static const double least = 80;
    figures f = lay_out(canvas, costs, width, true);
    return f.ways < least && f.shown[ALL] ? lay_out(canvas, costs, width, false) : f;
}

static double put(bp_canvas *canvas, double x, double y, const char *text, const bp_font *font,
                  double width, bool draw) {
    return (draw ? bp_text(canvas, x, y, text, font, BP_LEFT, width)
                 : bp_text_size(canvas, text, font, width))
        .h;
}

/* One way a line: what it takes on average, up to the repair that is proved. */
static double cost_table(bp_canvas *canvas, const bp_reply_cost *costs, double x, double y,
                         double width, bool draw) {
    const figures f = figures_of(canvas, costs, width);
    for (int column = 0; column < COLUMNS && draw; column++)
        if (f.shown[column])
            bp_text(canvas, x + f.edge[column], y + 1, heads[column], &bp_font_small, BP_RIGHT, 0);
    y += put(canvas, x, y + 1, "average up to the repair", &bp_font_small, f.ways, draw) + 3;
    for (int i = 0; i < BP_REPLY_COSTS; i++) {
        const bp_font *font = i == 0 ? &strong : &plain;
        if (draw)
            bp_line(canvas, x, y - 1, x + width, y - 1, 0.4, BP_GREY_RULE);
        for (int column = 0; column < COLUMNS && draw; column++)
            if (f.shown[column])
                bp_text(canvas, x + f.edge[column], y, costs[i].figure[column], font, BP_RIGHT, 0);
        y += put(canvas, x, y, costs[i].way, font, f.ways, draw) + 3;
    }
    return y;
}

/* Returns its height, `least` at least. */
static double draw_box(bp_canvas *canvas, const box *b, double x, double y, double width,
                       double least, bool draw) {
    const double inner = width - 2 * padding, left = x + padding;
    double at = y + padding;
    if (draw) {
        const bp_box frame = {x, y, width, fmax(least, draw_box(canvas, b, x, y, width, 0, false))};
        bp_ledger_begin(canvas, BP_INK_FRAME, frame, b->heading);
        bp_rect(canvas, frame, 3, 0.7, b->filled ? BP_GREY_FILL : BP_GREY_RULE, b->filled,
                BP_GREY_FILL);
        bp_text(canvas, left, at, b->heading, &heading_font, BP_LEFT, inner);
    }
    at += bp_text_size(canvas, b->heading, &heading_font, inner).h + 3;
    at = sentences(canvas, b->words, left, at, inner, draw);
    if (b->costs)
        at = cost_table(canvas, b->costs, left, at, inner, draw);
    if (draw)
        bp_ledger_end(canvas);
    return fmax(least, at - y + padding - 2.5);
}

double bp_reply_advice(bp_canvas *canvas, const bp_reply *reply, double x, double y, double width,
                       bool draw) {
    const box advice = {"What to do now", &reply->advice, NULL, true};
    return draw_box(canvas, &advice, x, y, width, 0, draw);
}

double bp_reply_boxes(bp_canvas *canvas, const bp_reply *reply, double x, double y, double width,
                      bool abreast, bool draw) {
    const box buying = {reply->n_tests > 0 ? "What not to buy yet" : "What not to buy",
                        &reply->buying, reply->costs[0].way ? reply->costs : NULL, true};
    const box stop = {"When to stop", &reply->stop, NULL, false};
    const double each = abreast ? (width - gap) / 2 : width;
    const double first = draw_box(canvas, &buying, x, y, each, 0, false);
    const double second = draw_box(canvas, &stop, x, y, each, 0, false);
    if (abreast) {
        const double height = fmax(first, second);
        draw_box(canvas, &buying, x, y, each, height, draw);
        draw_box(canvas, &stop, x + each + gap, y, each, height, draw);
        return height;
    }
    draw_box(canvas, &buying, x, y, each, first, draw);
    draw_box(canvas, &stop, x, y + first + gap, each, second, draw);
    return first + gap + second;
}
