/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Asks the lab what a sheet needs to know.
 */
#include "render/sheet_facts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "sim/model.h"

bp_question bp_facts_question(const bp_sheet_options *options) {
    bp_question question = BP_QUESTION_INIT;
    question.ambient = options->ambient;
    question.engine = options->engine;
    question.supply = options->supply;
    question.means = true;
    return question;
}

/* Every node's voltage in every state: one pair a node. Rows of `volts` are states. */
static bp_status ask_nodes(const bp_facts *facts, bp_lab *lab, double *volts, bp_report *report) {
    const bp_circuit *c = facts->circuit;
    bp_pair *pairs = bp_zeroed(c->n_nodes, sizeof *pairs);
    char(*names)[64] = bp_zeroed(c->n_nodes, sizeof *names);
    bp_answer *answer = NULL;
    bp_status status = pairs && names ? BP_OK : BP_ERR_MEMORY;
    for (size_t f = c->n_faces; f-- > 0 && status == BP_OK;) {
        size_t node = bp_face_node(c, f);
        bp_face_name(c, f, names[node], sizeof names[node]);
        pairs[node].red = names[node];
    }
    if (status == BP_OK) {
        bp_question question = bp_facts_question(&facts->options);
        question.pairs = pairs;
        question.n_pairs = c->n_nodes;
        question.means = false;
        answer = bp_lab_ask(lab, &question, report);
        status = answer ? BP_OK : BP_ERR_SOLVER;
    }
    for (size_t i = 0; i < c->n_states * c->n_nodes && status == BP_OK; i++)
        volts[i] = NAN;
    for (size_t s = 0; status == BP_OK && s < answer->n_states; s++) {
        size_t row = bp_state_find(c, answer->states[s].state);
        for (size_t n = 0; row != BP_NONE && n < answer->states[s].n_readings; n++)
            volts[row * c->n_nodes + n] = answer->states[s].readings[n].value;
    }
    bp_answer_free(&answer);
    free(pairs);
    free(names);
    return status;
}

static bool all_known(const double *volts, size_t n) {
    for (size_t i = 0; i < n; i++)
        if (isnan(volts[i]))
            return false;
    return true;
}

/* Drops are taken while a current flows and holds still: of a state that pulses no more than this
 * share of its current counts. */
static const double pulsing_counts = 0.5;

/* The state in which most current leaves the battery; without wires to tell by, the one that pulls
 * it down most. */
static size_t busiest_state(const bp_facts *facts, const double *volts) {
    const bp_circuit *c = facts->circuit;
    size_t best = 0;
    double most = -INFINITY;
    for (size_t s = 0; s < c->n_states; s++) {
        double amps = bp_path_feed_amps(c, volts + s * c->n_nodes, bp_wire_ohms);
        if (isnan(amps))
            amps = -facts->good->states[s < facts->good->n_states ? s : 0].supply_volts;
        else if (bp_state_pulses(c, s))
            amps *= pulsing_counts;
        if (amps > most + 1e-6) {
            most = amps;
            best = s;
        }
    }
    return best;
}

/* Chooses the state and finds the way of the current in it. */
static bp_status choose_state(bp_facts *facts, bp_lab *lab, bp_report *report) {
    const bp_circuit *c = facts->circuit;
    double *volts = bp_zeroed(c->n_states * c->n_nodes, sizeof *volts);
    bp_status status = volts ? ask_nodes(facts, lab, volts, report) : BP_ERR_MEMORY;
    if (status == BP_OK && !facts->options.state)
        facts->shown = busiest_state(facts, volts);
    const double *row = volts ? volts + facts->shown * c->n_nodes : NULL;
    if (status == BP_OK && all_known(row, c->n_nodes))
        status = bp_path_find(c, row, bp_wire_ohms, facts->shown, &facts->path);
    free(volts);
    return status;
}

static bp_status read_options(bp_facts *facts, bp_report *report) {
    const bp_sheet_options *options = &facts->options;
    char why[300];
    if (options->state) {
        facts->shown = bp_state_find(facts->circuit, options->state);
        if (facts->shown == BP_NONE) {
            bp_report_add(report, BP_MISTAKE, NULL, 0, 0,
                          "unknown state \"%s\"; `backprobe show %s` lists the states",
                          options->state, facts->circuit->id);
            return BP_ERR_USAGE;
        }
    }
    if (!options->faults)
        return BP_OK;
    bp_status status =
        bp_fault_parse(facts->circuit, options->faults, &facts->faults, why, sizeof why);
    if (status != BP_OK) {
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "%s", why);
        return status;
    }
    bp_fault_words_in(facts->options.us_units, facts->circuit, &facts->faults, facts->fault_words,
                      sizeof facts->fault_words);
    return BP_OK;
}

static bp_status ask_points(bp_facts *facts, bp_lab *lab, bp_report *report) {
    bp_question question = bp_facts_question(&facts->options);
    question.ranges = true;
    facts->good = bp_lab_ask(lab, &question, report);
    if (!facts->good)
        return BP_ERR_SOLVER;
    if (facts->faults.n == 0)
        return BP_OK;
    question.ranges = false;
    question.faults = facts->options.faults;
    facts->fault = bp_lab_ask(lab, &question, report);
    return facts->fault ? BP_OK : BP_ERR_SOLVER;
}

bp_status bp_facts_gather(bp_facts *facts, bp_lab *lab, const bp_sheet_options *options,
                          bp_report *report) {
    *facts = (bp_facts){.circuit = bp_lab_circuit(lab), .options = *options};
    bp_status status = read_options(facts, report);
    if (status == BP_OK)
        status = ask_points(facts, lab, report);
    if (status == BP_OK)
        status = choose_state(facts, lab, report);
    if (status == BP_OK)
        status = bp_drops_gather(facts, lab, report);
    if (status == BP_OK)
        status = bp_waves_gather(facts, lab, report);
    if (status == BP_OK) {
        const char *solver = bp_lab_solver(lab);
        snprintf(facts->solver, sizeof facts->solver, "%s", solver ? solver : "ngspice");
        status = bp_facts_derive(facts);
    }
    if (status == BP_ERR_MEMORY)
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "out of memory; nothing was written");
    return status;
}

void bp_facts_clear(bp_facts *facts) {
    bp_answer_free(&facts->good);
    bp_answer_free(&facts->fault);
    bp_path_clear(&facts->path);
    bp_drops_clear(&facts->drops);
    bp_waves_clear(facts);
    bp_words_clear(&facts->notices);
    bp_words_clear(&facts->gives_away);
    free(facts->columns);
    free(facts->looks);
    free(facts->tags);
    *facts = (bp_facts){0};
}
