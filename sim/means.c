/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/means.h"

#include <math.h>
#include <string.h>

#include "circuits/circuit.h"
#include "sim/features.h"
#include "sim/held.h"
#include "sim/instrument.h"
#include "sim/model.h"
#include "sim/noticed.h"
#include "sim/wave.h"

/* By this share of what the pulses make of a reading good parts may differ (common practice, as for
 * what a waveform shows): how a mean strays with all tolerances is not worked out. */
static const double pulses_stray = 0.1;

bool bp_wants_means(const bp_question *q, const bp_circuit *circuit, const char *state) {
    return q->means && bp_is_held_in_runs(q->instrument) &&
           bp_state_pulses(circuit, bp_state_find(circuit, state));
}

/* Half of the range in which good vehicles are, without the meter: as between two pulses where that
 * was asked for, and as the pulses stray. */
static double spread_of(const bp_reading *between, double mean) {
    if (between->status != BP_READING_OK)
        return pulses_stray * fabs(mean);
    const double parts = isnan(between->low) ? 0 : (between->high - between->low) / 2;
    return parts + pulses_stray * fabs(mean - between->value);
}

void bp_read_mean(bp_reading *r, const bp_scope_run *run, size_t trace) {
    const bp_instrument_def *meter = bp_instruments[r->instrument];
    if (r->unloaded)
        return;
    if (!run || run->why) {
        bp_read_run(r, r->instrument, run, trace);
        return;
    }
    const double mean = bp_mean_of(run->time, run->traces[trace].value, run->n);
    const double half = spread_of(r, mean) + meter->accuracy(mean);
    r->value = mean;
    r->low = mean - half;
    r->high = mean + half;
    r->status = BP_READING_OK;
    r->why = NULL;
    meter->show(mean, r->display, sizeof r->display);
}

/* Does what it is between two pulses say nothing of what people notice of it? */
static bool works_by_pulses(const bp_circuit *c, const bp_scope_run *run, const char *part) {
    const size_t index = bp_part_find(c, part);
    const bp_model *model =
        index == BP_NONE ? NULL : bp_models[bp_kind_index(c->parts[index].kind)];
    if (!model || c->parts[index].kind->rhythm)
        return false;
    for (size_t i = 0; i < run->n_events; i++)
        if (strcmp(run->events[i].part, part) == 0)
            return true;
    return model->wave && model->wave->behave;
}

/* Such a part is as warm as its pulses make it, which is not worked out. */
static void forget_warmth(bp_state_answer *state, const char *part) {
    size_t n = 0;
    for (size_t i = 0; i < state->n_warm; i++)
        if (strcmp(state->warm[i].part, part) != 0)
            state->warm[n++] = state->warm[i];
    state->n_warm = n;
}

void bp_notice_run(bp_store *store, const bp_circuit *circuit, bp_state_answer *state,
                   const bp_scope_run *run) {
    size_t n = 0;
    for (size_t i = 0; i < state->n_notices; i++) {
        bp_notice one = state->notices[i];
        const bp_notice *told = bp_notice_find(run->notices, run->n_notices, one.part);
        const bool silent = !told && works_by_pulses(circuit, run, one.part);
        if (told) {
            const char *part = one.part;
            one = *told; /* `says` is a model's own word, and lasts */
            one.part = part;
            one.words = bp_store_copy(store, told->words);
        }
        if (told || silent)
            forget_warmth(state, one.part);
        if (!silent)
            state->notices[n++] = one;
    }
    state->n_notices = n;
}
