/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tasks and results on their way between processes. What a worker sends is not trusted: cut short,
 * lengthened or garbled it is refused, and never read past its end.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/circuit.h"
#include "sim/lab.h"
#include "tests/sim/asked.h"

#define PARTS                                                                                      \
    "B: {kind: source, emf: 12 V}, F: {kind: fuse, rating: 10 A}, R: {kind: resistor, "            \
    "resistance: "                                                                                 \
    "6 ohm}"
#define WIRES "W1: {from: B.+, to: F.1}, W2: {from: F.2, to: R.1}, W3: {from: R.2, to: B.-}"

typedef struct made {
    desk d;
    bp_asked asked;
    const bp_deck *deck;
    bp_result result;
    bp_bytes bytes;
} made;

/* A good result with one phase, and its bytes. */
static void make(made *m) {
    desk_set(&m->d, PARTS, WIRES, NULL);
    const bp_pair pair = {"F.2", NULL};
    const bp_question q = reading_of("on", BP_VOLTS, &pair);
    assert_int_equal(bp_question_resolve(&q, m->d.circuit, &m->asked, m->d.report), BP_OK);
    const bp_task *task = &m->asked.task[0];
    m->deck = bp_lab_deck(m->d.lab, &task->plan);
    m->result = (bp_result){.status = BP_OK};
    const size_t n_parts = m->d.circuit->n_parts;
    m->result.found = calloc(n_parts, sizeof *m->result.found);
    bp_phase *p = bp_result_add(&m->result, n_parts, bp_deck_n_nodes(m->deck), 1);
    assert_non_null(p);
    p->state = 0;
    p->solved = true;
    p->raw[0] = (bp_raw){.value = 11.5};
    m->bytes = (bp_bytes){0};
    bp_result_write(&m->result, m->deck, &m->bytes);
    assert_false(m->bytes.failed);
}

static void drop(made *m) {
    bp_bytes_clear(&m->bytes);
    bp_result_clear(&m->result);
    bp_asked_clear(&m->asked);
    desk_clear(&m->d);
}

static bool accepted(const made *m, bp_bytes *bytes, bp_result *out) {
    bytes->at = 0;
    const bool good = bp_result_read(out, &m->asked.task[0], m->deck, bytes);
    if (!good)
        bp_result_clear(out);
    return good;
}

static void a_result_arrives_as_it_left(void **state) {
    (void)state;
    made m;
    make(&m);
    bp_result back;
    assert_true(accepted(&m, &m.bytes, &back));
    assert_int_equal(back.n_phases, 1);
    desk_near(back.phase[0].raw[0].value, 11.5, 0, "sent");
    bp_result_clear(&back);
    drop(&m);
}

/* Every shorter message, and one that is longer, in memory of just that size: the sanitizer sees
 * any step too far. */
static void wrong_lengths_are_refused(void **state) {
    (void)state;
    made m;
    make(&m);
    for (size_t size = 0; size < m.bytes.size; size++) {
        bp_bytes cut = {.data = malloc(size + 1), .size = size};
        memcpy(cut.data, m.bytes.data, size);
        bp_result back;
        assert_false(accepted(&m, &cut, &back));
        free(cut.data);
    }
    const unsigned char more = 0;
    bp_bytes_add(&m.bytes, &more, 1);
    bp_result back;
    assert_false(accepted(&m, &m.bytes, &back));
    drop(&m);
}

static void impossible_contents_are_refused(void **state) {
    (void)state;
    made m;
    make(&m);
    bp_phase *p = &m.result.phase[0];
    bp_result back;
    const bp_phase good = *p;
    for (int wrong = 0; wrong < 8; wrong++) {
        const double volt = p->volts[1];
        const bp_raw raw = p->raw[0];
        switch (wrong) {
        case 0:
            p->state = 99;
            break;
        case 1:
            p->position[0] = 7;
            break;
        case 2:
            p->volts[1] = 1e30;
            break;
        case 3:
            p->volts[1] = NAN;
            break;
        case 4:
            p->raw[0].value = INFINITY;
            break;
        case 5:
            p->raw[0].status = (bp_reading_status)77;
            break;
        case 6:
            p->raw[0].why = (bp_why)1000;
            break;
        default:
            p->sort = BP_PHASE_BEFORE; /* before what? no part is named */
        }
        m.bytes.size = 0;
        bp_result_write(&m.result, m.deck, &m.bytes);
        assert_false(accepted(&m, &m.bytes, &back));
        p->volts[1] = volt;
        p->raw[0] = raw;
        p->position[0] = 0;
        p->state = good.state;
        p->sort = good.sort;
    }
    m.bytes.size = 0;
    bp_result_write(&m.result, m.deck, &m.bytes);
    assert_true(accepted(&m, &m.bytes, &back));
    bp_result_clear(&back);
    drop(&m);
}

static void a_task_arrives_as_it_left(void **state) {
    (void)state;
    made m;
    make(&m);
    bp_bytes sent = {0};
    const bp_task *task = &m.asked.task[0];
    bp_task_write(task, m.d.circuit, &sent);
    bp_task back;
    assert_true(bp_task_read(&back, m.d.circuit, &sent));
    assert_true(bp_plan_equal(&back.plan, &task->plan));
    assert_int_equal(back.state, task->state);
    bp_task_clear(&back);
    for (size_t size = 0; size < sent.size; size++) {
        bp_bytes cut = {.data = sent.data, .size = size};
        assert_false(bp_task_read(&back, m.d.circuit, &cut));
    }
    bp_bytes_clear(&sent);
    drop(&m);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_result_arrives_as_it_left),
        cmocka_unit_test(wrong_lengths_are_refused),
        cmocka_unit_test(impossible_contents_are_refused),
        cmocka_unit_test(a_task_arrives_as_it_left),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
