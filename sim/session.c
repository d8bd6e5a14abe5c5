/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/session.h"

#include <malloc.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <ngspice/sharedspice.h>

#include "sim/islands.h"

enum { COMMANDS_BETWEEN_SWEEPINGS = 200 };

struct bp_session {
    const bp_deck *deck;
    double *loaded; /* values as the solver has them */
    size_t *node;   /* by vector of the solver's plot: the deck node, BP_NONE: something else */
    size_t n_vectors;
    bool named;      /* node is that of the loaded deck */
    double *volts;   /* where the callback puts the next solution */
    size_t arrived;  /* solutions since this was cleared */
    bool sane;       /* the last one had only voltages that can be */
    bool all_sites;  /* the bank of switches is closed */
    size_t tied;     /* node of a post that is tied to node 0, 0: none */
    size_t commands; /* since the solver's memory of commands was swept */
    bp_islands islands;
    bool complained; /* the solver's messages spoke of a failure since this was cleared */
    bool lost;
    char why[160];
    const bp_watch *watch; /* of the run over time that is going on, else NULL */
    size_t time_vector;    /* its place among the plot's vectors */
    double reached;        /* s, of the last step that was accepted */
    bool stopped;          /* nobody wants more of this run */
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

/* The plot's vectors, in the order in which every solution will bring them: "n12" is deck node 12.
 */
static int hear_names(pvecinfoall all, int id, void *data) {
    (void)id;
    bp_session *s = data;
    const size_t n = all->veccount > 0 ? (size_t)all->veccount : 0;
    if (s->named && n == s->n_vectors)
        return 0; /* every step says them again */
    size_t *node = realloc(s->node, (n + 1) * sizeof *node);
    s->n_vectors = 0;
    if (!node)
        return 0;
    s->node = node;
    s->n_vectors = n;
    for (size_t i = 0; i < n; i++) {
        const char *name = all->vecs[i]->vecname;
        char *end = NULL;
        node[i] = name[0] == 'n' ? strtoul(name + 1, &end, 10) : BP_NONE;
        if (end && *end)
            node[i] = BP_NONE;
        if (strcmp(name, "time") == 0)
            s->time_vector = i;
    }
    s->named = true;
    return 0;
}

static void take_point(bp_session *s, pvecvaluesall all) {
    if (s->stopped || !s->sane || s->time_vector >= s->n_vectors) {
        s->stopped = true;
        return;
    }
    s->reached = all->vecsa[s->time_vector]->creal;
    s->volts[0] = 0;
    s->stopped = !s->watch->point(s->watch->data, s->reached, s->volts);
}

static int hear_solution(pvecvaluesall all, int n, int id, void *data) {
    (void)n, (void)id;
    bp_session *s = data;
    s->arrived++;
    s->sane = all->veccount == (int)s->n_vectors && s->deck;
    for (size_t i = 0; s->sane && i < s->n_vectors; i++) {
        if (s->node[i] >= s->deck->n_nodes)
            continue;
        const double volt = all->vecsa[i]->creal;
        s->sane = fabs(volt) <= BP_SANE_VOLTS;
        s->volts[s->node[i]] = volt;
    }
    if (s->watch)
        take_point(s, all);
    return 0;
}

/* The solver asks for a live value by the name of its source, "v12"; a run that nobody wants gets
 * what no step can follow. */
static int give_source(double *value, double time, char *name, int id, void *data) {
    (void)id;
    const bp_session *s = data;
    *value = s->watch && !s->stopped
                 ? s->watch->source(s->watch->data, strtoul(name + 1, NULL, 10), time)
                 : NAN;
    return 0;
}

/* Before a step (location 0) the solver tells how far it would go. */
static int give_step(double time, double *delta, double before, int redo, int id, int location,
                     void *data) {
    (void)before, (void)redo, (void)id;
    const bp_session *s = data;
    if (location == 0 && s->watch && !s->stopped)
        *delta = s->watch->step(s->watch->data, time, *delta);
    return 0;
}

/* The solver takes and returns memory all the time: without this the C library hands it back to the
 * system and fetches it again each time, which costs more than the solving. */
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
    int number = 0;
    if (ngSpice_Init(hear, NULL, hear_exit, hear_solution, hear_names, NULL, s) != 0 || s->lost ||
        ngSpice_Init_Sync(give_source, give_source, give_step, &number, s) != 0)
        bp_session_free(&s);
    return s;
}

void bp_session_free(bp_session **session) {
    if (!session || !*session)
        return;
    free((*session)->loaded);
    free((*session)->node);
    free((*session)->volts);
    bp_islands_clear(&(*session)->islands);
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
    static const char letters[] = {
        [BP_EL_RESISTOR] = 'r',  [BP_EL_VOLTAGE] = 'v', [BP_EL_CURRENT] = 'i',
        [BP_EL_DIODE] = 'd',     [BP_EL_LAW] = 'v',     [BP_EL_INDUCTOR] = 'l',
        [BP_EL_CAPACITOR] = 'c', [BP_EL_COUPLING] = 'k'};
    return letters[sort];
}

/* No value that the solver would silently take for another one: R = 0 would become 1 mohm. */
static bool values_are_sane(bp_session *s, const bp_deck *deck, const double *values) {
    for (size_t i = 0; i < deck->n_values; i++) {
        const bp_element *e = &deck->element[deck->element_of[i]];
        const bool positive = e->sort == BP_EL_RESISTOR || e->sort == BP_EL_INDUCTOR ||
                              e->sort == BP_EL_CAPACITOR || e->sort == BP_EL_COUPLING;
        if (!isfinite(values[i]) || (positive && !(values[i] > 0))) {
            snprintf(s->why, sizeof s->why, "element %zu has a value that cannot be: %g",
                     deck->element_of[i], values[i]);
            return false;
        }
    }
    return true;
}

static bool make_room(bp_session *s, const bp_deck *deck) {
    free(s->loaded);
    free(s->volts);
    s->loaded = calloc(deck->n_values + 1, sizeof *s->loaded);
    s->volts = calloc(deck->n_nodes, sizeof *s->volts);
    return (s->loaded && s->volts && bp_islands_init(&s->islands, deck)) ||
           fail(s, "out of memory");
}

/* Puts lines in place of what was loaded, and frees them. */
static bool take_lines(bp_session *s, char **lines) {
    if (!lines)
        return fail(s, "out of memory");
    s->complained = false;
    s->why[0] = '\0';
    const int bad = ngSpice_Circ(lines);
    bp_deck_lines_free(&lines);
    return !(bad || s->complained || s->lost) || fail(s, "the solver did not take the circuit");
}

static void unload(bp_session *s) {
    if (s->deck) {
        command(s, "remcirc");
        command(s, "destroy all");
    }
    s->deck = NULL;
    s->named = false;
}

bool bp_session_load(bp_session *s, const bp_deck *deck, const double *values) {
    unload(s);
    if (!values_are_sane(s, deck, values) || !make_room(s, deck) ||
        !take_lines(s, bp_deck_lines(deck, values)))
        return false;
    s->deck = deck;
    s->all_sites = false;
    s->tied = 0;
    memcpy(s->loaded, values, deck->n_values * sizeof *values);
    /* Stops the fall-back that runs a transient for a sixth of a second; it must follow each deck.
     */
    command(s, "optran 1 0 0 0 0 0");
    return true;
}

static bool fail_at(bp_session *s, double seconds) {
    snprintf(s->why, sizeof s->why,
             "the run over time came to no end: after %.6g s the solver's steps became too small",
             seconds);
    return false;
}

bool bp_session_run(bp_session *s, const bp_deck *deck, const double *values, const bp_extent *run,
                    const bp_watch *watch) {
    unload(s);
    if (!values_are_sane(s, deck, values) || !make_room(s, deck) ||
        !take_lines(s, bp_deck_lines_in_time(deck, values, run)))
        return false;
    s->deck = deck;
    s->watch = watch;
    s->reached = 0;
    s->stopped = false;
    s->time_vector = BP_NONE;
    /* The operating point may be hard to find, so stepping is allowed, but no transient of its own.
     */
    command(s, "optran 1 1 1 0 0 0");
    command(s, "run");
    s->watch = NULL;
    unload(s);
    if (s->lost)
        return fail(s, "the solver has ended");
    if (s->stopped)
        return s->why[0] ? false : fail(s, "the solver returned voltages that cannot be");
    /* The last step ends where the run does, but for rounding. */
    if (!(s->reached >= run->seconds * (1 - 1e-9)))
        return fail_at(s, s->reached);
    return true;
}

static void send_values(bp_session *s, const double *values) {
    const bp_deck *d = s->deck;
    char text[80];
    for (size_t i = 0; i < d->n_values; i++) {
        const bp_element *e = &d->element[d->element_of[i]];
        if (values[i] == s->loaded[i])
            continue;
        snprintf(text, sizeof text, "alter %c%zu = %.17g", bp_element_letter(e->sort), i,
                 values[i]);
        command(s, text);
        s->loaded[i] = values[i];
    }
}

static bool begin(bp_session *s, const double *values) {
    s->complained = false;
    s->why[0] = '\0';
    if (s->lost)
        return fail(s, "the solver has ended");
    if (!s->deck)
        return fail(s, "no circuit is loaded");
    return values_are_sane(s, s->deck, values);
}

static void close_bank(bp_session *s, bool all_sites) {
    if (s->all_sites == all_sites)
        return;
    command(s, all_sites ? "alter vy = 1" : "alter vy = 0");
    s->all_sites = all_sites;
}

/* A battery that is off floats, and where something in it bends the solver finds no rest: beside
 * its milliohms the leaks to node 0 are rounding. While nothing but leaks joins it to node 0 one
 * more joint carries no current, and it is tied. */
static void tie_post(bp_session *s, const double *values, bool all_sites) {
    const size_t post = bp_deck_post_afloat(s->deck);
    const bool apart =
        post != 0 && bp_islands_are_apart(&s->islands, s->deck, values, all_sites, post);
    const size_t tied = apart ? post : 0;
    if (tied == s->tied)
        return;
    command(s, apart ? "alter rtie = 1" : "alter rtie = 1e12");
    s->tied = tied;
}

/* One step of the endless run. Whether there is a solution is judged by what arrived,
 * never by return codes. */
static bool step(bp_session *s, double *volts) {
    s->arrived = 0;
    s->sane = false;
    s->complained = false;
    command(s, "step");
    if (s->complained || s->lost)
        return false;
    if (s->arrived != 1)
        return fail(s, "the solver returned no voltages");
    if (!s->sane)
        return fail(s, "the solver returned voltages that cannot be");
    s->volts[0] = 0;
    bp_islands_level(&s->islands, s->deck, s->loaded, s->all_sites, s->tied, s->volts);
    memcpy(volts, s->volts, s->deck->n_nodes * sizeof *volts);
    return true;
}

/* What is no value of the deck. */
static void set_apparatus(bp_session *s, const double *values, bool all_sites) {
    close_bank(s, all_sites);
    tie_post(s, values, all_sites);
}

/* A step begins where the last one ended and keeps its pivots. If that leads nowhere, the deck is
 * loaded anew, and the solver begins from nothing; if that does not either, it may begin from a
 * circuit that conducts everywhere and take that away by and by (gmin and source stepping), which
 * costs a hundred times as much. */
static bool solve(bp_session *s, const double *values, bool all_sites, double *volts) {
    const bp_deck *deck = s->deck;
    if (!begin(s, values))
        return false;
    send_values(s, values);
    set_apparatus(s, values, all_sites);
    if (step(s, volts))
        return true;
    if (s->lost || !bp_session_load(s, deck, values))
        return false;
    set_apparatus(s, values, all_sites);
    if (step(s, volts))
        return true;
    if (s->lost || !bp_session_load(s, deck, values))
        return false;
    set_apparatus(s, values, all_sites);
    command(s, "optran 1 1 1 0 0 0");
    return step(s, volts);
}

bool bp_session_solve(bp_session *s, const double *values, double *volts) {
    return solve(s, values, false, volts);
}

bool bp_session_solve_all_sites(bp_session *s, const double *values, double *volts) {
    return solve(s, values, true, volts);
}
