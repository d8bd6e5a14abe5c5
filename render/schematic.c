/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The largest scale at which the drawing fits, with every wire routed and named.
 */
#include <math.h>
#include <stdlib.h>

#include "render/schematic_private.h"

/* From roomy to tight: each scale as it is, then with names moved, lifted, and both; at last the
 * smallest scales again with flat tags. The first that fits without flaws is taken. */
static const double scales[] = {1.0, 0.88, 0.77, 0.68, 0.6, 0.53, 0.47};
enum { N_SCALES = sizeof scales / sizeof scales[0], VARIANTS = 4, LOOSENINGS = 5, MORE = 12 };
enum { N_PLAIN = N_SCALES * VARIANTS, N_FLAT = 2 * VARIANTS, N_WAYS = N_PLAIN + N_FLAT };

typedef struct bp_attempt {
    const bp_circuit *circuit;
    const bool *left_out; /* or NULL */
    bp_canvas *measure;
    double width, max_height;
    int lines;
    bool us_units;
    bp_recipe recipe;
    int *extra; /* by gap */
    size_t n_gaps;
    bp_schematic best;
    bool have;
} bp_attempt;

static bp_plan_options options_of(const bp_attempt *a, int way) {
    bool flat = way >= N_PLAIN;
    if (flat)
        way -= N_FLAT;
    double scale = scales[way / VARIANTS];
    return (bp_plan_options){.scale = scale,
                             .tags = {a->lines, scale < 0.75 ? 0.87 : 1, flat},
                             .width = a->width,
                             .recipe = &a->recipe,
                             .extra = a->extra,
                             .left_out = a->left_out,
                             .names_left = way & 1,
                             .lift = way & 2};
}

static void clear(bp_schematic *s) {
    bp_plan_free(&s->plan);
    bp_router_free(&s->router);
    free(s->labels);
    s->labels = NULL;
}

static bool draft(bp_schematic *s, const bp_attempt *a, int way) {
    bp_plan_options options = options_of(a, way);
    *s = (bp_schematic){.shrink = 1, .us_units = a->us_units};
    if (!bp_plan_make(&s->plan, a->circuit, a->measure, &options)) {
        clear(s);
        return false;
    }
    s->unit = BP_CELL * options.scale;
    s->w = s->plan.width * s->unit;
    s->h = s->plan.height_cells * s->unit;
    return true;
}

static bool fits(const bp_schematic *s, const bp_attempt *a) {
    return !s->plan.no_room && s->w <= a->width && s->h <= a->max_height;
}

static size_t flaws(const bp_schematic *s) { return 10 * s->lost + s->unlabelled; }

static void forget_recipe(bp_attempt *a) {
    free(a->recipe.mirror);
    free(a->recipe.order);
    free(a->extra);
    a->recipe = (bp_recipe){NULL, NULL};
    a->extra = NULL;
}

/* Mirrors and orders once, at a middling scale; all other plans follow it. */
static bool write_recipe(bp_attempt *a) {
    bp_schematic s;
    int middling = 2 * VARIANTS;
    forget_recipe(a);
    if (!draft(&s, a, middling))
        return false;
    a->recipe.mirror = s.plan.mirror;
    s.plan.mirror = NULL;
    clear(&s);
    if (!draft(&s, a, middling))
        return false;
    a->recipe.order = s.plan.order;
    s.plan.order = NULL;
    a->n_gaps = (size_t)s.plan.n_ranks + 1;
    a->extra = calloc(a->n_gaps, sizeof *a->extra);
    clear(&s);
    return a->extra != NULL;
}

/* Whether one way fits: 1 or 0; negative: memory is out. */
static int way_fits(const bp_attempt *a, int way) {
    bp_schematic s;
    if (!draft(&s, a, way))
        return -1;
    bool fitting = fits(&s, a);
    clear(&s);
    return fitting;
}

/* The first way that fits at a scale, or the one past its last. Negative: memory is out. */
static int first_at_scale(const bp_attempt *a, int scale) {
    static const int likely[VARIANTS] = {2, 3, 1, 0}; /* the lowest drawing first */
    int best = VARIANTS;
    for (int i = 0; i < VARIANTS; i++) {
        if (likely[i] > best)
            continue;
        int fit = way_fits(a, scale * VARIANTS + likely[i]);
        if (fit < 0)
            return -1;
        if (fit)
            best = likely[i];
    }
    return scale * VARIANTS + best;
}

/* The roomiest way that fits: smaller scales fit better, so halving finds it. N_PLAIN: none does.
 * Negative: memory is out. */
static int first_fit(const bp_attempt *a) {
    int low = 0, high = N_SCALES, best = N_PLAIN;
    while (low < high) {
        int scale = (low + high) / 2;
        int way = first_at_scale(a, scale);
        if (way < 0)
            return -1;
        if (way < (scale + 1) * VARIANTS) {
            best = way;
            high = scale;
        } else {
            low = scale + 1;
        }
    }
    return best;
}

static void keep_better(bp_attempt *a, bp_schematic *s) {
    bool better = !a->have || flaws(s) < flaws(&a->best) ||
                  (flaws(s) == flaws(&a->best) && s->shrink > a->best.shrink);
    if (!better) {
        clear(s);
        return;
    }
    if (a->have)
        clear(&a->best);
    a->best = *s;
    a->have = true;
}

/* More room in the gaps where a wire found no way or no place for its label. */
static void loosen(bp_attempt *a, const bp_schematic *s) {
    for (size_t i = 0; i < s->plan.n_nets; i++) {
        const int(*corner)[2];
        bool lost = bp_router_path(s->router, i, &corner) == 0;
        bool unlabelled = s->plan.nets[i].part != BP_NONE && s->labels[i].box.w <= 0;
        for (int end = 0; end < 2 && (lost || unlabelled); end++) {
            int gap = bp_plan_gap(&s->plan, &s->plan.nets[i].end[end], 0);
            if (gap >= 0 && (size_t)gap < a->n_gaps && (lost || end == 0))
                a->extra[gap]++;
        }
    }
}

/* One way of drawing, loosened while wires find no way or no label. `must`: keeps it even when it
 * does not fit. False when memory is out. */
static bool try_way(bp_attempt *a, int way, bool must) {
    for (size_t gap = 0; gap < a->n_gaps; gap++)
        a->extra[gap] = 0;
    for (int loose = 0; loose < (must ? MORE : LOOSENINGS); loose++) {
        bp_schematic s;
        if (!draft(&s, a, way))
            return false;
        bool fitting = fits(&s, a);
        if (s.plan.no_room || (!fitting && !must)) {
            clear(&s);
            return true;
        }
        if (!fitting)
            s.shrink = fmin(a->width / s.w, a->max_height / s.h);
        if (!bp_schematic_route(&s) || !bp_schematic_label(&s)) {
            clear(&s);
            return false;
        }
        if (flaws(&s) > 0)
            loosen(a, &s);
        keep_better(a, &s);
        if (flaws(&a->best) == 0)
            return true;
    }
    return true;
}

/* All ways from one on, until one is without flaws. */
static bool try_from(bp_attempt *a, int way) {
    for (; way < N_WAYS; way++) {
        if (a->have && flaws(&a->best) == 0)
            return true;
        if (!try_way(a, way, false))
            return false;
    }
    return true;
}

static bool try_all(bp_attempt *a) {
    if (!write_recipe(a))
        return false;
    int way = first_fit(a);
    if (way < 0 || !try_from(a, way))
        return false;
    /* Rather all shrunk a little than a wire without its name. */
    if (a->have && flaws(&a->best) == 0)
        return true;
    return try_way(a, N_WAYS - 2, true) && (a->have || try_way(a, N_WAYS - VARIANTS, true));
}

bp_schematic *bp_schematic_new(const bp_circuit *circuit, bp_canvas *measure, double width,
                               double max_height, int lines, bool us_units) {
    return bp_schematic_new_without(circuit, NULL, measure, width, max_height, lines, us_units);
}

bp_schematic *bp_schematic_new_without(const bp_circuit *circuit, const bool *left_out,
                                       bp_canvas *measure, double width, double max_height,
                                       int lines, bool us_units) {
    bp_attempt a = {.circuit = circuit,
                    .left_out = left_out,
                    .measure = measure,
                    .width = width,
                    .max_height = max_height,
                    .lines = lines,
                    .us_units = us_units};
    bp_schematic *s = calloc(1, sizeof *s);
    bool ok = s && try_all(&a);
    forget_recipe(&a);
    if (ok) {
        *s = a.best;
        s->plan.measure = NULL; /* lent only until here */
        s->plan.options.recipe = NULL;
        s->plan.options.extra = NULL;
        s->plan.options.left_out = NULL;
        return s;
    }
    if (a.have)
        clear(&a.best);
    free(s);
    return NULL;
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
