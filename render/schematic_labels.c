/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Beside each wire, once: its id, colour and size. The place is the one that reads best of those
 * that are free: right of an upright run, near its middle, in one line.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "render/schematic_private.h"
#include "render/symbol_ink.h"

enum { MAX_RUNS = 12 };

void bp_wire_words(const bp_schematic *s, const bp_part *wire, char *id, size_t id_size, char *spec,
                   size_t spec_size) {
    snprintf(id, id_size, "%s", wire->id);
    spec[0] = '\0';
    bp_wire_caption(wire, s->us_units, spec, spec_size);
}

typedef struct bp_label_hunt {
    const bp_schematic *s;
    size_t net;
    const bp_boxes *boxes;
    double w, h; /* of the label in this number of lines */
    int lines;
    bp_wire_label best;
    double cost;
} bp_label_hunt;

static void consider(bp_label_hunt *hunt, double x, double y, double cost) {
    if (cost >= hunt->cost)
        return;
    bp_box box = {x, y, hunt->w, hunt->h};
    if (!bp_schematic_is_free(hunt->s, hunt->boxes, box, 0.12))
        return;
    /* Close beside another wire it could be taken for that one's. */
    cost += bp_schematic_is_beside(hunt->s, hunt->net, box, 0.7) ? 2.5 : 0;
    if (cost >= hunt->cost)
        return;
    hunt->cost = cost;
    hunt->best = (bp_wire_label){box, hunt->lines};
}

static void along_upright(bp_label_hunt *hunt, const bp_run *run, double base) {
    double y1 = fmin(run->y1, run->y2), y2 = fmax(run->y1, run->y2), middle = (y1 + y2) / 2;
    double aside = bp_plan_cells(&hunt->s->plan, 3);
    /* Beside a short run the label may stand over its ends, both alike. */
    double over = fmax(0.3, (hunt->h - (y2 - y1)) / 2 + 0.3);
    for (double y = y1 - over; y + hunt->h <= y2 + over; y += 0.25) {
        double off = fabs(y + hunt->h / 2 - middle) * 0.1;
        consider(hunt, run->x1 + aside, y, base + off);
        consider(hunt, run->x1 - aside - hunt->w, y, base + off + 1);
    }
}

static void along_level(bp_label_hunt *hunt, const bp_run *run, double base) {
    double x1 = fmin(run->x1, run->x2), x2 = fmax(run->x1, run->x2), middle = (x1 + x2) / 2;
    double aside = bp_plan_cells(&hunt->s->plan, 1);
    for (double x = x1; x + hunt->w <= x2 + 0.2; x += 0.25) {
        double off = fabs(x + hunt->w / 2 - middle) * 0.1;
        consider(hunt, x, run->y1 - aside - hunt->h, base + off + 0.5);
        consider(hunt, x, run->y1 + aside, base + off + 1.5);
    }
}

static void measure(bp_label_hunt *hunt, const bp_part *wire, int lines) {
    const bp_plan *plan = &hunt->s->plan;
    char id[64], spec[96];
    bp_wire_words(hunt->s, wire, id, sizeof id, spec, sizeof spec);
    bp_font bold = bp_font_quieter;
    bold.weight = BP_BOLD;
    bp_box a = bp_text_size(plan->measure, id, &bold, 0);
    bp_box b = bp_text_size(plan->measure, spec, &bp_font_quieter, 0);
    if (!spec[0])
        b.w = 0;
    hunt->lines = lines;
    hunt->w = bp_plan_cells(plan, lines == 1 ? a.w + (spec[0] ? 2.5 : 0) + b.w : fmax(a.w, b.w));
    hunt->h = bp_plan_cells(plan, lines == 1 ? fmax(a.h, b.h) : a.h + b.h);
}

static bool label_net(const bp_schematic *s, size_t net, const bp_boxes *boxes,
                      bp_wire_label *label) {
    const bp_part *wire = &s->plan.circuit->parts[s->plan.nets[net].part];
    bp_run runs[MAX_RUNS];
    size_t n = bp_schematic_runs(s, net, runs, MAX_RUNS);
    bp_label_hunt hunt = {.s = s, .net = net, .boxes = boxes, .cost = 1e9};
    char id[64], spec[96];
    bp_wire_words(s, wire, id, sizeof id, spec, sizeof spec);
    for (int lines = 1; lines <= (spec[0] ? 2 : 1); lines++) {
        measure(&hunt, wire, lines);
        for (size_t i = 0; i < n; i++) {
            double base = (lines - 1) * 3 + (double)i * 0.4;
            if (runs[i].x1 == runs[i].x2)
                along_upright(&hunt, &runs[i], base);
            else
                along_level(&hunt, &runs[i], base);
        }
    }
    if (hunt.cost >= 1e9)
        return false;
    *label = hunt.best;
    return true;
}

/* Free length, so that wires with the least choice choose first. */
static double choice(const bp_schematic *s, size_t net) {
    bp_run runs[MAX_RUNS];
    size_t n = bp_schematic_runs(s, net, runs, MAX_RUNS);
    double length = 0;
    for (size_t i = 0; i < n; i++)
        length += fabs(runs[i].x2 - runs[i].x1) + fabs(runs[i].y2 - runs[i].y1);
    return length;
}

bool bp_schematic_label(bp_schematic *s) {
    size_t n = s->plan.n_nets;
    s->labels = calloc(n + 1, sizeof *s->labels);
    size_t *order = calloc(n + 1, sizeof *order);
    double *length = calloc(n + 1, sizeof *length);
    bp_boxes boxes = {0};
    bool ok = s->labels && order && length;
    s->unlabelled = 0;
    if (ok)
        bp_schematic_boxes(s, &boxes, false);
    for (size_t i = 0; ok && i < n; i++) {
        length[i] = choice(s, i);
        size_t k = i;
        for (; k > 0 && length[order[k - 1]] > length[i]; k--)
            order[k] = order[k - 1];
        order[k] = i;
    }
    for (size_t i = 0; ok && i < n; i++) {
        size_t net = order[i];
        if (s->plan.nets[net].part == BP_NONE)
            continue;
        if (label_net(s, net, &boxes, &s->labels[net]))
            bp_boxes_add(&boxes, s->labels[net].box);
        else
            s->unlabelled++;
    }
    ok = ok && !boxes.failed;
    bp_boxes_free(&boxes);
    free(order);
    free(length);
    return ok;
}
