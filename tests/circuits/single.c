/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/circuits/single.h"

#include <stdio.h>
#include <string.h>

void single_set(single *s, const char *kind, const char *const *keys, const char *const *pins) {
    *s = (single){.report = bp_report_new()};
    s->circuit = bp_circuit_new("single", s->report);
    assert_non_null(s->circuit);
    bp_circuit_text(s->circuit, "title", "One part");
    bp_circuit_part(s->circuit, "B", "source");
    bp_circuit_set(s->circuit, "B", "emf", "12 V");
    bp_circuit_part(s->circuit, "X", kind);
    for (; keys && *keys; keys += 2)
        bp_circuit_set(s->circuit, "X", keys[0], keys[1]);
    for (size_t i = 0; pins && pins[i]; i++) {
        char wire[32], pin[64];
        snprintf(wire, sizeof wire, "W%zu", i + 1);
        snprintf(pin, sizeof pin, "X.%s", pins[i]);
        bp_circuit_wire(s->circuit, wire, pin, i % 2 ? "B.-" : "B.+");
    }
    if (bp_circuit_finish(s->circuit) == BP_OK)
        s->part = &s->circuit->parts[bp_part_find(s->circuit, "X")];
}

void single_clear(single *s) {
    bp_circuit_free(&s->circuit);
    bp_report_free(&s->report);
    s->part = NULL;
}

bool single_refused(const single *s, const char *text) {
    const char *found = NULL;
    size_t n = 0;
    for (size_t i = 0; i < bp_report_count(s->report); i++) {
        const bp_message *message = bp_report_at(s->report, i);
        if (message->severity != BP_MISTAKE)
            continue;
        found = message->text;
        n++;
    }
    if (n == 1 && !s->part && strstr(found, text))
        return true;
    print_error("%zu mistakes, the last: %s\n", n, found ? found : "none");
    return false;
}

static void need_part(const single *s) {
    for (size_t i = 0; !s->part && i < bp_report_count(s->report); i++)
        print_error("%s\n", bp_report_at(s->report, i)->text);
    assert_non_null(s->part);
}

bool single_fails_by(const single *s, const char *mode) {
    need_part(s);
    int index = bp_kind_mode(s->part->kind, mode);
    assert_int_not_equal(index, -1);
    const bp_mode_decl *decl = &s->part->kind->modes[index];
    return !decl->applies || decl->applies(s->part);
}

static const bp_param_decl *declared(const single *s, const char *key, double *value) {
    need_part(s);
    int index = bp_kind_param(s->part->kind, key);
    assert_int_not_equal(index, -1);
    *value = s->part->param[index];
    return &s->part->kind->params[index];
}

double single_param(const single *s, const char *key) {
    double value;
    declared(s, key, &value);
    return value;
}

static double spread(const single *s, const char *key) {
    double value;
    const bp_param_decl *decl = declared(s, key, &value);
    assert_int_not_equal(decl->tol_sort, BP_TOL_NONE);
    return decl->tol_sort == BP_TOL_ABSOLUTE ? decl->tol : decl->tol * value;
}

double single_low(const single *s, const char *key) {
    return single_param(s, key) - spread(s, key);
}

double single_high(const single *s, const char *key) {
    return single_param(s, key) + spread(s, key);
}
