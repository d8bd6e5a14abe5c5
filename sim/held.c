/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/held.h"

#include <stdio.h>
#include <string.h>

#include "circuits/circuit.h"
#include "sim/instrument.h"
#include "sim/means.h"

/* One end of a reading: "OL" lies beyond every value, on the side of its sign, which is not known:
 * above. */
typedef struct end {
    double value;
    const bp_state_answer *in;
} end;

static const bp_held *shown(bp_store *store, const bp_reading *reading, const end *e) {
    bp_held *out = e->in ? bp_store_get(store, 1, sizeof *out) : NULL;
    if (!out)
        return NULL;
    *out = (bp_held){.value = NAN, .state = e->in->state, .phase = e->in->phase, .at = NAN};
    if (isinf(e->value)) {
        snprintf(out->display, sizeof out->display, "OL");
        return out;
    }
    out->value = e->value;
    bp_instruments[reading->instrument]->show(e->value, out->display, sizeof out->display);
    return out;
}

/* Takes one reading into the extremes so far. */
static void take(const bp_reading *reading, const bp_state_answer *in, end *least, end *most) {
    double low = reading->value, high = reading->value;
    if (reading->status == BP_READING_NONE)
        return;
    if (reading->status == BP_READING_OVER)
        low = high = INFINITY;
    if (reading->status == BP_READING_UNSTEADY)
        low = reading->low, high = reading->high;
    if (!least->in || low < least->value)
        *least = (end){low, in};
    if (!most->in || high > most->value)
        *most = (end){high, in};
}

/* Phases of this very state come one after the other: those after this one are not yet met. */
static bool is_met(const bp_circuit *c, const bp_answer *a, size_t here, size_t other) {
    if (strcmp(a->states[here].state, a->states[other].state) == 0)
        return other <= here;
    return bp_state_leads_to(c, bp_state_find(c, a->states[other].state),
                             bp_state_find(c, a->states[here].state));
}

static void hold_one(bp_store *store, const bp_circuit *c, const bp_question *q, const bp_answer *a,
                     size_t here, size_t reading) {
    end least = {NAN, NULL}, most = {NAN, NULL};
    bp_reading *r = &a->states[here].readings[reading];
    for (size_t i = 0; i < a->n_states; i++)
        if (is_met(c, a, here, i) && reading < a->states[i].n_readings &&
            !bp_wants_means(q, c, a->states[i].state))
            take(&a->states[i].readings[reading], &a->states[i], &least, &most);
    r->minimum = shown(store, r, &least);
    r->maximum = shown(store, r, &most);
}

void bp_hold(bp_store *store, const bp_circuit *circuit, const bp_question *question,
             bp_answer *answer) {
    for (size_t i = 0; i < answer->n_states; i++)
        for (size_t k = 0; k < answer->states[i].n_readings; k++)
            hold_one(store, circuit, question, answer, i, k);
}
