/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The explanation as an instructor says it: from feed to ground.
 */
#include "circuits/explain.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/quantity.h>

#include "circuits/memory.h"

typedef struct teller {
    FILE *f;
    const bp_circuit *c;
    bool *named;
} teller;

/* The part's label where it has not been told yet, else NULL. */
static const char *new_label(const teller *t, size_t part) {
    const char *label = t->named[part] ? NULL : t->c->parts[part].label;
    t->named[part] = true;
    return label;
}

/* "K1 (fuel pump relay)"; with what the item is of the part before it. */
static void name_part(const teller *t, size_t part) {
    const char *label = new_label(t, part);
    fprintf(t->f, "%s", t->c->parts[part].id);
    if (label)
        fprintf(t->f, " (%s)", label);
}

static void name_item(const teller *t, const bp_explained *e) {
    fprintf(t->f, "%s%s", e->words ? e->words : "", e->words ? " " : "");
    name_part(t, e->part);
}

/* "K1 (fuel pump relay, while pulled in)", "C5 pin 1 (tank connector)". */
static void name_stop(const teller *t, const bp_stop *stop) {
    const bp_part *p = &t->c->parts[stop->part];
    const bool series = stop->sort == BP_BRANCH_LOAD;
    const char *label = new_label(t, stop->part);
    fprintf(t->f, "%s", p->id);
    if (p->kind == &bp_kind_connector)
        fprintf(t->f, " pin %s", p->pins[stop->from].name + 1);
    if (!label && !stop->when[0] && !series)
        return;
    fprintf(t->f, " (%s%s%s%s)", label ? label : "", label && (stop->when[0] || series) ? ", " : "",
            stop->when, series ? "in series with it" : "");
}

/* "A, B and C": what stands between the n-th and the last name. */
static const char *between(size_t i, size_t n) { return i == 0 ? "" : i + 1 == n ? " and " : ", "; }

static bool is_ground(const teller *t, const bp_stop *stop) {
    return t->c->parts[stop->part].kind == &bp_kind_ground;
}

static void tell_feed(const teller *t, const bp_route *route) {
    fprintf(t->f, "%s", route->n ? " through " : " directly");
    for (size_t i = 0; i < route->n; i++) {
        fputs(between(i, route->n), t->f);
        name_stop(t, &route->stops[i]);
    }
}

/* The metal on the far side of the i-th ground of a way: it is left by the next one. */
static const char *metal_of(const teller *t, const bp_stop *stop) {
    return t->c->parts[stop->part].pins[0].name; /* "body", "engine" */
}

/* "through C5 to G3 (under the load floor), then over the body and G0 to battery negative". */
static void tell_ground(const teller *t, const bp_route *route) {
    size_t n = 0;
    while (n < route->n && !is_ground(t, &route->stops[n]))
        n++;
    fprintf(t->f, "%s", n ? " through " : "");
    for (size_t i = 0; i < n; i++) {
        fputs(between(i, n), t->f);
        name_stop(t, &route->stops[i]);
    }
    if (n == route->n) {
        fprintf(t->f, "%s to battery negative", n ? "" : " straight");
        return;
    }
    fputs(n ? ", to " : " to ", t->f);
    name_stop(t, &route->stops[n]);
    fprintf(t->f, ", and over the %s", metal_of(t, &route->stops[n]));
    for (size_t i = n + 1; i < route->n; i++) {
        fprintf(t->f, "%s", i + 1 == route->n ? " and " : ", ");
        name_stop(t, &route->stops[i]);
    }
    fputs(" to battery negative", t->f);
}

/* Does the i-th stop switch, and is it the first one of its part that does? */
static bool is_new_switch(const bp_route *route, size_t i) {
    for (size_t k = 0; k < i; k++)
        if (bp_stop_switches(&route->stops[k]) && route->stops[k].part == route->stops[i].part)
            return false;
    return bp_stop_switches(&route->stops[i]);
}

static size_t n_switches(const bp_route *route) {
    size_t n = 0;
    for (size_t i = 0; i < route->n; i++)
        n += is_new_switch(route, i);
    return n;
}

static void list_switches(const teller *t, const bp_route *route) {
    const size_t n = n_switches(route);
    for (size_t i = 0, k = 0; i < route->n; i++)
        if (is_new_switch(route, i))
            fprintf(t->f, "%s%s", between(k++, n), t->c->parts[route->stops[i].part].id);
}

/* "K1 and S2 switch its feed, A1 its ground." */
static void tell_switches(const teller *t, const bp_explained *e) {
    const size_t feed = n_switches(&e->feed[0]), ground = n_switches(&e->ground[0]);
    if (feed + ground == 0) {
        fputs(" Nothing switches it.", t->f);
        return;
    }
    fputc(' ', t->f);
    if (feed) {
        list_switches(t, &e->feed[0]);
        fprintf(t->f, " switch%s its feed", feed == 1 ? "es" : "");
    }
    if (ground) {
        fputs(feed ? ", " : "", t->f);
        list_switches(t, &e->ground[0]);
        fprintf(t->f, "%s its ground", feed ? "" : ground == 1 ? " switches" : " switch");
    }
    fputc('.', t->f);
}

static void tell_guard(const teller *t, const bp_explained *e) {
    const size_t guard = bp_explained_guard(e);
    if (guard == BP_NONE) {
        fputs(" No fuse guards it.", t->f);
        return;
    }
    const bp_part *part = &t->c->parts[guard];
    const int rating = bp_kind_param(part->kind, "rating");
    char amps[40];
    fprintf(t->f, " %s", part->id);
    if (rating >= 0) {
        bp_quantity_format(part->param[rating], BP_UNIT_AMPERE, 3, amps, sizeof amps);
        fprintf(t->f, " (%s)", amps);
    }
    fputs(" guards it.", t->f);
}

static void tell_others(const teller *t, const bp_explained *e) {
    for (size_t i = 1; i < e->n_feeds; i++) {
        fputs(" It is also fed", t->f);
        tell_feed(t, &e->feed[i]);
        fputc('.', t->f);
    }
    for (size_t i = 1; i < e->n_grounds; i++) {
        fputs(" Another way to ground goes", t->f);
        tell_ground(t, &e->ground[i]);
        fputc('.', t->f);
    }
}

static void tell_load(const teller *t, const bp_explained *e) {
    const bp_part *part = &t->c->parts[e->part];
    name_item(t, e);
    if (e->n_feeds == 0)
        fputs(" finds no feed in this circuit", t->f);
    else {
        fprintf(t->f, " is fed%s%s from battery positive", e->either_way ? " at pin " : "",
                e->either_way ? part->pins[e->pin[0]].name : "");
        tell_feed(t, &e->feed[0]);
    }
    if (e->n_grounds == 0)
        fputs(", and finds no ground.", t->f);
    else {
        fputs(". Its ground goes", t->f);
        tell_ground(t, &e->ground[0]);
        fputc('.', t->f);
    }
    if (e->n_feeds == 0 || e->n_grounds == 0)
        return;
    tell_others(t, e);
    tell_switches(t, e);
    tell_guard(t, e);
}

static void tell_spark(const teller *t, const bp_explained *e) {
    name_item(t, e);
    fputs(" gets its spark from ", t->f);
    name_part(t, e->source);
    if (e->feed[0].n)
        tell_feed(t, &e->feed[0]);
    fputs(e->n_grounds ? ". Its ground goes" : ", and finds no ground.", t->f);
    if (e->n_grounds) {
        tell_ground(t, &e->ground[0]);
        fputc('.', t->f);
    }
}

/* "The input of A1 reads B1 (crank sensor) through C4 pin 1. The other end of B1 goes ..." */
static void tell_sensor(const teller *t, const bp_explained *e) {
    fputs(" reads ", t->f);
    name_part(t, e->source);
    tell_feed(t, &e->feed[0]);
    fputc('.', t->f);
    if (e->n_grounds == 0)
        return;
    fprintf(t->f, " The other end of %s goes", t->c->parts[e->source].id);
    tell_ground(t, &e->ground[0]);
    fputc('.', t->f);
}

static void tell_input(const teller *t, const bp_explained *e) {
    name_item(t, e);
    if (e->source != BP_NONE) {
        tell_sensor(t, e);
        return;
    }
    if (e->n_feeds + e->n_grounds == 0)
        fputs(" is joined to nothing that is fed or grounded.", t->f);
    for (size_t i = 0; i < e->n_grounds; i++) {
        fprintf(t->f, "%s goes to ground", i ? "; it also" : "");
        tell_ground(t, &e->ground[i]);
    }
    for (size_t i = 0; i < e->n_feeds; i++) {
        fprintf(t->f, "%s joined to battery positive", i || e->n_grounds ? "; it is also" : " is");
        tell_feed(t, &e->feed[i]);
    }
    if (e->n_feeds + e->n_grounds > 0)
        fputc('.', t->f);
}

static void tell(const teller *t, const bp_explained *e) {
    if (e->listens)
        tell_input(t, e);
    else if (e->source != BP_NONE)
        tell_spark(t, e);
    else
        tell_load(t, e);
}

char *bp_explained_words(const bp_circuit *circuit, const bp_explained *e, bool *named) {
    char *words = NULL;
    size_t size;
    bool *own = named ? NULL : bp_zeroed(circuit->n_parts, sizeof *own);
    const teller t = {open_memstream(&words, &size), circuit, named ? named : own};
    if (t.f && t.named)
        tell(&t, e);
    const bool good = t.f && fclose(t.f) == 0 && t.named;
    free(own);
    if (!good) {
        free(words);
        return NULL;
    }
    if (words[0] >= 'a' && words[0] <= 'z' && e->words) /* "the coil of": a sentence begins */
        words[0] = (char)(words[0] - 'a' + 'A');
    return words;
}
