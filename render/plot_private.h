/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Inside of a plot, shared by the plot_*.c files only.
 */
#ifndef BP_RENDER_PLOT_PRIVATE_H
#define BP_RENDER_PLOT_PRIVATE_H

#include "render/curve.h"
#include "render/plot.h"

/* Something told about an instant or a stretch of time. */
typedef struct bp_mark {
    char words[96];   /* "A1: dwell" */
    char value[48];   /* "4.5 ms"; empty: there is none */
    char other[64];   /* "good 4.6 ms"; empty: the same, or nothing to compare with */
    double at, until; /* s */
    size_t trace;     /* on which it stands, or BP_SCOPE_NO_TRACE */
    double height;    /* where on that trace, in its unit */
    bool plain;       /* no more than an extreme: a place for it that is hard to follow is none */
} bp_mark;

enum { BP_PLOT_MOST_MARKS = 24 };
typedef struct bp_marks {
    bp_mark on_trace[BP_PLOT_MOST_MARKS]; /* points of a trace */
    size_t n_on_trace;
    bp_mark above[BP_PLOT_MOST_MARKS]; /* stretches, and instants that no trace shows */
    size_t n_above;
} bp_marks;

/* Chooses what is told, the trade's own features before plain extremes, nothing twice. */
void bp_marks_choose(const bp_plot_runs *runs, bp_marks *marks);
/* What is said of a whole trace: "frequency 50 Hz  ·  ..." */
void bp_marks_of_trace(const bp_plot_runs *runs, size_t trace, char *text, size_t size);

/* Traces that share an axis. */
typedef struct bp_panel {
    bp_unit unit;
    double low, high; /* of all of its traces in both runs; low > high: nothing can be drawn */
    size_t trace[BP_PLOT_MOST_TRACES];
    size_t n;
    bp_axis axis;
    double head, head_height; /* where its legend begins */
    bp_box room;              /* for the curves */
} bp_panel;

typedef struct bp_plot_plan {
    bp_canvas *canvas;
    bp_plot_runs runs;         /* as drawable: NULL where a run has no result */
    const bp_scope_run *shown; /* with the fault where there is one */
    bp_panel panel[BP_PLOT_MOST_TRACES];
    size_t n_panels;
    bp_axis time;
    bp_marks marks;
    size_t row[BP_PLOT_MOST_MARKS]; /* of marks.above; n_rows: no room */
    size_t n_rows;
    double left, right, strip; /* of the room across; top of the rows above the panels */
    bp_curve curve[BP_PLOT_MOST_TRACES][2]; /* [0] shown, [1] good behind it */
} bp_plot_plan;

void bp_panels_make(bp_plot_plan *plan);
/* May traces with these largest values share an axis, as far as their sizes go? */
bool bp_panel_holds(double a, double b);

/* The legend of a panel: lines and samples from its head down; draw = false only measures. */
double bp_legend(const bp_plot_plan *plan, const bp_panel *panel, bool draw);
/* Which line is the good circuit's. 0 high where there is one run only. */
double bp_plot_key(const bp_plot_plan *plan, double y, bool draw);

/* The rows above the panels: shared out, and drawn. */
void bp_strip_share(bp_plot_plan *plan);
void bp_strip_draw(const bp_plot_plan *plan);
#define BP_STRIP_ROW 12.5
/* Fine lines from the rows down through the panels. */
void bp_strip_hairlines(const bp_plot_plan *plan);

/* Names of points on the curves of a panel, each where nothing is in its way. */
void bp_labels_draw(const bp_plot_plan *plan, const bp_panel *panel);

/* Words, then the value in bold, then what it is in the good circuit, on one line. Returns the
 * width; draw = false only measures. */
double bp_mark_line(bp_canvas *canvas, double x, double y, const bp_mark *mark, bool draw);

double bp_plot_x(const bp_plot_plan *plan, double time);

#endif
