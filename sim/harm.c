/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/harm.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "sim/leads.h"
#include "sim/scene.h"

/* An igniter of an airbag is sure not to fire up to 0.4 A (data-sheet typical, from memory). */
#define FIRES_ABOVE 0.4

/* The tasks behind those that read, in this order. */
enum { WITH_FUSES_HOLD, WITHOUT_FUSES_HOLD, WITH_OUTPUTS_ON, WITHOUT_OUTPUTS_ON, N_CHECKS };

/* The task without readings; `with`: with what may do harm. */
static bool make_check(bp_task *to, const bp_task *from, const bp_circuit *circuit, bool with,
                       bp_what_if what_if) {
    if (!bp_task_copy(to, from, circuit))
        return false;
    to->plan.n_pairs = 0;
    to->ranges = to->moves = false;
    to->acts = true;
    to->what_if = what_if;
    for (size_t i = 0; !with && i < circuit->n_parts; i++)
        to->done[i] = (bp_done)(to->done[i] & ~BP_DID_SUBSTITUTE);
    if (!with)
        to->plan.n_leads = 0;
    return true;
}

/* How many of the checks this circuit needs: what cannot suffer is not compared with before, and
 * where no module switches anything nothing comes on by itself. */
static size_t checks_for(const bp_circuit *circuit) {
    size_t n = WITH_FUSES_HOLD + 1;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_model *model = bp_models[bp_kind_index(circuit->parts[i].kind)];
        if (model->output_on)
            return N_CHECKS;
        if (model->strained)
            n = WITHOUT_FUSES_HOLD + 1;
    }
    return n;
}

bool bp_harm_add_tasks(bp_asked *asked, const bp_circuit *circuit) {
    if (!asked->task[0].may_harm)
        return true;
    bp_task *more = realloc(asked->task, (asked->n_tasks + N_CHECKS) * sizeof *more);
    if (!more)
        return false;
    asked->task = more;
    asked->n_checks = checks_for(circuit);
    for (size_t i = 0; i < asked->n_checks; i++) {
        const bool with = i == WITH_FUSES_HOLD || i == WITH_OUTPUTS_ON;
        const bp_what_if what_if = i < WITH_OUTPUTS_ON ? BP_FUSES_HOLD : BP_OUTPUTS_ON;
        if (!make_check(&more[asked->n_tasks], &more[0], circuit, with, what_if)) {
            bp_task_clear(&more[asked->n_tasks]);
            return false;
        }
        asked->n_tasks++;
    }
    return true;
}

typedef struct judge {
    const bp_asked *asked;
    const bp_outcome *outcome;
    const bp_circuit *circuit;
    size_t first_check; /* task */
    char *why;
    size_t size;
} judge;

static const bp_task *check_task(const judge *j, int check) {
    return &j->asked->task[j->first_check + (size_t)check];
}

static const bp_outcome *check_outcome(const judge *j, int check) {
    return &j->outcome[j->first_check + (size_t)check];
}

static const char *state_of(const judge *j, const bp_phase *p) {
    return j->circuit->states[p->state].id;
}

/* The last phase of the state in a check, NULL when there is none. */
static const bp_phase *phase_in(const judge *j, int check, size_t state) {
    const bp_result *r = &check_outcome(j, check)->result;
    const bp_phase *found = NULL;
    for (size_t i = 0; i < r->n_phases; i++)
        if (r->phase[i].state == state)
            found = &r->phase[i];
    return found;
}

/* The lead that carries most in this phase: what is done is called by it. */
static void name_culprit(const judge *j, const bp_deck *deck, const bp_phase *p, char *text,
                         size_t size) {
    size_t worst = 0;
    for (size_t i = 1; i < deck->plan.n_leads; i++)
        if (fabs(bp_lead_amps(deck, p->volts, i)) > fabs(bp_lead_amps(deck, p->volts, worst)))
            worst = i;
    if (deck->plan.n_leads)
        bp_lead_name(j->circuit, &deck->plan.lead[worst], text, size);
    else
        snprintf(text, size, "the substitution");
}

static const bp_model *model_of(const judge *j, size_t part) {
    return bp_models[bp_kind_index(j->circuit->parts[part].kind)];
}

static bool unsolved(const judge *j, const bp_phase *p) {
    if (p->solved)
        return false;
    snprintf(j->why, j->size,
             "what this would do in state %s could not be solved: refused, since nobody knows",
             state_of(j, p));
    return true;
}

/* More through a lead than its fuse, or than it takes. */
static bool lead_burns(const judge *j, const bp_deck *deck, const bp_phase *p) {
    for (size_t i = 0; i < deck->plan.n_leads; i++) {
        const bp_patch *lead = &deck->plan.lead[i];
        const double amps = fabs(bp_lead_amps(deck, p->volts, i));
        char name[200];
        if (amps <= bp_lead_most(lead))
            continue;
        bp_lead_name(j->circuit, lead, name, sizeof name);
        snprintf(j->why, j->size, "%s would carry %.0f A in state %s, more than %s: refused", name,
                 amps, state_of(j, p), bp_lead_limit(lead));
        return true;
    }
    return false;
}

static bool no_lead_into_an_airbag(const judge *j, const bp_deck *deck, const bp_phase *p) {
    if (!j->circuit->airbag || deck->plan.n_leads == 0)
        return false;
    char name[200];
    name_culprit(j, deck, p, name, sizeof name);
    double amps = 0;
    for (size_t i = 0; i < deck->plan.n_leads; i++)
        amps = fmax(amps, fabs(bp_lead_amps(deck, p->volts, i)));
    snprintf(j->why, j->size,
             "%s would carry %.1f A in state %s in an airbag circuit, where more than %g A can set "
             "one off: refused",
             name, amps, state_of(j, p), FIRES_ABOVE);
    return true;
}

/* What the fuse would have to carry, from the check in which it holds. */
static void fuse_words(const judge *j, size_t part, size_t state, bp_behaviour *out) {
    const bp_phase *p = phase_in(j, WITH_FUSES_HOLD, state);
    bp_scene scene = {0};
    snprintf(out->words, sizeof out->words, "it cannot carry what would flow");
    if (p && p->solved &&
        bp_scene_set(&scene, check_task(j, WITH_FUSES_HOLD),
                     check_outcome(j, WITH_FUSES_HOLD)->deck, p)) {
        const bp_view view = bp_scene_view(&scene, part);
        model_of(j, part)->behave(&view, out);
    }
    bp_scene_clear(&scene);
}

/* A fuse that was whole in the vehicle as found, and is not with this. */
static bool fuse_blows(const judge *j, const bp_task *task, const bp_outcome *o,
                       const bp_phase *p) {
    for (size_t part = 0; part < j->circuit->n_parts; part++) {
        if (!model_of(j, part)->lasting || p->position[part] == 0 || o->result.found[part] != 0 ||
            (task->done[part] & BP_DID_RENEW))
            continue;
        char name[200];
        bp_behaviour words = {.says = NULL};
        const bp_phase *flows = phase_in(j, WITH_FUSES_HOLD, p->state);
        name_culprit(j, check_outcome(j, WITH_FUSES_HOLD)->deck, flows ? flows : p, name,
                     sizeof name);
        fuse_words(j, part, p->state, &words);
        snprintf(j->why, j->size, "%s would blow %s in state %s (%s): refused", name,
                 j->circuit->parts[part].id, state_of(j, p), words.words);
        return true;
    }
    return false;
}

/* Is the part strained in the state's phase of this check? */
static bool strained(const judge *j, int check, size_t part, size_t state, char *words,
                     size_t size) {
    const bp_phase *p = phase_in(j, check, state);
    bp_scene scene = {0};
    const bool yes = p && p->solved &&
                     bp_scene_set(&scene, check_task(j, check), check_outcome(j, check)->deck, p);
    bool is = false;
    if (yes) {
        const bp_view view = bp_scene_view(&scene, part);
        is = model_of(j, part)->strained(&view, words, size);
    }
    bp_scene_clear(&scene);
    return is;
}

/* A part stands more than it is made for with this, and did not before. */
static bool part_suffers(const judge *j, int with, int without, const bp_phase *p) {
    for (size_t part = 0; part < j->circuit->n_parts; part++) {
        char words[160], name[200], before[160];
        if (!model_of(j, part)->strained ||
            !strained(j, with, part, p->state, words, sizeof words) ||
            strained(j, without, part, p->state, before, sizeof before))
            continue;
        name_culprit(j, check_outcome(j, with)->deck, p, name, sizeof name);
        snprintf(j->why, j->size, "with %s in state %s%s, %s %s: refused", name, state_of(j, p),
                 with == WITH_OUTPUTS_ON ? ", as soon as its output is switched on" : "",
                 j->circuit->parts[part].id, words);
        return true;
    }
    return false;
}

static bool check_fails(const judge *j, int with, int without) {
    const bp_outcome *o = check_outcome(j, with);
    if (o->why || o->result.status != BP_OK)
        return false; /* no answer at all: its readings say so */
    for (size_t i = 0; i < o->result.n_phases; i++) {
        const bp_phase *p = &o->result.phase[i];
        if (unsolved(j, p) || no_lead_into_an_airbag(j, o->deck, p) ||
            (with == WITH_FUSES_HOLD && lead_burns(j, o->deck, p)) ||
            part_suffers(j, with, without, p))
            return true;
    }
    return false;
}

bool bp_harm_found(const bp_asked *asked, const bp_outcome *outcome, char *why, size_t size) {
    if (asked->n_checks == 0 || !outcome[0].deck)
        return false;
    const judge j = {asked, outcome, outcome[0].deck->circuit, asked->n_tasks - asked->n_checks,
                     why,   size};
    for (size_t t = 0; t < j.first_check; t++)
        for (size_t i = 0; !outcome[t].why && i < outcome[t].result.n_phases; i++)
            if (fuse_blows(&j, &asked->task[t], &outcome[t], &outcome[t].result.phase[i]))
                return true;
    return check_fails(&j, WITH_FUSES_HOLD, WITHOUT_FUSES_HOLD) ||
           (asked->n_checks == N_CHECKS && check_fails(&j, WITH_OUTPUTS_ON, WITHOUT_OUTPUTS_ON));
}
