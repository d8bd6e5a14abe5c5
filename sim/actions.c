/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/actions.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* More than this through a jumper lead is a short, A: common practice, the largest fuse in a fused
 * lead. */
#define JUMPER_MOST 30.0

enum { MOST_WORDS = 3, WORD_SIZE = 96 };

typedef struct words {
    size_t n;
    char word[MOST_WORDS + 1][WORD_SIZE];
} words;

/* Cut at blanks; a word too many or too long makes n larger than any action has. */
static words cut(const char *text) {
    words w = {0};
    while (w.n <= MOST_WORDS) {
        while (isspace((unsigned char)*text))
            text++;
        const size_t length = strcspn(text, " \t\n\r\v\f");
        if (length == 0)
            return w;
        if (length >= WORD_SIZE)
            break;
        memcpy(w.word[w.n++], text, length);
        text += length;
    }
    w.n = MOST_WORDS + 1;
    return w;
}

/* The name nearest to a misspelt part, written as a question, or nothing. */
static void suggest_part(const bp_circuit *c, const char *word, char *why, size_t size) {
    const char **names = malloc((c->n_parts + 1) * sizeof *names);
    for (size_t i = 0; names && i < c->n_parts; i++)
        names[i] = c->parts[i].id;
    const char *near = names ? bp_near_miss(word, names, c->n_parts) : NULL;
    if (near)
        snprintf(why, size, "there is no part %s; did you mean %s?", word, near);
    else
        snprintf(why, size, "there is no part %s in this circuit", word);
    free(names);
}

static bool has_plug(const bp_part *part) {
    for (size_t i = 0; i < part->n_pins; i++)
        if (part->pins[i].sort == BP_PIN_PLUG)
            return true;
    return false;
}

static bool has_bolts(const bp_part *part) {
    for (size_t i = 0; i < part->n_pins; i++)
        if (part->pins[i].sort == BP_PIN_BOLTED)
            return true;
    return false;
}

/* A connector's halves are ideal pins; it comes apart in the middle by its own model. */
static bool is_connector(const bp_part *part) {
    return part->kind == bp_kinds[BP_KIND_INDEX_connector];
}

static bool same_housing(const bp_part *a, const bp_part *b) {
    return a == b || (a->unit && b->unit && strcmp(a->unit, b->unit) == 0);
}

bool bp_action_open(bp_task *task, const bp_circuit *circuit, size_t part, bool bolts) {
    bool any = false;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *p = &circuit->parts[i];
        if (!same_housing(p, &circuit->parts[part]) ||
            !(has_plug(p) || is_connector(p) || (bolts && has_bolts(p))))
            continue;
        task->done[i] |= bolts ? BP_DID_DISCONNECT : BP_DID_UNPLUG;
        any = true;
    }
    return any;
}

/* By id, or any part of the housing of that name. */
static size_t find_part(const bp_circuit *c, const char *name) {
    const size_t part = bp_part_find(c, name);
    for (size_t i = 0; part == BP_NONE && i < c->n_parts; i++)
        if (c->parts[i].unit && strcmp(c->parts[i].unit, name) == 0)
            return i;
    return part;
}

static bp_status do_unplug(bp_task *task, const bp_circuit *c, size_t part, char *why,
                           size_t size) {
    if (bp_action_open(task, c, part, false))
        return BP_OK;
    const char *id = c->parts[part].id;
    if (has_bolts(&c->parts[part]))
        snprintf(why, size, "%s is bolted on, not plugged in: use \"disconnect %s\"", id, id);
    else
        snprintf(why, size, "%s has no plug or socket to take apart", id);
    return BP_ERR_USAGE;
}

static bp_status do_disconnect(bp_task *task, const bp_circuit *c, size_t part, char *why,
                               size_t size) {
    if (bp_action_open(task, c, part, true))
        return BP_OK;
    snprintf(why, size, "%s has nothing to disconnect", c->parts[part].id);
    return BP_ERR_USAGE;
}

static bp_status do_renew(bp_task *task, const bp_circuit *c, size_t part, char *why, size_t size) {
    if (!bp_models[bp_kind_index(c->parts[part].kind)]->lasting) {
        snprintf(why, size, "%s does not blow: only fuses are renewed", c->parts[part].id);
        return BP_ERR_USAGE;
    }
    task->done[part] |= BP_DID_RENEW;
    return BP_OK;
}

typedef struct verb {
    const char *name;
    bp_status (*act)(bp_task *task, const bp_circuit *c, size_t part, char *why, size_t size);
    unsigned char bit; /* without `act`: what is noted of the part */
} verb;

static const verb verbs[] = {
    {"unplug", do_unplug, 0},    {"pull", do_unplug, 0},    {"disconnect", do_disconnect, 0},
    {"renew", do_renew, 0},      {"tug", NULL, BP_DID_TUG}, {"heat", NULL, BP_DID_HEAT},
    {"cool", NULL, BP_DID_COOL}, {"wet", NULL, BP_DID_WET},
};
enum { N_VERBS = sizeof verbs / sizeof *verbs };

static bp_status add_jumper(bp_task *task, const bp_circuit *c, const words *w, char *why,
                            size_t size) {
    size_t face[2];
    for (int i = 0; i < 2; i++) {
        face[i] = bp_face_find(c, w->word[1 + i]);
        if (face[i] == BP_NONE) {
            snprintf(why, size, "there is no pin or point %s in this circuit", w->word[1 + i]);
            return BP_ERR_USAGE;
        }
    }
    if (bp_face_node(c, face[0]) == bp_face_node(c, face[1])) {
        snprintf(why, size, "%s and %s are joined already", w->word[1], w->word[2]);
        return BP_ERR_USAGE;
    }
    size_t(*more)[2] = realloc(task->plan.jumper, (task->plan.n_jumpers + 1) * sizeof *more);
    if (!more)
        return BP_ERR_MEMORY;
    task->plan.jumper = more;
    memcpy(more[task->plan.n_jumpers++], face, sizeof face);
    task->acts = true;
    return BP_OK;
}

bp_status bp_action_add(bp_task *task, const bp_circuit *circuit, const char *action, char *why,
                        size_t size) {
    const words w = cut(action);
    if (w.n == 3 && strcmp(w.word[0], "jumper") == 0)
        return add_jumper(task, circuit, &w, why, size);
    const verb *v = NULL;
    for (size_t i = 0; i < N_VERBS && w.n == 2; i++)
        if (strcmp(verbs[i].name, w.word[0]) == 0)
            v = &verbs[i];
    if (!v) {
        snprintf(
            why, size,
            "no action \"%.60s\"; there are: unplug, pull, disconnect, renew, tug, heat, cool, wet "
            "(each with a part) and jumper (with two pins)",
            action);
        return BP_ERR_USAGE;
    }
    const size_t part = find_part(circuit, w.word[1]);
    if (part == BP_NONE) {
        suggest_part(circuit, w.word[1], why, size);
        return BP_ERR_USAGE;
    }
    task->acts = true;
    if (v->act)
        return v->act(task, circuit, part, why, size);
    task->done[part] |= v->bit;
    return BP_OK;
}

/* Current through a jumper in one phase, A. */
static double jumper_amps(const bp_deck *deck, const bp_phase *p, size_t i) {
    const double volts = p->volts[bp_deck_node_of_face(deck, deck->plan.jumper[i][0])] -
                         p->volts[bp_deck_node_of_face(deck, deck->plan.jumper[i][1])];
    return fabs(volts) / BP_JUMPER_OHM;
}

static void jumper_name(const bp_deck *deck, size_t i, char *text, size_t size) {
    char ends[2][64];
    for (int k = 0; k < 2; k++)
        bp_face_name(deck->circuit, deck->plan.jumper[i][k], ends[k], sizeof ends[k]);
    snprintf(text, size, "a jumper from %s to %s", ends[0], ends[1]);
}

bool bp_action_harms(const bp_task *task, const bp_deck *deck, const bp_result *result, char *why,
                     size_t size) {
    const bp_circuit *c = deck->circuit;
    for (size_t k = 0; k < result->n_phases; k++) {
        const bp_phase *p = &result->phase[k];
        const char *state = p->state < c->n_states ? c->states[p->state].id : "";
        for (size_t i = 0; i < task->plan.n_jumpers; i++) {
            char name[160];
            jumper_name(deck, i, name, sizeof name);
            if (p->solved && jumper_amps(deck, p, i) > JUMPER_MOST) {
                snprintf(why, size, "%s would carry %.0f A in state %s: refused", name,
                         jumper_amps(deck, p, i), state);
                return true;
            }
            for (size_t part = 0; part < c->n_parts; part++) {
                if (p->position[part] == 0 || result->found[part] != 0 ||
                    (task->done[part] & BP_DID_RENEW) ||
                    !bp_models[bp_kind_index(c->parts[part].kind)]->lasting)
                    continue;
                snprintf(why, size, "%s would blow %s in state %s: refused", name,
                         c->parts[part].id, state);
                return true;
            }
        }
    }
    return false;
}
