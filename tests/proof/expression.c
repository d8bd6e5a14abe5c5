/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Recursive descent over sums, products, powers, comparisons, ?: and functions. What ngspice's
 * manual (version 39, section 5.1, B source) leaves to the implementation is refused, so that
 * nothing is agreed on by accident: a power of a power, and a name that is not in the table.
 */
#include "tests/proof/expression.h"

#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

typedef struct reader {
    const char *at;
    const double *control, *parameter;
    bool failed;
} reader;

static double choice(reader *r);

static void skip(reader *r) {
    while (isspace((unsigned char)*r->at))
        r->at++;
}

static bool takes(reader *r, const char *sign) {
    skip(r);
    size_t length = strlen(sign);
    if (strncmp(r->at, sign, length) != 0)
        return false;
    r->at += length;
    return true;
}

static double fail(reader *r) {
    r->failed = true;
    return NAN;
}

/* ngspice takes the power of the magnitude, written as a function or as an operator. */
static double power_of_magnitude(double base, double exponent) { return pow(fabs(base), exponent); }

static double above_zero(double value) { return fmax(value, 0); }

static double call(reader *r, const char *name, size_t length) {
    static const struct {
        const char *name;
        double (*one)(double);
        double (*two)(double, double);
    } functions[] = {
        {"abs", fabs, NULL},
        {"sqrt", sqrt, NULL},
        {"exp", exp, NULL},
        {"ln", log, NULL},
        {"log10", log10, NULL},
        {"tanh", tanh, NULL},
        {"atan", atan, NULL},
        {"sin", sin, NULL},
        {"cos", cos, NULL},
        {"uramp", above_zero, NULL},
        {"max", NULL, fmax},
        {"min", NULL, fmin},
        {"pow", NULL, power_of_magnitude},
    };
    for (size_t i = 0; i < sizeof functions / sizeof *functions; i++) {
        if (strlen(functions[i].name) != length || strncmp(functions[i].name, name, length) != 0)
            continue;
        double first = choice(r);
        double second = functions[i].two != NULL && takes(r, ",") ? choice(r) : NAN;
        if (!takes(r, ")"))
            return fail(r);
        return functions[i].one != NULL ? functions[i].one(first) : functions[i].two(first, second);
    }
    return fail(r);
}

static double atom(reader *r) {
    skip(r);
    if (takes(r, "(")) {
        double value = choice(r);
        return takes(r, ")") ? value : fail(r);
    }
    if ((*r->at == '#' || *r->at == '$') && isdigit((unsigned char)r->at[1])) {
        const double *from = *r->at == '#' ? r->control : r->parameter;
        double value = from[r->at[1] - '0'];
        r->at += 2;
        return value;
    }
    if (isdigit((unsigned char)*r->at) || *r->at == '.') {
        char *end = NULL;
        double value = strtod(r->at, &end);
        r->at = end;
        /* A letter here would be an SI suffix, which the program never sends. */
        return isalpha((unsigned char)*end) ? fail(r) : value;
    }
    const char *name = r->at;
    while (isalnum((unsigned char)*r->at) || *r->at == '_')
        r->at++;
    size_t length = (size_t)(r->at - name);
    return length > 0 && takes(r, "(") ? call(r, name, length) : fail(r);
}

static double power(reader *r) {
    double base = atom(r);
    if (!takes(r, "**") && !takes(r, "^"))
        return base;
    double exponent = takes(r, "-") ? -atom(r) : atom(r);
    if (takes(r, "**") || takes(r, "^"))
        return fail(r);
    return power_of_magnitude(base, exponent);
}

static double sign(reader *r) {
    if (takes(r, "-"))
        return -sign(r);
    return takes(r, "+") ? sign(r) : power(r);
}

static double product(reader *r) {
    double value = sign(r);
    for (;;) {
        if (takes(r, "*"))
            value *= sign(r);
        else if (takes(r, "/"))
            value /= sign(r);
        else
            return value;
    }
}

static double sum(reader *r) {
    double value = product(r);
    for (;;) {
        if (takes(r, "+"))
            value += product(r);
        else if (takes(r, "-"))
            value -= product(r);
        else
            return value;
    }
}

static double comparison(reader *r) {
    double left = sum(r);
    if (takes(r, ">="))
        return left >= sum(r) ? 1.0 : 0.0;
    if (takes(r, "<="))
        return left <= sum(r) ? 1.0 : 0.0;
    if (takes(r, ">"))
        return left > sum(r) ? 1.0 : 0.0;
    if (takes(r, "<"))
        return left < sum(r) ? 1.0 : 0.0;
    return left;
}

static double choice(reader *r) {
    double condition = comparison(r);
    if (!takes(r, "?"))
        return condition;
    double yes = choice(r);
    if (!takes(r, ":"))
        return fail(r);
    double no = choice(r);
    return condition != 0.0 ? yes : no;
}

double expression_value(const char *text, const double *control, const double *parameter,
                        const char **error) {
    reader r = {text, control, parameter, false};
    double value = choice(&r);
    skip(&r);
    *error = r.failed || *r.at != '\0' ? r.at : NULL;
    return value;
}
