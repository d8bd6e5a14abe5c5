/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The table of readings: a row a point, a group of columns a state. Groups that do not fit side by
 * side go into further bands below; rows that do not fit go to the next page under a repeated head.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "render/sheet_flow.h"
#include "render/style.h"

static const double cell_pad = 6, head_pad = 4;
/* Above and below the words of a row: of one line, of two lines, and at the least to get the last
 * rows on the page. */
static const double row_pad = 3.2, tight_row_pad = 1.9, least_row_pad = 0.8;

/* Widths that hold for the whole table. */
typedef struct plan {
    double chip;               /* of the points; left of the words that say where */
    double good, range, fault; /* of each group; range 0: under the good reading */
    size_t per_band;
    double row_pad;
} plan;

static double wider(double a, double b) { return a > b ? a : b; }

static double text_width(bp_flow *flow, const char *text, const bp_font *font) {
    return bp_text_size(flow->canvas, text, font, 0).w;
}

static const bp_point *point_of(const bp_flow *flow, size_t i) {
    return &flow->facts->circuit->points[i];
}

/* The faulted reading with its mark: "▲ 3.37 V". */
static int marked_text(const bp_reading *good, const bp_reading *fault, char *text, size_t size) {
    int mark = bp_reading_mark(good, fault);
    return snprintf(text, size, "%s%s",
                    mark > 0   ? "▲ "
                    : mark < 0 ? "▼ "
                               : "",
                    bp_reading_text(fault));
}

static void widen_for_column(bp_flow *flow, const bp_state_column *column, plan *p) {
    char text[80];
    for (size_t i = 0; i < flow->facts->circuit->n_points; i++) {
        const bp_reading *good = bp_reading_of_point(column->good, point_of(flow, i)->id);
        p->good = wider(p->good, text_width(flow, bp_reading_text(good), &bp_font_cell));
        bp_range_text(good, text, sizeof text);
        p->range = wider(p->range, text_width(flow, text, &bp_font_cell_quiet));
        if (!column->fault)
            continue;
        marked_text(good, bp_reading_of_point(column->fault, point_of(flow, i)->id), text,
                    sizeof text);
        p->fault = wider(p->fault, text_width(flow, text, &bp_font_cell_strong) + 6);
    }
}

static double group_width(const plan *p) { return p->good + p->range + p->fault; }

static size_t groups_in(const plan *p, double room) {
    size_t n = (size_t)fmax(floor(room / group_width(p)), 1);
    return n;
}

/* Widths by what the texts need; ranges beside the readings where that keeps all states in one
 * band. */
static plan make_plan(bp_flow *flow) {
    const bp_facts *facts = flow->facts;
    plan p = {0};
    for (size_t i = 0; i < facts->circuit->n_points; i++)
        p.chip = wider(p.chip, bp_chip(flow->canvas, 0, 0, point_of(flow, i)->id, false, false));
    for (size_t i = 0; i < facts->n_columns; i++)
        widen_for_column(flow, &facts->columns[i], &p);
    const char *fault_head = "with this fault";
    p.good = wider(p.good, text_width(flow, "good", &bp_font_cell_quiet)) + 2 * cell_pad;
    p.range = wider(p.range, text_width(flow, "good range", &bp_font_cell_quiet)) + 2 * cell_pad;
    if (facts->fault)
        p.fault = wider(p.fault, text_width(flow, fault_head, &bp_font_cell_quiet)) + 2 * cell_pad;
    double width = flow->right - flow->left, least_where = 118;
    double room = width - p.chip - cell_pad - least_where;
    if (groups_in(&p, room) < facts->n_columns) { /* ranges under the readings */
        p.good = wider(p.good, p.range);
        p.range = 0;
    }
    p.row_pad = p.range > 0 ? row_pad : tight_row_pad;
    size_t fit = groups_in(&p, room), n = facts->n_columns ? facts->n_columns : 1;
    size_t bands = (n + fit - 1) / fit;
    p.per_band = (n + bands - 1) / bands;
    double spare = room + least_where - 250 - group_width(&p) * (double)p.per_band;
    if (spare > 0) { /* wider columns rather than a gap that the eye has to jump */
        double each = spare / (double)p.per_band / (p.range > 0 ? 3 : 2);
        p.good += each;
        p.range += p.range > 0 ? each : 0;
        p.fault += p.fault > 0 ? each : 0;
    }
    return p;
}

/* Groups stand at the right edge; what a short last band leaves free goes to the words on the left.
 */
static double group_x(const bp_flow *flow, const plan *p, size_t left_in_band) {
    return flow->right - group_width(p) * (double)left_in_band;
}

static double where_width(const bp_flow *flow, const plan *p, size_t in_band) {
    return group_x(flow, p, in_band) - flow->left - p->chip - cell_pad - 4;
}

/* Height of the head's first part: state names with their phases. */
static double state_name(bp_flow *flow, const plan *p, const bp_state_column *column, double x,
                         double y, bool draw) {
    char text[300];
    const char *phase = column->fault ? column->fault->phase : NULL;
    snprintf(text, sizeof text, "%s%s%s", column->state->id, phase ? ", " : "", phase ? phase : "");
    double width = group_width(p) - cell_pad;
    bp_font font = bp_font_cell_head;
    bool shown = column->state == &flow->facts->circuit->states[flow->facts->shown];
    font.colour = shown ? BP_ACCENT : BP_INK_BLACK;
    if (draw)
        bp_text(flow->canvas, x + group_width(p) - cell_pad, y, text, &font, BP_RIGHT, width);
    return bp_text_size(flow->canvas, text, &font, width).h;
}

/* What the columns of a state hold, under a rule that ties them together. */
static void draw_sub_heads(bp_flow *flow, const plan *p, double x, double y) {
    double right = x + p->good - cell_pad;
    bp_line(flow->canvas, x + 2 * cell_pad, y - 1.6, x + group_width(p) - cell_pad, y - 1.6, 0.6,
            BP_GREY_TEXT);
    bool under = p->range <= 0, fault = flow->facts->fault != NULL;
    bp_text(flow->canvas, right, y, under ? "good, range" : "good", &bp_font_cell_quiet, BP_RIGHT,
            0);
    if (!under)
        bp_text(flow->canvas, right + p->range, y, "good range", &bp_font_cell_quiet, BP_RIGHT, 0);
    if (fault)
        bp_text(flow->canvas, right + p->range + p->fault, y, "with this fault",
                &bp_font_cell_quiet, BP_RIGHT, 0);
}

static double head_height(bp_flow *flow, const plan *p, size_t first, size_t last) {
    double names = 0;
    for (size_t c = first; c < last; c++)
        names = wider(names, state_name(flow, p, &flow->facts->columns[c], 0, 0, false));
    return names + bp_text_size(flow->canvas, "good", &bp_font_cell_quiet, 0).h + 2 * head_pad + 2;
}

static void draw_head(bp_flow *flow, const plan *p, size_t first, size_t last) {
    double height = head_height(flow, p, first, last), y = flow->y;
    bp_box box = {flow->left, y, flow->right - flow->left, height};
    bp_ledger_begin(flow->canvas, BP_INK_FRAME, box, "head of the readings");
    bp_rect(flow->canvas, box, 0, 0, BP_GREY_FILL, true, BP_GREY_FILL);
    double sub = y + height - head_pad - bp_text_size(flow->canvas, "g", &bp_font_cell_quiet, 0).h;
    bp_text(flow->canvas, flow->left + p->chip + cell_pad, sub, "where the red lead goes",
            &bp_font_cell_quiet, BP_LEFT, 0);
    for (size_t c = first; c < last; c++) {
        double x = group_x(flow, p, last - c);
        state_name(flow, p, &flow->facts->columns[c], x, y + head_pad, true);
        draw_sub_heads(flow, p, x, sub);
    }
    bp_ledger_end(flow->canvas);
    bp_line(flow->canvas, flow->left, y + height, flow->right, y + height, 0.8, BP_INK_BLACK);
    flow->y = y + height;
}

/* Where the point is and, quietly, how it is reached. Returns the height. */
static double where_text(bp_flow *flow, const plan *p, const bp_point *point, double width,
                         double y, bool draw) {
    char words[300], reach[300];
    bp_point_words(flow->facts->circuit, point, words, sizeof words);
    bp_reach_words(point, reach, sizeof reach);
    double x = flow->left + p->chip + cell_pad;
    bp_box name = bp_text_size(flow->canvas, words, &bp_font_cell, width);
    bp_box quiet = bp_text_size(flow->canvas, reach, &bp_font_cell_quiet, 0);
    bool same_line = bp_text_size(flow->canvas, words, &bp_font_cell, 0).w + 8 + quiet.w <= width;
    double indent = same_line ? name.w + 8 : 0;
    double drop = same_line ? (bp_font_cell.size - bp_font_cell_quiet.size) * 0.94 : name.h;
    quiet = bp_text_size(flow->canvas, reach, &bp_font_cell_quiet, width - indent);
    if (draw) {
        bp_text(flow->canvas, x, y, words, &bp_font_cell, BP_LEFT, width);
        bp_text(flow->canvas, x + indent, y + drop, reach, &bp_font_cell_quiet, BP_LEFT,
                width - indent);
    }
    return same_line || !reach[0] ? name.h : name.h + quiet.h;
}

static void draw_marked(bp_flow *flow, double right, double y, double height, double width,
                        const char *text) {
    bp_box box = {right - width + 1, y + 1, width + cell_pad - 3, height - 2};
    bp_box size = bp_text_size(flow->canvas, text, &bp_font_cell_strong, 0);
    bp_ledger_begin(flow->canvas, BP_INK_FRAME, box, text);
    bp_rect(flow->canvas, box, 2, 1, BP_ALARM, true, BP_ALARM_FILL);
    bp_text(flow->canvas, right, y + (height - size.h) / 2, text, &bp_font_cell_strong, BP_RIGHT,
            0);
    bp_ledger_end(flow->canvas);
}

static void draw_group(bp_flow *flow, const plan *p, const bp_state_column *column,
                       const bp_point *point, double x, double y, double height) {
    const bp_reading *good = bp_reading_of_point(column->good, point->id);
    char range[80], text[80];
    bp_range_text(good, range, sizeof range);
    bool under = p->range <= 0 && range[0];
    double right = x + p->good - cell_pad;
    double value = bp_text_size(flow->canvas, "0", &bp_font_cell, 0).h;
    double quiet = bp_text_size(flow->canvas, "0", &bp_font_cell_quiet, 0).h;
    double top = y + (height - value - (under ? quiet : 0)) / 2;
    bp_text(flow->canvas, right, top, bp_reading_text(good), &bp_font_cell, BP_RIGHT, 0);
    double drop = (bp_font_cell.size - bp_font_cell_quiet.size) * 0.94;
    bp_text(flow->canvas, right + p->range, under ? top + value : top + drop, range,
            &bp_font_cell_quiet, BP_RIGHT, 0);
    if (!column->fault)
        return;
    const bp_reading *fault = bp_reading_of_point(column->fault, point->id);
    marked_text(good, fault, text, sizeof text);
    right += p->range + p->fault;
    if (bp_reading_mark(good, fault) != 0)
        draw_marked(flow, right, y, height, p->fault - cell_pad, text);
    else
        bp_text(flow->canvas, right, y + (height - value) / 2, text, &bp_font_cell, BP_RIGHT, 0);
}

static double row_height(bp_flow *flow, const plan *p, const bp_point *point, size_t in_band) {
    double where = where_text(flow, p, point, where_width(flow, p, in_band), 0, false);
    double value = bp_text_size(flow->canvas, "0", &bp_font_cell, 0).h;
    if (p->range <= 0)
        value += bp_text_size(flow->canvas, "0", &bp_font_cell_quiet, 0).h;
    return wider(wider(where, value), BP_CHIP_HEIGHT - 2) + 2 * p->row_pad;
}

static void draw_row(bp_flow *flow, const plan *p, const bp_point *point, size_t first,
                     size_t last) {
    double y = flow->y, height = row_height(flow, p, point, last - first);
    double width = where_width(flow, p, last - first);
    double where = where_text(flow, p, point, width, 0, false);
    bp_chip(flow->canvas, flow->left, y + (height - BP_CHIP_HEIGHT) / 2, point->id, false, true);
    where_text(flow, p, point, width, y + (height - where) / 2, true);
    for (size_t c = first; c < last; c++)
        draw_group(flow, p, &flow->facts->columns[c], point, group_x(flow, p, last - c), y, height);
    flow->y = y + height;
    bp_line(flow->canvas, flow->left, flow->y, flow->right, flow->y, 0.5, BP_GREY_RULE);
}

static double band_height(bp_flow *flow, const plan *p, size_t first, size_t last) {
    double height = head_height(flow, p, first, last);
    for (size_t i = 0; i < flow->facts->circuit->n_points; i++)
        height += row_height(flow, p, point_of(flow, i), last - first);
    return height;
}

/* Room for the whole band where a page of its own holds it, else for its beginning; a good part of
 * it at the foot of a page is better than a page left half empty. */
static void need_band(bp_flow *flow, const plan *p, size_t first, size_t last, double above) {
    double all = above + band_height(flow, p, first, last);
    double start = above + head_height(flow, p, first, last) +
                   3 * row_height(flow, p, point_of(flow, 0), last - first);
    double left = flow->bottom - flow->y, page = flow->bottom - flow->top - 40;
    bp_flow_need(flow, all <= page && left < 0.55 * all ? all : start);
}

/* Rows a little closer where that saves the last few from going to another page. */
static void squeeze(bp_flow *flow, plan *p, size_t first, size_t last) {
    double room = flow->bottom - flow->y, over = band_height(flow, p, first, last) - room;
    double each = over / (2.0 * (double)flow->facts->circuit->n_points);
    if (over > 0 && p->row_pad - each >= least_row_pad)
        p->row_pad -= each + 1e-6;
}

static void draw_band(bp_flow *flow, const plan *whole, size_t first, size_t last) {
    const bp_circuit *circuit = flow->facts->circuit;
    plan squeezed = *whole, *p = &squeezed;
    need_band(flow, p, first, last, 0);
    squeeze(flow, p, first, last);
    draw_head(flow, p, first, last);
    for (size_t i = 0; i < circuit->n_points; i++) {
        if (bp_flow_need(flow, row_height(flow, p, point_of(flow, i), last - first)))
            draw_head(flow, p, first, last);
        draw_row(flow, p, point_of(flow, i), first, last);
    }
    flow->y += 6;
}

static void draw_note(bp_flow *flow, const char *text) {
    double width = flow->right - flow->left;
    bp_flow_need(flow, bp_text_size(flow->canvas, text, &bp_font_small, width).h);
    flow->y +=
        bp_text(flow->canvas, flow->left, flow->y, text, &bp_font_small, BP_LEFT, width).h + 3;
}

/* What each state sets. */
static void draw_states(bp_flow *flow) {
    const bp_facts *facts = flow->facts;
    char text[2000] = "States: ", words[300];
    size_t used = strlen(text), from = used;
    for (size_t i = 0; i < facts->circuit->n_states && used < sizeof text; i++) {
        const bp_state *state = &facts->circuit->states[i];
        if (bp_state_words(facts->circuit, state, facts->options.us_units, words, sizeof words) > 0)
            used += (size_t)snprintf(text + used, sizeof text - used, "%s%s: %s",
                                     used > from ? "  ·  " : "", state->id, words);
    }
    if (used > from)
        draw_note(flow, text);
}

/* Where a meter shows the mean of pulses. */
static void draw_rhythms(bp_flow *flow) {
    const bp_facts *facts = flow->facts;
    char text[1200] = "";
    size_t used = 0;
    for (size_t i = 0; i < facts->circuit->n_states && used < sizeof text / 2; i++) {
        if (bp_state_pulses(facts->circuit, i))
            used += (size_t)snprintf(text + used, sizeof text - used, "%s%s", used ? ", " : "",
                                     facts->circuit->states[i].id);
    }
    if (used == 0)
        return;
    snprintf(text + used, sizeof text - used, ": on what pulses the voltmeter shows the mean%s.",
             facts->n_waves ? "; see the waveform" : "");
    draw_note(flow, text);
}

/* Why a reading has no result, once each. */
static void draw_reasons(bp_flow *flow) {
    const bp_facts *facts = flow->facts;
    const char *last = NULL;
    for (size_t c = 0; c < facts->n_columns; c++) {
        const bp_state_answer *answer =
            facts->columns[c].fault ? facts->columns[c].fault : facts->columns[c].good;
        for (size_t i = 0; answer && i < answer->n_readings; i++) {
            const bp_reading *reading = &answer->readings[i];
            if (reading->status != BP_READING_NONE || !reading->why ||
                (last && strcmp(last, reading->why) == 0))
                continue;
            char text[400];
            last = reading->why;
            snprintf(text, sizeof text, "No result (state: %s): %s", answer->state, reading->why);
            double width = flow->right - flow->left;
            bp_flow_need(flow, bp_text_size(flow->canvas, text, &bp_font_small, width).h);
            flow->y +=
                bp_text(flow->canvas, flow->left, flow->y, text, &bp_font_small, BP_LEFT, width).h +
                3;
        }
    }
}

void bp_block_readings(bp_flow *flow) {
    const bp_facts *facts = flow->facts;
    if (facts->circuit->n_points == 0 || facts->n_columns == 0)
        return;
    plan p = make_plan(flow);
    const double heading = 24;
    need_band(flow, &p, 0, p.per_band, heading);
    bp_flow_heading(flow, "Readings",
                    facts->fault ? "good range: 19 of 20 good circuits, meter included; boxed ▲ "
                                   "above it, ▼ below it"
                                 : "good range: 19 of 20 good circuits, meter included");
    for (size_t first = 0; first < facts->n_columns; first += p.per_band) {
        size_t last = first + p.per_band;
        draw_band(flow, &p, first, last < facts->n_columns ? last : facts->n_columns);
    }
    draw_states(flow);
    draw_rhythms(flow);
    draw_reasons(flow);
}
