/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What goes wrong when people measure, and what the meter then shows.
 */
#include <math.h>
#include <stdlib.h>

#include "diagnose/posterior_parts.h"

/* The shares of the named slips among all; what is left over is flat over the instrument's range.
 * From memory: what instructors see in class. */
typedef enum slip {
    SLIP_KEY_OFF, /* the circuit was not in the state that was written down */
    SLIP_PAINT,   /* the black lead, or the red one, touched nothing */
    SLIP_UNPLUGGED,
    SLIP_MIRROR, /* the other face of the connector: a neighbouring pin */
    SLIP_RANGE,  /* a prefix or decimal point misread */
    SLIP_OTHER,
    N_SLIPS
} slip;

static const struct {
    double share;
    const char *words;
} slips[N_SLIPS] = {
    [SLIP_KEY_OFF] = {0.25, "the circuit was perhaps not in that state: key off, or the moment was "
                            "missed"},
    [SLIP_PAINT] = {0.25, "a lead perhaps had no contact with bare metal"},
    [SLIP_UNPLUGGED] = {0.15, "the plug was perhaps off while measuring"},
    [SLIP_MIRROR] = {0.15, "perhaps the wrong pin: the connector's other face is its mirror image"},
    [SLIP_RANGE] = {0.05, "the range or the decimal point was perhaps misread"},
    [SLIP_OTHER] = {0.15, "what went wrong cannot be told"},
};

/* How far batteries at rest lie apart, relative. */
#define RESTING_SPREAD 0.015
/* Leads in the air show nothing on a steady range, or pick up a few hundredths of a volt, V. */
#define PICKED_UP 0.05

static double normal(double x, double mean, double sd) {
    const double z = (x - mean) / sd;
    return exp(-0.5 * z * z) / (sd * 2.50662827463100050242);
}

static size_t find_off(const bp_posterior *p, const bp_test *t) {
    const bp_circuit *c = bp_atlas_circuit(p->atlas);
    for (size_t s = 0; s < c->n_states; s++) {
        if (c->states[s].n_settings > 0 || s == t->state)
            continue;
        bp_test off = *t;
        off.state = s;
        return bp_atlas_test_find(p->atlas, &off);
    }
    return BP_NONE;
}

static bool find_mirrors(const bp_posterior *p, const bp_evidence *e, bp_strayed *out) {
    const bp_circuit *c = bp_atlas_circuit(p->atlas);
    const bp_test *t = bp_atlas_test(p->atlas, e->test);
    const size_t part = t->red == BP_NONE ? BP_NONE : c->faces[t->red].part;
    const size_t n = bp_atlas_n_tests(p->atlas);
    out->mirror = calloc(n + 1, sizeof *out->mirror);
    for (size_t i = 0; out->mirror && i < n; i++) {
        const bp_test *o = bp_atlas_test(p->atlas, i);
        if (i != e->test && o->part == BP_NONE && o->state == t->state && o->black == t->black &&
            o->n_after == 0 && o->instrument == t->instrument && o->red != BP_NONE &&
            c->faces[o->red].part == part)
            out->mirror[out->n_mirrors++] = i;
    }
    return out->mirror != NULL;
}

bool bp_slips_find(bp_posterior *p) {
    p->strayed = calloc(p->n_evidence + 1, sizeof *p->strayed);
    bool good = p->strayed != NULL;
    for (size_t i = 0; i < p->n_evidence && good; i++) {
        p->strayed[i].off = find_off(p, bp_atlas_test(p->atlas, p->evidence[i].test));
        good = find_mirrors(p, &p->evidence[i], &p->strayed[i]);
    }
    return good;
}

void bp_slips_clear(bp_posterior *p) {
    for (size_t i = 0; p->strayed && i < p->n_evidence; i++)
        free(p->strayed[i].mirror);
    free(p->strayed);
}

/* Density of what the same leads show in the state in which everything is released; NAN. */
static double released(const bp_posterior *p, size_t evidence, size_t row, double sd) {
    const size_t test = p->strayed[evidence].off;
    const bp_cell cell = test == BP_NONE ? (bp_cell){BP_CELL_MISSING, NAN, NULL}
                                         : bp_atlas_cell(p->atlas, row, test);
    /* A dead place reads nothing, sharply; a live one what the battery holds. */
    return normal(p->evidence[evidence].value, cell.value, hypot(sd, RESTING_SPREAD * cell.value));
}

/* Mean density over the other points on the part that the red lead was meant for. */
static double mirror(const bp_posterior *p, size_t evidence, size_t row, double sd) {
    const bp_strayed *strayed = &p->strayed[evidence];
    const bp_evidence *e = &p->evidence[evidence];
    double sum = 0;
    for (size_t i = 0; i < strayed->n_mirrors; i++) {
        const bp_cell cell = bp_atlas_cell(p->atlas, row, strayed->mirror[i]);
        if (cell.sort == BP_CELL_VALUE)
            sum += normal(e->value, cell.value, sd);
    }
    return strayed->n_mirrors ? sum / (double)strayed->n_mirrors : bp_flat_density(p->atlas, e);
}

static void densities(const bp_posterior *p, size_t evidence, size_t row, double density[N_SLIPS]) {
    const bp_evidence *e = &p->evidence[evidence];
    const bp_test *t = bp_atlas_test(p->atlas, e->test);
    const double flat = bp_flat_density(p->atlas, e);
    const bool volts = t->instrument == BP_VOLTS || t->instrument == BP_MILLIVOLTS;
    for (int i = 0; i < N_SLIPS; i++)
        density[i] = flat;
    if (!volts)
        return;
    const double meter = bp_evidence_sd(p->atlas, e), sd = meter + 0.01 * fabs(e->value);
    const bp_cell own = bp_atlas_cell(p->atlas, row, e->test);
    density[SLIP_PAINT] =
        (normal(e->value, 0, meter) + normal(e->value, 0, hypot(meter, PICKED_UP))) / 2;
    const double off = released(p, evidence, row, meter);
    if (isfinite(off))
        density[SLIP_KEY_OFF] = off;
    /* A feed that nothing draws on shows what the supply holds. */
    const double supply = bp_atlas_supply(p->atlas, row, t->state);
    if (isfinite(supply))
        density[SLIP_UNPLUGGED] = normal(e->value, supply, 0.4);
    density[SLIP_MIRROR] = mirror(p, evidence, row, fmax(sd, 0.15));
    if (own.sort == BP_CELL_VALUE)
        density[SLIP_RANGE] = (normal(e->value, own.value * 1e3, fabs(own.value) * 100 + sd) +
                               normal(e->value, own.value * 1e-3, fabs(own.value) * 1e-4 + sd) +
                               normal(e->value, own.value * 10, fabs(own.value) + sd) +
                               normal(e->value, own.value * 0.1, fabs(own.value) * 0.01 + sd)) /
                              4;
}

double bp_slip_log_density(const bp_posterior *p, size_t evidence, size_t row) {
    double density[N_SLIPS], sum = 0;
    densities(p, evidence, row, density);
    for (int i = 0; i < N_SLIPS; i++)
        sum += slips[i].share * density[i];
    return log(sum);
}

const char *bp_slip_words(const bp_posterior *p, size_t evidence, size_t row) {
    double density[N_SLIPS];
    int best = SLIP_OTHER;
    if (p->evidence[evidence].sort != BP_SEEN_VALUE)
        return slips[SLIP_OTHER].words;
    densities(p, evidence, row, density);
    for (int i = 0; i < N_SLIPS; i++)
        if (slips[i].share * density[i] > slips[best].share * density[best])
            best = i;
    return slips[best].words;
}
