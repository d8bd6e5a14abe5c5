/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/warmth.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "sim/contact.h"

/* 20 K above the surroundings are 40 degC in a warm workshop, clearly warmer than a hand; 40 K are
 * 60 degC, where the hand is taken away: common practice. (ISO 13732-1 has burns from 51 degC after
 * a minute and from about 60 degC after seconds on bare metal: from memory.) */
#define WARM_KELVIN 20.0
#define HOT_KELVIN 40.0

/* A crimped terminal in its plug with its wire, and a ring on a stud with its cable: from memory of
 * the rise of such contacts at their rated currents. */
#define PLUG_KELVIN_PER_WATT 30.0
#define BOLTED_KELVIN_PER_WATT 5.0

/* Time constant of such places, s, and for how long people crank at once where the state does not
 * say: common practice. */
#define TIME_CONSTANT 100.0
#define CRANKING_SECONDS 10.0

/* k T / q at 27 degC, the solver's own temperature, V. */
#define THERMAL_VOLTS 0.025865

typedef struct feeler {
    bp_store *store;
    const bp_scene *scene;
    const bp_deck *deck;
    double share;    /* of its rise that a place reaches while the state lasts */
    bp_warmth *warm; /* room for every place */
    size_t n;
} feeler;

static double across(const feeler *f, const bp_element *e) {
    return f->scene->phase->volts[e->plus] - f->scene->phase->volts[e->minus];
}

static double watts_of(const feeler *f, const bp_element *e) {
    const double volts = across(f, e);
    if (e->sort == BP_EL_RESISTOR)
        return volts * volts / f->scene->values[e->first_value];
    if (e->sort == BP_EL_DIODE)
        return volts * e->is * expm1(fmin(volts / (e->n * THERMAL_VOLTS), 80));
    return 0;
}

static double watts_at(const feeler *f, size_t value) {
    return watts_of(f, &f->deck->element[f->deck->element_of[value]]);
}

/* Adds the place (a face of the part, or BP_NONE: the part itself) when it is clearly warm; where:
 * what stands after its power in words. */
static void feel(feeler *f, const bp_part *part, size_t face, double watts, double kelvin,
                 const char *where) {
    kelvin *= f->share;
    if (!(kelvin >= WARM_KELVIN))
        return;
    char power[40], place[160];
    if (face == BP_NONE)
        snprintf(place, sizeof place, "%s", part->id);
    else
        bp_face_name(f->deck->circuit, face, place, sizeof place);
    bp_quantity_format(watts, BP_UNIT_WATT, 2, power, sizeof power);
    bp_warmth *w = &f->warm[f->n++];
    *w = (bp_warmth){.part = bp_store_copy(f->store, part->id),
                     .place = bp_store_copy(f->store, place),
                     .says = kelvin < HOT_KELVIN ? "warm" : "hot",
                     .watts = watts,
                     .kelvin = kelvin};
    w->words = bp_store_print(f->store, "%s is %s: %s%s", w->place, w->says, power, where);
}

/* The contact of each plug or bolted pin. */
static void feel_contacts(feeler *f, const bp_part *part) {
    size_t value = f->deck->contact[part->index];
    for (size_t pin = 0; pin < part->n_pins; pin++) {
        if (!bp_contact_exists(part, pin))
            continue;
        const bool bolted = part->pins[pin].sort == BP_PIN_BOLTED;
        const double watts = watts_at(f, value++);
        feel(f, part, part->pins[pin].harness, watts,
             watts * (bolted ? BOLTED_KELVIN_PER_WATT : PLUG_KELVIN_PER_WATT),
             bolted ? " where it is bolted on" : " in its contact");
    }
}

/* Each way through a connector: its model's first values. */
static void feel_ways(feeler *f, const bp_part *part) {
    for (size_t i = 0; i < part->n_pins / 2; i++) {
        const double watts = watts_at(f, bp_deck_first_value(f->deck, part->index) + i);
        feel(f, part, part->pins[i].harness, watts, watts * PLUG_KELVIN_PER_WATT,
             " in its contact");
    }
}

/* What its own resistances and junctions turn into heat, W; by part. */
static void add_up(const feeler *f, double *watts) {
    const bp_deck *d = f->deck;
    for (size_t i = 0; i < d->n_elements; i++) {
        const bp_element *e = &d->element[i];
        if (e->part != BP_NONE && e->first_value >= d->first[e->part])
            watts[e->part] += watts_of(f, e);
    }
}

static void feel_part(feeler *f, const bp_part *part, double watts) {
    const bp_model *model = bp_models[bp_kind_index(part->kind)];
    double kelvin = watts * model->kelvin_per_watt;
    if (model->warmer) {
        const bp_view view = bp_scene_view(f->scene, part->index);
        kelvin = model->warmer(&view, &watts);
    }
    feel(f, part, BP_NONE, watts, kelvin, "");
}

static double reached(const feeler *f) {
    double seconds = f->deck->circuit->states[f->scene->phase->state].lasts;
    if (isnan(seconds) && f->scene->c->around.supply == BP_SUPPLY_CRANKING)
        seconds = CRANKING_SECONDS;
    return isnan(seconds) ? 1 : 1 - exp(-seconds / TIME_CONSTANT);
}

void bp_make_warmth(bp_store *store, const bp_scene *scene, bp_state_answer *out) {
    const bp_circuit *circuit = scene->c->circuit;
    size_t places = circuit->n_parts;
    for (size_t i = 0; i < circuit->n_parts; i++)
        places += circuit->parts[i].n_pins;
    feeler f = {.store = store, .scene = scene, .deck = scene->c->deck};
    if (scene->phase->chatter)
        return;
    f.share = reached(&f);
    f.warm = calloc(places + 1, sizeof *f.warm);
    double *watts = calloc(circuit->n_parts + 1, sizeof *watts);
    if (f.warm && watts) {
        add_up(&f, watts);
        for (size_t i = 0; i < circuit->n_parts; i++) {
            feel_contacts(&f, &circuit->parts[i]);
            if (circuit->parts[i].kind == &bp_kind_connector)
                feel_ways(&f, &circuit->parts[i]);
            feel_part(&f, &circuit->parts[i], watts[i]);
        }
        out->n_warm = f.n;
        out->warm = bp_store_keep(store, f.warm, f.n, sizeof *f.warm);
    } else
        store->failed = true;
    free(f.warm);
    free(watts);
}
