/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Shares out the rectangle and draws the axes.
 */
#include "render/plot.h"

#include <math.h>
#include <stdlib.h>
#include <stdio.h>

#include "render/plot_private.h"
#include "render/style.h"

static const double least_panel = 62; /* height of a panel's room */
static const double panel_gap = 9, head_gap = 5, right_margin = 12, axis_gap = 7;
static const double time_height = 25; /* ticks, figures and title of the axis of time */
static const double value_room = 21, time_room = 40; /* for each tick */
static const double most_values = 9;                 /* ticks: more are a grid, not an axis */

const bp_scope_run *bp_plot_drawable(const bp_scope_run *run) {
    return run && !run->why && run->n > 1 && run->n_traces > 0 ? run : NULL;
}

double bp_plot_x(const bp_plot_plan *plan, double time) {
    return plan->left + (plan->right - plan->left) * bp_axis_share(&plan->time, time);
}

/* Width of the figures of the panels' axes; their ticks depend on the height, so a little more
 * digits may come: the widest of many. */
static double figures_width(bp_plot_plan *plan) {
    double width = 0;
    for (size_t p = 0; p < plan->n_panels; p++) {
        const bp_panel *panel = &plan->panel[p];
        for (size_t most = 3; most <= 12; most += 3) {
            const bp_axis axis = bp_axis_of_values(panel->low, panel->high, panel->unit, most);
            for (size_t i = 0; i < axis.n; i += axis.n - 1) {
                char text[40];
                bp_axis_text(&axis, i, text, sizeof text);
                width = fmax(width, bp_text_size(plan->canvas, text, &bp_font_cell_quiet, 0).w);
            }
        }
    }
    return width;
}

static void share_width(bp_plot_plan *plan, double x, double width) {
    plan->left = x + fmax(figures_width(plan), 14) + axis_gap;
    plan->right = x + width - right_margin;
    plan->time = bp_axis_of_window(plan->shown->from, plan->shown->to,
                                   (size_t)fmax((plan->right - plan->left) / time_room, 2));
}

/* Height of all that is no panel's room. */
static double share_heads(bp_plot_plan *plan) {
    double all = bp_plot_key(plan, 0, false) + BP_STRIP_ROW * (double)plan->n_rows + time_height +
                 (plan->n_rows ? 3 : 0) + panel_gap * (double)(plan->n_panels - 1);
    for (size_t p = 0; p < plan->n_panels; p++) {
        bp_panel *panel = &plan->panel[p];
        panel->head_height = bp_legend(plan, panel, false) + head_gap;
        all += panel->head_height;
    }
    return all;
}

static bp_plot_plan *plan_new(bp_canvas *canvas, double x, double width, const bp_plot_runs *runs) {
    bp_plot_plan *plan = calloc(1, sizeof *plan);
    if (!plan)
        return NULL;
    plan->canvas = canvas;
    plan->runs = (bp_plot_runs){bp_plot_drawable(runs->good), bp_plot_drawable(runs->fault)};
    plan->shown = plan->runs.fault ? plan->runs.fault : plan->runs.good;
    bp_panels_make(plan);
    share_width(plan, x, width);
    bp_marks_choose(&plan->runs, &plan->marks);
    bp_strip_share(plan);
    return plan;
}

static void plan_free(bp_plot_plan *plan) {
    for (size_t t = 0; plan && t < BP_PLOT_MOST_TRACES; t++)
        for (size_t k = 0; k < 2; k++)
            bp_curve_clear(&plan->curve[t][k]);
    free(plan);
}

static void share_height(bp_plot_plan *plan, double y, double height) {
    const double room = (height - share_heads(plan)) / (double)plan->n_panels;
    y += bp_plot_key(plan, 0, false);
    plan->strip = y;
    y += BP_STRIP_ROW * (double)plan->n_rows + (plan->n_rows ? 3 : 0);
    for (size_t p = 0; p < plan->n_panels; p++) {
        bp_panel *panel = &plan->panel[p];
        panel->head = y;
        y += panel->head_height;
        panel->room = (bp_box){plan->left, y, plan->right - plan->left, room};
        panel->axis = bp_axis_of_values(panel->low, panel->high, panel->unit,
                                        (size_t)fmin(fmax(room / value_room, 3), most_values));
        y += room + panel_gap;
    }
}

static bool make_curves(bp_plot_plan *plan) {
    const bp_scope_run *runs[] = {plan->shown, plan->runs.fault ? plan->runs.good : NULL};
    bool good = true;
    for (size_t p = 0; p < plan->n_panels; p++)
        for (size_t i = 0; i < plan->panel[p].n; i++)
            for (size_t k = 0; k < 2 && runs[k]; k++) {
                const size_t t = plan->panel[p].trace[i];
                good = good && bp_curve_make(&plan->curve[t][k], runs[k]->time,
                                             runs[k]->traces[t].value, runs[k]->n, &plan->time,
                                             &plan->panel[p].axis, plan->panel[p].room);
            }
    return good;
}

/* Hairlines at round values, the line of 0 a little stronger, figures on the left. */
static void draw_value_axis(const bp_plot_plan *plan, const bp_panel *panel) {
    bp_canvas *canvas = plan->canvas;
    const bp_box room = panel->room;
    const double half = bp_text_size(canvas, "0", &bp_font_cell_quiet, 0).h / 2;
    for (size_t i = 0; i < panel->axis.n; i++) {
        char text[40];
        const double value = bp_axis_tick(&panel->axis, i);
        const double y = room.y + room.h * (1 - bp_axis_share(&panel->axis, value));
        const bool zero = fabs(value) < panel->axis.step / 2;
        bp_line(canvas, room.x, y, room.x + room.w, y, zero ? 0.7 : 0.4,
                zero ? BP_GREY_TEXT : BP_GREY_RULE);
        bp_axis_text(&panel->axis, i, text, sizeof text);
        bp_text(canvas, room.x - axis_gap + 2, y - half, text, &bp_font_cell_quiet, BP_RIGHT, 0);
    }
    bp_line(canvas, room.x, room.y, room.x, room.y + room.h, 0.8, BP_INK_BLACK);
    bp_text(canvas, room.x - axis_gap + 2, panel->head, panel->axis.unit, &bp_font_strong, BP_RIGHT,
            0);
}

static void draw_time_ticks(const bp_plot_plan *plan, const bp_panel *panel) {
    const double low = panel->room.y + panel->room.h;
    bp_line(plan->canvas, plan->left, low, plan->right, low, 0.8, BP_INK_BLACK);
    for (size_t i = 0; i < plan->time.n; i++) {
        const double x = bp_plot_x(plan, bp_axis_tick(&plan->time, i));
        bp_line(plan->canvas, x, low, x, low + 3, 0.8, BP_INK_BLACK);
    }
}

static void draw_time_axis(const bp_plot_plan *plan) {
    bp_canvas *canvas = plan->canvas;
    const bp_panel *last = &plan->panel[plan->n_panels - 1];
    const double y = last->room.y + last->room.h + 4;
    char text[160];
    for (size_t i = 0; i < plan->time.n; i++) {
        bp_axis_text(&plan->time, i, text, sizeof text);
        bp_text(canvas, bp_plot_x(plan, bp_axis_tick(&plan->time, i)), y, text, &bp_font_cell_quiet,
                BP_CENTRE, 0);
    }
    const double below = y + bp_text_size(canvas, "0", &bp_font_cell_quiet, 0).h + 1;
    snprintf(text, sizeof text, "time in %s", plan->time.unit);
    bp_box name = bp_text(canvas, plan->right, below, text, &bp_font_strong, BP_RIGHT, 0);
    snprintf(text, sizeof text, "0 is the instant at which the state %s begins",
             plan->shown->state);
    bp_text(canvas, plan->left, below + (bp_font_strong.size - bp_font_small.size) * 0.94, text,
            &bp_font_small, BP_LEFT, name.x - plan->left - 12);
}

static void draw_panel(const bp_plot_plan *plan, const bp_panel *panel) {
    bp_canvas *canvas = plan->canvas;
    for (size_t k = 2; k-- > 0;)
        for (size_t i = panel->n; i-- > 0;) {
            const bp_curve *curve = &plan->curve[panel->trace[i]][k];
            bp_curve_draw(canvas, curve, i, k == 1);
            bp_curve_note(canvas, curve, plan->shown->traces[panel->trace[i]].name);
        }
    bp_legend(plan, panel, true);
    bp_labels_draw(plan, panel);
}

bp_status bp_plot_least(bp_canvas *canvas, double width, const bp_plot_runs *runs, double *height) {
    bp_plot_plan *plan = plan_new(canvas, 0, width, runs);
    if (!plan)
        return BP_ERR_MEMORY;
    *height = share_heads(plan) + least_panel * (double)plan->n_panels;
    plan_free(plan);
    return BP_OK;
}

bp_status bp_plot_draw(bp_canvas *canvas, bp_box box, const bp_plot_runs *runs) {
    bp_plot_plan *plan = plan_new(canvas, box.x, box.w, runs);
    bool good = plan != NULL;
    if (good) {
        share_height(plan, box.y, box.h);
        good = make_curves(plan);
    }
    if (good) {
        for (size_t p = 0; p < plan->n_panels; p++) {
            draw_value_axis(plan, &plan->panel[p]);
            draw_time_ticks(plan, &plan->panel[p]);
        }
        bp_strip_hairlines(plan);
        for (size_t p = 0; p < plan->n_panels; p++)
            draw_panel(plan, &plan->panel[p]);
        bp_plot_key(plan, box.y, true);
        bp_strip_draw(plan);
        draw_time_axis(plan);
    }
    plan_free(plan);
    return good ? BP_OK : BP_ERR_MEMORY;
}
