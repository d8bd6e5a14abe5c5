/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/case.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "sim/contact.h"
#include "sim/leads.h"

/* Cabin, body and coolant where the state says nothing, degC: the reference temperature of all data
 * sheets. */
#define ROOM_CELSIUS 20.0

static size_t n_params(const bp_kind *kind) {
    size_t n = 0;
    while (kind->params && kind->params[n].key)
        n++;
    return n;
}

static bool list_spreads(bp_case *c) {
    c->first_spread = calloc(c->circuit->n_parts + 1, sizeof *c->first_spread);
    if (!c->first_spread || !bp_spreads_list(c->circuit, &c->spread, &c->n_spreads))
        return false;
    for (size_t i = c->n_spreads - 1; i-- > 0;) /* the last is no part's */
        c->first_spread[c->spread[i].part] = i;
    c->first_spread[c->circuit->n_parts] = c->n_spreads - 1;
    for (size_t p = c->circuit->n_parts;
         p-- > 0;) /* a part without any begins where the next does */
        if (c->first_spread[p] >= c->n_spreads - 1 || c->spread[c->first_spread[p]].part != p)
            c->first_spread[p] = c->first_spread[p + 1];
    c->drawn = calloc(c->n_spreads, sizeof *c->drawn);
    return c->drawn != NULL;
}

void bp_case_undraw(bp_case *c) { memset(c->drawn, 0, c->n_spreads * sizeof *c->drawn); }

bp_case *bp_case_new(const bp_circuit *circuit, const bp_deck *deck) {
    bp_case *c = calloc(1, sizeof *c);
    if (!c)
        return NULL;
    size_t most = 0;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const size_t n = n_params(circuit->parts[i].kind);
        most = n > most ? n : most;
    }
    c->circuit = circuit;
    c->deck = deck;
    c->setting = calloc(circuit->n_parts + 1, sizeof *c->setting);
    c->position = calloc(circuit->n_parts + 1, sizeof *c->position);
    c->done = calloc(circuit->n_parts + 1, sizeof *c->done);
    c->param = calloc(most + 1, sizeof *c->param);
    c->near_by = calloc(1, sizeof *c->near_by);
    if (!c->near_by || !c->setting || !c->position || !c->done || !c->param || !list_spreads(c))
        bp_case_free(&c);
    return c;
}

void bp_case_free(bp_case **c) {
    if (!c || !*c)
        return;
    free((*c)->setting);
    free((*c)->position);
    free((*c)->done);
    free((*c)->param);
    free((*c)->spread);
    free((*c)->first_spread);
    free((*c)->drawn);
    free((*c)->near_by);
    free(*c);
    *c = NULL;
}

bool bp_fault_rests(const bp_circuit *circuit, const bp_fault *fault) {
    return strcmp(bp_fault_mode(circuit, fault)->id, "spread") == 0;
}

static bool is_there(const bp_case *c, const bp_fault *f) {
    const unsigned done = c->done[f->part];
    const bp_mode_decl *mode = bp_fault_mode(c->circuit, f);
    /* The faults of a pin are those of the terminal in the plug or socket, which stays. */
    if ((done & BP_DID_SUBSTITUTE) && mode->scope != BP_SCOPE_PIN)
        return false;
    switch (f->when) {
    case BP_ALWAYS:
        return !bp_fault_rests(c->circuit, f) || (done & (BP_DID_TUG | BP_DID_HEAT)) != 0;
    case BP_TUGGED:
        return (done & BP_DID_TUG) != 0;
    case BP_HEATED:
        return (done & BP_DID_HEAT) != 0;
    case BP_COOLED:
        return (done & BP_DID_COOL) != 0;
    case BP_WET:
        return (done & BP_DID_WET) != 0;
    case BP_ENGINE_ABOVE:
        return c->around.engine > f->when_value;
    case BP_ENGINE_BELOW:
        return c->around.engine < f->when_value;
    }
    return false;
}

/* Plugging apart and together wipes the film off a contact: a tenth of the resistance is left.
 * Common practice that it helps; how much, from memory. */
#define WIPED 0.1

static bp_fault reseated(const bp_case *c, const bp_fault *f) {
    const bp_mode_decl *mode = bp_fault_mode(c->circuit, f);
    bp_fault wiped = *f;
    if ((c->done[f->part] & BP_DID_RESEAT) && mode->scope != BP_SCOPE_PART &&
        strcmp(mode->id, "resistance") == 0)
        wiped.severity *= WIPED;
    return wiped;
}

/* Sorted by part, so that each part's faults lie side by side. */
static void look_at_faults(bp_case *c) {
    c->n_active = 0;
    for (size_t i = 0; i < c->faults.n; i++) {
        if (!is_there(c, &c->faults.fault[i]))
            continue;
        size_t at = c->n_active++;
        for (; at > 0 && c->active[at - 1].part > c->faults.fault[i].part; at--)
            c->active[at] = c->active[at - 1];
        c->active[at] = reseated(c, &c->faults.fault[i]);
    }
}

static double or_else(double wanted, double otherwise) {
    return isnan(wanted) ? otherwise : wanted;
}

/* An engine that stands cools towards what surrounds it: hand-warm (40 degC) two hours after 90
 * degC, common practice, which is a time constant of 100 minutes. */
#define COOLS_IN 6000.0

static double cooled(const bp_state *s, double engine, double ambient, double waited) {
    const bool runs = s->speed > 0 || s->supply == BP_SUPPLY_CHARGING;
    return runs ? engine : ambient + (engine - ambient) * exp(-waited / COOLS_IN);
}

/* Every output that a module switches by itself, whatever the state says. */
static void switch_outputs_on(bp_case *c) {
    for (size_t i = 0; i < c->circuit->n_parts; i++) {
        const int on = bp_models[bp_kind_index(c->circuit->parts[i].kind)]->output_on;
        if (on)
            c->setting[i] = on;
    }
}

void bp_case_enter(bp_case *c, size_t state, const bp_conditions *wanted) {
    static const bp_state released = {.from = BP_NONE,
                                      .supply = BP_SUPPLY_REST,
                                      .supply_value = NAN,
                                      .speed = NAN,
                                      .ambient = NAN,
                                      .engine = NAN,
                                      .lasts = NAN};
    const bp_state *s = state == BP_NONE ? &released : &c->circuit->states[state];
    memset(c->setting, 0, c->circuit->n_parts * sizeof *c->setting);
    for (size_t i = 0; i < s->n_settings; i++)
        c->setting[s->settings[i].part] = s->settings[i].setting;
    if (c->what_if == BP_OUTPUTS_ON && !c->as_found)
        switch_outputs_on(c);
    const double ambient = or_else(wanted->ambient, or_else(s->ambient, ROOM_CELSIUS));
    const double engine = or_else(wanted->engine, or_else(s->engine, ambient));
    c->around =
        (bp_surroundings){.supply_strays = c->drawn[c->n_spreads - 1] / BP_SIGMAS_95,
                          .ambient = ambient,
                          .engine = cooled(s, engine, ambient, c->as_found ? 0 : wanted->waited),
                          .speed = s->speed,
                          .supply = s->supply,
                          .supply_value = s->supply_value};
    /* The alternator and the starter find a battery of that voltage, too. */
    c->around.rest_volts =
        or_else(wanted->supply, s->supply == BP_SUPPLY_VOLTS ? s->supply_value : NAN);
    look_at_faults(c);
}

double bp_case_tolerance(const bp_part *part, size_t param) {
    const bp_param_decl *decl = &part->kind->params[param];
    const double value = part->param[param];
    if (decl->type != BP_PARAM_QUANTITY || isnan(value))
        return 0;
    switch (decl->tol_sort) {
    case BP_TOL_NONE:
        return 0;
    case BP_TOL_ABSOLUTE:
        return decl->tol;
    case BP_TOL_RELATIVE:
        return decl->tol * fabs(value);
    case BP_TOL_STATED:
        return or_else(part->param[param + 1], decl->tol) * fabs(value);
    }
    return 0;
}

/* Moves one of the part's parameters by so many half-widths of its 95 % range, still within what
 * the kind allows. */
static void move_param(const bp_case *c, const bp_part *part, size_t param, double by) {
    const bp_param_decl *decl = &part->kind->params[param];
    double *value = &c->param[param];
    *value += by * bp_case_tolerance(part, param);
    if (decl->lo != 0 || decl->hi != 0)
        *value = fmin(fmax(*value, decl->lo), decl->hi);
}

static bool is_drawn(const bp_case *c, size_t part) {
    for (size_t i = c->first_spread[part]; i < c->first_spread[part + 1]; i++)
        if (c->drawn[i] != 0)
            return true;
    return false;
}

/* A part's parameters, those moved whose turn it is. */
static const double *params_of(const bp_case *c, const bp_part *part) {
    const bool moved =
        c->moved.direction != 0 && c->moved.part == part->index && c->moved.param != BP_NONE;
    if (!moved && !is_drawn(c, part->index))
        return part->param;
    memcpy(c->param, part->param, n_params(part->kind) * sizeof *c->param);
    if (moved)
        move_param(c, part, c->moved.param, c->moved.direction);
    for (size_t i = c->first_spread[part->index]; i < c->first_spread[part->index + 1]; i++)
        if (c->drawn[i] != 0 && c->spread[i].param != BP_NONE)
            move_param(c, part, c->spread[i].param, c->drawn[i] / BP_SIGMAS_95);
    return c->param;
}

/* The run of this part's faults that are of the part or of a cavity; those of its pins are the
 * contacts'. */
static void find_faults(const bp_case *c, size_t part, bp_view *view) {
    view->faults = c->active;
    for (size_t i = 0; i < c->n_active; i++) {
        if (c->active[i].part != part ||
            bp_fault_mode(c->circuit, &c->active[i])->scope == BP_SCOPE_PIN)
            continue;
        if (view->n_faults++ == 0)
            view->faults = &c->active[i];
    }
}

/* A hot-air gun or a cold spray on one part, degC: common practice. */
#define HEATED_CELSIUS 110.0
#define SPRAYED_CELSIUS -20.0

static const bp_surroundings *around(const bp_case *c, size_t part) {
    const bool hot = (c->done[part] & BP_DID_HEAT) != 0;
    if (!hot && !(c->done[part] & BP_DID_COOL))
        return &c->around;
    *c->near_by = c->around;
    double *const celsius[] = {&c->near_by->ambient, &c->near_by->engine};
    for (size_t i = 0; i < 2; i++)
        *celsius[i] = hot ? fmax(*celsius[i], HEATED_CELSIUS) : fmin(*celsius[i], SPRAYED_CELSIUS);
    return c->near_by;
}

bp_view bp_case_view(const bp_case *c, size_t part, const double *values, const double *volts) {
    const bp_part *p = &c->circuit->parts[part];
    bp_view view = {.circuit = c->circuit,
                    .part = p,
                    .param = params_of(c, p),
                    .around = around(c, part),
                    .unprotected = c->what_if != BP_AS_IT_IS && !c->as_found,
                    .setting = c->setting[part],
                    .position = c->position[part],
                    .apart = (c->done[part] & (BP_DID_UNPLUG | BP_DID_DISCONNECT)) != 0,
                    .deck = c->deck,
                    .values = values,
                    .volts = volts,
                    .memory = c->memory ? &c->memory[c->memory_at[part]] : NULL};
    find_faults(c, part, &view);
    return view;
}

static void contact_values(const bp_case *c, const bp_part *part, double *values) {
    bp_contact_case contact = {
        .apart = (c->done[part->index] & (BP_DID_UNPLUG | BP_DID_DISCONNECT)) != 0,
        .bolts_apart = (c->done[part->index] & BP_DID_DISCONNECT) != 0,
        .factor = 1,
        .faults = c->active,
        .n_faults = c->n_active};
    if (c->moved.part == part->index && c->moved.param == BP_NONE && c->moved.direction != 0)
        contact.factor = c->moved.direction > 0 ? BP_CONTACT_SPREAD : 1 / BP_CONTACT_SPREAD;
    const size_t last = c->first_spread[part->index + 1];
    if (last > c->first_spread[part->index] && c->spread[last - 1].param == BP_NONE &&
        c->drawn[last - 1] != 0)
        contact.factor *= pow(BP_CONTACT_SPREAD, c->drawn[last - 1] / BP_SIGMAS_95);
    size_t at = c->deck->contact[part->index];
    for (size_t pin = 0; pin < part->n_pins; pin++)
        if (bp_contact_exists(part, pin))
            values[at++] = bp_contact_ohm(part, pin, &contact);
}

void bp_case_part_values(const bp_case *c, size_t part, double *values) {
    const bp_part *p = &c->circuit->parts[part];
    contact_values(c, p, values);
    const bp_view view = bp_case_view(c, part, NULL, NULL);
    bp_part_values(&view, &values[c->deck->first[part]]);
}

void bp_case_values(const bp_case *c, double *values) {
    for (size_t i = 0; i < c->circuit->n_parts; i++)
        bp_case_part_values(c, i, values);
    bp_leads_values(c->deck, !c->as_found, values);
    for (size_t i = 0; i < c->deck->plan.n_probes; i++)
        values[c->deck->first_meter + i] = BP_PROBE_OHM;
}
