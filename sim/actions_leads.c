/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Actions that put a lead or a lamp somewhere.
 */
#include <ctype.h>
#include <stdlib.h>

#include "sim/actions_private.h"

/* The lamp of a side light or indicator, W: what lies about in every workshop. */
#define USUAL_WATT 21.0
#define LEAST_WATT 1.0
#define MOST_WATT 100.0

static bp_status add(const bp_act *a, const bp_patch *lead) {
    const bp_circuit *c = a->circuit;
    bp_plan *plan = &a->task->plan;
    if (bp_face_node(c, lead->face[0]) == bp_face_node(c, lead->face[1])) {
        char red[64], black[64];
        bp_face_name(c, lead->face[0], red, sizeof red);
        bp_face_name(c, lead->face[1], black, sizeof black);
        return bp_act_refuse(a, "%s and %s are joined already", red, black);
    }
    bp_patch *more = realloc(plan->lead, (plan->n_leads + 1) * sizeof *more);
    if (!more)
        return BP_ERR_MEMORY;
    plan->lead = more;
    more[plan->n_leads++] = *lead;
    a->task->may_harm = true;
    return BP_OK;
}

/* The battery's posts: + is number 0, - number 1. False when there is no battery. */
static bool posts(const bp_act *a, size_t post[2]) {
    const bp_circuit *c = a->circuit;
    if (c->feed == BP_NONE) {
        bp_act_refuse(a, "there is no battery in this circuit to clip a lead to");
        return false;
    }
    const bp_part *battery = &c->parts[c->faces[c->feed].part];
    const size_t plus = bp_pin_find(battery, "+"), minus = bp_pin_find(battery, "-");
    if (plus == BP_NONE || minus == BP_NONE) {
        bp_act_refuse(a, "%s has no posts + and -", battery->id);
        return false;
    }
    post[0] = battery->pins[plus].own;
    post[1] = battery->pins[minus].own;
    return true;
}

bp_status bp_act_jumper(const bp_act *a) {
    bp_patch lead = {.sort = BP_LEAD_JUMPER, .part = BP_NONE};
    if (!bp_act_face(a, 0, &lead.face[0]) || !bp_act_face(a, 1, &lead.face[1]))
        return BP_ERR_USAGE;
    return add(a, &lead);
}

bp_status bp_act_feed(const bp_act *a) {
    size_t post[2];
    bp_patch lead = {.sort = BP_LEAD_FEED, .part = BP_NONE};
    if (!posts(a, post) || !bp_act_face(a, 0, &lead.face[1]))
        return BP_ERR_USAGE;
    lead.face[0] = post[0];
    return add(a, &lead);
}

bp_status bp_act_earth(const bp_act *a) {
    size_t post[2];
    bp_patch lead = {.sort = BP_LEAD_EARTH, .part = BP_NONE};
    if (!posts(a, post) || !bp_act_face(a, 0, &lead.face[0]))
        return BP_ERR_USAGE;
    lead.face[1] = post[1];
    return add(a, &lead);
}

bp_status bp_act_bypass(const bp_act *a) {
    size_t part;
    if (!bp_act_part(a, 0, &part))
        return BP_ERR_USAGE;
    const bp_part *ground = &a->circuit->parts[part];
    if (ground->kind != &bp_kind_ground)
        return bp_act_refuse(a, "%s is no ground: use \"jumper\" between two places", ground->id);
    const bp_patch lead = {.sort = BP_LEAD_BYPASS,
                           .part = part,
                           .face = {ground->pins[0].harness, ground->pins[0].own}};
    return add(a, &lead);
}

/* The word as a lamp's power; NULL: the usual lamp. */
static bp_status power(const bp_act *a, const char *word, double *watt) {
    *watt = USUAL_WATT;
    if (!word)
        return BP_OK;
    if (bp_quantity_parse(word, BP_UNIT_WATT, watt, a->why, a->size) != BP_OK)
        return BP_ERR_USAGE;
    if (!(*watt >= LEAST_WATT) || *watt > MOST_WATT)
        return bp_act_refuse(a, "a lamp of %s: expected %g to %g W", word, LEAST_WATT, MOST_WATT);
    return BP_OK;
}

bp_status bp_act_bulb_for(const bp_act *a) {
    bp_patch lead = {.sort = BP_LEAD_BULB};
    if (!bp_act_part(a, 0, &lead.part) ||
        power(a, a->n > 1 ? a->word[1] : NULL, &lead.watt) != BP_OK)
        return BP_ERR_USAGE;
    const bp_part *fuse = &a->circuit->parts[lead.part];
    if (!bp_models[bp_kind_index(fuse->kind)]->lasting || fuse->n_pins != 2 || !bp_has_plug(fuse))
        return bp_act_refuse(a, "%s is no fuse that is pulled: a lamp goes into a fuse's socket",
                             fuse->id);
    bp_action_open(a->task, a->circuit, lead.part, false);
    for (size_t i = 0; i < 2; i++)
        lead.face[i] = fuse->pins[i].harness;
    return add(a, &lead);
}

/* May the feed come through here to other places when this connector is open? Not through the
 * battery itself, nor through the metal of the vehicle. */
static bool passes(const bp_circuit *c, const bp_part *part, const bp_part *open) {
    return part != open && part->kind != &bp_kind_ground && part->index != c->faces[c->feed].part;
}

/* Nodes that hang on the battery's + with the connector open, whatever is switched on. NULL: no
 * memory. */
static bool *fed_nodes(const bp_circuit *c, const bp_part *open) {
    bool *fed = calloc(c->n_nodes + 1, sizeof *fed);
    if (!fed)
        return NULL;
    fed[bp_face_node(c, c->feed)] = true;
    for (bool grown = true; grown;) {
        grown = false;
        for (size_t i = 0; i < c->n_parts; i++) {
            const bp_part *part = &c->parts[i];
            bool any = false, all = true;
            for (size_t k = 0; k < 2 * part->n_pins; k++) {
                const bp_pin *pin = &part->pins[k / 2];
                const bool there = fed[bp_face_node(c, k % 2 ? pin->own : pin->harness)];
                any = any || there;
                all = all && there;
            }
            if (!any || all || !passes(c, part, open))
                continue;
            grown = true;
            for (size_t k = 0; k < 2 * part->n_pins; k++) {
                const bp_pin *pin = &part->pins[k / 2];
                fed[bp_face_node(c, k % 2 ? pin->own : pin->harness)] = true;
            }
        }
    }
    return fed;
}

/* The pins of the plug that the feed comes to: those of a connector's fed half, or the harness side
 * of a part's plug. Returns how many have a wire, or BP_NONE: it cannot be told. */
static size_t open_ends(const bp_act *a, const bp_part *part, size_t end[2]) {
    size_t first = 0, last = part->n_pins, n = 0;
    if (bp_is_connector(part)) {
        bool *fed = fed_nodes(a->circuit, part), half[2] = {false, false};
        if (!fed)
            return BP_NONE;
        for (size_t i = 0; i < part->n_pins; i++)
            half[i >= part->n_pins / 2] |= fed[bp_face_node(a->circuit, part->pins[i].harness)];
        free(fed);
        if (half[0] == half[1])
            return BP_NONE;
        first = half[0] ? 0 : part->n_pins / 2;
        last = first + part->n_pins / 2;
    }
    for (size_t i = first; i < last; i++)
        if (part->pins[i].n_wires > 0 && n++ < 2)
            end[n - 1] = part->pins[i].harness;
    return n;
}

static bp_status load_plug(const bp_act *a, bp_patch *lead) {
    size_t post[2];
    if (!bp_act_part(a, 0, &lead->part) || !posts(a, post))
        return BP_ERR_USAGE;
    const bp_part *part = &a->circuit->parts[lead->part];
    const size_t n = open_ends(a, part, lead->face);
    if (!bp_action_open(a->task, a->circuit, lead->part, false))
        return bp_act_refuse(a, "%s has no plug to open", part->id);
    if (n == 0 || n > 2)
        return bp_act_refuse(a,
                             "which pins of %s the lamp goes between cannot be told: unplug it and "
                             "name two places, as in \"load %s.%s BAT.- 21W\"",
                             part->id, part->id, part->pins[0].name);
    if (n == 1)
        lead->face[1] = post[1];
    return add(a, lead);
}

/* "load PLUG", "load PLUG 21W", "load PLACE PLACE", "load PLACE PLACE 21W". */
bp_status bp_act_load(const bp_act *a) {
    bp_patch lead = {.sort = BP_LEAD_LOAD, .part = BP_NONE};
    const bool value = a->n > 1 && isdigit((unsigned char)a->word[a->n - 1][0]);
    if (power(a, value ? a->word[a->n - 1] : NULL, &lead.watt) != BP_OK)
        return BP_ERR_USAGE;
    if (a->n - value == 1)
        return load_plug(a, &lead);
    if (a->n - value != 2)
        return bp_act_refuse(a, "a lamp goes to a plug or between two places: \"load C12 21W\"");
    if (!bp_act_face(a, 0, &lead.face[0]) || !bp_act_face(a, 1, &lead.face[1]))
        return BP_ERR_USAGE;
    return add(a, &lead);
}
