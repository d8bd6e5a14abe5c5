/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/prior.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/kinds/battery.h"
#include "diagnose/onset.h"
#include "sim/case.h"

/* Before anything is measured. Of cars that come with a complaint about one circuit, in about so
 * many that circuit is good: common practice. */
#define HEALTHY 0.05
/* Something that no list holds: a part of a fault not modelled, a circuit that is not as drawn. */
#define OTHER_SELF 0.02
#define OTHER_LETTER 0.10
/* Of circuits that are not behind the complaint one in so many has a fault all the same, which
 * nobody notices: from memory. */
#define UNSEEN 0.1
/* One reading in so many is a slip. */
#define SLIP_SELF 0.02
#define SLIP_LETTER 0.10
/* A new part may be bad: about a tenth as likely as before (common practice). */
#define REPLACED 0.1

/* A battery whose charge nobody measured lies between 40 and 100 %: a uniform distribution's mean
 * and standard deviation. */
#define CHARGE_MEAN 0.7
#define CHARGE_SD 0.173

static bool was_replaced(const bp_casefile *file, const bp_circuit *c, const bp_fault *f) {
    for (size_t i = 0; file && i < bp_casefile_n_replaced(file); i++)
        if (bp_part_find(c, bp_casefile_replaced(file, i)) == f->part)
            return true;
    return false;
}

static void by_case(const bp_atlas *atlas, const bp_casefile *file, double *weight) {
    const bp_circuit *c = bp_atlas_circuit(atlas);
    for (size_t f = 0; f < bp_atlas_n_faults(atlas); f++) {
        const bp_fault *fault = &bp_atlas_fault(atlas, f)->fault;
        if (was_replaced(file, c, fault))
            weight[f] *= REPLACED;
        if (file)
            weight[f] *= bp_onset_factor(bp_casefile_onset(file), bp_fault_mode(c, fault));
    }
}

/* Scales weights so that they add up to this. */
static void scale_to(double sum, double *weight, size_t n) {
    double now = 0;
    for (size_t i = 0; i < n; i++)
        now += weight[i];
    for (size_t i = 0; i < n && now > 0; i++)
        weight[i] *= sum / now;
}

/* Somebody complained, and that is the first observation. A fault that changes nothing that anybody
 * notices, at whatever degree, is not behind it; one that is noticed at some degrees has one of
 * those. What is not behind the complaint may still be there, in a circuit whose trouble is
 * elsewhere. */
static void by_complaint(const bp_atlas *atlas, bp_prior *prior) {
    double unseen = 0;
    for (size_t f = 0; f < prior->n_faults; f++) {
        const double noticed = bp_atlas_noticed(atlas, f);
        prior->unseen[f] = prior->fault[f] * (1 - noticed);
        unseen += prior->unseen[f];
        if (!(noticed > 0))
            prior->fault[f] = 0;
    }
    const double all = unseen > 0 ? UNSEEN * prior->healthy : 0;
    scale_to(all, prior->unseen, prior->n_faults);
    scale_to(1 - prior->healthy - prior->other - all, prior->fault, prior->n_faults);
}

static void spread_of(const bp_atlas *atlas, bp_prior *prior) {
    size_t n = 0;
    const bp_spread *spread = bp_atlas_spreads(atlas, &n);
    for (size_t i = 0; i < n; i++) {
        prior->mean[i] = 0;
        prior->sd[i] = 1;
        if (spread[i].part == BP_NONE)
            continue;
        const bp_part *part = &bp_atlas_circuit(atlas)->parts[spread[i].part];
        if (part->kind != &bp_kind_battery || spread[i].param != BP_BATTERY_CHARGED)
            continue;
        const double sd = bp_case_tolerance(part, BP_BATTERY_CHARGED) / BP_SIGMAS_95;
        prior->mean[i] = (CHARGE_MEAN - part->param[BP_BATTERY_CHARGED]) / sd;
        prior->sd[i] = CHARGE_SD / sd;
    }
}

static bool make_room(const bp_atlas *atlas, bp_prior *prior) {
    prior->n_faults = bp_atlas_n_faults(atlas);
    bp_atlas_spreads(atlas, &prior->n_spreads);
    prior->fault = calloc(prior->n_faults + 1, sizeof *prior->fault);
    prior->unseen = calloc(prior->n_faults + 1, sizeof *prior->unseen);
    prior->mean = calloc(prior->n_spreads + 1, sizeof *prior->mean);
    prior->sd = calloc(prior->n_spreads + 1, sizeof *prior->sd);
    return prior->fault && prior->unseen && prior->mean && prior->sd;
}

static bp_status by_book(const bp_atlas *atlas, bp_weigh weigh, void *data, double *weight,
                         bp_report *report) {
    const size_t n = bp_atlas_n_faults(atlas);
    const bp_fault_row **faults = calloc(n + 1, sizeof *faults);
    if (!faults)
        return BP_ERR_MEMORY;
    for (size_t f = 0; f < n; f++)
        faults[f] = bp_atlas_fault(atlas, f);
    const bp_status status = weigh(data, bp_atlas_circuit(atlas), faults, n, weight, report);
    free(faults);
    return status;
}

bp_status bp_prior_make(const bp_atlas *atlas, const bp_casefile *file, bp_weigh weigh, void *data,
                        bp_prior *prior, bp_report *report) {
    const bool letter = file && bp_casefile_by_other(file);
    *prior = (bp_prior){.healthy = HEALTHY,
                        .onset = file ? bp_casefile_onset(file) : BP_ONSET_UNKNOWN,
                        .other = letter ? OTHER_LETTER : OTHER_SELF,
                        .slip = letter ? SLIP_LETTER : SLIP_SELF};
    bp_status status = make_room(atlas, prior) ? BP_OK : BP_ERR_MEMORY;
    for (size_t f = 0; status == BP_OK && f < prior->n_faults; f++)
        prior->fault[f] = bp_atlas_fault(atlas, f)->weight;
    if (status == BP_OK && weigh)
        status = by_book(atlas, weigh, data, prior->fault, report);
    if (status != BP_OK) {
        bp_prior_clear(prior);
        return status;
    }
    by_case(atlas, file, prior->fault);
    by_complaint(atlas, prior);
    spread_of(atlas, prior);
    return BP_OK;
}

void bp_prior_clear(bp_prior *prior) {
    free(prior->fault);
    free(prior->unseen);
    free(prior->mean);
    free(prior->sd);
    *prior = (bp_prior){0};
}
