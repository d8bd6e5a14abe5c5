/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/us_units.h"
#include "cli/describe.h"
#include "cli/screen.h"

void bp_describe_value(double value, bp_unit unit, bool us_units, char *text, size_t size) {
    bp_quantity_in(us_units, value, unit, 3, text, size);
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
