/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Readings that no meter can take in the good circuit: an ohmmeter where voltage stands, an ammeter
 * whose fuse would blow.
 */
#include <string.h>

#include "diagnose/casefile_parts.h"

/* Instruments that need a dead circuit, or that put themselves in its way. */
static bool may_refuse(const bp_case_reading *r) {
    return !r->observe && (r->instrument == BP_OHMS || r->instrument == BP_DIODE_TEST);
}

bp_question bp_casefile_question(const bp_casefile *file, const bp_case_reading *r, bp_pair *pair) {
    bp_question q = BP_QUESTION_INIT;
    *pair = (bp_pair){r->red, r->black};
    q.state = r->state;
    q.after = r->after;
    q.n_after = r->n_after;
    q.instrument = r->observe ? BP_VOLTS : r->instrument;
    q.at = r->at;
    q.pairs = r->red ? pair : NULL;
    q.n_pairs = r->red ? 1 : 0;
    q.ambient = file->ambient;
    q.engine = file->engine;
    return q;
}

static void check(const bp_casefile *file, const bp_case_reading *r, bp_lab *lab,
                  bp_report *report) {
    bp_pair pair;
    const bp_question q = bp_casefile_question(file, r, &pair);
    bp_answer *a = bp_lab_ask(lab, &q, report);
    const bp_reading *got = a && a->n_states > 0 && a->states[a->n_states - 1].n_readings > 0
                                ? &a->states[a->n_states - 1].readings[0]
                                : NULL;
    if (got && got->status == BP_READING_NONE && got->why)
        bp_report_add(report, BP_MISTAKE, file->path, r->line, r->column,
                      "%s cannot be read here, even in a good circuit: %s",
                      bp_instrument_name(r->instrument), got->why);
    bp_answer_free(&a);
}

bp_status bp_casefile_check_live(const bp_casefile *file, bp_report *report) {
    const size_t before = bp_report_count_of(report, BP_MISTAKE);
    bp_lab *lab = NULL;
    for (size_t i = 0; i < file->n_readings; i++) {
        if (!may_refuse(&file->reading[i]))
            continue;
        if (!lab)
            lab = bp_lab_new(file->circuit, 1, report);
        if (!lab)
            return BP_ERR_SOLVER;
        check(file, &file->reading[i], lab, report);
    }
    bp_lab_free(&lab);
    return bp_report_count_of(report, BP_MISTAKE) > before ? BP_ERR_INPUT : BP_OK;
}
