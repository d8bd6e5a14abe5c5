/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A fault is drawn where it is: a cross on the wire, pin or ground, a frame around a part, and a
 * few words beside it, tied to it by a line.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "render/schematic_private.h"
#include "render/symbol_ink.h"

static const bp_font words_font = {7.4, BP_BOLD, BP_ALARM, false};
#define WORDS_WIDTH 92.0
#define WORDS_NARROW 52.0
#define REACH 30.0 /* cells */

typedef struct bp_mark {
    double x, y; /* cells */
    bool frame;  /* a frame around the part instead of a cross */
    bp_box body;
} bp_mark;

static bool mark_wire(const bp_schematic *s, size_t part, bp_mark *mark) {
    for (size_t i = 0; i < s->plan.n_nets; i++) {
        bp_run runs[12];
        if (s->plan.nets[i].part != part)
            continue;
        size_t n = bp_schematic_runs(s, i, runs, 12);
        if (n == 0)
            return false;
        mark->x = (runs[0].x1 + runs[0].x2) / 2;
        mark->y = (runs[0].y1 + runs[0].y2) / 2;
        return true;
    }
    return false;
}

static bool mark_pin(const bp_schematic *s, size_t part, size_t pin, bp_mark *mark) {
    bp_end end;
    if (!bp_plan_find_pin(&s->plan, part, pin, &end))
        return false;
    const bp_block *block = &s->plan.blocks[end.block];
    const bp_terminal *t = &block->terminal[end.terminal];
    mark->x = block->x + t->x;
    mark->y = block->y + t->y;
    return true;
}

static bool mark_block(const bp_schematic *s, size_t index, bp_mark *mark) {
    const bp_block *block = &s->plan.blocks[index];
    const bp_part *part = bp_block_part(&s->plan, index);
    mark->x = block->x + block->w / 2;
    mark->y = block->y + block->h / 2;
    if (part->kind == &bp_kind_ground) {
        mark->y = block->y + block->h - 0.55; /* between the eyelet and the metal */
        return true;
    }
    mark->frame = part->kind != &bp_kind_connector && part->kind != &bp_kind_splice;
    mark->body = (bp_box){block->x, block->y, block->w, block->h};
    return true;
}

static bool find_mark(const bp_schematic *s, const bp_fault *fault, bp_mark *mark) {
    const bp_part *part = &s->plan.circuit->parts[fault->part];
    const bp_mode_decl *mode = bp_fault_mode(s->plan.circuit, fault);
    *mark = (bp_mark){0};
    if (part->kind == &bp_kind_wire)
        return mark_wire(s, fault->part, mark);
    if (mode->scope == BP_SCOPE_PIN && fault->sub != BP_NONE)
        return mark_pin(s, fault->part, fault->sub, mark);
    for (size_t b = 0; b < s->plan.n_blocks; b++)
        if (s->plan.blocks[b].part == fault->part &&
            (mode->scope != BP_SCOPE_CAVITY || s->plan.blocks[b].shape.piece == fault->sub))
            return mark_block(s, b, mark);
    return false;
}

static void severity_words(const bp_mode_decl *mode, double severity, char *text, size_t size) {
    text[0] = '\0';
    if (mode->scale != BP_SCALE_NONE && !isnan(severity))
        bp_quantity_format(severity, mode->unit, 2, text, size);
}

/* A few words for a mark: "open here", "0.4 Ω here", else the mode's own. */
static void fault_words(const bp_circuit *circuit, const bp_fault *fault, char *text, size_t size) {
    const bp_mode_decl *mode = bp_fault_mode(circuit, fault);
    const bp_part *part = &circuit->parts[fault->part];
    bool line = part->kind->passive || mode->scope != BP_SCOPE_PART;
    char value[40];
    severity_words(mode, fault->severity, value, sizeof value);
    if (line && strcmp(mode->id, "open") == 0) {
        snprintf(text, size, "open here");
    } else if (line && strcmp(mode->id, "resistance") == 0) {
        snprintf(text, size, "%s here", value);
    } else {
        char own[160];
        /* The declaration's words hold one %s for the part's name. */
        const char *at = strstr(mode->words, "%s");
        if (at)
            snprintf(own, sizeof own, "%.*s%s%s", (int)(at - mode->words), mode->words, part->id,
                     at + 2);
        else
            snprintf(own, sizeof own, "%s", mode->words);
        own[strcspn(own, ":(")] = '\0';
        const char *with = fault->partner != BP_NONE ? circuit->parts[fault->partner].id : "";
        snprintf(text, size, "%s%s%s%s%s", own, with[0] ? " " : "", with, value[0] ? ", " : "",
                 value);
    }
}

static void draw_mark(const bp_schematic *s, bp_canvas *canvas, const bp_mark *mark) {
    double u = s->unit, x = mark->x * u, y = mark->y * u, arm = 4.2;
    if (mark->frame) {
        bp_box box = {mark->body.x * u - 1.5, mark->body.y * u + 1.5, mark->body.w * u + 3,
                      mark->body.h * u - 3};
        bp_rect(canvas, box, 3, 1.5, BP_ALARM, false, BP_PAPER_WHITE);
        return;
    }
    for (int way = -1; way <= 1; way += 2) {
        bp_line(canvas, x - arm, y - arm * way, x + arm, y + arm * way, 4.2, BP_PAPER_WHITE);
        bp_line(canvas, x - arm, y - arm * way, x + arm, y + arm * way, 2, BP_ALARM);
    }
}

/* All that the words must keep clear of. */
static void gather_obstacles(const bp_schematic *s, bp_boxes *boxes) {
    bp_schematic_boxes(s, boxes, false);
    for (size_t i = 0; i < s->plan.n_nets; i++)
        if (s->labels[i].box.w > 0)
            bp_boxes_add(boxes, s->labels[i].box);
}

/* The free place nearest to the mark: sideways first, then in growing rings. */
static bool find_place(const bp_schematic *s, const bp_boxes *boxes, const bp_mark *mark, double w,
                       double h, bp_box *place) {
    double best = 1e9;
    double clear = mark->frame ? 0.4 : 0.9;
    bp_box from = mark->frame ? mark->body : (bp_box){mark->x, mark->y, 0, 0};
    for (double dy = -REACH; dy <= REACH; dy += 0.5)
        for (int side = 0; side < 2; side++)
            for (double dx = 0; dx <= REACH; dx += 0.5) {
                bp_box box = {side ? from.x - clear - dx - w : from.x + from.w + clear + dx,
                              from.y + from.h / 2 + dy - h / 2, w, h};
                double cost = dx + 1.6 * fabs(dy) + side * 0.3;
                if (cost >= best || !bp_schematic_is_free(s, boxes, box, 0.25))
                    continue;
                best = cost;
                *place = box;
            }
    return best < 1e9;
}

static void draw_words(const bp_schematic *s, bp_canvas *canvas, const bp_mark *mark,
                       const char *text, bp_boxes *boxes) {
    double u = s->unit;
    bp_box size = bp_text_size(canvas, text, &words_font, 0);
    double wrap = size.w > WORDS_WIDTH ? WORDS_WIDTH : 0;
    if (wrap > 0)
        size = bp_text_size(canvas, text, &words_font, wrap);
    bp_box place;
    if (!find_place(s, boxes, mark, size.w / u, size.h / u, &place)) {
        wrap = WORDS_NARROW;
        size = bp_text_size(canvas, text, &words_font, wrap);
        if (!find_place(s, boxes, mark, size.w / u, size.h / u, &place))
            return;
    }
    bp_boxes_add(boxes, place);
    double from_x =
        mark->frame ? (place.x > mark->x ? mark->body.x + mark->body.w : mark->body.x) : mark->x;
    double edge = place.x > from_x ? place.x : place.x + place.w;
    double middle = place.y + place.h / 2;
    double pull = place.x > from_x ? 1 : -1;
    bp_line(canvas, from_x * u + pull * (mark->frame ? 1.5 : 5), mark->y * u, edge * u - pull * 1.5,
            middle * u, 0.8, BP_ALARM);
    bp_text(canvas, place.x * u, place.y * u, text, &words_font, BP_LEFT, wrap);
}

void bp_schematic_draw_faults(const bp_schematic *s, bp_canvas *canvas,
                              const bp_fault_case *faults) {
    bp_boxes boxes = {0};
    gather_obstacles(s, &boxes);
    for (size_t i = 0; i < faults->n; i++) {
        bp_mark mark;
        if (!find_mark(s, &faults->fault[i], &mark))
            continue;
        char text[200];
        fault_words(s->plan.circuit, &faults->fault[i], text, sizeof text);
        draw_mark(s, canvas, &mark);
        draw_words(s, canvas, &mark, text, &boxes);
    }
    bp_boxes_free(&boxes);
}
