/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The largest scale at which the drawing fits, with every wire routed and named.
 */
#include <math.h>
#include <stdlib.h>

#include "render/schematic_private.h"

static const double scales[] = {1.0, 0.92, 0.85, 0.78, 0.72, 0.66, 0.6, 0.55};
enum { N_SCALES = sizeof scales / sizeof scales[0], LOOSENINGS = 3 };

static void clear(bp_schematic *s) {
    bp_plan_free(&s->plan);
    bp_router_free(&s->router);
    free(s->labels);
    s->labels = NULL;
}

static bool draft(bp_schematic *s, const bp_circuit *circuit, bp_canvas *measure, int lines,
                  double scale, double loose) {
    *s = (bp_schematic){.shrink = 1};
    if (!bp_plan_make(&s->plan, circuit, measure, scale, loose, lines))
        return false;
    s->unit = BP_CELL * scale;
    s->w = s->plan.width * s->unit;
    s->h = s->plan.height_cells * s->unit;
    return true;
}

static bool fits(const bp_schematic *s, double width, double max_height) {
    return s->w <= width && s->h <= max_height;
}

static size_t flaws(const bp_schematic *s) { return 10 * s->lost + s->unlabelled; }

/* Tries one scale, loosening rows and columns while wires find no way or no label. Keeps the best
 * in `best`; returns false when memory is out. */
static bool try_scale(bp_schematic *best, bool *have, const bp_circuit *circuit,
                      bp_canvas *measure, double width, double max_height, int lines,
                      double scale, bool must) {
    for (int loose = 0; loose < LOOSENINGS; loose++) {
        bp_schematic s;
        if (!draft(&s, circuit, measure, lines, scale, loose)) {
            clear(&s);
            return false;
        }
        bool fitting = fits(&s, width, max_height);
        if (!fitting && !(must && !*have)) {
            clear(&s);
            return true;
        }
        if (!fitting)
            s.shrink = fmin(width / s.w, max_height / s.h);
        if (!bp_schematic_route(&s) || !bp_schematic_label(&s)) {
            clear(&s);
            return false;
        }
        if (!*have || flaws(&s) < flaws(best)) {
            if (*have)
                clear(best);
            *best = s;
            *have = true;
        } else {
            clear(&s);
        }
        if (flaws(best) == 0)
            return true;
    }
    return true;
}

bp_schematic *bp_schematic_new(const bp_circuit *circuit, bp_canvas *measure, double width,
                               double max_height, int lines) {
    bp_schematic *s = calloc(1, sizeof *s);
    if (!s)
        return NULL;
    bool have = false;
    for (int i = 0; i < N_SCALES; i++) {
        if (!try_scale(s, &have, circuit, measure, width, max_height, lines, scales[i],
                       i + 1 == N_SCALES)) {
            if (have)
                clear(s);
            free(s);
            return NULL;
        }
        if (have && flaws(s) == 0)
            break;
    }
    s->plan.measure = NULL; /* lent only until here */
    return s;
}

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
