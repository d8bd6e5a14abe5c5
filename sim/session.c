/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/session.h"

#include <malloc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <ngspice/sharedspice.h>

enum { COMMANDS_BETWEEN_SWEEPINGS = 200 };

struct bp_session {
    const bp_deck *deck;
    double *loaded;   /* values as the solver has them; NAN: not known */
    char (*name)[32]; /* of each node, as the solver's vectors are called */
    size_t site;      /* where the index source stands */
    size_t commands;  /* since the solver's memory of commands was swept */
    bool complained;  /* the solver's messages spoke of a failure since this was cleared */
    bool lost;
    char why[160];
};

/* What the solver says when it gives up. Notes about single attempts are not failures: the result
 * decides, so only the final words count. */
static int hear(char *text, int id, void *data) {
    (void)id;
    bp_session *s = data;
    if (strstr(text, "aborted") || strstr(text, "singular") || strstr(text, "fatal error")) {
        s->complained = true;
        snprintf(s->why, sizeof s->why, "the solver found no solution");
    }
    return 0;
}

static int hear_exit(int status, NG_BOOL now, NG_BOOL quit, int id, void *data) {
    (void)status, (void)now, (void)quit, (void)id;
    ((bp_session *)data)->lost = true;
    return 0;
}

/* The solver takes a fresh vector of thousands of places for each node in each run: without this
 * the C library hands them back to the system and fetches them again each time, which costs twenty
 * times the solving. */
static void keep_memory(void) {
    mallopt(M_TRIM_THRESHOLD, 1 << 30);
    mallopt(M_TOP_PAD, 16 << 20);
    mallopt(M_MMAP_THRESHOLD, 1 << 30);
}

bp_session *bp_session_new(void) {
    bp_session *s = calloc(1, sizeof *s);
    if (!s)
        return NULL;
    keep_memory();
    if (ngSpice_Init(hear, NULL, hear_exit, NULL, NULL, NULL, s) != 0 || s->lost)
        bp_session_free(&s);
    return s;
}

void bp_session_free(bp_session **session) {
    if (!session || !*session)
        return;
    free((*session)->loaded);
    free((*session)->name);
    free(*session);
    *session = NULL;
}

const char *bp_session_version(void) { return "ngspice-" NGSPICE_PACKAGE_VERSION; }

const char *bp_session_why(const bp_session *session) { return session->why; }

bool bp_session_lost(const bp_session *session) { return session->lost; }

static bool fail(bp_session *s, const char *why) {
    snprintf(s->why, sizeof s->why, "%s", why);
    return false;
}

static void command(bp_session *s, const char *text) {
    char buffer[128];
    snprintf(buffer, sizeof buffer, "%s", text);
    ngSpice_Command(buffer);
    if (++s->commands % COMMANDS_BETWEEN_SWEEPINGS == 0)
        ngSpice_Command(NULL);
}

/* Names of a circuit's elements and vectors. The sorts that have no value of their own have no
 * letter. */
char bp_element_letter(bp_element_sort sort) {
    static const char letters[] = {[BP_EL_RESISTOR] = 'r',
                                   [BP_EL_VOLTAGE] = 'v',
                                   [BP_EL_CURRENT] = 'i',
                                   [BP_EL_DIODE] = 'd',
                                   [BP_EL_LAW] = 'v'};
    return letters[sort];
}

/* No value that the solver would silently take for another one: R = 0 would become 1 mohm. */
static bool values_are_sane(bp_session *s, const bp_deck *deck, const double *values) {
    for (size_t i = 0; i < deck->n_values; i++) {
        const bp_element *e = &deck->element[deck->element_of[i]];
        if (!isfinite(values[i]) || (e->sort == BP_EL_RESISTOR && !(values[i] > 0))) {
            snprintf(s->why, sizeof s->why, "element %zu has a value that cannot be: %g",
                     deck->element_of[i], values[i]);
            return false;
        }
    }
    return true;
}

static bool make_names(bp_session *s, const bp_deck *deck) {
    free(s->loaded);
    free(s->name);
    s->loaded = calloc(deck->n_values + 1, sizeof *s->loaded);
    s->name = calloc(deck->n_nodes, sizeof *s->name);
    if (!s->loaded || !s->name)
        return fail(s, "out of memory");
    for (size_t i = 0; i < deck->n_nodes; i++)
        snprintf(s->name[i], sizeof s->name[i], "v(n%zu)", i);
    return true;
}

bool bp_session_load(bp_session *s, const bp_deck *deck, const double *values) {
    if (s->deck)
        command(s, "remcirc");
    s->deck = NULL;
    if (!values_are_sane(s, deck, values) || !make_names(s, deck))
        return false;
    char **lines = bp_deck_lines(deck, values);
    if (!lines)
        return fail(s, "out of memory");
    s->complained = false;
    s->why[0] = '\0';
    const int bad = ngSpice_Circ(lines);
    bp_deck_lines_free(&lines);
    if (bad || s->complained || s->lost)
        return fail(s, "the solver did not take the circuit");
    s->deck = deck;
    s->site = 0;
    memcpy(s->loaded, values, deck->n_values * sizeof *values);
    /* Stops the fall-back that runs a transient for a sixth of a second; it must follow each deck.
     */
    command(s, "optran 1 0 0 0 0 0");
    return true;
}

static void send_values(bp_session *s, const double *values) {
    const bp_deck *d = s->deck;
    char text[80];
    for (size_t i = 0; i < d->n_values; i++) {
        const bp_element *e = &d->element[d->element_of[i]];
        if (values[i] == s->loaded[i] || e->site)
            continue;
        snprintf(text, sizeof text, "alter %c%zu = %.17g", bp_element_letter(e->sort), i,
                 values[i]);
        command(s, text);
        s->loaded[i] = values[i];
    }
}

/* The site whose resistor is not open in `values`, 0: none. */
static size_t site_of(const bp_deck *d, const double *values) {
    for (size_t i = d->first_meter; d->n_sites && i < d->n_values; i++) {
        const bp_element *e = &d->element[d->element_of[i]];
        if (e->site && values[i] < BP_OPEN_OHM)
            return e->site;
    }
    return 0;
}

/* Copies `rows` solutions out of the solver. How many came back whole. */
static size_t fetch(bp_session *s, size_t rows, double *volts) {
    const size_t n = s->deck->n_nodes;
    for (size_t r = 0; r < rows; r++)
        volts[r * n] = 0;
    for (size_t i = 1; i < n; i++) {
        const pvector_info v = ngGet_Vec_Info(s->name[i]);
        if (!v || !v->v_realdata || v->v_length < 1)
            return 0;
        if ((size_t)v->v_length < rows)
            rows = (size_t)v->v_length;
        for (size_t r = 0; r < rows; r++) {
            const double volt = v->v_realdata[r];
            if (!(fabs(volt) <= BP_SANE_VOLTS))
                rows = r;
            else
                volts[r * n + i] = volt;
        }
    }
    return rows;
}

static bool begin(bp_session *s, const double *values) {
    s->complained = false;
    s->why[0] = '\0';
    if (s->lost)
        return fail(s, "the solver has ended");
    if (!s->deck)
        return fail(s, "no circuit is loaded");
    if (!values_are_sane(s, s->deck, values))
        return false;
    send_values(s, values);
    return true;
}

bool bp_session_solve(bp_session *s, const double *values, double *volts) {
    if (!begin(s, values))
        return false;
    const size_t site = site_of(s->deck, values);
    if (site != s->site) {
        char text[40];
        snprintf(text, sizeof text, "alter vx = %zu", site);
        command(s, text);
        s->site = site;
    }
    command(s, "op");
    const size_t rows = fetch(s, 1, volts);
    /* Old vectors would survive a later solve that fails. */
    command(s, "destroy all");
    if (s->complained || s->lost)
        return false;
    return rows == 1 || fail(s, "the solver returned no voltages");
}

/* Sites that the sweep lost, one by one. */
static bool solve_rest(bp_session *s, const double *values, size_t from, double *volts,
                       bool *done) {
    const bp_deck *d = s->deck;
    bool any = from > 0;
    double *one = malloc((d->n_values + 1) * sizeof *one);
    if (!one)
        return fail(s, "out of memory");
    for (size_t i = 0; i < d->n_values; i++)
        one[i] = d->element[d->element_of[i]].site ? BP_OPEN_OHM : values[i];
    for (size_t i = d->first_meter; i < d->n_values; i++) {
        const size_t site = d->element[d->element_of[i]].site;
        if (site <= from)
            continue;
        one[i] = d->site_ohm;
        done[site - 1] = bp_session_solve(s, one, &volts[(site - 1) * d->n_nodes]);
        any = any || done[site - 1];
        one[i] = BP_OPEN_OHM;
    }
    free(one);
    return any;
}

bool bp_session_sweep(bp_session *s, const double *values, double *volts, bool *done) {
    if (!begin(s, values))
        return false;
    const bp_deck *d = s->deck;
    char text[60];
    snprintf(text, sizeof text, "dc vx 1 %zu 1", d->n_sites);
    command(s, text);
    size_t rows = fetch(s, d->n_sites, volts);
    command(s, "destroy all");
    if (s->complained || s->lost)
        rows = 0;
    for (size_t i = 0; i < d->n_sites; i++)
        done[i] = i < rows;
    /* A step that fails drops all later ones. */
    return rows == d->n_sites || solve_rest(s, values, rows, volts, done);
}
