/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/leads.h"

#include <math.h>
#include <stdio.h>

#include "sim/filament.h"

/* Lamps that stand in for something are ordinary 12 V bulbs. */
#define LAMP_VOLTS 12.0

/* What a lead's label names. */
typedef enum named { BOTH_ENDS, RED_END, BLACK_END, PART } named;

typedef struct sort {
    double ohm;        /* of the lead with its clips, without the lamp */
    double most;       /* A */
    const char *limit; /* what that is */
    const char *label; /* before what it names */
    named names;       /* with BOTH_ENDS the part, if the action was given one */
    const char *what;  /* a plain lead in a sentence */
} sort;

/* Common practice: 1 m of 1.5 mm2 and two clips have 20 mohm; a fused lead takes 30 A at most; a
 * lead past a ground is a jump lead of 16 mm2, 2 mohm with its clamps (1.5 m of such copper are
 * 1.6 mohm), which takes 200 A for the minutes of a test; a lamp holder hangs on leads like
 * jumpers. */
#define FUSE "the 30 A fuse in such a lead"
static const sort sorts[BP_N_LEAD_SORTS] = {
    [BP_LEAD_JUMPER] = {20e-3, 30, FUSE, "Jumper", BOTH_ENDS, "a jumper"},
    [BP_LEAD_FEED] = {20e-3, 30, FUSE, "Feed to", BLACK_END, "a fused lead"},
    [BP_LEAD_EARTH] = {20e-3, 30, FUSE, "Ground lead to", RED_END, "a fused lead"},
    [BP_LEAD_BYPASS] = {2e-3, 200, "the 200 A that a jump lead takes", "Lead past", PART,
                        "a heavy lead"},
    [BP_LEAD_BULB] = {20e-3, 30, FUSE, "Lamp for", PART, NULL},
    [BP_LEAD_LOAD] = {20e-3, 30, FUSE, "Lamp on", BOTH_ENDS, NULL},
};

double bp_lead_most(const bp_patch *lead) { return sorts[lead->sort].most; }
const char *bp_lead_limit(const bp_patch *lead) { return sorts[lead->sort].limit; }

static bool is_lamp(const bp_patch *lead) { return lead->watt > 0; }

/* Value of the plan's lead i: its own resistance; a lamp's follow it. */
static size_t first_value(const bp_deck *deck, size_t i) {
    size_t at = deck->first_lead;
    for (size_t k = 0; k < i; k++)
        at += is_lamp(&deck->plan.lead[k]) ? 1 + BP_FILAMENT_VALUES : 1;
    return at;
}

void bp_leads_elements(bp_builder *b, const bp_plan *plan) {
    for (size_t i = 0; i < plan->n_leads; i++) {
        const bp_patch *lead = &plan->lead[i];
        const size_t red = bp_build_face(b, lead->face[0]), black = bp_build_face(b, lead->face[1]);
        const size_t lamp = is_lamp(lead) ? bp_build_node(b) : black;
        bp_build_resistor(b, red, lamp);
        if (is_lamp(lead))
            bp_filament_elements(b, lamp, black);
    }
}

void bp_leads_values(const bp_deck *deck, bool there, double *values) {
    for (size_t i = 0; i < deck->plan.n_leads; i++) {
        const bp_patch *lead = &deck->plan.lead[i];
        double *value = &values[first_value(deck, i)];
        value[0] = there ? sorts[lead->sort].ohm : BP_OPEN_OHM;
        if (is_lamp(lead))
            bp_filament_values(&value[1], lead->watt / LAMP_VOLTS, LAMP_VOLTS, BP_OPEN_OHM);
    }
}

double bp_lead_amps(const bp_deck *deck, const double *volts, size_t i) {
    const bp_element *own = bp_deck_element_of_value(deck, first_value(deck, i));
    return (volts[own->plus] - volts[own->minus]) / sorts[deck->plan.lead[i].sort].ohm;
}

double bp_lead_volts(const bp_deck *deck, const double *volts, size_t i) {
    const size_t *face = deck->plan.lead[i].face;
    return volts[bp_deck_node_of_face(deck, face[0])] - volts[bp_deck_node_of_face(deck, face[1])];
}

void bp_lead_name(const bp_circuit *circuit, const bp_patch *lead, char *text, size_t size) {
    char what[40], red[64], black[64];
    snprintf(what, sizeof what, "%s", is_lamp(lead) ? "" : sorts[lead->sort].what);
    if (is_lamp(lead))
        snprintf(what, sizeof what, "a lamp of %g W", lead->watt);
    bp_face_name(circuit, lead->face[0], red, sizeof red);
    bp_face_name(circuit, lead->face[1], black, sizeof black);
    if (lead->sort == BP_LEAD_BULB)
        snprintf(text, size, "%s in the place of %s", what, circuit->parts[lead->part].id);
    else
        snprintf(text, size, "%s from %s to %s", what, red, black);
}

void bp_lead_label(const bp_circuit *circuit, const bp_patch *lead, char *text, size_t size) {
    const sort *s = &sorts[lead->sort];
    char end[2][64];
    for (int i = 0; i < 2; i++)
        bp_face_name(circuit, lead->face[i], end[i], sizeof end[i]);
    if (lead->part != BP_NONE)
        snprintf(text, size, "%s %s", s->label, circuit->parts[lead->part].id);
    else if (s->names == BOTH_ENDS)
        snprintf(text, size, "%s %s to %s", s->label, end[0], end[1]);
    else
        snprintf(text, size, "%s %s", s->label, end[s->names == BLACK_END]);
}

static const char *const lead_says[] = {"carries", "nothing"};

/* Less than this through a lead is nothing to anybody, A. */
#define NOTHING 1e-3

void bp_lead_behave(const bp_deck *deck, const double *volts, size_t i, bp_behaviour *out) {
    const bp_patch *lead = &deck->plan.lead[i];
    const double amps = bp_lead_amps(deck, volts, i);
    char text[40];
    if (is_lamp(lead)) {
        bp_filament_behave(bp_filament_light(bp_lead_volts(deck, volts, i), LAMP_VOLTS), out);
        out->senses = BP_SEEN;
        return;
    }
    out->value = amps;
    out->unit = BP_UNIT_AMPERE;
    out->says = lead_says[fabs(amps) < NOTHING];
    bp_quantity_format(fabs(amps), BP_UNIT_AMPERE, 2, text, sizeof text);
    snprintf(out->words, sizeof out->words, "carries %s",
             fabs(amps) < NOTHING ? "no current" : text);
}
