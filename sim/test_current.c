/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/test_current.h"

#include <math.h>

/* Data-sheet typical of a workshop multimeter, in both ranges. */
#define SOURCE_VOLTS 3.0
#define INPUT_OHM 10e6
#define LEAD_OHM 0.1 /* each: common practice */
#define LIVE_VOLTS 10e-3

/* Places of the values. */
enum { SOURCE, RANGE, INPUT, LEADS };

void bp_test_current_elements(bp_builder *b, const bp_plan *plan) {
    const size_t red = bp_build_node(b), black = bp_build_node(b), inside = bp_build_node(b);
    bp_build_voltage(b, inside, black);
    bp_build_resistor(b, inside, red);
    bp_build_resistor(b, red, black);
    bp_leads_build(b, plan, red, black);
}

void bp_test_current_connect(const bp_deck *deck, size_t pair, double *values) {
    double *own = &values[deck->first_meter];
    own[SOURCE] = SOURCE_VOLTS;
    own[RANGE] = BP_OPEN_OHM;
    own[INPUT] = INPUT_OHM;
    bp_leads_connect(deck, LEADS, pair, LEAD_OHM, values);
}

/* Volts across one of the meter's own elements. */
static double across(const bp_rig *rig, size_t place) {
    const bp_deck *d = rig->deck;
    const bp_element *e = &d->element[d->element_of[d->first_meter + place]];
    return rig->volts[e->plus] - rig->volts[e->minus];
}

double bp_test_current_standing(const bp_rig *rig) { return across(rig, INPUT); }
bool bp_test_current_is_live(double standing) { return fabs(standing) > LIVE_VOLTS; }

bool bp_test_current_inject(bp_rig *rig, double ohm) {
    double *own = &rig->values[rig->deck->first_meter];
    own[INPUT] = BP_OPEN_OHM;
    own[RANGE] = ohm;
    return bp_session_solve(rig->session, rig->values, rig->volts);
}

double bp_test_current_volts(const bp_rig *rig) { return across(rig, INPUT); }

double bp_test_current_amps(const bp_rig *rig) {
    return across(rig, RANGE) / rig->values[rig->deck->first_meter + RANGE];
}
