/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Voltmeter, DC: 10 Mohm input. 6000 counts, 0.5 % + 2 counts: data-sheet typical for a workshop
 * multimeter. The loaded voltmeter is the same display behind 3 kohm: data-sheet typical for the
 * low-impedance range of multimeters that have one, where values from 3 kohm to some hundred kohm
 * are met. What leakage or a wire beside another feeds into an open end (a ghost voltage) breaks
 * down under its 4 mA; a corroded contact of some ohms still does not show.
 */
#include <math.h>

#include "sim/instrument.h"

#define INPUT_OHM 10e6
#define LOADED_INPUT_OHM 3e3
#define PERCENT 0.005
#define COUNTS 2

/* Volts: ranges 6, 60, 600 V; lowest count 1 mV. Millivolts: one range of 600 mV, 0.1 mV. */
enum { VOLT_RANGES = 3 };
#define VOLT_COUNT 1e-3
#define VOLT_MOST 600.0
#define MILLIVOLT_COUNT 1e-4
#define MILLIVOLT_MOST 0.6

static void sites(bp_builder *b, const bp_plan *plan, double ohm) {
    for (size_t i = 0; i < plan->n_pairs; i++)
        bp_build_site(b, bp_build_face(b, plan->pair[i][0]), bp_build_face(b, plan->pair[i][1]),
                      ohm);
}

static void elements(bp_builder *b, const bp_plan *plan) { sites(b, plan, INPUT_OHM); }
static void elements_loaded(bp_builder *b, const bp_plan *plan) {
    sites(b, plan, LOADED_INPUT_OHM);
}

static void connect(const bp_deck *deck, size_t pair, double *values) {
    for (size_t i = 0; i < deck->plan.n_pairs; i++)
        values[deck->first_meter + i] = i == pair ? deck->site_ohm : BP_OPEN_OHM;
}

static bp_raw read_up_to(const bp_rig *rig, size_t pair, double most) {
    bp_raw raw = BP_RAW_INIT;
    raw.value =
        rig->volts[bp_meter_red(rig->deck, pair)] - rig->volts[bp_meter_black(rig->deck, pair)];
    if (fabs(raw.value) >= most)
        raw.status = BP_READING_OVER;
    return raw;
}

static bp_raw read_volts(bp_rig *rig, size_t pair) { return read_up_to(rig, pair, VOLT_MOST); }

static bp_raw read_loaded(bp_rig *rig, size_t pair) {
    bp_raw raw = read_volts(rig, pair);
    raw.loaded = raw.value;
    return raw;
}

static bp_raw read_millivolts(bp_rig *rig, size_t pair) {
    return read_up_to(rig, pair, MILLIVOLT_MOST);
}

static double count_volts(double value) { return bp_count_of(value, VOLT_COUNT, VOLT_RANGES); }

static double count_millivolts(double value) {
    (void)value;
    return MILLIVOLT_COUNT;
}

static void show_volts(double value, char *text, size_t size) {
    bp_show_counts(value, count_volts(value), BP_UNIT_VOLT, text, size);
}

static double accuracy_volts(double value) {
    return PERCENT * fabs(value) + COUNTS * count_volts(value);
}

static void show_millivolts(double value, char *text, size_t size) {
    bp_show_counts(value, MILLIVOLT_COUNT, BP_UNIT_VOLT, text, size);
}

static double accuracy_millivolts(double value) {
    return PERCENT * fabs(value) + COUNTS * MILLIVOLT_COUNT;
}

const bp_instrument_def bp_meter_volts = {.unit = BP_UNIT_VOLT,
                                          .light = true,
                                          .elements = elements,
                                          .connect = connect,
                                          .read = read_volts,
                                          .count = count_volts,
                                          .show = show_volts,
                                          .accuracy = accuracy_volts};

const bp_instrument_def bp_meter_volts_loaded = {.unit = BP_UNIT_VOLT,
                                                 .light = true,
                                                 .draws = true,
                                                 .elements = elements_loaded,
                                                 .connect = connect,
                                                 .read = read_loaded,
                                                 .count = count_volts,
                                                 .show = show_volts,
                                                 .accuracy = accuracy_volts};

const bp_instrument_def bp_meter_millivolts = {.unit = BP_UNIT_VOLT,
                                               .light = true,
                                               .elements = elements,
                                               .connect = connect,
                                               .read = read_millivolts,
                                               .count = count_millivolts,
                                               .show = show_millivolts,
                                               .accuracy = accuracy_millivolts};
