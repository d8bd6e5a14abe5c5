/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/diagnosis.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "circuits/kinds/battery.h"
#include "diagnose/repairs.h"

static void find_lead(const bp_circuit *c, const char *name, size_t *face, size_t *point) {
    *point = name ? bp_point_find(c, name) : BP_NONE;
    *face = !name ? BP_NONE : *point != BP_NONE ? c->points[*point].face : bp_face_find(c, name);
}

static bp_test test_of(const bp_circuit *c, const bp_case_reading *r) {
    bp_test t = BP_TEST_INIT;
    t.after = r->after;
    t.n_after = r->n_after;
    t.state = bp_state_find(c, r->state);
    if (r->observe) {
        t.part = bp_part_find(c, r->observe);
        return t;
    }
    t.instrument = r->instrument;
    find_lead(c, r->red, &t.red, &t.red_point);
    find_lead(c, r->black, &t.black, &t.black_point);
    t.at = r->at ? bp_part_find(c, r->at) : BP_NONE;
    return t;
}

size_t bp_resting_state(const bp_circuit *c) {
    for (size_t s = 0; s < c->n_states; s++)
        if (c->states[s].n_settings == 0 && c->states[s].supply == BP_SUPPLY_REST)
            return s;
    return 0;
}

static size_t find_battery(const bp_circuit *c) {
    for (size_t i = 0; i < c->n_parts; i++)
        if (c->parts[i].kind == &bp_kind_battery)
            return i;
    return BP_NONE;
}

/* Across the battery's own posts. */
static bool rest_test(const bp_circuit *c, bp_test *t) {
    const size_t battery = find_battery(c);
    if (battery == BP_NONE)
        return false;
    *t = (bp_test)BP_TEST_INIT;
    t->state = bp_resting_state(c);
    t->red = c->parts[battery].pins[BP_BATTERY_PIN_PLUS].own;
    t->black = c->parts[battery].pins[BP_BATTERY_PIN_MINUS].own;
    return true;
}

static bool add_evidence(bp_diagnosis *d, const bp_test *test, bp_evidence e, size_t reading) {
    e.test = bp_atlas_test_add(d->atlas, test);
    if (e.test == BP_NONE)
        return false;
    d->reading[d->n_evidence] = reading;
    d->evidence[d->n_evidence++] = e;
    return true;
}

static bp_status take_readings(bp_diagnosis *d) {
    const size_t n = bp_casefile_n_readings(d->file);
    d->evidence = calloc(n + 2, sizeof *d->evidence);
    d->reading = calloc(n + 2, sizeof *d->reading);
    if (!d->evidence || !d->reading)
        return BP_ERR_MEMORY;
    for (size_t i = 0; i < n; i++) {
        const bp_case_reading *r = bp_casefile_reading(d->file, i);
        const bp_test t = test_of(d->circuit, r);
        const bp_evidence e = {0, r->sort, r->value, r->digit, r->word, r->present, false};
        if (!add_evidence(d, &t, e, i))
            return BP_ERR_MEMORY;
    }
    double digit = NAN;
    const double rest = bp_casefile_rest_volts(d->file, &digit);
    bp_test t;
    if (isnan(rest) || !rest_test(d->circuit, &t))
        return BP_OK;
    const bp_evidence e = {0, BP_SEEN_VALUE, rest, digit, NULL, BP_PRESENT_YES, true};
    return add_evidence(d, &t, e, BP_NONE) ? BP_OK : BP_ERR_MEMORY;
}

/* Every row has what the readings are compared with, except what takes runs. */
static bp_status want_readings(bp_diagnosis *d, bp_report *report) {
    size_t *tests = calloc(d->n_evidence + 1, sizeof *tests), n = 0;
    if (!tests)
        return BP_ERR_MEMORY;
    for (size_t i = 0; i < d->n_evidence; i++)
        if (!bp_atlas_takes_runs(d->atlas, d->evidence[i].test))
            tests[n++] = d->evidence[i].test;
    const bp_status status = bp_atlas_want(d->atlas, tests, n, NULL, 0, report);
    free(tests);
    return status;
}

/* A book that is not there yet is no mistake; one that cannot be read is. */
static bp_status make_prior(bp_diagnosis *d, const bp_match_options *options, bp_report *report) {
    char *own = options->repairs ? NULL : bp_repairs_path();
    const char *path = options->repairs ? options->repairs : own;
    bp_repairs *book = NULL;
    bp_status status = BP_OK;
    if (path && path[0] && access(path, F_OK) == 0)
        status = bp_repairs_open(path, false, &book, report);
    if (status == BP_OK)
        status = bp_prior_make(d->atlas, d->file, book ? bp_repairs_weigh : NULL, book, &d->prior,
                               report);
    bp_repairs_close(&book);
    free(own);
    return status;
}

static bp_status build(bp_diagnosis *d, const bp_match_options *options, bp_report *report) {
    bp_atlas_options atlas = BP_ATLAS_OPTIONS_INIT;
    atlas.ambient = bp_casefile_ambient(d->file);
    atlas.engine = bp_casefile_engine(d->file);
    atlas.workers = options->workers;
    atlas.cache = options->cache;
    atlas.progress = options->progress;
    atlas.data = options->data;
    d->atlas = bp_atlas_new(d->circuit, &atlas, report);
    if (!d->atlas)
        return BP_ERR_SOLVER;
    bp_status status = take_readings(d);
    if (status == BP_OK)
        status = want_readings(d, report);
    if (status == BP_OK)
        status = make_prior(d, options, report);
    if (status == BP_OK)
        status = bp_diagnosis_want_means(d, report);
    if (status != BP_OK)
        return status;
    d->posterior = bp_posterior_new(d->atlas, &d->prior, d->evidence, d->n_evidence);
    return d->posterior ? BP_OK : BP_ERR_MEMORY;
}

bp_diagnosis *bp_diagnosis_new(const bp_casefile *file, const bp_match_options *options,
                               bp_report *report) {
    bp_diagnosis *d = calloc(1, sizeof *d);
    if (!d)
        return NULL;
    d->file = file;
    d->circuit = bp_casefile_circuit(file);
    const bp_status status = build(d, options, report);
    if (status == BP_ERR_MEMORY)
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "out of memory");
    if (status != BP_OK)
        bp_diagnosis_free(&d);
    return d;
}

void bp_diagnosis_free(bp_diagnosis **diagnosis) {
    if (!diagnosis || !*diagnosis)
        return;
    bp_posterior_free(&(*diagnosis)->posterior);
    bp_prior_clear(&(*diagnosis)->prior);
    free((*diagnosis)->evidence);
    free((*diagnosis)->reading);
    bp_atlas_free(&(*diagnosis)->atlas);
    free(*diagnosis);
    *diagnosis = NULL;
}

/* Is the lead at a pole of a battery or source, clamp or post? */
static bool is_pole(const bp_circuit *c, size_t face, bool plus) {
    if (face == BP_NONE)
        face = c->reference;
    const size_t node = bp_face_node(c, face);
    for (size_t i = 0; i < c->n_parts; i++) {
        const bp_part *p = &c->parts[i];
        if (p->kind != &bp_kind_battery && p->kind != &bp_kind_source)
            continue;
        const bp_pin *pin = &p->pins[plus ? 0 : 1];
        if (bp_face_node(c, pin->harness) == node || bp_face_node(c, pin->own) == node)
            return true;
    }
    return false;
}

bool bp_diagnosis_lacks_supply(const bp_diagnosis *d, size_t *test) {
    const bp_circuit *c = d->circuit;
    size_t state = BP_NONE;
    for (size_t i = 0; i < d->n_evidence; i++) {
        const bp_test *t = bp_atlas_test(d->atlas, d->evidence[i].test);
        if (t->part != BP_NONE) {
            state = state == BP_NONE ? t->state : state;
            continue;
        }
        state = t->state; /* of the last meter's reading */
        if ((t->instrument == BP_VOLTS || t->instrument == BP_VOLTS_LOADED) && t->n_after == 0 &&
            is_pole(c, t->red, true) && is_pole(c, t->black, false))
            return false;
    }
    bp_test across;
    if (test) {
        *test = BP_NONE;
        if (rest_test(c, &across)) {
            const size_t resting = across.state;
            across.state = state == BP_NONE ? resting : state;
            *test = bp_atlas_test_add(d->atlas, &across);
            if (*test != BP_NONE && !bp_atlas_stands_still(d->atlas, *test)) {
                across.state = resting;
                *test = bp_atlas_test_add(d->atlas, &across);
            }
        }
    }
    return find_battery(c) != BP_NONE;
}
