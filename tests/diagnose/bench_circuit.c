/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tests/diagnose/bench_circuit.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include <backprobe/load.h>

#include "tests/circuits/files.h"

const char bench_divider[] = "backprobe: 1\n"
                             "id: divider\n"
                             "title: Divider\n"
                             "scenario: A bench source and two resistors\n"
                             "parts:\n"
                             "  V1: {kind: source, emf: 12 V}\n"
                             "  R1: {kind: resistor, resistance: 1 kohm, tolerance: 2 %}\n"
                             "  R2: {kind: resistor, resistance: 3 kohm, tolerance: 5 %}\n"
                             "wires:\n"
                             "  W1: {from: V1.+, to: R1.1}\n"
                             "  W2: {from: R1.2, to: R2.1}\n"
                             "  W3: {from: R2.2, to: V1.-}\n"
                             "points:\n"
                             "  A: {at: R1.1}\n"
                             "  B: {at: R2.1}\n";

const char bench_load[] = "backprobe: 1\n"
                          "id: load\n"
                          "title: Load\n"
                          "scenario: A bench source, a switch and a load\n"
                          "parts:\n"
                          "  V1: {kind: source, emf: 12 V}\n"
                          "  S1: {kind: switch, positions: {open: [], closed: [[1, 2]]}}\n"
                          "  RW: {kind: resistor, resistance: 1 ohm, tolerance: 1 %}\n"
                          "  RL: {kind: resistor, resistance: 11 ohm, tolerance: 1 %}\n"
                          "wires:\n"
                          "  W1: {from: V1.+, to: S1.1}\n"
                          "  W2: {from: S1.2, to: RW.1}\n"
                          "  W3: {from: RW.2, to: RL.1, size: 1 mm2, length: 0.5 m}\n"
                          "  W4: {from: RL.2, to: V1.-, size: 1 mm2, length: 0.5 m}\n"
                          "states:\n"
                          "  off: {}\n"
                          "  on: {S1: closed}\n"
                          "points:\n"
                          "  A: {at: S1.1}\n"
                          "  B: {at: RW.1}\n"
                          "  C: {at: RL.1}\n"
                          "  D: {at: RL.2}\n";

void bench_open(bench *b, const char *text, const char *cache) {
    bp_atlas_options o = BP_ATLAS_OPTIONS_INIT;
    *b = (bench){.report = bp_report_new()};
    o.workers = 1;
    o.cache = cache ? cache : "";
    if (bp_load_text(text, strlen(text), "bench", &b->circuit, b->report) == BP_OK)
        b->atlas = bp_atlas_new(b->circuit, &o, b->report);
    if (!b->atlas || bp_prior_make(b->atlas, NULL, NULL, NULL, &b->prior, b->report) != BP_OK)
        fail_msg("%s", files_messages(b->report));
}

void bench_close(bench *b) {
    bp_prior_clear(&b->prior);
    bp_atlas_free(&b->atlas);
    bp_circuit_free(&b->circuit);
    bp_report_free(&b->report);
}

static void lead(const bp_circuit *c, const char *name, size_t *face, size_t *point) {
    *point = bp_point_find(c, name);
    *face = *point != BP_NONE ? c->points[*point].face : bp_face_find(c, name);
    assert_true(*face != BP_NONE);
}

bp_evidence bench_volts(bench *b, const char *state, const char *red, const char *black,
                        double value, bp_present present) {
    bp_test t = BP_TEST_INIT;
    t.state = bp_state_find(b->circuit, state);
    assert_true(t.state != BP_NONE);
    lead(b->circuit, red, &t.red, &t.red_point);
    if (black)
        lead(b->circuit, black, &t.black, &t.black_point);
    const size_t test = bp_atlas_test_add(b->atlas, &t);
    assert_true(test != BP_NONE);
    if (bp_atlas_want(b->atlas, &test, 1, NULL, 0, b->report) != BP_OK)
        fail_msg("%s", files_messages(b->report));
    return (bp_evidence){test, BP_SEEN_VALUE, value, 0.005, NULL, present, false};
}

size_t bench_fault(const bench *b, const char *text) {
    bp_fault_case wanted;
    char why[200];
    if (bp_fault_parse(b->circuit, text, &wanted, why, sizeof why) != BP_OK)
        fail_msg("%s", why);
    for (size_t f = 0; f < bp_atlas_n_faults(b->atlas); f++) {
        const bp_fault *x = &bp_atlas_fault(b->atlas, f)->fault;
        if (x->part == wanted.fault[0].part && x->sub == wanted.fault[0].sub &&
            x->mode == wanted.fault[0].mode && x->partner == wanted.fault[0].partner)
            return f;
    }
    fail_msg("there is no fault %s", text);
    return 0;
}

bp_posterior *bench_after(bench *b, const bp_evidence *evidence, size_t n) {
    bp_posterior *p = bp_posterior_new(b->atlas, &b->prior, evidence, n);
    assert_non_null(p);
    return p;
}

bp_predicted bench_healthy_shows(const bp_posterior *p, size_t test) {
    bp_outlook *outlook = bp_outlook_new(p);
    assert_non_null(outlook);
    bp_predicted shown = {.sort = BP_CELL_MISSING};
    for (size_t h = 0; h < bp_posterior_n(p); h++)
        if (bp_posterior_at(p, h)->sort == BP_HYPOTHESIS_HEALTHY) {
            bp_outlook_take(outlook, h);
            shown = bp_outlook_predict(outlook, test);
        }
    bp_outlook_free(&outlook);
    assert_int_equal(shown.sort, BP_CELL_VALUE);
    return shown;
}
