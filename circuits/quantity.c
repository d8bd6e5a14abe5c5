/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <backprobe/quantity.h>

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "circuits/text.h"

/* One way of writing a unit: the number is in 10^shift of the inner unit, or scale and offset turn
 * it into that. */
typedef struct spelling {
    bp_unit unit;
    const char *text;
    bool prefixes; /* takes p n u m k M G before it */
    int shift;     /* power of ten */
    double scale,
        offset; /* value = (number + offset) * scale; scale 0: only the power of ten counts */
} spelling;

static const spelling spellings[] = {
    {BP_UNIT_VOLT, "V", true, 0, 0, 0},
    {BP_UNIT_AMPERE, "A", true, 0, 0, 0},
    {BP_UNIT_OHM, "ohm", true, 0, 0, 0},
    {BP_UNIT_OHM, "\u03a9", true, 0, 0, 0}, /* Greek capital omega */
    {BP_UNIT_OHM, "\u2126", true, 0, 0, 0}, /* ohm sign */
    {BP_UNIT_WATT, "W", true, 0, 0, 0},
    {BP_UNIT_FARAD, "F", true, 0, 0, 0},
    {BP_UNIT_HENRY, "H", true, 0, 0, 0},
    {BP_UNIT_METRE, "m", true, 0, 0, 0},
    {BP_UNIT_METRE, "cm", false, -2, 0, 0},
    {BP_UNIT_METRE, "ft", false, 0, 0.3048,
     0}, /* international foot and inch, exact (ISO 80000-3) */
    {BP_UNIT_METRE, "in", false, 0, 0.0254, 0},
    {BP_UNIT_AREA, "mm2", false, -6, 0, 0},
    {BP_UNIT_AREA, "mm\u00b2", false, -6, 0, 0},
    {BP_UNIT_CELSIUS, "degC", false, 0, 0, 0},
    {BP_UNIT_CELSIUS, "\u00b0C", false, 0, 0, 0},
    {BP_UNIT_CELSIUS, "degF", false, 0, 5.0 / 9.0, -32},
    {BP_UNIT_CELSIUS, "\u00b0F", false, 0, 5.0 / 9.0, -32},
    {BP_UNIT_CELSIUS, "K", false, 0, 1, -273.15},
    {BP_UNIT_SECOND, "s", true, 0, 0, 0},
    {BP_UNIT_SECOND, "min", false, 0, 60, 0},
    {BP_UNIT_SECOND, "h", false, 0, 3600, 0},
    {BP_UNIT_FRACTION, "%", false, -2, 0, 0},
    {BP_UNIT_RPM, "rev/min", false, 0, 0, 0},
    {BP_UNIT_RPM, "rpm", false, 0, 0, 0},
    {BP_UNIT_HERTZ, "Hz", true, 0, 0, 0},
    {BP_UNIT_AMPERE_HOUR, "Ah", true, 0, 0, 0},
    {BP_UNIT_AMPERE_HOUR, "A h", true, 0, 0, 0},
};
enum { N_SPELLINGS = sizeof spellings / sizeof *spellings };

static const struct {
    const char *text;
    int shift;
} prefixes[] = {{"p", -12}, {"n", -9}, {"u", -6}, {"\u00b5", -6}, {"\u03bc", -6},
                {"m", -3},  {"k", 3},  {"M", 6},  {"G", 9}};
enum { N_PREFIXES = sizeof prefixes / sizeof *prefixes };

/* What people are told about a unit, and the steps in which it is written: a value is written with
 * the last prefix whose least value it reaches. */
typedef struct step {
    double least;
    int shift;
    const char *prefix, *input; /* as printed and as typed */
} step;

static const step no_steps[] = {{0, 0, "", ""}};
static const step small_steps[] = {{0, -12, "p", "p"},
                                   {1e-9, -9, "n", "n"},
                                   {1e-6, -6, "\u00b5", "u"},
                                   {1e-3, -3, "m", "m"},
                                   {1, 0, "", ""}};
static const step steps[] = {{0, -6, "\u00b5", "u"}, {1e-3, -3, "m", "m"}, {1e-1, 0, "", ""},
                             {1e3, 3, "k", "k"},     {1e6, 6, "M", "M"},   {1e9, 9, "G", "G"}};
static const step length_steps[] = {{0, -3, "m", "m"}, {1e-1, 0, "", ""}};
static const step time_steps[] = {{0, -6, "\u00b5", "u"}, {1e-3, -3, "m", "m"}, {1e-1, 0, "", ""}};
static const step area_steps[] = {{0, -6, "", ""}};
static const step fraction_steps[] = {{0, -2, "", ""}};

#define STEPS(list) list, sizeof list / sizeof *list

static const struct {
    const char *name, *symbol, *input, *example;
    const step *steps;
    size_t n_steps;
} units[] = {
    [BP_UNIT_NONE] = {"number", "", "", "0.5", STEPS(no_steps)},
    [BP_UNIT_VOLT] = {"volt", "V", "V", "12.6 V", STEPS(steps)},
    [BP_UNIT_AMPERE] = {"ampere", "A", "A", "7.5 A", STEPS(steps)},
    [BP_UNIT_OHM] = {"ohm", "\u03a9", "ohm", "85 ohm", STEPS(steps)},
    [BP_UNIT_WATT] = {"watt", "W", "W", "21 W", STEPS(steps)},
    [BP_UNIT_FARAD] = {"farad", "F", "F", "25 uF", STEPS(small_steps)},
    [BP_UNIT_HENRY] = {"henry", "H", "H", "6.5 mH", STEPS(small_steps)},
    [BP_UNIT_METRE] = {"metre", "m", "m", "1.8 m", STEPS(length_steps)},
    [BP_UNIT_AREA] = {"cross-section", "mm\u00b2", "mm2", "1.5 mm2 or 16 AWG", STEPS(area_steps)},
    [BP_UNIT_CELSIUS] = {"degree Celsius", "\u00b0C", "degC", "95 degC", STEPS(no_steps)},
    [BP_UNIT_SECOND] = {"second", "s", "s", "2 s", STEPS(time_steps)},
    [BP_UNIT_FRACTION] = {"percent", "%", "%", "90 %", STEPS(fraction_steps)},
    [BP_UNIT_RPM] = {"revolutions a minute", "rev/min", "rev/min", "800 rev/min", STEPS(no_steps)},
    [BP_UNIT_HERTZ] = {"hertz", "Hz", "Hz", "50 Hz", STEPS(steps)},
    [BP_UNIT_AMPERE_HOUR] = {"ampere-hour", "Ah", "Ah", "70 Ah", STEPS(no_steps)},
};

const char *bp_unit_name(bp_unit unit) { return units[unit].name; }

const char *bp_unit_symbol(bp_unit unit) { return units[unit].symbol; }

/* The spelling that `text` is, after a prefix where it may have one; its power of ten goes to
 * *shift. */
static const spelling *spelling_of(const char *text, bp_unit unit, bool any_unit, int *shift) {
    for (size_t i = 0; i < N_SPELLINGS; i++) {
        const spelling *s = &spellings[i];
        if (!any_unit && s->unit != unit)
            continue;
        *shift = s->shift;
        if (strcmp(text, s->text) == 0)
            return s;
        for (size_t k = 0; s->prefixes && k < N_PREFIXES; k++) {
            size_t n = strlen(prefixes[k].text);
            *shift = prefixes[k].shift;
            if (strncmp(text, prefixes[k].text, n) == 0 && strcmp(text + n, s->text) == 0)
                return s;
        }
    }
    return NULL;
}

/* American wire gauge 4/0 to 40: diameter 0.005 in * 92^((36 - n)/39), ASTM B258. False when text
 * is not one. */
static bool read_gauge(const char *text, double *area) {
    size_t digits = strspn(text, "0123456789");
    double gauge = 0;
    if (digits == 0 || digits > 2)
        return false;
    for (size_t i = 0; i < digits; i++)
        gauge = gauge * 10 + (text[i] - '0');
    const char *rest = text + digits;
    if (strncmp(rest, "/0", 2) == 0) { /* 1/0 is gauge 0, 4/0 is gauge -3 */
        if (gauge < 1 || gauge > 4)
            return false;
        gauge = 1 - gauge;
        rest += 2;
    }
    rest += strspn(rest, " ");
    if (strcmp(rest, "AWG") != 0 || gauge > 40)
        return false;
    double diameter = 0.005 * 0.0254 * pow(92, (36 - gauge) / 39);
    *area = acos(-1) / 4 * diameter * diameter;
    return true;
}

/* Says why `text` is not a value in `unit`; `rest` is what follows the number. */
static bp_status refuse(const char *text, const char *rest, bp_unit unit, char *why, size_t size) {
    int shift;
    const char *example = units[unit].example;
    const char *after = rest + strspn(rest, " ");
    if (*text == '\0')
        snprintf(why, size, "there is no value: expected %s", example);
    else if (rest == text)
        snprintf(why, size, "\"%.40s\" is not a number%s: expected, for instance, %s", text,
                 unit == BP_UNIT_NONE ? "" : " with a unit", example);
    else if (*after == ',')
        snprintf(why, size, "\"%.40s\" has a comma: write the decimal sign as a full stop", text);
    else if (*after == '\0')
        snprintf(why, size, "\"%.40s\" has no unit: expected, for instance, %s", text, example);
    else if (unit == BP_UNIT_NONE)
        snprintf(why, size, "\"%.40s\" is not a bare number: expected, for instance, %s", text,
                 example);
    else if (unit == BP_UNIT_AREA && strcmp(after, "AWG") == 0)
        snprintf(why, size, "\"%.40s\" is not a wire gauge: expected 4/0 AWG to 40 AWG", text);
    else {
        const spelling *other = spelling_of(after, unit, true, &shift);
        snprintf(why, size, "\"%.40s\" is %s%s, not %s: expected, for instance, %s", text,
                 other ? "in " : "", other ? units[other->unit].name : "in an unknown unit",
                 units[unit].name, example);
    }
    return BP_ERR_INPUT;
}

bp_status bp_quantity_parse(const char *text, bp_unit unit, double *value, char *why, size_t size) {
    char word[64];
    int shift = 0;
    text += strspn(text, " \t");
    size_t length = strlen(text);
    while (length > 0 && strchr(" \t\r\n", text[length - 1]))
        length--;
    if (length >= sizeof word) {
        snprintf(why, size, "\"%.30s...\" is too long for a value: expected, for instance, %s",
                 text, units[unit].example);
        return BP_ERR_INPUT;
    }
    memcpy(word, text, length);
    word[length] = '\0';
    if (unit == BP_UNIT_AREA && read_gauge(word, value))
        return BP_OK;
    size_t digits = bp_number_length(word);
    const char *rest = word + digits;
    const spelling *s = spelling_of(rest + strspn(rest, " "), unit, false, &shift);
    if (digits == 0 || (unit == BP_UNIT_NONE ? *rest != '\0' : !s))
        return refuse(word, rest, unit, why, size);
    if (!bp_number_read(word, digits, shift, value)) {
        snprintf(why, size, "\"%s\" is too large or too small a number", word);
        return BP_ERR_INPUT;
    }
    if (s && s->scale != 0)
        *value = (*value + s->offset) * s->scale;
    return BP_OK;
}

/* The step in which the value, rounded to `digits`, is written. */
static const step *step_of(double value, bp_unit unit, int digits) {
    const step *best = units[unit].steps;
    char rounded[512];
    double size = fabs(value);
    bp_number_write(size, 0, digits, rounded, sizeof rounded);
    if (!bp_number_read(rounded, strlen(rounded), 0, &size))
        size = fabs(value);
    for (size_t i = 0; i < units[unit].n_steps; i++)
        if (size >= units[unit].steps[i].least)
            best = &units[unit].steps[i];
    return best;
}

static int format(double value, bp_unit unit, int digits, bool input, char *text, size_t size) {
    char number[512];
    if (isnan(value))
        return snprintf(text, size, "unknown");
    if (isinf(value))
        return snprintf(text, size, value > 0 ? "unlimited" : "-unlimited");
    /* Zero has no size of its own: it is written in the plain unit. */
    const step *in = step_of(value == 0 ? 1 : value, unit, digits);
    bp_number_write(value, in->shift, digits, number, sizeof number);
    const char *symbol = input ? units[unit].input : units[unit].symbol;
    const char *blank = *symbol ? " " : "";
    return snprintf(text, size, "%s%s%s%s", number, blank, input ? in->input : in->prefix, symbol);
}

int bp_quantity_format(double value, bp_unit unit, int digits, char *text, size_t size) {
    return format(value, unit, digits, false, text, size);
}

/* What a number lacks to have so many significant digits: ".00", "0" or nothing; 0 has none. */
static void missing_zeros(const char *number, size_t length, int digits, char *zeros, size_t size) {
    const char *end = number + length, *first = number + strspn(number, "-0.");
    int missing = first < end ? digits : 0;
    bool whole = true;
    for (const char *c = number; c < end; c++) {
        missing -= c >= first && *c != '.';
        whole = whole && *c != '.';
    }
    missing = memchr(number, 'e', length) ? 0 : missing;
    snprintf(zeros, size, "%s%.*s", missing > 0 && whole ? "." : "", missing > 0 ? missing : 0,
             "00000000000000000");
}

int bp_quantity_measured(double value, bp_unit unit, int digits, char *text, size_t size) {
    char plain[600], zeros[24];
    format(value, unit, digits, false, plain, sizeof plain);
    if (!isfinite(value))
        return snprintf(text, size, "%s", plain);
    const size_t length = strspn(plain, "-.0123456789e+");
    missing_zeros(plain, length, digits, zeros, sizeof zeros);
    return snprintf(text, size, "%.*s%s%s", (int)length, plain, zeros, plain + length);
}

int bp_quantity_write(double value, bp_unit unit, char *text, size_t size) {
    /* The fewest digits that read back as the same value; 17 always do. */
    for (int digits = 1; digits < 17; digits++) {
        char trial[512], why[128];
        double back;
        format(value, unit, digits, true, trial, sizeof trial);
        if (bp_quantity_parse(trial, unit, &back, why, sizeof why) == BP_OK && back == value)
            return snprintf(text, size, "%s", trial);
    }
    return format(value, unit, 17, true, text, size);
}
