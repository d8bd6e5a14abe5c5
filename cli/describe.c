/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/describe.h"
#include "cli/screen.h"

/* American wire gauge by ASTM B258: diameter 0.127 mm * 92^((36 - n)/39). Even gauges are what is
 * sold down to 2. */
static void write_gauge(double area, char *text, size_t size) {
    double millimetres = 2e3 * sqrt(area / acos(-1));
    double exact = 36 - 39 * log(millimetres / 0.127) / log(92);
    double gauge = exact > 1 ? 2 * round(exact / 2) : round(exact);
    const char *about = fabs(exact - gauge) < 0.1 ? "" : "≈ ";
    if (gauge < 0)
        snprintf(text, size, "%s%.0f/0 AWG", about, 1 - gauge);
    else
        snprintf(text, size, "%s%.0f AWG", about, gauge);
}

void bp_describe_value(double value, bp_unit unit, bool us_units, char *text, size_t size) {
    enum { FOOT_DIGITS = 1 };
    if (us_units && unit == BP_UNIT_AREA)
        write_gauge(value, text, size);
    else if (us_units && unit == BP_UNIT_METRE)
        snprintf(text, size, "%.*f ft", FOOT_DIGITS, value / 0.3048);
    else if (us_units && unit == BP_UNIT_CELSIUS)
        snprintf(text, size, "%.0f °F", value * 9 / 5 + 32);
    else
        bp_quantity_format(value, unit, 3, text, size);
}

static void add_value(FILE *f, const char *before, double value, bp_unit unit, bool us_units,
                      const char *after) {
    char text[48];
    if (isnan(value))
        return;
    bp_describe_value(value, unit, us_units, text, sizeof text);
    fprintf(f, "%s%s%s%s", ftell(f) > 0 ? ", " : "", before, text, after);
}

static void add_supply(FILE *f, const bp_state *state, bool us_units) {
    const char *comma = ftell(f) > 0 ? ", " : "";
    switch (state->supply) {
    case BP_SUPPLY_REST:
        break;
    case BP_SUPPLY_CHARGING:
        fprintf(f, "%scharging", comma);
        break;
    case BP_SUPPLY_CRANKING:
        add_value(f, "cranking at ", state->supply_value, BP_UNIT_AMPERE, us_units, "");
        break;
    case BP_SUPPLY_VOLTS:
        add_value(f, "battery at ", state->supply_value, BP_UNIT_VOLT, us_units, "");
        break;
    }
}

char *bp_describe_settings(const bp_circuit *circuit, const bp_state *state, bool us_units) {
    char *words = NULL;
    size_t size;
    FILE *f = bp_must(open_memstream(&words, &size));
    for (size_t i = 0; i < state->n_settings; i++) {
        const bp_part *part = &circuit->parts[state->settings[i].part];
        fprintf(f, "%s%s %s", ftell(f) > 0 ? ", " : "", part->id,
                bp_part_setting_name(part, state->settings[i].setting));
    }
    add_supply(f, state, us_units);
    add_value(f, "", state->speed, BP_UNIT_RPM, us_units, "");
    add_value(f, "around it ", state->ambient, BP_UNIT_CELSIUS, us_units, "");
    add_value(f, "engine ", state->engine, BP_UNIT_CELSIUS, us_units, "");
    add_value(f, "lasts ", state->lasts, BP_UNIT_SECOND, us_units, "");
    if (fclose(f) != 0)
        bp_must(NULL);
    return bp_must(words);
}
