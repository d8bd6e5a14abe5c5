/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which traces share an axis, and the words at its head.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "render/plot_private.h"
#include "render/style.h"

/* A trace that would be lower than this part of its panel gets a panel of its own: battery volts
 * beside the kick of a coil. */
static const double least_share = 1 / 25.0;
static const double sample = 26, gap = 5, between = 16, line = 11.5;

/* Traces nearer to each other than this part of the axis look like one; those that do so for more
 * than this part of the time hide each other and get panels of their own. What is nearer to 0 is
 * at rest. */
static const double as_one = 0.02, much = 0.25, at_rest = 0.05;
enum { LOOKS = 400 };

/* With more traces on an axis, what is said of each stands in the tables only, and the page has no
 * room for panels that spare one another. */
enum { FEW = 5 };

/* Lowest and highest drawable value of a trace in a run. */
static void extremes(const bp_scope_run *run, size_t trace, double *low, double *high) {
    for (size_t i = 0; run && i < run->n; i++) {
        const double v = run->traces[trace].value[i];
        if (!(fabs(v) <= BP_AXIS_MOST))
            continue;
        *low = fmin(*low, v);
        *high = fmax(*high, v);
    }
}

static double largest(double low, double high) {
    return low > high ? 0 : fmax(fabs(low), fabs(high));
}

bool bp_panel_holds(double a, double b) { return fmin(a, b) >= least_share * fmax(a, b); }

static bool fits(const bp_panel *panel, bp_unit unit, double low, double high) {
    return panel->unit == unit &&
           bp_panel_holds(largest(low, high), largest(panel->low, panel->high));
}

/* Does one trace lie on the other for much of the time in which they are not both at rest? */
static bool lies_on(const bp_scope_run *run, size_t a, size_t b, double height) {
    const double apart = as_one * height;
    size_t on = 0, moving = 0;
    for (size_t i = 0; run && i <= LOOKS; i++) {
        const double time = run->from + (run->to - run->from) * (double)i / LOOKS;
        const double va = bp_scope_value(run, a, time), vb = bp_scope_value(run, b, time);
        const bool moves = fabs(va) > at_rest * height || fabs(vb) > at_rest * height;
        moving += moves;
        on += moves && fabs(va - vb) <= apart;
    }
    return (double)on > much * (double)moving;
}

static bool hides(const bp_plot_plan *plan, const bp_panel *panel, size_t trace, double low,
                  double high) {
    const double height = fmax(largest(low, high), largest(panel->low, panel->high));
    for (size_t i = 0; i < panel->n && plan->shown->n_traces <= FEW; i++)
        if (lies_on(plan->runs.good, panel->trace[i], trace, height) ||
            lies_on(plan->runs.fault, panel->trace[i], trace, height))
            return true;
    return false;
}

void bp_panels_make(bp_plot_plan *plan) {
    for (size_t t = 0; t < plan->shown->n_traces; t++) {
        const bp_unit unit = plan->shown->traces[t].unit;
        double low = INFINITY, high = -INFINITY;
        extremes(plan->runs.good, t, &low, &high);
        extremes(plan->runs.fault, t, &low, &high);
        size_t p = 0;
        while (p < plan->n_panels && (!fits(&plan->panel[p], unit, low, high) ||
                                      hides(plan, &plan->panel[p], t, low, high)))
            p++;
        bp_panel *panel = &plan->panel[p];
        if (p == plan->n_panels) {
            *panel = (bp_panel){.unit = unit, .low = INFINITY, .high = -INFINITY};
            plan->n_panels++;
        }
        panel->low = fmin(panel->low, low);
        panel->high = fmax(panel->high, high);
        panel->trace[panel->n++] = t;
    }
}

/* One entry of a legend at x, y; quiet words follow where they are not empty. */
static double entry(const bp_plot_plan *plan, double x, double y, size_t style, bool behind,
                    const char *name, bool draw) {
    const bp_box size = bp_text_size(plan->canvas, name, &bp_font_strong, 0);
    if (draw) {
        bp_curve_sample(plan->canvas, x, y + size.h / 2, sample, style, behind);
        bp_text(plan->canvas, x + sample + gap, y, name, &bp_font_strong, BP_LEFT, 0);
    }
    return sample + gap + size.w;
}

/* Entries one behind the other, wrapped at the room's right edge; quiet words on the entry's own
 * line or on one below it. */
double bp_legend(const bp_plot_plan *plan, const bp_panel *panel, bool draw) {
    double x = plan->left, y = panel->head;
    const double rise = (bp_font_strong.size - bp_font_small.size) * 0.94; /* one base line */
    for (size_t i = 0; i < panel->n; i++) {
        const size_t t = panel->trace[i];
        char words[300] = "";
        if (panel->n <= FEW)
            bp_marks_of_trace(&plan->runs, t, words, sizeof words);
        const char *name = plan->shown->traces[t].name;
        const double width = entry(plan, x, y, i, false, name, false);
        const double said =
            words[0] ? gap + bp_text_size(plan->canvas, words, &bp_font_small, 0).w : 0;
        if (x > plan->left && x + width + said > plan->right) {
            x = plan->left;
            y += line;
        }
        x += entry(plan, x, y, i, false, name, draw) + between;
        if (!words[0])
            continue;
        const bp_box quiet = bp_text_size(plan->canvas, words, &bp_font_small, 0);
        if (x - between + gap + quiet.w > plan->right) {
            x = plan->left + sample + gap + between;
            y += line;
        }
        x += gap - between;
        if (draw)
            bp_text(plan->canvas, x, y + rise, words, &bp_font_small, BP_LEFT, plan->right - x);
        y += bp_text_size(plan->canvas, words, &bp_font_small, plan->right - x).h - quiet.h;
        x += quiet.w + between;
    }
    return y + line - panel->head;
}

double bp_plot_key(const bp_plot_plan *plan, double y, bool draw) {
    if (!plan->runs.good || !plan->runs.fault)
        return 0;
    double x = plan->left;
    x += entry(plan, x, y, 0, true, "good circuit", draw) + between;
    entry(plan, x, y, 0, false, "with this fault", draw);
    return line + 3;
}
