/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is drawn of the circuit for a reply: tags where the leads go and where something was read,
 * and only the current's way where everything in question lies on it.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/fault.h"
#include "circuits/memory.h"
#include "render/reply_source.h"

static bool add_tag(bp_reply *r, size_t face, unsigned of, const char *id, const char *text) {
    const size_t n = r->shown.n_points++;
    r->points[n] =
        (bp_point){.id = bp_copy(id), .face = face, .reach = BP_BACK_PROBE, .automatic = of == 0};
    r->tags[n].good = bp_copy(text);
    r->of[n] = of;
    return r->points[n].id && r->tags[n].good;
}

/* A lead of a test; tests that put the same lead there share the tag. */
static bool flag_lead(bp_reply *r, size_t face, size_t test, const char *lead) {
    if (face == BP_NONE)
        return true;
    for (size_t i = 0; i < r->shown.n_points; i++)
        if (r->points[i].face == face && strcmp(r->tags[i].good, lead) == 0) {
            r->of[i] |= 1u << test;
            return true;
        }
    return add_tag(r, face, 1u << test, "", lead);
}

/* What is watched, or taken out for the meter: at its first pin. */
static bool flag_part(bp_reply *r, const bp_circuit *c, const char *id, size_t test,
                      const char *words) {
    const size_t part = id ? bp_part_find(c, id) : BP_NONE;
    if (part == BP_NONE || c->parts[part].n_pins == 0)
        return true;
    return flag_lead(r, c->parts[part].pins[0].harness, test, words);
}

static bool flag_test(bp_reply *r, const bp_reply_source *s, size_t index) {
    const bp_next_test *test = s->tests[index];
    if (!test->red)
        return flag_part(r, s->circuit, test->observe, index, "look here") &&
               flag_part(r, s->circuit, test->at, index, "meter here");
    const size_t red = bp_reply_face(s->circuit, test->red);
    const size_t black =
        test->black ? bp_reply_face(s->circuit, test->black) : s->circuit->reference;
    return flag_lead(r, red, index, "red lead") && flag_lead(r, black, index, "black lead");
}

static bool is_flagged(const bp_reply *r, size_t face) {
    for (size_t i = 0; i < r->shown.n_points; i++)
        if (r->points[i].face == face)
            return true;
    return false;
}

/* Readings of the state drawn against the reference, the newest of each place. */
static bool flag_known(bp_reply *r, const bp_reply_source *s) {
    const char *state = s->circuit->states[r->base.shown].id;
    bool good = true;
    for (size_t i = bp_casefile_n_readings(s->file); i-- > 0 && good;) {
        const bp_case_reading *reading = bp_casefile_reading(s->file, i);
        if (!reading->red || reading->black || reading->n_after > 0 ||
            reading->instrument != BP_VOLTS || strcmp(reading->state, state) != 0)
            continue;
        const size_t face = bp_reply_face(s->circuit, reading->red);
        if (face != BP_NONE && !is_flagged(r, face))
            good = add_tag(r, face, 0, reading->red, reading->text);
    }
    return good;
}

bp_status bp_reply_flag(bp_reply *r, const bp_reply_source *s) {
    const size_t room = (size_t)2 * BP_REPLY_TESTS + bp_casefile_n_readings(s->file);
    r->shown = *s->circuit;
    r->shown.n_points = 0;
    r->points = bp_zeroed(room, sizeof *r->points);
    r->tags = bp_zeroed(room, sizeof *r->tags);
    r->of = bp_zeroed(room, sizeof *r->of);
    r->shown.points = r->points;
    bool good = r->points && r->tags && r->of;
    for (size_t i = 0; i < s->n_tests && good; i++)
        good = flag_test(r, s, i);
    return good && flag_known(r, s) && bp_reply_number_tags(r) ? BP_OK : BP_ERR_MEMORY;
}

/* Suspects less likely than this do not decide what is drawn. */
static const double least_share = 0.03;

static bool node_is_on(const bp_circuit *c, const bp_path *path, size_t face) {
    const size_t node = bp_face_node(c, face);
    if (node == bp_face_node(c, c->reference))
        return true;
    for (size_t i = 0; i < path->n; i++)
        if (bp_face_node(c, path->steps[i].from) == node ||
            bp_face_node(c, path->steps[i].to) == node)
            return true;
    return false;
}

/* A part with more than two pins is only partly on the way: its faults may be off it. */
static bool fault_is_on(const bp_circuit *c, const bool *way, const bp_fault *fault) {
    const bool pinned = fault->sub != BP_NONE && c->parts[fault->part].kind->passive;
    return way[fault->part] && (fault->partner == BP_NONE || way[fault->partner]) &&
           (c->parts[fault->part].n_pins <= 2 || pinned);
}

static bool suspects_are_on(const bp_reply_source *s, const bool *way) {
    for (size_t i = 0; i < bp_match_n_suspects(s->match); i++) {
        const bp_suspect *suspect = bp_match_suspect(s->match, i);
        for (size_t k = 0; k < suspect->n_faults; k++) {
            bp_fault_case faults;
            char why[8];
            if (suspect->faults[k].probability < least_share)
                continue;
            if (bp_fault_parse(s->circuit, suspect->faults[k].fault, &faults, why, sizeof why) !=
                BP_OK)
                return false;
            for (size_t f = 0; f < faults.n; f++)
                if (!fault_is_on(s->circuit, way, &faults.fault[f]))
                    return false;
        }
    }
    return true;
}

/* A part that an action names. */
static bool actions_are_on(const bp_reply_source *s, const bool *way) {
    for (size_t i = 0; i < s->n_tests; i++)
        for (size_t a = 0; a < s->tests[i]->n_after; a++) {
            const char *object = strchr(s->tests[i]->after[a], ' ');
            const size_t part = object ? bp_part_find(s->circuit, object + 1) : BP_NONE;
            if (part == BP_NONE || !way[part])
                return false;
        }
    return true;
}

static bool watched_are_on(const bp_reply_source *s, const bool *way) {
    for (size_t i = 0; i < s->n_tests; i++) {
        const char *names[] = {s->tests[i]->observe, s->tests[i]->at};
        for (size_t k = 0; k < 2; k++) {
            const size_t part = names[k] ? bp_part_find(s->circuit, names[k]) : BP_NONE;
            if (names[k] && (part == BP_NONE || !way[part]))
                return false;
        }
    }
    return true;
}

bp_status bp_reply_leave_out(bp_reply *r, const bp_reply_source *s) {
    const bp_circuit *c = s->circuit;
    const bp_path *path = &r->base.path;
    bool *way = bp_zeroed(c->n_parts, sizeof *way);
    if (!way)
        return BP_ERR_MEMORY;
    for (size_t i = 0; i < path->n; i++)
        way[path->steps[i].part] = true;
    if (c->feed != BP_NONE)
        way[c->faces[c->feed].part] = true;
    bool on =
        path->n > 0 && suspects_are_on(s, way) && actions_are_on(s, way) && watched_are_on(s, way);
    for (size_t i = 0; i < r->shown.n_points && on; i++)
        on = node_is_on(c, path, r->points[i].face);
    bool any = false; /* way[] becomes what is left out */
    for (size_t i = 0; i < c->n_parts && on; i++) {
        way[i] = !way[i] && c->parts[i].kind != &bp_kind_wire;
        any = any || way[i];
    }
    if (on && any)
        r->left_out = way;
    else
        free(way);
    return BP_OK;
}
