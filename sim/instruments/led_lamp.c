/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Test lamp with light-emitting diodes: two of them the opposite way round, so that it lights
 * either way, behind 1 kohm: 10 mA at 12 V, 3 mA at 5 V, 20 mA at 22 V (common practice: such lamps
 * take 5 to 20 mA). It spares electronics and lights through resistances at which a bulb stays
 * dark. Its value is the current as a part of 10 mA, since these diodes' light goes with their
 * current.
 */
#include <math.h>

#include "sim/instrument.h"

#define SERIES_OHM 1e3
#define LEAD_OHM 0.1
#define RATED_AMPERE 10e-3
/* 1.9 V at 10 mA and 1.78 V at 1 mA: a red diode, data-sheet typical, from memory. */
#define SATURATION 1.1e-18
#define EMISSION 2.0
/* A diode is seen to glow from some tenths of a milliampere in a workshop's light; half the light
 * and more is called bright: common practice. */
#define OFF_BELOW 0.03
#define BRIGHT_FROM 0.5

enum { SERIES, LEADS };

static void elements(bp_builder *b, const bp_plan *plan) {
    const size_t red = bp_build_node(b), black = bp_build_node(b), inside = bp_build_node(b);
    bp_build_resistor(b, red, inside);
    bp_build_diode(b, inside, black, SATURATION, EMISSION);
    bp_build_diode(b, black, inside, SATURATION, EMISSION);
    bp_leads_build(b, plan, red, black);
}

static void connect(const bp_deck *deck, size_t pair, double *values) {
    values[deck->first_meter + SERIES] = SERIES_OHM;
    bp_leads_connect(deck, LEADS, pair, LEAD_OHM, values);
}

static bp_raw read_lamp(bp_rig *rig, size_t pair) {
    const bp_deck *d = rig->deck;
    const bp_element *e = &d->element[d->element_of[d->first_meter + SERIES]];
    bp_raw raw = BP_RAW_INIT;
    raw.value = fabs(rig->volts[e->plus] - rig->volts[e->minus]) / SERIES_OHM / RATED_AMPERE;
    raw.loaded = rig->volts[bp_meter_red(d, pair)] - rig->volts[bp_meter_black(d, pair)];
    return raw;
}

static void show(double value, char *text, size_t size) {
    bp_show_light(value, OFF_BELOW, BRIGHT_FROM, text, size);
}

static double accuracy(double value) {
    (void)value;
    return 0;
}

/* A thousandth of its light: nobody sees that. */
static double slight(const bp_rig *rig, double value) {
    (void)rig;
    (void)value;
    return 1e-3 * SERIES_OHM * RATED_AMPERE;
}

const bp_instrument_def bp_meter_led_lamp = {.unit = BP_UNIT_FRACTION,
                                             .elements = elements,
                                             .connect = connect,
                                             .read = read_lamp,
                                             .slight = slight,
                                             .show = show,
                                             .accuracy = accuracy};
