/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "circuits/circuit.h"
#include "cli/json.h"
#include "cli/match.h"

static json_t *fault_json(const bp_suspect_fault *fault) {
    json_t *object = bp_json_object(), *severity = json_null();
    bp_json_set(object, "fault", bp_json_text(fault->fault));
    bp_json_set(object, "words", bp_json_text(fault->words));
    bp_json_set(object, "probability", bp_json_number(fault->probability));
    if (!isnan(fault->severity)) {
        severity = bp_json_object();
        bp_json_set(severity, "value", bp_json_number(fault->severity));
        bp_json_set(severity, "unit", bp_json_unit(fault->unit));
        bp_json_set(severity, "low", bp_json_number(fault->low));
        bp_json_set(severity, "high", bp_json_number(fault->high));
    }
    bp_json_set(object, "severity", severity);
    return object;
}

static json_t *suspect_json(const bp_suspect *suspect) {
    static const char *const sorts[] = {[BP_SUSPECT_FAULTS] = "faults",
                                        [BP_SUSPECT_HEALTHY] = "healthy",
                                        [BP_SUSPECT_ABSENT] = "absent",
                                        [BP_SUSPECT_PAIRS] = "pairs"};
    json_t *object = bp_json_object(), *faults = bp_json_array();
    for (size_t i = 0; i < suspect->n_faults; i++)
        bp_json_append(faults, fault_json(&suspect->faults[i]));
    bp_json_set(object, "sort", bp_json_text(sorts[suspect->sort]));
    bp_json_set(object, "probability", bp_json_number(suspect->probability));
    bp_json_set(object, "says", bp_json_text(suspect->says));
    bp_json_set(object, "faults", faults);
    return object;
}

static json_t *misfit_json(const bp_misfit *misfit) {
    json_t *object = bp_json_object();
    bp_json_set(object, "reading", json_integer((json_int_t)misfit->reading));
    bp_json_set(object, "says", bp_json_text(misfit->says));
    bp_json_set(object, "slip", bp_json_text(misfit->slip));
    bp_json_set(object, "probability", bp_json_number(misfit->probability));
    return object;
}

void bp_match_json(const bp_screen *out, const bp_casefile *file, const bp_match *match) {
    const bp_circuit *c = bp_casefile_circuit(file);
    json_t *object = bp_json_object(), *suspects = bp_json_array(), *misfit = bp_json_array();
    for (size_t i = 0; i < bp_match_n_suspects(match); i++)
        bp_json_append(suspects, suspect_json(bp_match_suspect(match, i)));
    for (size_t i = 0; i < bp_match_n_misfits(match); i++)
        bp_json_append(misfit, misfit_json(bp_match_misfit(match, i)));
    json_t *left_out = bp_json_array();
    for (size_t i = 0; i < bp_match_n_left_out(match); i++)
        bp_json_append(left_out, bp_json_text(bp_match_left_out(match, i)));
    bp_json_set(object, "circuit", bp_json_text(bp_circuit_id(c)));
    bp_json_set(object, "suspects", suspects);
    bp_json_set(object, "other", bp_json_number(bp_match_other(match)));
    bp_json_set(object, "misfit", misfit);
    bp_json_set(object, "left_out", left_out);
    bp_json_set(object, "first", bp_json_text(bp_match_first(match)));
    bp_json_set(object, "elsewhere",
                bp_json_texts((const char *const *)c->elsewhere, c->n_elsewhere));
    bp_json_print(out, object);
}
