/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Why: sentences that name readings.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "diagnose/match_parts.h"
#include "diagnose/posterior_parts.h"
#include "sim/instrument.h"

/* A reading this many standard deviations from what is predicted is told apart from it, ... */
#define FAR 3.0
/* ... and one this near is as it should be. */
#define NEAR 2.5

static const bp_test *test_at(const bp_match *m, size_t i) {
    return bp_atlas_test(m->d->atlas, m->d->evidence[i].test);
}

static void lead_name(const bp_circuit *c, size_t face, size_t point, char *text, size_t size) {
    if (point != BP_NONE)
        snprintf(text, size, "%s", c->points[point].id);
    else
        bp_face_name(c, face, text, size);
}

/* "D", "D to E", "H1", "amps at F4". */
static void place_words(const bp_match *m, const bp_test *t, char *text, size_t size) {
    const bp_circuit *c = m->d->circuit;
    char red[64] = "", black[64] = "";
    if (t->part != BP_NONE) {
        snprintf(text, size, "%s", c->parts[t->part].id);
        return;
    }
    if (t->at != BP_NONE) {
        snprintf(text, size, "%s in the place of %s", bp_instrument_name(t->instrument),
                 c->parts[t->at].id);
        return;
    }
    lead_name(c, t->red, t->red_point, red, sizeof red);
    if (t->black != BP_NONE && bp_face_node(c, t->black) != bp_face_node(c, c->reference)) {
        lead_name(c, t->black, t->black_point, black, sizeof black);
        snprintf(text, size, "%s to %s", red, black);
    } else
        snprintf(text, size, "%s", red);
}

static const char *written(const bp_match *m, size_t i) {
    const size_t reading = m->d->reading[i];
    return reading == BP_NONE ? NULL : bp_casefile_reading(m->d->file, reading)->text;
}

static void show(const bp_test *t, const bp_cell *cell, char *text, size_t size) {
    switch (cell->sort) {
    case BP_CELL_VALUE:
        bp_instruments[t->instrument]->show(cell->value, text, size);
        break;
    case BP_CELL_OVER:
        snprintf(text, size, "OL");
        break;
    case BP_CELL_UNSTEADY:
        snprintf(text, size, "an unsteady reading");
        break;
    case BP_CELL_SAYS:
        snprintf(text, size, "%s", cell->says[0] ? cell->says : "nothing");
        break;
    default:
        snprintf(text, size, "nothing");
    }
}

const char *bp_match_reading_words(bp_match *m, size_t i) {
    const bp_test *t = test_at(m, i);
    char place[160];
    place_words(m, t, place, sizeof place);
    const char *state = m->d->circuit->states[t->state].id, *value = written(m, i);
    if (!value)
        return bp_store_print(&m->store, "the battery rests at %.2f V", m->d->evidence[i].value);
    return bp_store_print(&m->store,
                          t->part == BP_NONE ? "%s reads %s in state %s" : "%s is %s in state %s",
                          place, value, state);
}

/* How many standard deviations a reading lies from a cell; large for what is no number on both
 * sides and differs. */
static double distance(const bp_match *m, size_t i, size_t row, const bp_cell *cell) {
    const bp_evidence *e = &m->d->evidence[i];
    if (e->sort != BP_SEEN_VALUE || cell->sort != BP_CELL_VALUE)
        return bp_category_probability(m->d->atlas, e, cell, 0) > 0.5 ? 0 : FAR;
    double moves[1024], own = 0, variance = pow(bp_evidence_sd(m->d->atlas, e), 2);
    double mean = cell->value;
    const bp_prior *prior = &m->d->prior;
    if (prior->n_spreads <= sizeof moves / sizeof *moves) {
        bp_atlas_moves(m->d->atlas, row, e->test, moves, &own);
        for (size_t q = 0; q < prior->n_spreads; q++) {
            mean += moves[q] * prior->mean[q];
            variance += pow(moves[q] * prior->sd[q], 2);
        }
    }
    return fabs(e->value - mean) / sqrt(variance + own * own);
}

static size_t row_of(const bp_match *m, size_t hypothesis) {
    if (hypothesis == BP_NONE)
        return 0;
    const bp_hypothesis *h = bp_posterior_at(m->d->posterior, hypothesis);
    return h->between > 0.5 ? h->next : h->row;
}

static bool is_explained(const bp_match *m, size_t hypothesis, size_t i) {
    return hypothesis == BP_NONE || bp_posterior_slip_under(m->d->posterior, hypothesis, i) < 0.5;
}

/* The explained reading that a good circuit would show least; BP_NONE when it would show all. */
static size_t most_telling(const bp_match *m, size_t hypothesis) {
    size_t best = BP_NONE;
    double most = FAR;
    for (size_t i = 0; i < m->d->n_evidence; i++) {
        const bp_cell good = bp_atlas_cell(m->d->atlas, 0, m->d->evidence[i].test);
        const double far = distance(m, i, 0, &good);
        if (far >= most && is_explained(m, hypothesis, i) &&
            m->d->evidence[i].present != BP_PRESENT_NO) {
            most = far * 1.001;
            best = i;
        }
    }
    return best;
}

/* The last reading in the same state that is as it should be, and that the fault leaves so. */
static size_t still_good(const bp_match *m, size_t hypothesis, size_t beside) {
    size_t best = BP_NONE;
    for (size_t i = 0; i < m->d->n_evidence; i++) {
        const bp_test *t = test_at(m, i);
        const bp_cell good = bp_atlas_cell(m->d->atlas, 0, m->d->evidence[i].test);
        if (i != beside && t->state == test_at(m, beside)->state && t->part == BP_NONE &&
            good.sort == BP_CELL_VALUE && distance(m, i, 0, &good) < NEAR &&
            is_explained(m, hypothesis, i))
            best = i;
    }
    return best;
}

static size_t unexplained(const bp_match *m, size_t hypothesis) {
    for (size_t i = 0; i < m->d->n_evidence; i++)
        if (!is_explained(m, hypothesis, i))
            return i;
    return BP_NONE;
}

/* What it would be in that row: ", where a good circuit gives 12.1 V"; where somebody looked or
 * listened, ", where in a good circuit it is normal". */
static const char *other_words(bp_match *m, size_t i, size_t row, const char *in) {
    const bp_test *t = test_at(m, i);
    const bp_cell cell = bp_atlas_cell(m->d->atlas, row, m->d->evidence[i].test);
    char shown[64];
    show(t, &cell, shown, sizeof shown);
    return bp_store_print(&m->store,
                          t->part == BP_NONE ? ", where %s gives %s" : ", where in %s it is %s", in,
                          shown);
}

const char *bp_match_reason(bp_match *m, size_t hypothesis, const char *good_one) {
    const size_t i = most_telling(m, hypothesis);
    if (m->d->n_evidence == 0)
        return "nothing was measured yet";
    if (hypothesis == BP_NONE)
        return i == BP_NONE ? "every reading is what a good circuit shows"
                            : bp_store_print(&m->store, "only if this is a slip: %s",
                                             bp_match_reading_words(m, i));
    if (i == BP_NONE)
        return "no reading speaks against it, and none for it";
    const char *in = bp_store_print(&m->store, "a good %s", good_one);
    const size_t beside = still_good(m, hypothesis, i), against = unexplained(m, hypothesis);
    return bp_store_print(&m->store, "%s%s%s%s%s%s%s", bp_match_reading_words(m, i),
                          other_words(m, i, 0, in), beside == BP_NONE ? "" : "; ",
                          beside == BP_NONE ? "" : bp_match_reading_words(m, beside),
                          beside == BP_NONE ? "" : ", as it should",
                          against == BP_NONE ? "" : "; but it does not explain that ",
                          against == BP_NONE ? "" : bp_match_reading_words(m, against));
}

/* The states that hold still, as a list for people: "key-on or full". */
static const char *still_states(bp_match *m) {
    const bp_circuit *c = m->d->circuit;
    const char *list = "";
    size_t left = 0;
    for (size_t s = 0; s < c->n_states; s++)
        left += !bp_state_pulses(c, s);
    for (size_t s = 0; s < c->n_states; s++)
        if (!bp_state_pulses(c, s)) {
            left--;
            list = bp_store_print(&m->store, "%s%s%s", list, c->states[s].id,
                                  left > 1    ? ", "
                                  : left == 1 ? " or "
                                              : "");
        }
    return list;
}

bool bp_match_say_left_out(bp_match *m) {
    m->left_out = bp_store_get(&m->store, m->d->n_left_out + 1, sizeof *m->left_out);
    for (size_t i = 0; m->left_out && i < m->d->n_left_out; i++) {
        const char *still = still_states(m);
        m->left_out[i] = bp_store_print(
            &m->store,
            "Not counted: %s. Something pulses there, and too many faults are left to work out "
            "what the meter would show with each of them. Other readings first%s%s; or duty, "
            "hertz or a waveform there.",
            bp_match_reading_words(m, m->d->n_evidence + i),
            still[0] ? ", such as the same in state " : "", still);
    }
    return !m->store.failed;
}

bool bp_match_find_misfits(bp_match *m, size_t hypothesis, const char *cause) {
    m->misfit = bp_store_get(&m->store, m->d->n_evidence + 1, sizeof *m->misfit);
    const size_t row = row_of(m, hypothesis);
    for (size_t i = 0; m->misfit && i < m->d->n_evidence; i++) {
        const double slip = bp_posterior_slip_under(m->d->posterior, hypothesis, i);
        if (slip < 0.5 || m->d->reading[i] == BP_NONE)
            continue;
        m->misfit[m->n_misfits++] =
            (bp_misfit){.reading = m->d->reading[i],
                        .says = bp_store_print(&m->store, "%s%s", bp_match_reading_words(m, i),
                                               other_words(m, i, row, cause)),
                        .slip = bp_slip_words(m->d->posterior, i, row),
                        .probability = slip};
    }
    return !m->store.failed;
}
