/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shipped circuits load without a mistake or a warning and hold what every circuit should.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include <backprobe/load.h>

#include "circuits/circuit.h"

static const char *const shipped[] = {"cooling-fans", "fuel-pump", "ignition-coil", "wiper"};
enum { N_SHIPPED = sizeof shipped / sizeof *shipped };

static bp_circuit *load(const char *id) {
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    bp_status status = bp_load(id, &circuit, report);
    for (size_t i = 0; i < bp_report_count(report); i++)
        print_error("%s\n", bp_report_at(report, i)->text);
    assert_int_equal(status, BP_OK);
    assert_int_equal(bp_report_count(report), 0);
    bp_report_free(&report);
    return circuit;
}

static void they_load_without_a_word(void **state) {
    (void)state;
    for (size_t i = 0; i < N_SHIPPED; i++) {
        bp_circuit *circuit = load(shipped[i]);
        assert_string_equal(circuit->id, shipped[i]);
        assert_true(circuit->n_cautions > 0 && circuit->n_elsewhere > 0);
        assert_non_null(circuit->scenario);
        bp_circuit_free(&circuit);
    }
}

/* Nothing ideal in a real vehicle: wires have copper, both metals are tied to the battery. */
static void they_are_full_of_real_detail(void **state) {
    (void)state;
    for (size_t i = 0; i < N_SHIPPED; i++) {
        bp_circuit *circuit = load(shipped[i]);
        assert_false(circuit->ideal_bond);
        assert_int_not_equal(circuit->body, BP_NONE);
        assert_int_not_equal(circuit->engine, BP_NONE);
        for (size_t p = 0; p < circuit->n_parts; p++) {
            const bp_part *part = &circuit->parts[p];
            if (part->kind != &bp_kind_wire) {
                assert_true(part->label || part->kind == &bp_kind_connector);
                continue;
            }
            assert_true(!isnan(part->param[bp_kind_param(part->kind, "size")]));
            assert_true(!isnan(part->param[bp_kind_param(part->kind, "length")]));
            assert_non_null(part->text[bp_kind_param(part->kind, "colour")]);
        }
        for (size_t s = 0; s < circuit->n_states; s++)
            assert_non_null(circuit->states[s].label);
        bp_circuit_free(&circuit);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(they_load_without_a_word),
        cmocka_unit_test(they_are_full_of_real_detail),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
