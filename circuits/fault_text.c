/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Reading fault cases.
 */
#include "circuits/fault_parts.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/building.h"

enum { LONGEST = 160 };

typedef struct reader {
    const bp_circuit *circuit;
    char *why;
    size_t size;
    bool rule; /* reads the subject of a rule */
} reader;

static bp_status fail(const reader *r, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static bp_status fail(const reader *r, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(r->why, r->size, format, arguments);
    va_end(arguments);
    return BP_ERR_INPUT;
}

/* "unknown WHAT "word"": what there is, and a near miss. Frees the names. */
static bp_status unknown(const reader *r, const char *what, const char *word, bp_names *names) {
    char list[400], hint[100];
    fail(r, "unknown %s \"%.60s\": expected %s%s", what, word,
         bp_names_list(names, list, sizeof list), bp_names_hint(names, word, hint, sizeof hint));
    bp_status status = names->no_memory ? BP_ERR_MEMORY : BP_ERR_INPUT;
    bp_names_free(names);
    return status;
}

static char *trimmed(char *text) {
    text += strspn(text, " \t");
    size_t n = strlen(text);
    while (n > 0 && strchr(" \t", text[n - 1]))
        text[--n] = '\0';
    return text;
}

/* Cuts text at the first of `signs`; *after is what follows it, or NULL. Returns the sign, 0 when
 * none is there. */
static char cut(char *text, const char *signs, char **after) {
    size_t n = strcspn(text, signs);
    char sign = text[n];
    *after = sign ? trimmed(text + n + 1) : NULL;
    text[n] = '\0';
    return sign;
}

static bp_status find_part(const reader *r, const char *id, size_t *part) {
    *part = bp_part_find(r->circuit, id);
    if (*part != BP_NONE && r->circuit->parts[*part].kind)
        return BP_OK;
    if (id[0] == '\0')
        return fail(r, "no part is named: expected, for instance, W7:open");
    bp_names names = {0};
    bp_names_of_parts(&names, r->circuit, true);
    return unknown(r, "part", id, &names);
}

/* True when the pin, or the one that it is joined to, has a contact that can fail. */
static bool has_contact(const bp_circuit *circuit, const bp_part *part, size_t pin) {
    if (part->pins[pin].own == BP_NONE)
        return false;
    const bp_face *face = &circuit->faces[part->pins[pin].own];
    return part->kind != &bp_kind_wire &&
           bp_fault_pin_fails(&circuit->parts[face->part], face->pin);
}

/* The pin "30" of a part or "1" of a connector. */
static bp_status find_sub(const reader *r, const bp_part *part, const char *name, size_t *sub) {
    size_t n = bp_fault_n_cavities(part);
    if (n > 0) {
        size_t digits = strspn(name, "0123456789");
        size_t number = digits > 0 && digits < 5 ? (size_t)strtoul(name, NULL, 10) : 0;
        if (name[digits] != '\0' || number < 1 || number > n)
            return fail(r, "\"%.40s\" is not a pin of %s %s: expected 1 to %zu", name,
                        part->kind->words, part->id, n);
        *sub = number - 1;
        return BP_OK;
    }
    *sub = bp_pin_find(part, name);
    if (*sub != BP_NONE && has_contact(r->circuit, part, *sub))
        return BP_OK;
    if (*sub != BP_NONE)
        return fail(r, "pin %s of %s %s has no failures of its own", name, part->kind->words,
                    part->id);
    char what[120];
    bp_names names = {0};
    bp_names_of_pins(&names, part);
    snprintf(what, sizeof what, "pin of %s %.40s", part->kind->words, part->id);
    return unknown(r, what, name, &names);
}

static bp_status find_subject(const reader *r, char *text, bp_fault *out) {
    char *pin;
    cut(text, ".", &pin);
    bp_status status = find_part(r, trimmed(text), &out->part);
    if (status == BP_OK && pin)
        status = find_sub(r, &r->circuit->parts[out->part], pin, &out->sub);
    return status;
}

/* True when a mode may be named after this subject. */
static bool fits(const reader *r, const bp_fault *fault, const bp_part *part,
                 const bp_mode_decl *mode) {
    if (mode->applies && !mode->applies(part))
        return false;
    bool single = mode->scope != BP_SCOPE_PART;
    return single == (fault->sub != BP_NONE) || (r->rule && single);
}

static bp_status find_mode(const reader *r, const char *id, bp_fault *out) {
    const bp_part *part = &r->circuit->parts[out->part];
    const bp_mode_decl *modes = bp_fault_modes(part, out->sub);
    for (int i = 0; modes && modes[i].id; i++)
        if (fits(r, out, part, &modes[i]) && strcmp(modes[i].id, id) == 0) {
            out->mode = i;
            return BP_OK;
        }
    bp_names names = {0};
    for (int i = 0; modes && modes[i].id; i++)
        if (fits(r, out, part, &modes[i]))
            bp_names_add(&names, modes[i].id);
    char what[160];
    if (names.n == 0 && bp_fault_n_cavities(part) > 0)
        return fail(r, "%s %s fails pin by pin: write, for instance, %s.1:open", part->kind->words,
                    part->id, part->id);
    if (id[0] == '\0') {
        char list[400];
        fail(r, "%s %s is named without its failure: expected %s:FAILURE, one of %s",
             part->kind->words, part->id, part->id, bp_names_list(&names, list, sizeof list));
        bp_names_free(&names);
        return BP_ERR_INPUT;
    }
    snprintf(what, sizeof what, "failure of %s%s %.40s", out->sub == BP_NONE ? "" : "a pin of ",
             part->kind->words, part->id);
    return unknown(r, what, id, &names);
}

/* The wire or the neighbouring pin that a fault reaches to. */
static bp_status find_partner(const reader *r, const bp_mode_decl *mode, char *text,
                              bp_fault *out) {
    const bp_part *part = &r->circuit->parts[out->part];
    if (mode->partner == BP_PARTNER_WIRE) {
        bp_status status = find_part(r, text, &out->partner);
        if (status != BP_OK)
            return status;
        const bp_part *other = &r->circuit->parts[out->partner];
        if (other->kind != &bp_kind_wire)
            return fail(r, "%s is a %s: %s goes from a wire to another wire", other->id,
                        other->kind->words, mode->id);
        return out->partner != out->part ? BP_OK
                                         : fail(r, "%s cannot be shorted to itself", part->id);
    }
    char *pin;
    cut(text, ".", &pin);
    if (pin && strcmp(trimmed(text), part->id) != 0)
        return fail(r, "%s of %s reaches to a pin of the same connector, not of %.40s", mode->id,
                    part->id, text);
    bp_status status = find_sub(r, part, pin ? pin : text, &out->partner_sub);
    if (status != BP_OK || out->sub == BP_NONE)
        return status;
    if (out->partner_sub != out->sub + 1 && out->sub != out->partner_sub + 1)
        return fail(r, "pins %zu and %zu of %s are not next to each other", out->sub + 1,
                    out->partner_sub + 1, part->id);
    return BP_OK;
}

bp_status bp_fault_parse_severity(const bp_mode_decl *mode, const char *text, double *severity,
                                  char *why, size_t size) {
    char least[40], most[40];
    const reader r = {.why = why, .size = size};
    if (mode->scale == BP_SCALE_NONE)
        return fail(&r, "%s takes no value: it is there or it is not", mode->id);
    double value;
    bp_status status = bp_quantity_parse(text, mode->unit, &value, why, size);
    if (status != BP_OK)
        return status;
    if (!(value >= mode->lo && value <= mode->hi)) {
        bp_quantity_format(mode->lo, mode->unit, 4, least, sizeof least);
        bp_quantity_format(mode->hi, mode->unit, 4, most, sizeof most);
        return fail(&r, "%s cannot be \"%.40s\": expected %s to %s", mode->id, text, least, most);
    }
    *severity = value;
    return BP_OK;
}

static const struct {
    const char *text;
    bp_when_sort when;
} conditions[] = {
    {"tugged", BP_TUGGED}, {"heated", BP_HEATED}, {"cooled", BP_COOLED}, {"wet", BP_WET}};
enum { N_CONDITIONS = sizeof conditions / sizeof *conditions };

bp_status bp_fault_parse_when(const char *text, bp_fault *fault, char *why, size_t size) {
    const reader r = {.why = why, .size = size};
    char word[LONGEST];
    snprintf(word, sizeof word, "%s", text);
    char *bare = trimmed(word), *value;
    for (size_t i = 0; i < N_CONDITIONS; i++)
        if (strcmp(bare, conditions[i].text) == 0) {
            fault->when = conditions[i].when;
            return BP_OK;
        }
    char sign = cut(bare, "<>", &value);
    if (sign && strcmp(trimmed(bare), "engine") == 0) {
        fault->when = sign == '>' ? BP_ENGINE_ABOVE : BP_ENGINE_BELOW;
        return bp_quantity_parse(value, BP_UNIT_CELSIUS, &fault->when_value, why, size);
    }
    bp_names names = {0};
    for (size_t i = 0; i < N_CONDITIONS; i++)
        bp_names_add(&names, conditions[i].text);
    bp_names_add(&names, "engine > 80 degC");
    bp_names_add(&names, "engine < 5 degC");
    return unknown(&r, "condition", text, &names);
}

/* MODE[=PARTNER][,SEVERITY] or MODE=SEVERITY. */
static bp_status read_mode(const reader *r, char *text, bp_fault *out) {
    char *rest, *severity;
    char sign = cut(text, "=,", &rest);
    bp_status status = find_mode(r, trimmed(text), out);
    if (status != BP_OK)
        return status;
    const bp_mode_decl *mode = bp_fault_mode(r->circuit, out);
    severity = rest;
    if (mode->partner != BP_PARTNER_NONE) {
        if (sign == '=') {
            cut(rest, ",", &severity);
            status = find_partner(r, mode, trimmed(rest), out);
            if (status != BP_OK)
                return status;
        } else if (!r->rule) {
            return fail(r, "%s needs to know to what: write %s=%s", mode->id, mode->id,
                        mode->partner == BP_PARTNER_WIRE ? "WIRE" : "PIN");
        }
    }
    if (severity && r->rule)
        return fail(r, "no value is taken here: write how-bad: %.40s below it", severity);
    if (severity)
        return bp_fault_parse_severity(mode, severity, &out->severity, r->why, r->size);
    out->severity = mode->scale == BP_SCALE_NONE ? NAN : mode->typical;
    return BP_OK;
}

static bp_status read_fault(const reader *r, const char *text, size_t length, bp_fault *out) {
    char word[LONGEST], *mode, *when;
    *out = (bp_fault){.part = BP_NONE,
                      .sub = BP_NONE,
                      .mode = -1,
                      .partner = BP_NONE,
                      .partner_sub = BP_NONE,
                      .severity = NAN,
                      .when_value = NAN};
    if (length >= sizeof word)
        return fail(r, "\"%.40s...\" is too long for a fault", text);
    snprintf(word, sizeof word, "%.*s", (int)length, text);
    cut(word, "@", &when);
    cut(word, ":", &mode);
    bp_status status = find_subject(r, trimmed(word), out);
    if (status == BP_OK && (mode || !r->rule)) {
        char none[1] = "";
        status = read_mode(r, mode ? mode : none, out);
    }
    if (status == BP_OK && when && r->rule)
        return fail(r, "no condition is taken here: write when: %.40s below it", when);
    if (status == BP_OK && when)
        status = bp_fault_parse_when(when, out, r->why, r->size);
    if (status == BP_OK)
        bp_fault_canonical(r->circuit, out);
    return status;
}

bp_status bp_fault_parse_rule(const bp_circuit *circuit, const char *text, bp_fault *out, char *why,
                              size_t size) {
    reader r = {.circuit = circuit, .size = size, .rule = true};
    r.why = why;
    return read_fault(&r, text, strlen(text), out);
}

void bp_fault_canonical(const bp_circuit *circuit, bp_fault *fault) {
    size_t n_cavities = bp_fault_n_cavities(&circuit->parts[fault->part]);
    if (fault->sub != BP_NONE && n_cavities == 0) {
        const bp_face *face = &circuit->faces[circuit->parts[fault->part].pins[fault->sub].own];
        fault->part = face->part;
        fault->sub = face->pin;
    }
    size_t other = fault->partner;
    if (other != BP_NONE && other < fault->part) {
        fault->partner = fault->part;
        fault->part = other;
    }
    size_t pin = fault->partner_sub;
    if (pin != BP_NONE && fault->sub != BP_NONE && pin < fault->sub) {
        fault->partner_sub = fault->sub;
        fault->sub = pin;
    }
}

static int order(size_t a, size_t b) {
    /* BP_NONE + 1 is 0: the part before its pins. */
    return a + 1 < b + 1 ? -1 : a + 1 > b + 1;
}

int bp_fault_compare(const bp_fault *a, const bp_fault *b) {
    int by = order(a->part, b->part);
    by = by ? by : order(a->sub, b->sub);
    by = by ? by : (a->mode > b->mode) - (a->mode < b->mode);
    by = by ? by : order(a->partner, b->partner);
    return by ? by : order(a->partner_sub, b->partner_sub);
}

static int compare(const void *a, const void *b) { return bp_fault_compare(a, b); }

/* Bytes of the first fault in text: up to a + that begins another one, not the + of a battery post
 * or an exponent. */
static size_t first_length(const char *text) {
    for (size_t i = 1; text[0] && text[i]; i++) {
        char next = text[i + 1 + strspn(text + i + 1, " \t")];
        bool letter = (next >= 'A' && next <= 'Z') || (next >= 'a' && next <= 'z');
        if (text[i] == '+' && text[i - 1] != '.' && (letter || next == '\0'))
            return i;
    }
    return strlen(text);
}

bool bp_fault_contradict(const bp_circuit *circuit, const bp_fault *a, const bp_fault *b) {
    const bool same_time = a->when == b->when && (a->when_value == b->when_value ||
                                                  (isnan(a->when_value) && isnan(b->when_value)));
    if (a->part != b->part || a->sub != b->sub || a->partner != b->partner ||
        a->partner_sub != b->partner_sub || !same_time)
        return false;
    return a->mode == b->mode ||
           (bp_fault_mode(circuit, a)->sets & bp_fault_mode(circuit, b)->sets) != 0;
}

static bp_status check_together(const reader *r, const bp_fault_case *faults) {
    char text[2][LONGEST];
    for (size_t i = 1; i < faults->n; i++)
        for (size_t k = 0; k < i; k++) {
            const bp_fault *pair[2] = {&faults->fault[k], &faults->fault[i]};
            if (!bp_fault_contradict(r->circuit, pair[0], pair[1]))
                continue;
            for (int j = 0; j < 2; j++) {
                const bp_fault_case one = {.fault = {*pair[j]}, .n = 1};
                bp_fault_write(r->circuit, &one, text[j], sizeof text[j]);
            }
            return fail(r,
                        "%s and %s contradict each other, they cannot be there at once: write one "
                        "of them",
                        text[0], text[1]);
        }
    return BP_OK;
}

bp_status bp_fault_parse(const bp_circuit *circuit, const char *text, bp_fault_case *out, char *why,
                         size_t size) {
    reader r = {.circuit = circuit, .size = size};
    r.why = why;
    const size_t most = sizeof out->fault / sizeof *out->fault;
    out->n = 0;
    text += strspn(text, " \t");
    if (strcmp(text, "healthy") == 0)
        return BP_OK;
    for (const char *at = text;;) {
        if (out->n == most)
            return fail(&r, "\"%.60s\" holds more than %zu faults", text, most);
        size_t length = first_length(at);
        bp_status status = read_fault(&r, at, length, &out->fault[out->n]);
        if (status != BP_OK)
            return status;
        out->n++;
        if (at[length] == '\0')
            break;
        at += length + 1;
    }
    qsort(out->fault, out->n, sizeof *out->fault, compare);
    for (size_t i = 1; i < out->n; i++)
        if (bp_fault_compare(&out->fault[i - 1], &out->fault[i]) == 0)
            return fail(&r, "the same fault is there twice in \"%.60s\"", text);
    return check_together(&r, out);
}
