/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/instrument.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <backprobe/quantity.h>

const bp_instrument_def *const bp_instruments[BP_N_INSTRUMENTS] = {
    [BP_VOLTS] = &bp_meter_volts,
    [BP_VOLTS_LOADED] = &bp_meter_volts_loaded,
    [BP_MILLIVOLTS] = &bp_meter_millivolts,
    [BP_OHMS] = &bp_meter_ohms,
    [BP_AMPS] = &bp_meter_amps,
    [BP_AMPS_CLAMP] = &bp_meter_clamp,
    [BP_DIODE_TEST] = &bp_meter_diode,
    [BP_TEST_LAMP] = &bp_meter_lamp,
    [BP_LED_LAMP] = &bp_meter_led_lamp,
    [BP_SPARK] = &bp_meter_spark,
    [BP_VOLTS_AC] = &bp_meter_volts_ac,
    [BP_DUTY] = &bp_meter_duty,
    [BP_HERTZ] = &bp_meter_hertz,
};

static const char *const names[] = {
#define X(code, name, words) [code] = name,
    BP_INSTRUMENT_LIST(X)
#undef X
};

const char *bp_instrument_name(bp_instrument instrument) { return names[instrument]; }

bool bp_instrument_find(const char *name, bp_instrument *instrument) {
    for (int i = 0; i < BP_N_INSTRUMENTS; i++)
        if (strcmp(names[i], name) == 0) {
            *instrument = (bp_instrument)i;
            return true;
        }
    return false;
}

bp_raw bp_raw_none(bp_why why, double why_value) {
    bp_raw raw = BP_RAW_INIT;
    raw.status = BP_READING_NONE;
    raw.why = why;
    raw.why_value = why_value;
    return raw;
}

static void write_whole(const char *format, const char *value, char *text, size_t size) {
    const char *hole = strstr(format, "%s");
    if (!hole)
        snprintf(text, size, "%s", format);
    else
        snprintf(text, size, "%.*s%s%s", (int)(hole - format), format, value, hole + 2);
}

void bp_why_write(bp_why why, double value, char *text, size_t size) {
    static const struct {
        bp_unit unit;
        const char *format;
    } whys[] = {
#define X(code, unit, text) [code] = {unit, text},
        BP_WHY_LIST(X)
#undef X
    };
    char number[40] = "";
    if (isfinite(value))
        bp_quantity_format(value, whys[why].unit, 2, number, sizeof number);
    write_whole(whys[why].format, number, text, size);
}

size_t bp_meter_red(const bp_deck *deck, size_t pair) {
    return bp_deck_node_of_face(deck, deck->plan.pair[pair][0]);
}

size_t bp_meter_black(const bp_deck *deck, size_t pair) {
    return bp_deck_node_of_face(deck, deck->plan.pair[pair][1]);
}

void bp_leads_build(bp_builder *b, const bp_plan *plan, size_t red, size_t black) {
    for (size_t i = 0; i < plan->n_pairs; i++) {
        bp_build_resistor(b, bp_build_face(b, plan->pair[i][0]), red);
        bp_build_resistor(b, black, bp_build_face(b, plan->pair[i][1]));
    }
}

void bp_leads_connect(const bp_deck *deck, size_t first, size_t pair, double ohm, double *values) {
    double *lead = &values[deck->first_meter + first];
    for (size_t i = 0; i < deck->plan.n_pairs; i++)
        lead[2 * i] = lead[2 * i + 1] = i == pair ? ohm : BP_OPEN_OHM;
}

double bp_count_of(double value, double lowest, int ranges) {
    double count = lowest;
    /* Half a count below full scale the display rounds up into the next range. */
    for (int i = 1; i < ranges && fabs(value) >= 5999.5 * count; i++)
        count *= 10;
    return count;
}

void bp_show_counts(double value, double count, bp_unit unit, char *text, size_t size) {
    /* The prefix is the range's, not the value's: a meter on its 600 mV range shows 0.0 mV. */
    double scale = 1;
    const char *prefix = "";
    if (count >= 0.9e3)
        scale = 1e6, prefix = "M";
    else if (count >= 0.9 && unit == BP_UNIT_OHM)
        scale = 1e3, prefix = "k";
    else if (count < 0.9e-3)
        scale = 1e-3, prefix = "m";
    const int digits = (int)fmax(0, round(log10(scale / count)));
    double shown = count * round(value / count) / scale;
    if (shown == 0)
        shown = 0; /* never "-0.00" */
    snprintf(text, size, "%.*f %s%s", digits, shown, prefix, bp_unit_symbol(unit));
}

void bp_show_light(double value, double off_below, double bright_from, char *text, size_t size) {
    snprintf(text, size, "%s", value < off_below ? "off" : value < bright_from ? "dim" : "bright");
}
