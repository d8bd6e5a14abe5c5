/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Names of places and conditions, for people.
 */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "render/sheet_facts.h"

/* Appends to a text that may be full; n counts what would have been written, as snprintf does. */
static void append(char *text, size_t size, int *n, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

static void append(char *text, size_t size, int *n, const char *format, ...) {
    size_t at = (size_t)*n < size ? (size_t)*n : size;
    va_list list;
    va_start(list, format);
    int more = vsnprintf(text + at, size - at, format, list);
    va_end(list);
    *n += more > 0 ? more : 0;
}

static const char *pin_name(const bp_pin *pin) {
    return strcmp(pin->name, "-") == 0 ? "−" : pin->name;
}

int bp_face_words(const bp_circuit *circuit, size_t face, char *text, size_t size) {
    const bp_face *f = &circuit->faces[face];
    const bp_part *part = &circuit->parts[f->part];
    const bp_pin *pin = &part->pins[f->pin];
    const char *what = part->label ? part->label : part->kind->words;
    if (pin->sort == BP_PIN_EYELET)
        return snprintf(text, size, "%s %s, %s", what, part->id,
                        f->part_side ? pin->name : "ring terminal");
    if (pin->sort == BP_PIN_BOLTED)
        return snprintf(text, size, "%s %s, %s %s", what, part->id,
                        f->part_side ? "post" : "clamp on post", pin_name(pin));
    return snprintf(text, size, "%s %s, pin %s%s", what, part->id, pin_name(pin),
                    f->part_side && pin->own != pin->harness ? " of the part itself" : "");
}

int bp_point_words(const bp_circuit *circuit, const bp_point *point, char *text, size_t size) {
    const bp_face *face = &circuit->faces[point->face];
    const bp_part *part = &circuit->parts[face->part];
    int n = 0;
    if (point->reach == BP_FUSE_TAB)
        append(text, size, &n, "%s %s, test tab %s", part->label ? part->label : part->kind->words,
               part->id, part->pins[face->pin].name);
    else
        n = bp_face_words(circuit, point->face, text, size);
    return n;
}

int bp_reach_words(const bp_point *point, char *text, size_t size) {
    static const char *const words[] = {
        [BP_BACK_PROBE] = "back-probe",
        [BP_FUSE_TAB] = "fuse tab",
        [BP_BREAKOUT_LEAD] = "breakout lead",
        [BP_PLUG_OPEN] = "plug open: unloaded",
        [BP_SOCKET_PART_OUT] = "socket, part out: unloaded",
    };
    if (point->reach == BP_FUSE_TAB && !point->note)
        return snprintf(text, size, "%s", ""); /* its name says so */
    return snprintf(text, size, "%s%s%s", words[point->reach], point->note ? ", " : "",
                    point->note ? point->note : "");
}

void bp_degrees_text(double celsius, bool us_units, char *text, size_t size) {
    const double shown = round(us_units ? celsius * 9 / 5 + 32 : celsius);
    snprintf(text, size, "%s%.0f %s", shown < 0 ? "−" : "", fabs(shown), us_units ? "°F" : "°C");
}

static void append_degrees(char *text, size_t size, int *n, const char *what, double celsius,
                           bool us_units) {
    char degrees[32];
    bp_degrees_text(celsius, us_units, degrees, sizeof degrees);
    append(text, size, n, "%s%s%s", *n ? ", " : "", what, degrees);
}

static bool is_said(const char *text, const char *word) { return text && strstr(text, word); }

/* How the supply is, unless the state's own words say so. */
static void append_supply(char *text, size_t size, int *n, const bp_state *state) {
    const char *word = state->supply == BP_SUPPLY_CHARGING   ? "charging"
                       : state->supply == BP_SUPPLY_CRANKING ? "cranking"
                                                             : NULL;
    if (word && !is_said(state->label, word) && !is_said(state->id, word))
        append(text, size, n, "%s%s", *n ? ", " : "", word);
}

int bp_state_words(const bp_circuit *circuit, const bp_state *state, bool us_units, char *text,
                   size_t size) {
    int n = 0;
    text[0] = '\0';
    if (state->label)
        append(text, size, &n, "%s", state->label);
    for (size_t i = 0; i < state->n_settings; i++) {
        const bp_part *part = &circuit->parts[state->settings[i].part];
        append(text, size, &n, "%s%s %s", n ? ", " : "", part->id,
               bp_part_setting_name(part, state->settings[i].setting));
    }
    append_supply(text, size, &n, state);
    if (!isnan(state->speed))
        append(text, size, &n, "%s%.0f rev/min", n ? ", " : "", state->speed);
    if (!isnan(state->engine))
        append_degrees(text, size, &n, "engine ", state->engine, us_units);
    return n;
}

int bp_conditions_words(const bp_facts *facts, char *text, size_t size) {
    const bp_state_column *column = &facts->columns[facts->column];
    double ambient = facts->options.ambient;
    if (isnan(ambient))
        ambient = isnan(column->state->ambient) ? 20 : column->state->ambient;
    int n = 0;
    text[0] = '\0';
    const bp_circuit *c = facts->circuit;
    const char *supply = c->feed == BP_NONE ? "" : c->parts[c->faces[c->feed].part].kind->id;
    if (column->good && !isnan(column->good->supply_volts))
        append(text, size, &n, "%s %.2f V at its posts%s", supply, column->good->supply_volts,
               column->fault ? " when good" : "");
    if (column->fault && !isnan(column->fault->supply_volts))
        append(text, size, &n, ", %.2f V with this fault", column->fault->supply_volts);
    char degrees[32], black[64];
    bp_degrees_text(ambient, facts->options.us_units, degrees, sizeof degrees);
    append(text, size, &n, "%s%s", n ? "  ·  " : "", degrees);
    bp_face_words(c, c->reference, black, sizeof black);
    append(text, size, &n, "  ·  meter 10 MΩ, DC volts  ·  black lead: %s", black);
    return n;
}
