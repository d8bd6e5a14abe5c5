/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/question.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sim/actions.h"
#include "sim/harm.h"
#include "sim/held.h"

typedef struct resolver {
    const bp_question *question;
    const bp_circuit *circuit;
    bp_asked *asked;
    bp_report *report;
    bp_status status;
} resolver;

static void mistake(resolver *r, const char *text) {
    bp_report_add(r->report, BP_MISTAKE, NULL, 0, 0, "%s", text);
    r->status = BP_ERR_USAGE;
}

static void no_memory(resolver *r) {
    bp_report_add(r->report, BP_MISTAKE, NULL, 0, 0, "out of memory");
    r->status = BP_ERR_MEMORY;
}

/* "there is no WHAT WORD here; did you mean NEAR?" */
static void not_there(resolver *r, const char *what, const char *word, const char *const *names,
                      size_t n) {
    const char *near = bp_near_miss(word, names, n);
    if (near)
        bp_report_add(r->report, BP_MISTAKE, NULL, 0, 0, "there is no %s %s; did you mean %s?",
                      what, word, near);
    else
        bp_report_add(r->report, BP_MISTAKE, NULL, 0, 0, "there is no %s %s in %s", what, word,
                      r->circuit->id);
    r->status = BP_ERR_USAGE;
}

static void resolve_state(resolver *r, bp_task *task) {
    if (!r->question->state)
        return;
    const bp_circuit *c = r->circuit;
    task->state = bp_state_find(c, r->question->state);
    if (task->state != BP_NONE)
        return;
    const char **names = calloc(c->n_states + 1, sizeof *names);
    for (size_t i = 0; names && i < c->n_states; i++)
        names[i] = c->states[i].id;
    not_there(r, "state", r->question->state, names, names ? c->n_states : 0);
    free(names);
}

static void resolve_faults(resolver *r, bp_task *task) {
    char why[400] = "";
    if (r->question->faults &&
        bp_fault_parse(r->circuit, r->question->faults, &task->faults, why, sizeof why) != BP_OK)
        mistake(r, why);
    else if (!bp_plan_add_faults(&task->plan, r->circuit, &task->faults))
        no_memory(r);
}

static void resolve_actions(resolver *r, bp_task *task) {
    char why[400] = "";
    for (size_t i = 0; i < r->question->n_after; i++) {
        const bp_status status =
            bp_action_add(task, r->circuit, r->question->after[i], why, sizeof why);
        if (status == BP_ERR_MEMORY)
            no_memory(r);
        else if (status != BP_OK)
            mistake(r, why);
    }
}

/* Nobody can wait in a state that is over by then. */
static void check_wait(resolver *r, const bp_task *task) {
    if (task->state == BP_NONE || !(task->conditions.waited > 0))
        return;
    const bp_state *state = &r->circuit->states[task->state];
    char lasts[40], text[200];
    if (!(state->lasts < task->conditions.waited))
        return;
    bp_quantity_format(state->lasts, BP_UNIT_SECOND, 3, lasts, sizeof lasts);
    snprintf(text, sizeof text, "state %s lasts %s: it is over before the wait is", state->id,
             lasts);
    mistake(r, text);
}

static void check_held(resolver *r) {
    const bp_question *q = r->question;
    if (q->min_max && bp_instruments[q->instrument]->unit == BP_UNIT_FRACTION)
        mistake(r, "a lamp holds nothing: minimum and maximum are there with meters only");
    else if (q->peak && !bp_is_held_in_runs(q->instrument))
        mistake(r, "peak mode is there with volts, millivolts and amps-clamp only: what they show "
                   "is followed over time");
}

/* The plug or socket that has to be open for a lead to get at this point, BP_NONE. */
static size_t opened_for(const bp_circuit *c, size_t point) {
    if (point == BP_NONE ||
        (c->points[point].reach != BP_PLUG_OPEN && c->points[point].reach != BP_SOCKET_PART_OUT))
        return BP_NONE;
    return c->faces[c->points[point].face].part;
}

static void resolve_lead(resolver *r, const char *name, size_t *face, size_t *point) {
    *point = bp_point_find(r->circuit, name);
    *face = *point != BP_NONE ? r->circuit->points[*point].face : bp_face_find(r->circuit, name);
    if (*face != BP_NONE)
        return;
    const char **names = calloc(r->circuit->n_points + 1, sizeof *names);
    for (size_t i = 0; names && i < r->circuit->n_points; i++)
        names[i] = r->circuit->points[i].id;
    not_there(r, "pin or point", name, names, names ? r->circuit->n_points : 0);
    free(names);
}

/* Was the clamp taken off the reference? Nothing of the circuit hangs on the post then. */
static bool is_afloat(const bp_circuit *c, const bp_task *task) {
    return c->reference != BP_NONE &&
           (task->done[c->faces[c->reference].part] & BP_DID_DISCONNECT) != 0;
}

/* Where the black lead is unless told: on the reference, or on the clamp that was taken off it. */
static size_t usual_black(const resolver *r, const bp_task *task) {
    return task->plan.afloat ? bp_clamp_of_reference(r->circuit) : r->circuit->reference;
}

static void resolve_pair(resolver *r, const bp_task *task, const bp_pair *from, bp_asked_pair *to) {
    size_t red_point, black_point = BP_NONE;
    to->wire = BP_NONE;
    to->black = usual_black(r, task);
    if (!from->red) {
        mistake(r, "the red lead is nowhere");
        return;
    }
    resolve_lead(r, from->red, &to->red, &red_point);
    if (from->black)
        resolve_lead(r, from->black, &to->black, &black_point);
    to->point = from->black ? BP_NONE : red_point;
    to->opened = opened_for(r->circuit, red_point);
    if (to->opened == BP_NONE)
        to->opened = opened_for(r->circuit, black_point);
}

static size_t pin_or(const bp_part *part, const char *name, size_t otherwise) {
    const size_t pin = bp_pin_find(part, name);
    return pin == BP_NONE ? otherwise : pin;
}

/* The ammeter in the place of a part: on its two terminals, or where a relay's contact was. */
static void resolve_at(resolver *r, bp_task *task) {
    const bp_circuit *c = r->circuit;
    bp_asked *a = r->asked;
    a->at = bp_part_find(c, r->question->at);
    if (r->question->instrument != BP_AMPS) {
        mistake(r, "\"at\" goes with amps, where the meter takes a part's place, and with "
                   "amps-clamp, which is around a wire");
        return;
    }
    if (a->at == BP_NONE) {
        not_there(r, "part", r->question->at, NULL, 0);
        return;
    }
    const bp_part *part = &c->parts[a->at];
    const size_t red = part->n_pins == 2 ? 0 : pin_or(part, "30", BP_NONE);
    const size_t black = part->n_pins == 2 ? 1 : pin_or(part, "87", BP_NONE);
    if (red == BP_NONE || black == BP_NONE || !bp_action_open(task, c, a->at, true)) {
        mistake(r, "an ammeter takes the place of a part that comes out and has two terminals; "
                   "else say which pins it is "
                   "to join, after the action that opens the way");
        return;
    }
    task->acts = true;
    a->pair[0] = (bp_asked_pair){.red = part->pins[red].harness,
                                 .black = part->pins[black].harness,
                                 .wire = BP_NONE,
                                 .point = BP_NONE,
                                 .opened = BP_NONE};
}

static bool is_wire(const bp_part *part) { return part->kind == &bp_kind_wire; }

static void add_clamp(resolver *r, bp_task *task, size_t wire) {
    const bp_part *part = &r->circuit->parts[wire];
    r->asked->pair[r->asked->n_pairs++] = (bp_asked_pair){.red = part->pins[0].harness,
                                                          .black = part->pins[1].harness,
                                                          .wire = wire,
                                                          .point = BP_NONE,
                                                          .opened = BP_NONE};
    if (!bp_plan_add_clamped(&task->plan, r->circuit, wire))
        no_memory(r);
}

/* A clamp around the wire that is named, or around each in turn. */
static void resolve_clamps(resolver *r, bp_task *task) {
    const bp_circuit *c = r->circuit;
    const char *at = r->question->at;
    const size_t wire = at ? bp_part_find(c, at) : BP_NONE;
    r->asked->n_pairs = 0;
    if (at && wire == BP_NONE) {
        const char **names = calloc(c->n_parts + 1, sizeof *names);
        for (size_t i = 0; names && i < c->n_parts; i++)
            names[i] = c->parts[i].id;
        not_there(r, "wire", at, names, names ? c->n_parts : 0);
        free(names);
    } else if (at && !is_wire(&c->parts[wire])) {
        bp_report_add(r->report, BP_MISTAKE, NULL, 0, 0,
                      "%s is a %s: a clamp goes around a wire, such as one that ends there", at,
                      c->parts[wire].kind->words);
        r->status = BP_ERR_USAGE;
    } else
        for (size_t i = 0; i < c->n_parts; i++)
            if (at ? i == wire : is_wire(&c->parts[i]))
                add_clamp(r, task, i);
}

static void resolve_pairs(resolver *r, bp_task *task) {
    const bp_circuit *c = r->circuit;
    const bp_question *q = r->question;
    bp_asked *a = r->asked;
    const bool clamp = q->instrument == BP_AMPS_CLAMP;
    a->at = BP_NONE;
    a->n_pairs = q->at ? 1 : q->pairs ? q->n_pairs : c->n_points;
    a->pair = calloc((clamp ? c->n_parts : a->n_pairs) + 1, sizeof *a->pair);
    if (!a->pair)
        no_memory(r);
    else if ((clamp || q->at) && q->n_pairs > 0)
        mistake(r, clamp ? "a clamp has no leads: say around which wire it is with \"at\""
                         : "\"at\" goes without red and black: the meter takes the part's place");
    else if (clamp)
        resolve_clamps(r, task);
    else if (q->at)
        resolve_at(r, task);
    else
        for (size_t i = 0; i < a->n_pairs; i++) {
            const bp_pair every = {q->pairs ? NULL : c->points[i].id, NULL};
            resolve_pair(r, task, q->pairs ? &q->pairs[i] : &every, &a->pair[i]);
        }
}

/* The task that reads pairs with this plug open; the first for those that need none. */
static size_t task_for(resolver *r, size_t opened, size_t *plug_of_task) {
    bp_asked *a = r->asked;
    for (size_t i = 0; i < a->n_tasks; i++)
        if (plug_of_task[i] == opened)
            return i;
    bp_task *t = &a->task[a->n_tasks];
    if (!bp_task_copy(t, &a->task[0], r->circuit)) {
        bp_task_clear(t);
        no_memory(r);
        return 0;
    }
    bp_action_open(t, r->circuit, opened, false);
    t->acts = true;
    plug_of_task[a->n_tasks] = opened;
    return a->n_tasks++;
}

/* Hands every pair to the task that reads it. */
static void share_out(resolver *r) {
    bp_asked *a = r->asked;
    size_t *plug_of_task = malloc((a->n_pairs + 1) * sizeof *plug_of_task);
    bp_task *more = realloc(a->task, (a->n_pairs + 1) * sizeof *more);
    if (more)
        a->task = more;
    if (!plug_of_task || !more) {
        free(plug_of_task);
        no_memory(r);
        return;
    }
    plug_of_task[0] = BP_NONE;
    for (size_t i = 0; i < a->n_pairs && r->status == BP_OK; i++)
        a->pair[i].task = task_for(r, a->pair[i].opened, plug_of_task);
    free(plug_of_task);
    for (size_t i = 0; i < a->n_tasks; i++)
        a->task[i].plan.n_pairs = 0;
    for (size_t i = 0; i < a->n_pairs && r->status == BP_OK; i++) {
        bp_plan *plan = &a->task[a->pair[i].task].plan;
        size_t(*room)[2] = realloc(plan->pair, (plan->n_pairs + 1) * sizeof *room);
        if (!room) {
            no_memory(r);
            return;
        }
        plan->pair = room;
        const size_t wire = a->pair[i].wire;
        room[plan->n_pairs][0] = wire == BP_NONE ? a->pair[i].red : wire;
        room[plan->n_pairs][1] = wire == BP_NONE ? a->pair[i].black : wire;
        a->pair[i].place = plan->n_pairs++;
    }
}

/* Is this place at something that is apart, with no lead or lamp on it? */
static bool is_open(const bp_task *task, const bp_circuit *c, size_t face) {
    if (!(task->done[c->faces[face].part] & (BP_DID_UNPLUG | BP_DID_DISCONNECT)))
        return false;
    for (size_t i = 0; i < 2 * task->plan.n_leads; i++)
        if (bp_face_node(c, task->plan.lead[i / 2].face[i % 2]) == bp_face_node(c, face))
            return false;
    return true;
}

/* A meter in line closes the circuit itself. */
static void mark_unloaded(const resolver *r) {
    const bp_asked *a = r->asked;
    for (size_t i = 0; i < a->n_pairs; i++) {
        bp_asked_pair *pair = &a->pair[i];
        const bp_task *task = &a->task[pair->task];
        pair->unloaded =
            !bp_instruments[r->question->instrument]->from_start &&
            (is_open(task, r->circuit, pair->red) || is_open(task, r->circuit, pair->black));
    }
}

/* A voltmeter and a clamp send nothing into what they are put on; all else does. */
static void check_airbag(resolver *r) {
    const bp_instrument_def *meter = bp_instruments[r->question->instrument];
    char text[200];
    if (!r->circuit->airbag || (meter->light && !meter->draws) || meter->apart)
        return;
    snprintf(text, sizeof text,
             "%s: its current could set an airbag off; this circuit names that caution, so only "
             "voltmeters and clamps are put on it",
             bp_instrument_name(r->question->instrument));
    mistake(r, text);
}

static void check_numbers(resolver *r) {
    const bp_question *q = r->question;
    if ((unsigned)q->instrument >= BP_N_INSTRUMENTS)
        mistake(r, "there is no such instrument");
    else if (q->moves && bp_instruments[q->instrument]->over_time)
        mistake(r, "moves are there for what is read in steady states only");
    if (isinf(q->ambient) || q->ambient < -60 || q->ambient > 150)
        mistake(r, "ambient temperature: expected -60 to 150 degC");
    if (isinf(q->engine) || q->engine < -60 || q->engine > 250)
        mistake(r, "engine temperature: expected -60 to 250 degC");
    if (isinf(q->supply) || q->supply < 0 || q->supply > 60)
        mistake(r, "open-circuit voltage of the battery: expected 0 to 60 V");
}

bp_status bp_question_resolve(const bp_question *question, const bp_circuit *circuit,
                              bp_asked *asked, bp_report *report) {
    *asked = (bp_asked){.at = BP_NONE};
    resolver r = {question, circuit, asked, report, BP_OK};
    asked->task = calloc(1, sizeof *asked->task);
    if (!asked->task || !bp_task_init(&asked->task[0], circuit)) {
        no_memory(&r);
        free(asked->task);
        *asked = (bp_asked){.at = BP_NONE};
        return r.status;
    }
    asked->n_tasks = 1;
    bp_task *task = &asked->task[0];
    task->plan.instrument = question->instrument;
    task->ranges = question->ranges;
    task->moves = question->moves;
    task->draw = question->draw;
    task->conditions = (bp_conditions){question->ambient, question->engine, question->supply, 0};
    check_numbers(&r);
    if (r.status == BP_OK)
        check_airbag(&r);
    if (r.status == BP_OK)
        check_held(&r);
    resolve_state(&r, task);
    resolve_faults(&r, task);
    resolve_actions(&r, task);
    task->plan.afloat = is_afloat(circuit, task);
    check_wait(&r, task);
    resolve_pairs(&r, task);
    if (question->min_max) /* the states before it are read as well */
        task->state = BP_NONE;
    if (r.status == BP_OK)
        share_out(&r);
    if (r.status == BP_OK)
        mark_unloaded(&r);
    if (r.status == BP_OK && !bp_harm_add_tasks(asked, circuit))
        no_memory(&r);
    if (r.status != BP_OK)
        bp_asked_clear(asked);
    return r.status;
}

void bp_asked_clear(bp_asked *asked) {
    for (size_t i = 0; i < asked->n_tasks; i++)
        bp_task_clear(&asked->task[i]);
    free(asked->task);
    free(asked->pair);
    *asked = (bp_asked){.at = BP_NONE};
}
