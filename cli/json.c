/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/json.h"

/* A meter shows five digits at most; nine leave no doubt of rounding and keep the text short. */
enum { DIGITS = 9 };

json_t *bp_json_number(double value) {
    return bp_must(isfinite(value) ? json_real(value) : json_null());
}

json_t *bp_json_text(const char *text) {
    if (!text)
        return json_null();
    json_t *string = json_string(text);
    if (string)
        return string;
    char *clean = bp_clean_utf8(text);
    string = bp_must(json_string(clean));
    free(clean);
    return string;
}

const char *bp_unit_plain(bp_unit unit) {
    static const char *const names[] = {
        [BP_UNIT_NONE] = NULL,      [BP_UNIT_VOLT] = "V",   [BP_UNIT_AMPERE] = "A",
        [BP_UNIT_OHM] = "ohm",      [BP_UNIT_WATT] = "W",   [BP_UNIT_FARAD] = "F",
        [BP_UNIT_HENRY] = "H",      [BP_UNIT_METRE] = "m",  [BP_UNIT_AREA] = "m2",
        [BP_UNIT_CELSIUS] = "degC", [BP_UNIT_SECOND] = "s", [BP_UNIT_FRACTION] = "fraction",
        [BP_UNIT_RPM] = "rev/min",  [BP_UNIT_HERTZ] = "Hz", [BP_UNIT_AMPERE_HOUR] = "Ah",
    };
    return names[unit];
}

json_t *bp_json_unit(bp_unit unit) { return bp_json_text(bp_unit_plain(unit)); }

json_t *bp_json_texts(const char *const *texts, size_t n) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < n; i++)
        bp_json_append(array, bp_json_text(texts[i]));
    return array;
}

void bp_json_set(json_t *object, const char *key, json_t *value) {
    if (json_object_set_new(object, key, value) != 0)
        bp_must(NULL);
}

void bp_json_append(json_t *array, json_t *value) {
    if (json_array_append_new(array, value) != 0)
        bp_must(NULL);
}

json_t *bp_json_object(void) { return bp_must(json_object()); }
json_t *bp_json_array(void) { return bp_must(json_array()); }

static json_t *senses_json(unsigned senses) {
    json_t *array = bp_json_array();
#define X(code, bit, name)                                                                         \
    if (senses & code)                                                                             \
        bp_json_append(array, bp_json_text(name));
    BP_SENSE_LIST(X)
#undef X
    return array;
}

json_t *bp_json_notice(const bp_notice *notice) {
    json_t *object = bp_json_object();
    bp_json_set(object, "part", bp_json_text(notice->part));
    bp_json_set(object, "says", bp_json_text(notice->says));
    bp_json_set(object, "words", bp_json_text(notice->words));
    bp_json_set(object, "value", bp_json_number(notice->value));
    bp_json_set(object, "unit", bp_json_unit(notice->unit));
    bp_json_set(object, "senses", senses_json(notice->senses));
    return object;
}

json_t *bp_json_faults(const char *faults) {
    json_t *array = bp_json_array();
    while (faults && strcmp(faults, "healthy") != 0 && *faults) {
        size_t n = strcspn(faults, "+");
        char *one = bp_must(strndup(faults, n));
        bp_json_append(array, bp_json_text(one));
        free(one);
        faults += n + (faults[n] == '+');
    }
    return array;
}

void bp_json_print(const bp_screen *out, json_t *document) {
    json_dumpf(document, out->file, JSON_INDENT(2) | JSON_REAL_PRECISION(DIGITS));
    fputc('\n', out->file);
    json_decref(document);
}
