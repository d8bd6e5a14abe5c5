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
static void write_head(FILE *f, char letter, size_t number, const bp_element *e) {
    fprintf(f, "%c%zu ", letter, number);
    write_node(f, e->plus);
    write_node(f, e->minus);
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

/* The law's own expression with "#k" and "$k" replaced by node voltages. */
static void write_law(FILE *f, const bp_element *e) {
    for (const char *c = e->law->spice; *c; c++) {
        if (*c == '#')
            write_control(f, e->control[*++c - '0']);
        else if (*c == '$')
            fprintf(f, "v(p%zu)", e->first_value + (size_t)(*++c - '0'));
        else
            fputc(*c, f);
    }
}

/* A place of the meter: a resistor of its own, and beside it one of a bank of switches that put the
 * meter on all places at once. The bank's open switches must not count beside an open resistor. */
static void write_site(FILE *f, const bp_element *e, size_t i) {
    write_head(f, 's', i, e);
    fputs("y 0 ms", f);
}

static void write_element(writer *w, const bp_deck *d, size_t i, const double *values) {
    const bp_element *e = &d->element[i];
    const double *v = &values[e->first_value];
    line l = line_open();
    FILE *f = out(&l);
    if (!f) {
        w->failed = true;
        return;
    }
    if (e->sort == BP_EL_LAW) {
        write_head(f, 'b', i, e);
        fputs("i=", f);
        write_law(f, e);
        for (size_t k = 0; k < e->n_values; k++) {
            line_end(w, &l);
            if (out(&l))
                fprintf(out(&l), "v%zu p%zu 0 %.17g", e->first_value + k, e->first_value + k, v[k]);
        }
    } else if (e->sort == BP_EL_DIODE) {
        write_head(f, 'd', i, e);
        fprintf(f, "m%zu", i);
        line_end(w, &l);
        if (out(&l))
            fprintf(out(&l), ".model m%zu d(is=%.17g n=%.17g)", i, e->is, e->n);
    } else {
        if (e->site) {
            write_site(f, e, i);
            line_end(w, &l);
            if (!(f = out(&l))) {
                w->failed = true;
                return;
            }
        }
        write_head(f, bp_element_letter(e->sort), e->first_value, e);
        fprintf(f, "%.17g", v[0]);
    }
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

/* One endless run over a source that is connected to nothing: each step is a solution, and between
 * two steps values are altered. A solution costs a quarter of what a run of its own would. Nothing
 * is stored: solutions come by the callback. */
static void write_run(writer *w) {
    take(w, strdup("vx x 0 0"));
    take(w, strdup(".save none"));
    take(w, strdup(".dc vx 0 1e15 1"));
}

char **bp_deck_lines(const bp_deck *deck, const double *values) {
    writer w = {0};
    take(&w, strdup("backprobe"));
    for (size_t i = 0; i < deck->n_elements; i++)
        write_element(&w, deck, i, values);
    write_bank(&w, deck);
    write_run(&w);
    take(&w, strdup(".options " BP_SOLVER_OPTIONS));
    take(&w, strdup(".end"));
    if (w.failed)
        bp_deck_lines_free(&w.line);
    return w.line;
}

void bp_deck_lines_free(char ***lines) {
    if (!*lines)
        return;
    for (size_t i = 0; (*lines)[i]; i++)
        free((*lines)[i]);
    free(*lines);
    *lines = NULL;
}
