/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Writing fault cases: as text that is read back, and as words for people.
 */
#include "circuits/fault_parts.h"
#include "circuits/us_units.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* A text under construction: like snprintf, it counts on past the end of its room. */
typedef struct writer {
    bool us_units;
    char *text;
    size_t size, used;
} writer;

static void put(writer *w, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void put(writer *w, const char *format, ...) {
    va_list arguments;
    size_t left = w->used < w->size ? w->size - w->used : 0;
    va_start(arguments, format);
    int n = vsnprintf(left ? w->text + w->used : NULL, left, format, arguments);
    va_end(arguments);
    w->used += n > 0 ? (size_t)n : 0;
}

static void put_sub(writer *w, const bp_part *part, size_t sub) {
    if (bp_fault_n_cavities(part) > 0)
        put(w, "%zu", sub + 1);
    else
        put(w, "%s", part->pins[sub].name);
}

static void put_packed(writer *w, double value, bp_unit unit) {
    char text[64];
    bp_quantity_write(value, unit, text, sizeof text);
    for (const char *p = text; *p; p++)
        if (*p != ' ')
            put(w, "%c", *p);
}

static void put_when(writer *w, const bp_fault *fault) {
    static const char *const words[] = {
        [BP_TUGGED] = "tugged", [BP_HEATED] = "heated",        [BP_COOLED] = "cooled",
        [BP_WET] = "wet",       [BP_ENGINE_ABOVE] = "engine>", [BP_ENGINE_BELOW] = "engine<"};
    if (fault->when == BP_ALWAYS)
        return;
    put(w, "@%s", words[fault->when]);
    if (fault->when == BP_ENGINE_ABOVE || fault->when == BP_ENGINE_BELOW)
        put_packed(w, fault->when_value, BP_UNIT_CELSIUS);
}

static void put_fault(writer *w, const bp_circuit *circuit, const bp_fault *fault) {
    const bp_part *part = &circuit->parts[fault->part];
    const bp_mode_decl *mode = bp_fault_mode(circuit, fault);
    put(w, "%s", part->id);
    if (fault->sub != BP_NONE) {
        put(w, ".");
        put_sub(w, part, fault->sub);
    }
    put(w, ":%s", mode->id);
    if (fault->partner != BP_NONE)
        put(w, "=%s", circuit->parts[fault->partner].id);
    if (fault->partner_sub != BP_NONE) {
        put(w, "=%s.", part->id);
        put_sub(w, part, fault->partner_sub);
    }
    bool paired = mode->partner != BP_PARTNER_NONE;
    if (!isnan(fault->severity) && fault->severity != mode->typical) {
        put(w, paired ? "," : "=");
        put_packed(w, fault->severity, mode->unit);
    }
    put_when(w, fault);
}

int bp_fault_write(const bp_circuit *circuit, const bp_fault_case *faults, char *text,
                   size_t size) {
    writer w = {.size = size};
    w.text = text;
    if (faults->n == 0)
        put(&w, "healthy");
    for (size_t i = 0; i < faults->n; i++) {
        put(&w, i ? "+" : "");
        put_fault(&w, circuit, &faults->fault[i]);
    }
    return (int)w.used;
}

/* "K2 (horn relay)", "W7 (GN 1.5 mm²)". */
static void put_name(writer *w, const bp_part *part) {
    put(w, "%s", part->id);
    if (part->label) {
        put(w, " (%s)", part->label);
    } else if (part->kind == &bp_kind_wire) {
        char size[40];
        const char *colour = part->text[bp_kind_param(&bp_kind_wire, "colour")];
        double area = part->param[bp_kind_param(&bp_kind_wire, "size")];
        bp_quantity_in(w->us_units, area, BP_UNIT_AREA, 3, size, sizeof size);
        if (colour || !isnan(area))
            put(w, " (%s%s%s)", colour ? colour : "", colour && !isnan(area) ? " " : "",
                isnan(area) ? "" : size);
    }
}

static void put_subject(writer *w, const bp_part *part, size_t sub) {
    if (sub != BP_NONE) {
        bool bolted = bp_fault_n_cavities(part) == 0 && part->pins[sub].sort == BP_PIN_BOLTED;
        put(w, "%s ", bolted ? "terminal" : "pin");
        put_sub(w, part, sub);
        put(w, " of ");
    }
    put_name(w, part);
}

/* The mode's words with the subject for their %s, and then what it reaches to. */
static void put_words(writer *w, const bp_circuit *circuit, const bp_fault *fault) {
    const bp_part *part = &circuit->parts[fault->part];
    const char *words = bp_fault_mode(circuit, fault)->words;
    const char *slot = strstr(words, "%s");
    put(w, "%.*s", (int)(slot ? slot - words : 0), words);
    put_subject(w, part, fault->sub);
    put(w, "%s", slot ? slot + 2 : " ");
    if (!slot)
        put(w, "%s", words);
    if (fault->partner != BP_NONE) {
        put(w, " ");
        put_name(w, &circuit->parts[fault->partner]);
    }
    if (fault->partner_sub != BP_NONE) {
        put(w, " pin ");
        put_sub(w, part, fault->partner_sub);
    }
}

static void put_condition(writer *w, const bp_fault *fault) {
    static const char *const words[] = {[BP_TUGGED] = "when tugged",
                                        [BP_HEATED] = "when heated",
                                        [BP_COOLED] = "when cooled",
                                        [BP_WET] = "when wet",
                                        [BP_ENGINE_ABOVE] = "with the engine above ",
                                        [BP_ENGINE_BELOW] = "with the engine below "};
    char value[40] = "";
    if (fault->when == BP_ALWAYS)
        return;
    if (fault->when == BP_ENGINE_ABOVE || fault->when == BP_ENGINE_BELOW)
        bp_quantity_in(w->us_units, fault->when_value, BP_UNIT_CELSIUS, 3, value, sizeof value);
    put(w, ", only %s%s", words[fault->when], value);
}

/* "air gap wider than it should be, by" goes on with how much. */
static bool ends_in_by(const writer *w) {
    static const char by[] = " by";
    const size_t n = sizeof by - 1;
    return w->used >= n && w->used < w->size && strcmp(&w->text[w->used - n], by) == 0;
}

int bp_fault_words(const bp_circuit *circuit, const bp_fault_case *faults, char *text,
                   size_t size) {
    return bp_fault_words_in(false, circuit, faults, text, size);
}

int bp_fault_words_in(bool us_units, const bp_circuit *circuit, const bp_fault_case *faults,
                      char *text, size_t size) {
    writer w = {.us_units = us_units, .size = size};
    w.text = text;
    if (faults->n == 0)
        put(&w, "no fault");
    for (size_t i = 0; i < faults->n; i++) {
        const bp_fault *fault = &faults->fault[i];
        const bp_part *part = &circuit->parts[fault->part];
        put(&w, i ? " and " : "");
        put_words(&w, circuit, fault);
        if (!isnan(fault->severity)) {
            char value[40];
            bp_quantity_in(us_units, fault->severity, bp_fault_mode(circuit, fault)->unit, 3, value,
                           sizeof value);
            put(&w, ends_in_by(&w) ? " %s" : ", %s", value);
        }
        if (part->kind == &bp_kind_wire && fault->sub == BP_NONE)
            put(&w, ", %s to %s", circuit->parts[circuit->faces[part->pins[0].harness].part].id,
                circuit->parts[circuit->faces[part->pins[1].harness].part].id);
        put_condition(&w, fault);
    }
    return (int)w.used;
}
