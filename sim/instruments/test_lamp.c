/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Test lamp: a 12 V, 3 W filament bulb (0.25 A) that loads the circuit. Its value is the light it
 * gives as a part of that at 12 V.
 */
#include <math.h>

#include "sim/instrument.h"

#define WATT 3.0
#define LEAD_OHM 0.1
/* Light goes with the 3.4th power of the voltage (Fink and Beaty, Standard Handbook for Electrical
 * Engineers, 11th ed., p. 22-8). A filament is seen to glow from about a fifth of its voltage, 0.5
 * % of its light; half the light and more is called bright: common practice. */
#define LIGHT_EXPONENT 3.4
#define OFF_BELOW 0.005
#define BRIGHT_FROM 0.5

/* A smoothed power law: the current goes with the 0.55th power of the voltage (same source), with a
 * finite slope at 0 that gives a cold resistance an eighth of the hot one. */
static const bp_law filament = {.id = "test-lamp filament",
                                .n_controls = 1,
                                .n_params = 1,
                                .spice = "$0/12*(#0/12)/(((#0/12)^2+1e-4)^0.225)"};

enum { POWER, LEADS };

static void elements(bp_builder *b, const bp_plan *plan) {
    const size_t red = bp_build_node(b), black = bp_build_node(b);
    const size_t across[1][2] = {{red, black}};
    bp_build_law(b, &filament, red, black, across);
    bp_leads_build(b, plan, red, black);
}

static void connect(const bp_deck *deck, size_t pair, double *values) {
    values[deck->first_meter + POWER] = WATT;
    bp_leads_connect(deck, LEADS, pair, LEAD_OHM, values);
}

static bp_raw read_lamp(bp_rig *rig, size_t pair) {
    (void)pair;
    const bp_deck *d = rig->deck;
    const bp_element *e = &d->element[d->element_of[d->first_meter + POWER]];
    bp_raw raw = BP_RAW_INIT;
    raw.loaded = rig->volts[e->plus] - rig->volts[e->minus];
    raw.value = pow(fabs(raw.loaded) / 12, LIGHT_EXPONENT);
    return raw;
}

static void show(double value, char *text, size_t size) {
    bp_show_light(value, OFF_BELOW, BRIGHT_FROM, text, size);
}

static double accuracy(double value) {
    (void)value;
    return 0;
}

/* A thousandth of its light: nobody sees that. Light changes by no more than with the 3.4th power
 * at full voltage. */
static double slight(const bp_rig *rig, double value) {
    (void)rig;
    (void)value;
    return 1e-3 * 12 / LIGHT_EXPONENT;
}

const bp_instrument_def bp_meter_lamp = {.unit = BP_UNIT_FRACTION,
                                         .elements = elements,
                                         .connect = connect,
                                         .read = read_lamp,
                                         .slight = slight,
                                         .show = show,
                                         .accuracy = accuracy,
                                         .caution = "no place for a bulb if it is a reference or "
                                                    "a signal: it may harm what gives it"};
