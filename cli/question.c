/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "circuits/fault.h"
#include "cli/messages.h"
#include "cli/question.h"

bp_question bp_question_of(const bp_arguments *arguments) {
    bp_question q = BP_QUESTION_INIT;
    q.state = arguments->state;
    q.faults = arguments->faults;
    q.ambient = arguments->ambient;
    q.engine = arguments->engine;
    q.supply = arguments->supply;
    return q;
}

static bp_exit no_such_state(const bp_arguments *arguments, const bp_circuit *circuit) {
    const char **names = bp_must(calloc(circuit->n_states + 1, sizeof *names));
    char *all = NULL;
    size_t size;
    FILE *f = bp_must(open_memstream(&all, &size));
    for (size_t i = 0; i < circuit->n_states; i++) {
        names[i] = circuit->states[i].id;
        fprintf(f, "%s%s", i ? ", " : "", names[i]);
    }
    if (fclose(f) != 0)
        bp_must(NULL);
    const char *near = bp_near_miss(arguments->state, names, circuit->n_states);
    bp_say(arguments->cli, "--state: %s has no state '%s'%s%s%s; there are %s", circuit->id,
           arguments->state, near ? "; did you mean '" : "", near ? near : "", near ? "'?" : "",
           (char *)bp_must(all));
    free(all);
    free(names);
    return BP_EXIT_INPUT;
}

bp_exit bp_question_check(const bp_arguments *arguments, const bp_circuit *circuit) {
    bp_fault_case faults;
    char why[512];
    if (arguments->state && bp_state_find(circuit, arguments->state) == BP_NONE)
        return no_such_state(arguments, circuit);
    if (arguments->faults &&
        bp_fault_parse(circuit, arguments->faults, &faults, why, sizeof why) != BP_OK) {
        bp_say(arguments->cli, "--fault %s: %s; 'backprobe faults' lists them", arguments->faults,
               why);
        return BP_EXIT_INPUT;
    }
    return BP_EXIT_CARRY_ON;
}
