/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ammeter in line: a 10 mohm shunt and two leads of 10 mohm, so 30 mohm between the tips; 10 A
 * fuse; 1.5 % + 3 counts: data-sheet typical for the 10 A range of a workshop multimeter.
 */
#include <math.h>

#include "sim/instrument.h"

#define SHUNT_OHM 10e-3
#define LEAD_OHM 10e-3
#define FUSE_AMPERE 10.0
#define LOWEST_COUNT 1e-3 /* 6.000 A, 10.00 A */
#define PERCENT 0.015
#define COUNTS 3
enum { RANGES = 2 };

enum { SHUNT, LEADS };

static void elements(bp_builder *b, const bp_plan *plan) {
    const size_t red = bp_build_node(b), black = bp_build_node(b);
    bp_build_resistor(b, red, black);
    bp_leads_build(b, plan, red, black);
}

static void connect(const bp_deck *deck, size_t pair, double *values) {
    values[deck->first_meter + SHUNT] = SHUNT_OHM;
    bp_leads_connect(deck, LEADS, pair, LEAD_OHM, values);
}

static bp_raw read_amps(bp_rig *rig, size_t pair) {
    (void)pair;
    const bp_deck *d = rig->deck;
    const bp_element *e = &d->element[d->element_of[d->first_meter + SHUNT]];
    bp_raw raw = BP_RAW_INIT;
    raw.value = (rig->volts[e->plus] - rig->volts[e->minus]) / SHUNT_OHM;
    if (fabs(raw.value) > FUSE_AMPERE)
        return bp_raw_none(BP_WHY_METER_FUSE, raw.value);
    return raw;
}

static double count(double value) { return bp_count_of(value, LOWEST_COUNT, RANGES); }

static void show(double value, char *text, size_t size) {
    bp_show_counts(value, count(value), BP_UNIT_AMPERE, text, size);
}

static double accuracy(double value) { return PERCENT * fabs(value) + COUNTS * count(value); }

static double slight(const bp_rig *rig, double value) {
    (void)rig;
    return BP_SLIGHT * accuracy(value) * SHUNT_OHM;
}

const bp_instrument_def bp_meter_amps = {.unit = BP_UNIT_AMPERE,
                                         .from_start = true,
                                         .elements = elements,
                                         .connect = connect,
                                         .read = read_amps,
                                         .slight = slight,
                                         .show = show,
                                         .accuracy = accuracy};
