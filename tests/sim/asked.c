/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "tests/sim/asked.h"

#include <string.h>

bp_answer *asked(desk *d, const bp_question *question) {
    const size_t before = bp_report_count(d->report);
    bp_answer *answer = bp_lab_ask(d->lab, question, d->report);
    for (size_t i = before; !answer && i < bp_report_count(d->report); i++)
        print_error("  %s\n", bp_report_at(d->report, i)->text);
    assert_non_null(answer);
    return answer;
}

const char *refused(desk *d, const bp_question *question) {
    const size_t before = bp_report_count(d->report);
    bp_answer *answer = bp_lab_ask(d->lab, question, d->report);
    assert_null(answer);
    assert_int_equal(bp_report_count(d->report), before + 1);
    return bp_report_at(d->report, before)->text;
}

bp_question reading_of(const char *state, bp_instrument instrument, const bp_pair *pair) {
    bp_question q = BP_QUESTION_INIT;
    q.state = state;
    q.instrument = instrument;
    q.pairs = pair;
    q.n_pairs = 1;
    return q;
}

bp_reading read_one(desk *d, bp_instrument instrument, const char *red, const char *black) {
    const bp_pair pair = {red, black};
    const bp_question q = reading_of("on", instrument, &pair);
    bp_answer *a = asked(d, &q);
    const bp_reading r = a->states[0].readings[0];
    bp_answer_free(&a);
    return r;
}

const bp_state_answer *state_in(const bp_answer *answer, const char *state, const char *phase) {
    for (size_t i = 0; i < answer->n_states; i++) {
        const bp_state_answer *s = &answer->states[i];
        if (strcmp(s->state, state) == 0 &&
            (phase ? s->phase && strcmp(s->phase, phase) == 0 : !s->phase))
            return s;
    }
    fail_msg("no state %s, phase %s", state, phase ? phase : "none");
    return NULL;
}
