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
/* Widths to which the words may be wrapped, points. */
static const double wraps[] = {92.0, 64.0, 44.0};
#define REACH 30.0 /* cells */
#define NO_PLACE 1e9
#define ARM 4.2 /* of a cross, points */

typedef struct bp_mark {
    double x, y; /* cells */
    bool frame;  /* a frame around the part instead of a cross */
    bp_box body;
} bp_mark;

/* On the wire's own runs, clear of rings, tags and names; the middle of the longest otherwise. */
static bool mark_wire(const bp_schematic *s, const bp_boxes *boxes, size_t part, bp_mark *mark) {
    size_t net = 0;
    while (net < s->plan.n_nets && s->plan.nets[net].part != part)
        net++;
    bp_run runs[12];
    size_t n = net < s->plan.n_nets ? bp_schematic_runs(s, net, runs, 12) : 0;
    double reach = bp_plan_cells(&s->plan, ARM + 1), best = 1e9;
    for (size_t i = 0; i < n; i++) {
        double dx = runs[i].x2 - runs[i].x1, dy = runs[i].y2 - runs[i].y1;
        int steps = (int)(4 * (fabs(dx) + fabs(dy)));
        for (int k = 0; k <= steps; k++) {
            double along = steps ? (double)k / steps : 0.5;
            double x = runs[i].x1 + along * dx, y = runs[i].y1 + along * dy;
            bp_box box = {x - reach, y - reach, 2 * reach, 2 * reach};
            double cost = fabs(along - 0.5) + (double)i;
            cost += bp_boxes_leave(boxes, &box, 0) ? 0 : 50;
            cost += bp_schematic_is_beside(s, net, box, 0) ? 20 : 0;
            if (cost < best) {
                best = cost;
                mark->x = x;
                mark->y = y;
            }
        }
    }
    return best < 1e9;
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

static bool find_mark(const bp_schematic *s, const bp_boxes *boxes, const bp_fault *fault,
                      bp_mark *mark) {
    const bp_part *part = &s->plan.circuit->parts[fault->part];
    const bp_mode_decl *mode = bp_fault_mode(s->plan.circuit, fault);
    *mark = (bp_mark){0};
    if (part->kind == &bp_kind_wire)
        return mark_wire(s, boxes, fault->part, mark);
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
        /* The mark is on the wire: its words need not name it again. */
        size_t id = strlen(part->id);
        if (line && strncmp(own, part->id, id) == 0 && own[id] == ' ')
            memmove(own, own + id + 1, strlen(own + id));
        char with[64] = "";
        if (mode->partner == BP_PARTNER_CAVITY && fault->partner_sub != BP_NONE)
            snprintf(with, sizeof with, "pin %zu", fault->partner_sub + 1);
        else if (fault->partner != BP_NONE)
            snprintf(with, sizeof with, "%s", circuit->parts[fault->partner].id);
        snprintf(text, size, "%s%s%s%s%s", own, with[0] ? " " : "", with, value[0] ? ", " : "",
                 value);
    }
}

static void draw_mark(const bp_schematic *s, bp_canvas *canvas, const bp_mark *mark) {
    double u = s->unit, x = mark->x * u, y = mark->y * u, arm = ARM;
    if (mark->frame) {
        bp_box box = {mark->body.x * u - 0.5, mark->body.y * u + 1.5, mark->body.w * u + 1,
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

/* Where the line from a mark to its words begins and ends. */
typedef struct bp_lead {
    double x1, y1, x2, y2;
} bp_lead;

static bp_lead lead_to(const bp_mark *mark, const bp_box *place) {
    bool right = place->x > mark->x;
    double from = mark->frame ? (right ? mark->body.x + mark->body.w : mark->body.x) : mark->x;
    return (bp_lead){from, mark->y, right ? place->x : place->x + place->w,
                     place->y + place->h / 2};
}

/* How much of a line lies over boxes, in half cells; its ends do not count. */
static int half_cells_over(const bp_boxes *boxes, const bp_lead *lead) {
    double dx = lead->x2 - lead->x1, dy = lead->y2 - lead->y1, length = hypot(dx, dy);
    int over = 0;
    for (double at = 0.9; at < length - 0.3; at += 0.5) {
        bp_box spot = {lead->x1 + at / length * dx, lead->y1 + at / length * dy, 0, 0};
        over += !bp_boxes_leave(boxes, &spot, 0.05);
    }
    return over;
}

/* The free place nearest to the mark, sideways rather than up or down, with a line to it that
 * crosses little; what it costs, NO_PLACE when there is none. */
static double find_place(const bp_schematic *s, const bp_boxes *boxes, const bp_mark *mark,
                         double w, double h, bp_box *place) {
    double best = NO_PLACE;
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
                bp_lead lead = lead_to(mark, &box);
                cost += 4 * half_cells_over(boxes, &lead);
                if (cost >= best)
                    continue;
                best = cost;
                *place = box;
            }
    return best;
}

static void draw_words(const bp_schematic *s, bp_canvas *canvas, const bp_mark *mark,
                       const char *text, bp_boxes *boxes) {
    double u = s->unit;
    bp_box line = bp_text_size(canvas, text, &words_font, 0), place = {0};
    double best = NO_PLACE, wrap = 0;
    for (size_t i = 0; i < sizeof wraps / sizeof wraps[0]; i++) {
        double width = line.w > wraps[i] ? wraps[i] : 0;
        bp_box size = width > 0 ? bp_text_size(canvas, text, &words_font, width) : line, here = {0};
        double cost = find_place(s, boxes, mark, size.w / u, size.h / u, &here) + (double)i;
        if (cost >= best)
            continue;
        best = cost;
        place = here;
        wrap = width;
    }
    if (best >= NO_PLACE)
        return;
    bp_boxes_add(boxes, place);
    bp_lead lead = lead_to(mark, &place);
    double pull = lead.x2 > lead.x1 ? 1 : -1;
    bp_line(canvas, lead.x1 * u + pull * (mark->frame ? 1.5 : ARM + 1), lead.y1 * u,
            lead.x2 * u - pull * 1.5, lead.y2 * u, 0.8, BP_ALARM);
    bp_text(canvas, place.x * u, place.y * u, text, &words_font, BP_LEFT, wrap);
}

void bp_schematic_draw_faults(const bp_schematic *s, bp_canvas *canvas,
                              const bp_fault_case *faults) {
    bp_boxes boxes = {0};
    gather_obstacles(s, &boxes);
    for (size_t i = 0; i < faults->n; i++) {
        bp_mark mark;
        if (!find_mark(s, &boxes, &faults->fault[i], &mark))
            continue;
        char text[320];
        fault_words(s->plan.circuit, &faults->fault[i], text, sizeof text);
        draw_mark(s, canvas, &mark);
        draw_words(s, canvas, &mark, text, &boxes);
    }
    bp_boxes_free(&boxes);
}
