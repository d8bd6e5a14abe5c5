/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The deck as the solver reads it. Every character comes from this file, from a law of a model or
 * from a number: nothing that somebody wrote into a circuit file gets here.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sim/build.h"
#include "sim/session.h"

typedef struct writer {
    char **line;
    size_t n, room;
    bool failed;
} writer;

/* Appends a line and takes ownership of it; NULL counts as memory that ran out. */
static void take(writer *w, char *line) {
    if (w->n + 1 >= w->room) {
        const size_t room = w->room ? 2 * w->room : 256;
        char **more = realloc(w->line, room * sizeof *more);
        if (more)
            w->line = more, w->room = room;
    }
    if (!line || w->n + 1 >= w->room) {
        free(line);
        w->failed = true;
        return;
    }
    w->line[w->n++] = line;
    w->line[w->n] = NULL;
}

/* One line into a growing text, so that no length is ever guessed. */
typedef struct line {
    FILE *file;
    char *text;
    size_t size;
} line;

static line line_open(void) {
    line l = {0};
    return l;
}

static FILE *out(line *l) {
    if (!l->file)
        l->file = open_memstream(&l->text, &l->size);
    return l->file;
}

static void line_end(writer *w, line *l) {
    if (!l->file || fclose(l->file) != 0) {
        free(l->text);
        l->text = NULL;
    }
    take(w, l->text);
    *l = line_open();
}

/* Node 0 is the solver's ground, whose name must be 0. */
static void write_node(FILE *f, size_t node) {
    if (node == 0)
        fputs("0 ", f);
    else
        fprintf(f, "n%zu ", node);
}

/* The start of an element's line: its name and nodes. */
static void write_ends(FILE *f, size_t number, const bp_element *e) {
    fprintf(f, "%zu ", number);
    write_node(f, e->plus);
    write_node(f, e->minus);
}

static void write_head(FILE *f, char letter, size_t number, const bp_element *e) {
    fputc(letter, f);
    write_ends(f, number, e);
}

/* Voltage between two nodes in the solver's expression language. */
static void write_control(FILE *f, const size_t pair[2]) {
    if (pair[0] == 0 && pair[1] == 0)
        fputs("0", f);
    else if (pair[1] == 0)
        fprintf(f, "v(n%zu)", pair[0]);
    else if (pair[0] == 0)
        fprintf(f, "(-v(n%zu))", pair[1]);
    else
        fprintf(f, "(v(n%zu)-v(n%zu))", pair[0], pair[1]);
}

static bool is_live(const bp_deck *d, size_t value) { return d->live && d->live[value]; }

/* A value that is steered: alone on its node, so that nothing but the source decides it. In a run
 * over time the source asks for it while the solver runs; it must then say nothing else. */
static void write_steered(FILE *f, const bp_deck *d, size_t value, double now) {
    fprintf(f, "v%zu p%zu 0 ", value, value);
    if (is_live(d, value))
        fputs("external", f);
    else
        fprintf(f, "%.17g", now);
}

/* The law's own expression with "#k" and "$k" replaced by node voltages; in a run over time a
 * parameter that nothing changes is a number. */
static void write_law(FILE *f, const bp_deck *d, const bp_element *e, const double *v) {
    for (const char *c = e->law->spice; *c; c++) {
        if (*c == '#')
            write_control(f, e->control[*++c - '0']);
        else if (*c == '$') {
            const size_t k = (size_t)(*++c - '0');
            if (d->plan.in_time && !is_live(d, e->first_value + k))
                fprintf(f, "(%.17g)", v[k]);
            else
                fprintf(f, "v(p%zu)", e->first_value + k);
        } else
            fputc(*c, f);
    }
}

/* A place of the meter: a resistor of its own, and beside it one of a bank of switches that put the
 * meter on all places at once. The bank's open switches must not count beside an open resistor. */
static void write_site(FILE *f, const bp_element *e, size_t i) {
    write_head(f, 's', i, e);
    fputs("y 0 ms", f);
}

static void write_law_element(writer *w, const bp_deck *d, size_t i, const double *v, line *l) {
    const bp_element *e = &d->element[i];
    write_head(out(l), 'b', i, e);
    fputs("i=", out(l));
    write_law(out(l), d, e, v);
    for (size_t k = 0; k < e->n_values; k++) {
        if (d->plan.in_time && !is_live(d, e->first_value + k))
            continue;
        line_end(w, l);
        if (out(l))
            write_steered(out(l), d, e->first_value + k, v[k]);
    }
}

static void write_diode(writer *w, size_t i, const bp_element *e, line *l) {
    write_head(out(l), 'd', i, e);
    fprintf(out(l), "m%zu", i);
    line_end(w, l);
    if (out(l))
        fprintf(out(l), ".model m%zu d(is=%.17g n=%.17g)", i, e->is, e->n);
}

/* A resistor that is steered while the solver runs is the conductance of a law. */
static void write_live(writer *w, const bp_deck *d, const bp_element *e, double now, line *l) {
    if (e->sort != BP_EL_RESISTOR) {
        write_head(out(l), bp_element_letter(e->sort), e->first_value, e);
        fputs("external", out(l));
        return;
    }
    const size_t ends[2] = {e->plus, e->minus};
    fputs("br", out(l)); /* laws are called b and their own number */
    write_ends(out(l), e->first_value, e);
    fputs("i=", out(l));
    write_control(out(l), ends);
    fprintf(out(l), "*v(p%zu)", e->first_value);
    line_end(w, l);
    if (out(l))
        write_steered(out(l), d, e->first_value, now);
}

static void write_coupling(FILE *f, const bp_deck *d, const bp_element *e, double k) {
    fprintf(f, "k%zu l%zu l%zu %.17g", e->first_value, d->element[e->plus].first_value,
            d->element[e->minus].first_value, k);
}

static void write_plain(writer *w, const bp_element *e, size_t i, double now, line *l) {
    if (e->site) {
        write_site(out(l), e, i);
        line_end(w, l);
        if (!out(l))
            return;
    }
    write_head(out(l), bp_element_letter(e->sort), e->first_value, e);
    fprintf(out(l), "%.17g", now);
}

/* What stays open in a run over time is left out: it would only cost time. */
static bool stays_open(const bp_deck *d, const bp_element *e, const double *v) {
    return d->plan.in_time && e->sort == BP_EL_RESISTOR && v[0] >= BP_OPEN_OHM &&
           !is_live(d, e->first_value);
}

static void write_element(writer *w, const bp_deck *d, size_t i, const double *values) {
    const bp_element *e = &d->element[i];
    const double *v = &values[e->first_value];
    line l = line_open();
    if (stays_open(d, e, v))
        return;
    if (!out(&l)) {
        w->failed = true;
        return;
    }
    if (e->sort == BP_EL_LAW)
        write_law_element(w, d, i, v, &l);
    else if (e->sort == BP_EL_DIODE)
        write_diode(w, i, e, &l);
    else if (e->sort == BP_EL_COUPLING)
        write_coupling(out(&l), d, e, v[0]);
    else if (is_live(d, e->first_value))
        write_live(w, d, e, v[0], &l);
    else
        write_plain(w, e, i, v[0], &l);
    line_end(w, &l);
}

/* What switches the bank: node y, 0 or 1 V. */
static void write_bank(writer *w, const bp_deck *d) {
    if (d->n_sites == 0)
        return;
    line l = line_open();
    if (out(&l))
        fprintf(out(&l), ".model ms sw(vt=0.5 vh=0 ron=%.17g roff=%.17g)", d->site_ohm,
                1e4 * BP_OPEN_OHM);
    line_end(w, &l);
    take(w, strdup("vy y 0 0"));
}

/* From the post of a battery that is off to node 0, for bp_session_solve. */
static void write_tie(writer *w, const bp_deck *d) {
    const size_t post = bp_deck_post_afloat(d);
    line l = line_open();
    if (post == 0)
        return;
    if (out(&l))
        fprintf(out(&l), "rtie n%zu 0 %.17g", post, BP_OPEN_OHM);
    line_end(w, &l);
}

/* One endless run over a source that is connected to nothing: each step is a solution, and between
 * two steps values are altered. A solution costs a quarter of what a run of its own would. Nothing
 * is stored: solutions come by the callback. */
static void write_steps(writer *w) {
    take(w, strdup("vx x 0 0"));
    take(w, strdup(".save none"));
    take(w, strdup(".dc vx 0 1e15 1"));
}

/* One run over time. Each step that the solver may take is a share of the tolerance wide that the
 * fineness leaves: the error of a step goes with its third power. */
static void write_run(writer *w, const bp_extent *run) {
    line l = line_open();
    take(w, strdup(".save none"));
    if (out(&l))
        fprintf(out(&l), ".tran %.17g %.17g 0 %.17g", run->longest / run->fineness, run->seconds,
                run->longest / run->fineness);
    line_end(w, &l);
    if (out(&l))
        fprintf(out(&l), ".options " BP_RUN_OPTIONS " trtol=%.17g",
                BP_RUN_TRTOL / (run->fineness * run->fineness * run->fineness));
    line_end(w, &l);
}

static char **lines_of(const bp_deck *deck, const double *values, const bp_extent *run) {
    writer w = {0};
    take(&w, strdup("backprobe"));
    for (size_t i = 0; i < deck->n_elements; i++)
        write_element(&w, deck, i, values);
    if (run) {
        write_run(&w, run);
    } else {
        write_bank(&w, deck);
        write_tie(&w, deck);
        write_steps(&w);
        take(&w, strdup(".options " BP_SOLVER_OPTIONS));
    }
    take(&w, strdup(".end"));
    if (w.failed)
        bp_deck_lines_free(&w.line);
    return w.line;
}

char **bp_deck_lines(const bp_deck *deck, const double *values) {
    return lines_of(deck, values, NULL);
}

char **bp_deck_lines_in_time(const bp_deck *deck, const double *values, const bp_extent *run) {
    return lines_of(deck, values, run);
}

void bp_deck_lines_free(char ***lines) {
    if (!*lines)
        return;
    for (size_t i = 0; (*lines)[i]; i++)
        free((*lines)[i]);
    free(*lines);
    *lines = NULL;
}
