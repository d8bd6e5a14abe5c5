/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The largest scale at which the drawing fits, with every wire routed and named.
 */
#include <math.h>
#include <stdlib.h>

#include "render/schematic_private.h"

/* From roomy to tight. Each is tried at its scale as in the table, then with less text, lifted and
 * with names moved; the first that fits without flaws is it. */
static const double scales[] = {1.0, 0.88, 0.77, 0.68, 0.6, 0.53};
enum { N_SCALES = sizeof scales / sizeof scales[0], VARIANTS = 4, LOOSENINGS = 3 };

static bp_plan_options options_of(int scale, int variant, int loose, int lines) {
    return (bp_plan_options){.scale = scales[scale],
                             .text = scales[scale] < 0.75 ? 0.87 : 1,
                             .loose = loose,
                             .lines = lines,
                             .names_left = variant & 1,
                             .lift = variant & 2};
}

static void clear(bp_schematic *s) {
    bp_plan_free(&s->plan);
    bp_router_free(&s->router);
    free(s->labels);
    s->labels = NULL;
}

static bool draft(bp_schematic *s, const bp_circuit *circuit, bp_canvas *measure,
                  const bp_plan_options *options) {
    *s = (bp_schematic){.shrink = 1};
    if (!bp_plan_make(&s->plan, circuit, measure, options))
        return false;
    s->unit = BP_CELL * options->scale;
    s->w = s->plan.width * s->unit;
    s->h = s->plan.height_cells * s->unit;
    return true;
}

static bool fits(const bp_schematic *s, double width, double max_height) {
    return s->w <= width && s->h <= max_height;
}

static size_t flaws(const bp_schematic *s) { return 10 * s->lost + s->unlabelled; }

typedef struct bp_attempt {
    const bp_circuit *circuit;
    bp_canvas *measure;
    double width, max_height;
    int lines;
    bp_schematic best;
    bool have;
} bp_attempt;

/* Tries one way of drawing, loosening rows and columns while wires find no way or no label. `must`:
 * keeps it even when it does not fit. False when memory is out. */
static bool try_variant(bp_attempt *a, int scale, int variant, bool must) {
    for (int loose = 0; loose < LOOSENINGS; loose++) {
        bp_schematic s;
        bp_plan_options options = options_of(scale, variant, loose, a->lines);
        if (!draft(&s, a->circuit, a->measure, &options)) {
            clear(&s);
            return false;
        }
        bool fitting = fits(&s, a->width, a->max_height);
        if (!fitting && !(must && !a->have)) {
            clear(&s);
            return true;
        }
        if (!fitting)
            s.shrink = fmin(a->width / s.w, a->max_height / s.h);
        if (!bp_schematic_route(&s) || !bp_schematic_label(&s)) {
            clear(&s);
            return false;
        }
        if (!a->have || flaws(&s) < flaws(&a->best)) {
            if (a->have)
                clear(&a->best);
            a->best = s;
            a->have = true;
        } else {
            clear(&s);
        }
        if (flaws(&a->best) == 0)
            return true;
    }
    return true;
}

bp_schematic *bp_schematic_new(const bp_circuit *circuit, bp_canvas *measure, double width,
                               double max_height, int lines) {
    bp_attempt a = {circuit, measure, width, max_height, lines, {.shrink = 1}, false};
    bp_schematic *s = calloc(1, sizeof *s);
    bool ok = s != NULL;
    for (int scale = 0; ok && scale < N_SCALES; scale++)
        for (int variant = 0; ok && variant < VARIANTS; variant++) {
            if (a.have && flaws(&a.best) == 0)
                break;
            ok = try_variant(&a, scale, variant,
                             scale + 1 == N_SCALES && variant + 1 == VARIANTS);
        }
    if (!ok) {
        if (a.have)
            clear(&a.best);
        free(s);
        return NULL;
    }
    *s = a.best;
    s->plan.measure = NULL; /* lent only until here */
    return s;
}

bool bp_schematic_is_legible(const bp_schematic *s) { return s->shrink >= 1; }

void bp_schematic_free(bp_schematic **schematic) {
    if (*schematic)
        clear(*schematic);
    free(*schematic);
    *schematic = NULL;
}

bp_box bp_schematic_size(const bp_schematic *s) {
    return (bp_box){0, 0, s->w * s->shrink, s->h * s->shrink};
}

double bp_schematic_shrink(const bp_schematic *s) { return s->shrink; }
