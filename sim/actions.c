/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <ctype.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sim/actions_private.h"

bp_status bp_act_refuse(const bp_act *a, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(a->why, a->size, format, arguments);
    va_end(arguments);
    return BP_ERR_USAGE;
}

/* Names the nearest part to a misspelt one. */
static void no_part(const bp_act *a, const char *word) {
    const bp_circuit *c = a->circuit;
    const char **names = malloc((c->n_parts + 1) * sizeof *names);
    for (size_t i = 0; names && i < c->n_parts; i++)
        names[i] = c->parts[i].id;
    const char *near = names ? bp_near_miss(word, names, c->n_parts) : NULL;
    if (near)
        bp_act_refuse(a, "there is no part %s; did you mean %s?", word, near);
    else
        bp_act_refuse(a, "there is no part %s in this circuit", word);
    free(names);
}

bool bp_act_part(const bp_act *a, size_t word, size_t *part) {
    const bp_circuit *c = a->circuit;
    *part = bp_part_find(c, a->word[word]);
    for (size_t i = 0; *part == BP_NONE && i < c->n_parts; i++)
        if (c->parts[i].unit && strcmp(c->parts[i].unit, a->word[word]) == 0)
            *part = i;
    if (*part == BP_NONE)
        no_part(a, a->word[word]);
    return *part != BP_NONE;
}

bool bp_act_face(const bp_act *a, size_t word, size_t *face) {
    const size_t point = bp_point_find(a->circuit, a->word[word]);
    *face =
        point != BP_NONE ? a->circuit->points[point].face : bp_face_find(a->circuit, a->word[word]);
    if (*face == BP_NONE)
        bp_act_refuse(a, "there is no pin or point %s in this circuit", a->word[word]);
    return *face != BP_NONE;
}

static bool has_pins(const bp_part *part, bp_pin_sort sort) {
    for (size_t i = 0; i < part->n_pins; i++)
        if (part->pins[i].sort == sort)
            return true;
    return false;
}

bool bp_has_plug(const bp_part *part) { return has_pins(part, BP_PIN_PLUG); }
bool bp_has_bolts(const bp_part *part) { return has_pins(part, BP_PIN_BOLTED); }

bool bp_is_connector(const bp_part *part) {
    return part->kind == bp_kinds[BP_KIND_INDEX_connector];
}

static bool same_housing(const bp_part *a, const bp_part *b) {
    return a == b || (a->unit && b->unit && strcmp(a->unit, b->unit) == 0);
}

/* Notes `bit` of every part in the housing that comes apart by hand. False: none does. */
static bool note_housing(bp_task *task, const bp_circuit *circuit, size_t part, bool bolts,
                         bp_done bit) {
    bool any = false;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *p = &circuit->parts[i];
        if (!same_housing(p, &circuit->parts[part]) ||
            !(bp_has_plug(p) || bp_is_connector(p) || (bolts && bp_has_bolts(p))))
            continue;
        task->done[i] = (bp_done)(task->done[i] | bit);
        any = true;
    }
    return any;
}

bool bp_action_open(bp_task *task, const bp_circuit *circuit, size_t part, bool bolts) {
    return note_housing(task, circuit, part, bolts, bolts ? BP_DID_DISCONNECT : BP_DID_UNPLUG);
}

static bp_status no_plug(const bp_act *a, const bp_part *part) {
    if (bp_has_bolts(part))
        return bp_act_refuse(a, "%s is bolted on, not plugged in: use \"disconnect %s\"", part->id,
                             part->id);
    return bp_act_refuse(a, "%s has no plug or socket to take apart", part->id);
}

static bp_status unplug(const bp_act *a) {
    size_t part;
    if (!bp_act_part(a, 0, &part))
        return BP_ERR_USAGE;
    return bp_action_open(a->task, a->circuit, part, false) ? BP_OK
                                                            : no_plug(a, &a->circuit->parts[part]);
}

static bp_status reseat(const bp_act *a) {
    size_t part;
    if (!bp_act_part(a, 0, &part))
        return BP_ERR_USAGE;
    return note_housing(a->task, a->circuit, part, false, BP_DID_RESEAT)
               ? BP_OK
               : no_plug(a, &a->circuit->parts[part]);
}

static bp_status disconnect(const bp_act *a) {
    size_t part;
    if (!bp_act_part(a, 0, &part))
        return BP_ERR_USAGE;
    if (bp_action_open(a->task, a->circuit, part, true))
        return BP_OK;
    return bp_act_refuse(a, "%s has nothing to disconnect", a->circuit->parts[part].id);
}

static void note(const bp_act *a, size_t part, int bits) {
    a->task->done[part] = (bp_done)(a->task->done[part] | bits);
}

static bool blows(const bp_part *part) { return bp_models[bp_kind_index(part->kind)]->lasting; }

static bp_status renew(const bp_act *a) {
    size_t part;
    if (!bp_act_part(a, 0, &part))
        return BP_ERR_USAGE;
    if (!blows(&a->circuit->parts[part]))
        return bp_act_refuse(a, "%s does not blow: only fuses are renewed",
                             a->circuit->parts[part].id);
    note(a, part, BP_DID_RENEW);
    return BP_OK;
}

/* All that shares the part's housing is swapped with it; a blown one comes whole. */
static bp_status substitute(const bp_act *a) {
    size_t part;
    if (!bp_act_part(a, 0, &part))
        return BP_ERR_USAGE;
    const bp_part *p = &a->circuit->parts[part];
    if (p->kind->passive)
        return bp_act_refuse(
            a,
            "%s is wiring, which is not swapped for a test: a jumper past it shows "
            "as much",
            p->id);
    for (size_t i = 0; i < a->circuit->n_parts; i++)
        if (same_housing(&a->circuit->parts[i], p) && !a->circuit->parts[i].kind->passive)
            note(a, i, BP_DID_SUBSTITUTE | (blows(&a->circuit->parts[i]) ? BP_DID_RENEW : 0));
    a->task->may_harm = true;
    return BP_OK;
}

static bp_status tug(const bp_act *a) {
    size_t part;
    if (!bp_act_part(a, 0, &part))
        return BP_ERR_USAGE;
    note(a, part, BP_DID_TUG);
    return BP_OK;
}

static bp_status wet(const bp_act *a) {
    size_t part;
    if (!bp_act_part(a, 0, &part))
        return BP_ERR_USAGE;
    note(a, part, BP_DID_WET);
    return BP_OK;
}

/* A part is either hot or cold: the last one counts. */
static bp_status bring_to(const bp_act *a, int bit) {
    size_t part;
    if (!bp_act_part(a, 0, &part))
        return BP_ERR_USAGE;
    if (bit == BP_DID_HEAT && a->circuit->parts[part].kind == &bp_kind_battery)
        return bp_act_refuse(a, "%s is not heated: a battery gives off gas that explodes",
                             a->circuit->parts[part].id);
    a->task->done[part] = (bp_done)(a->task->done[part] & ~(BP_DID_HEAT | BP_DID_COOL));
    note(a, part, bit);
    return BP_OK;
}

static bp_status heat(const bp_act *a) { return bring_to(a, BP_DID_HEAT); }
static bp_status cool(const bp_act *a) { return bring_to(a, BP_DID_COOL); }

/* A part that was heated or sprayed is as warm as its surroundings after this, s: common practice.
 * A tug is over at once. */
#define WEARS_OFF 600.0
#define LONGEST_WAIT 604800.0 /* a week */

static bp_status wait_for(const bp_act *a) {
    double seconds;
    if (bp_quantity_parse(a->word[0], BP_UNIT_SECOND, &seconds, a->why, a->size) != BP_OK)
        return BP_ERR_USAGE;
    if (!(seconds > 0) || seconds > LONGEST_WAIT)
        return bp_act_refuse(a, "wait %s: expected more than nothing and a week at most",
                             a->word[0]);
    a->task->conditions.waited += seconds;
    const int over = BP_DID_TUG | (seconds >= WEARS_OFF ? BP_DID_HEAT | BP_DID_COOL : 0);
    for (size_t i = 0; i < a->circuit->n_parts; i++)
        a->task->done[i] = (bp_done)(a->task->done[i] & ~over);
    return BP_OK;
}

/* Every action: its words, and how many follow the verb at least and at most. */
typedef struct verb {
    const char *name, *usage;
    size_t least, most;
    bool quantity; /* the last word is a value, whose unit may stand apart */
    bp_status (*act)(const bp_act *a);
} verb;

static const verb verbs[] = {
    {"unplug", "unplug PART", 1, 1, false, unplug},
    {"pull", "pull PART", 1, 1, false, unplug},
    {"reseat", "reseat PART", 1, 1, false, reseat},
    {"disconnect", "disconnect PART", 1, 1, false, disconnect},
    {"jumper", "jumper PLACE PLACE", 2, 2, false, bp_act_jumper},
    {"feed", "feed PLACE", 1, 1, false, bp_act_feed},
    {"earth", "earth PLACE", 1, 1, false, bp_act_earth},
    {"bypass", "bypass GROUND", 1, 1, false, bp_act_bypass},
    {"bulb-for", "bulb-for FUSE 21W", 1, 2, true, bp_act_bulb_for},
    {"load", "load PLUG 21W", 1, 3, true, bp_act_load},
    {"renew", "renew FUSE", 1, 1, false, renew},
    {"substitute", "substitute PART", 1, 1, false, substitute},
    {"heat", "heat PART", 1, 1, false, heat},
    {"cool", "cool PART", 1, 1, false, cool},
    {"wet", "wet PART", 1, 1, false, wet},
    {"tug", "tug PART", 1, 1, false, tug},
    {"wait", "wait 20min", 1, 1, true, wait_for},
};
enum { N_VERBS = sizeof verbs / sizeof *verbs };

const char *bp_action_usage(size_t index) { return index < N_VERBS ? verbs[index].usage : NULL; }

static bp_status no_verb(const bp_act *a, const char *action, const char *word) {
    const char *names[N_VERBS];
    char all[400] = "";
    for (size_t i = 0, at = 0; i < N_VERBS; i++) {
        names[i] = verbs[i].name;
        at += (size_t)snprintf(&all[at], sizeof all - at, "%s%s", i ? ", " : "", verbs[i].usage);
    }
    const char *near = bp_near_miss(word, names, N_VERBS);
    if (near && strcmp(near, word) != 0)
        return bp_act_refuse(a, "no action \"%.60s\"; did you mean \"%s\"?", action, near);
    return bp_act_refuse(a, "no action \"%.60s\"; there are: %s", action, all);
}

/* The next word at *text, which moves on; false when it is too long. An empty one ends. */
static bool next_word(const char **text, char *word, size_t size) {
    while (isspace((unsigned char)**text))
        ++*text;
    const size_t length = strcspn(*text, " \t\n\r\v\f");
    if (length >= size)
        return false;
    memcpy(word, *text, length);
    word[length] = '\0';
    *text += length;
    return true;
}

/* "21", "W" are one value. */
static void join_unit(bp_act *a, const verb *v) {
    if (!v->quantity || a->n < 2 || !isalpha((unsigned char)a->word[a->n - 1][0]) ||
        !isdigit((unsigned char)a->word[a->n - 2][0]))
        return;
    char unit[8]; /* a longer one is no unit, and is refused as one */
    snprintf(unit, sizeof unit, "%s", a->word[a->n - 1]);
    strncat(a->word[a->n - 2], unit, sizeof a->word[0] - strlen(a->word[a->n - 2]) - 1);
    a->n--;
}

bp_status bp_action_add(bp_task *task, const bp_circuit *circuit, const char *action, char *why,
                        size_t size) {
    bp_act a = {.task = task, .circuit = circuit, .why = why, .size = size};
    char name[sizeof a.word[0]] = "", more[sizeof a.word[0]] = "";
    const char *rest = action;
    const verb *v = NULL;
    bool good = next_word(&rest, name, sizeof name);
    for (size_t i = 0; i < N_VERBS; i++)
        if (good && strcmp(verbs[i].name, name) == 0)
            v = &verbs[i];
    if (!v)
        return no_verb(&a, action, name);
    for (a.n = 0; good && a.n < BP_ACTION_WORDS; a.n++) {
        good = next_word(&rest, a.word[a.n], sizeof a.word[0]);
        if (a.word[a.n][0] == '\0')
            break;
    }
    good = good && next_word(&rest, more, sizeof more) && more[0] == '\0';
    join_unit(&a, v);
    if (!good || a.n < v->least || a.n > v->most)
        return bp_act_refuse(&a, "no action \"%.60s\": it is written \"%s\"", action, v->usage);
    task->acts = true;
    return v->act(&a);
}
