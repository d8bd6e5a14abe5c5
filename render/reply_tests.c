/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The tests of a reply sheet: where the leads go, a blank for the reading, what each reading means.
 */
#include "render/reply_blocks.h"

#include <math.h>
#include <stdio.h>

#include "render/style.h"

static const double padding = 7, gap = 8;
static const bp_font step_font = {7.6, BP_REGULAR, BP_INK_BLACK, true};
static const bp_font step_head = {7.6, BP_BOLD, BP_INK_BLACK, true};
static const bp_font title_font = {9.2, BP_BOLD, BP_ACCENT, false};

/* Where the pen is in a test's box. */
typedef struct pen {
    bp_canvas *canvas;
    double x, y, width;
    bool draw;
} pen;

static double write(pen *p, double x, double width, const char *text, const bp_font *font) {
    return p->draw ? bp_text(p->canvas, x, p->y, text, font, BP_LEFT, width).h
                   : bp_text_size(p->canvas, text, font, width).h;
}

/* Number in a chip, title, time on the right. */
static void title(pen *p, const bp_reply_test *test, size_t index) {
    char number[8];
    snprintf(number, sizeof number, "%zu", index + 1);
    const double chip = bp_chip(p->canvas, p->x, p->y, number, false, p->draw) + 5;
    const double time = bp_text_size(p->canvas, test->time, &bp_font_small, 0).w;
    if (p->draw)
        bp_text(p->canvas, p->x + p->width, p->y + 1.8, test->time, &bp_font_small, BP_RIGHT, 0);
    const double h = write(p, p->x + chip, p->width - chip - time - 6, test->title, &title_font);
    p->y += fmax(h, BP_CHIP_HEIGHT) + 3;
}

/* What to do, in a narrow column of words in bold and a wide one of sentences. */
static void steps(pen *p, const bp_reply_test *test) {
    double aside = 0;
    for (size_t i = 0; i < test->n_steps; i++)
        aside = fmax(aside, bp_text_size(p->canvas, test->steps[i].what, &step_head, 0).w);
    aside += 6;
    for (size_t i = 0; i < test->n_steps; i++) {
        write(p, p->x, 0, test->steps[i].what, &step_head);
        p->y += write(p, p->x + aside, p->width - aside, test->steps[i].how, &step_font) + 2;
    }
}

/* A square to tick and its word; returns where the next one begins. */
static double tick_box(pen *p, double x, const char *word) {
    if (p->draw) {
        bp_rect(p->canvas, (bp_box){x, p->y + 1, 7, 7}, 0.8, 0.8, BP_INK_BLACK, false,
                BP_PAPER_WHITE);
        bp_text(p->canvas, x + 10, p->y, word, &step_font, BP_LEFT, 0);
    }
    return x + 10 + bp_text_size(p->canvas, word, &step_font, 0).w + 8;
}

/* "Was the trouble there then? [] yes [] no": a good reading taken while it was away clears
 * nothing. Returns its width. */
static double presence(pen *p, double x, bool draw) {
    static const char question[] = "Trouble there?";
    pen q = *p;
    q.draw = draw;
    double at = x + bp_text_size(p->canvas, question, &step_font, 0).w + 6;
    write(&q, x, 0, question, &step_font);
    at = tick_box(&q, at, "yes");
    return tick_box(&q, at, "no") - 8 - x;
}

/* Room to write the reading in. */
static void blank(pen *p, const bp_reply_test *test) {
    static const double shortest = 52, longest = 110;
    const char *label = test->unit[0] ? "It reads" : "You see";
    p->y += 6;
    const double word = bp_text_size(p->canvas, label, &step_head, 0).w + 5;
    const double unit = bp_text_size(p->canvas, test->unit, &step_font, 0).w + 4;
    const double question = presence(p, 0, false), rest = p->width - word - unit;
    const bool one_line = rest - question - 10 >= shortest;
    const double line = fmin(longest, one_line ? rest - question - 10 : rest);
    const double h = write(p, p->x, 0, label, &step_head);
    if (p->draw) {
        bp_line(p->canvas, p->x + word, p->y + h, p->x + word + line, p->y + h, 0.8, BP_INK_BLACK);
        bp_text(p->canvas, p->x + word + line + 4, p->y, test->unit, &step_font, BP_LEFT, 0);
    }
    if (!one_line)
        p->y += h + 4;
    presence(p, one_line ? p->x + p->width - question : p->x, p->draw);
    p->y += h + 5;
}

static void outcomes(pen *p, const bp_reply_test *test) {
    double aside = 0;
    for (size_t i = 0; i < test->n_outcomes; i++)
        aside = fmax(aside, bp_text_size(p->canvas, test->outcomes[i].shows, &step_head, 0).w);
    aside = fmin(aside, p->width * 0.38) + 7;
    for (size_t i = 0; i < test->n_outcomes; i++) {
        if (p->draw)
            bp_line(p->canvas, p->x, p->y, p->x + p->width, p->y, 0.5, BP_GREY_RULE);
        p->y += 2;
        const double left = write(p, p->x, aside - 6, test->outcomes[i].shows, &step_head);
        const double right =
            write(p, p->x + aside, p->width - aside, test->outcomes[i].means, &step_font);
        p->y += fmax(left, right) + 2.5;
    }
}

double bp_reply_test_draw(bp_canvas *canvas, const bp_reply *reply, size_t index, double x,
                          double y, double width, bool draw) {
    const bp_reply_test *test = &reply->tests[index];
    pen p = {canvas, x + padding, y + padding, width - 2 * padding, draw};
    if (draw) {
        const bp_box box = {x, y, width,
                            bp_reply_test_draw(canvas, reply, index, x, y, width, false)};
        bp_ledger_begin(canvas, BP_INK_FRAME, box, test->title);
        bp_rect(canvas, box, 3, index == 0 ? 1.2 : 0.7, index == 0 ? BP_ACCENT : BP_GREY_RULE,
                false, BP_PAPER_WHITE);
    }
    title(&p, test, index);
    steps(&p, test);
    blank(&p, test);
    outcomes(&p, test);
    if (draw)
        bp_ledger_end(canvas);
    return p.y - y + padding - 3;
}

double bp_reply_tests(bp_canvas *canvas, const bp_reply *reply, double x, double y, double width,
                      bool draw) {
    double at = y;
    for (size_t i = 0; i < reply->n_tests; i++)
        at += bp_reply_test_draw(canvas, reply, i, x, at, width, draw) + gap;
    if (reply->n_tests > 0)
        return at - gap - y;
    return bp_reply_advice(canvas, reply, x, y, width, draw);
}
