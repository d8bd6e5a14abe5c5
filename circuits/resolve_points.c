/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Test points: those that the file names, and the two test tabs of every fuse.
 */
#include "circuits/building.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "circuits/text.h"

enum { LONGEST_NOTE = 200 };

static const char *const reaches[] = {[BP_BACK_PROBE] = "back-probe",
                                      [BP_FUSE_TAB] = "fuse-tab",
                                      [BP_BREAKOUT_LEAD] = "breakout-lead",
                                      [BP_PLUG_OPEN] = "plug-open",
                                      [BP_SOCKET_PART_OUT] = "socket-part-out"};
enum { N_REACHES = sizeof reaches / sizeof *reaches };

const char *bp_reach_name(bp_reach reach) { return reaches[reach]; }

static bp_point *new_point(bp_circuit *circuit, const char *id, const bp_note_place *place) {
    bp_building *b = bp_building_of(circuit);
    bp_point *room =
        bp_build_got(circuit, bp_room(circuit->points, circuit->n_points, sizeof *room));
    if (!room)
        return NULL;
    circuit->points = room;
    bp_note_place *places =
        bp_build_got(circuit, bp_room(b->point_places, circuit->n_points, sizeof *places));
    char *copy = bp_build_copy(circuit, id);
    if (places)
        b->point_places = places;
    if (!places || !copy) {
        free(copy);
        return NULL;
    }
    places[circuit->n_points] = *place;
    bp_point *point = &room[circuit->n_points++];
    *point = (bp_point){.id = copy, .face = BP_NONE, .reach = BP_BACK_PROBE, .access = NAN};
    return point;
}

static void add_point(bp_circuit *circuit, const bp_build_note *note) {
    size_t part = bp_part_find(circuit, note->a);
    if (!bp_text_is_id(note->a, false))
        bp_build_mistake(circuit, &note->place,
                         "\"%.60s\" cannot be the id of a point: expected letters, digits and _, "
                         "beginning with a letter, at most 40 of them",
                         note->a);
    else if (part != BP_NONE)
        bp_build_mistake(circuit, &note->place, "id %s is there twice: first in line %zu", note->a,
                         circuit->parts[part].line);
    else if (bp_point_find(circuit, note->a) != BP_NONE)
        bp_build_mistake(circuit, &note->place, "point %s is there twice", note->a);
    else if (circuit->n_points == BP_MOST_POINTS)
        bp_build_mistake(circuit, &note->place, "there are more than %d points", BP_MOST_POINTS);
    else
        new_point(circuit, note->a, &note->place);
}

static void set_reach(bp_circuit *circuit, bp_point *point, const bp_build_note *note) {
    for (size_t i = 0; i < N_REACHES; i++)
        if (strcmp(reaches[i], note->c) == 0) {
            point->reach = (bp_reach)i;
            return;
        }
    char where[80];
    const bp_names names = {.name = (const char **)reaches, .n = N_REACHES};
    snprintf(where, sizeof where, " of point %.40s", point->id);
    bp_build_unknown(circuit, &note->place, "reach", note->c, where, &names);
}

static void set_access(bp_circuit *circuit, bp_point *point, const bp_build_note *note) {
    char why[200];
    double seconds;
    if (bp_quantity_parse(note->c, BP_UNIT_SECOND, &seconds, why, sizeof why) != BP_OK)
        bp_build_mistake(circuit, &note->place, "access of point %s: %s", point->id, why);
    else if (!(seconds >= 0 && seconds <= 100 * 3600.0))
        bp_build_mistake(circuit, &note->place,
                         "access of point %s is \"%.40s\", which cannot be: expected 0 to 100 h",
                         point->id, note->c);
    else
        point->access = seconds / 60;
}

static void set_key(bp_circuit *circuit, bp_point *point, const bp_build_note *note) {
    static const char *const keys[] = {"at", "reach", "access", "note"};
    char where[80];
    snprintf(where, sizeof where, "point %.40s", point->id);
    if (strcmp(note->b, "at") == 0) {
        point->face = bp_resolve_face(circuit, &note->place, note->c, false, where);
    } else if (strcmp(note->b, "reach") == 0) {
        set_reach(circuit, point, note);
    } else if (strcmp(note->b, "access") == 0) {
        set_access(circuit, point, note);
    } else if (strcmp(note->b, "note") == 0) {
        free(point->note);
        point->note =
            bp_build_sentence(circuit, &note->place, "note of a point", note->c, LONGEST_NOTE);
    } else {
        const bp_names names = {.name = (const char **)keys, .n = sizeof keys / sizeof *keys};
        snprintf(where, sizeof where, " in point %.40s", point->id);
        bp_build_unknown(circuit, &note->place, "key", note->b, where, &names);
    }
}

/* Checks how a written point is reached, and completes it. */
static void complete(bp_circuit *circuit, bp_point *point, const bp_note_place *place) {
    const bp_building *b = bp_building_of(circuit);
    if (point->face == BP_NONE) {
        bool named = false;
        for (size_t i = 0; i < b->n_notes && !named; i++)
            named = b->notes[i].sort == BP_NOTE_POINT_SET && strcmp(b->notes[i].b, "at") == 0 &&
                    strcmp(b->notes[i].a, point->id) == 0;
        if (!named)
            bp_build_mistake(circuit, place, "point %s has no at: name the pin it is on",
                             point->id);
        return;
    }
    const bp_face *face = &circuit->faces[point->face];
    const bp_part *part = &circuit->parts[face->part];
    if (isnan(point->access))
        point->access = part->access;
    if (point->reach != BP_FUSE_TAB)
        return;
    if (part->kind != &bp_kind_fuse)
        bp_build_mistake(circuit, place, "point %s is reached by a fuse-tab, but %s is a %s",
                         point->id, part->id, part->kind->words);
    point->face = part->pins[face->pin].own; /* the tab is the fuse's own metal */
}

static bool has_point(const bp_circuit *circuit, size_t face) {
    for (size_t i = 0; i < circuit->n_points; i++)
        if (circuit->points[i].face == face)
            return true;
    return false;
}

static void add_fuse_tabs(bp_circuit *circuit) {
    bp_building *b = bp_building_of(circuit);
    for (size_t i = 0; i < circuit->n_parts && !b->no_memory; i++) {
        const bp_part *part = &circuit->parts[i];
        for (size_t k = 0; part->kind == &bp_kind_fuse && k < part->n_pins; k++) {
            char id[64];
            if (has_point(circuit, part->pins[k].own))
                continue;
            snprintf(id, sizeof id, "%s/%s", part->id, part->pins[k].name);
            bp_point *point = new_point(circuit, id, &b->drafts[i].place);
            if (!point)
                return;
            point->face = part->pins[k].own;
            point->reach = BP_FUSE_TAB;
            point->access = part->access;
            point->automatic = true;
        }
    }
}

void bp_resolve_points(bp_circuit *circuit) {
    bp_building *b = bp_building_of(circuit);
    for (size_t i = 0; i < b->n_notes && !b->no_memory; i++)
        if (b->notes[i].sort == BP_NOTE_POINT)
            add_point(circuit, &b->notes[i]);
    for (size_t i = 0; i < b->n_notes && !b->no_memory; i++) {
        const bp_build_note *note = &b->notes[i];
        if (note->sort != BP_NOTE_POINT_SET)
            continue;
        size_t point = bp_point_find(circuit, note->a);
        if (point != BP_NONE)
            set_key(circuit, &circuit->points[point], note);
        else if (bp_text_is_id(note->a, false) && bp_part_find(circuit, note->a) == BP_NONE)
            bp_build_mistake(circuit, &note->place, "there is no point %.40s", note->a);
    }
    for (size_t i = 0; i < circuit->n_points && !b->no_memory; i++)
        complete(circuit, &circuit->points[i], &b->point_places[i]);
    if (!b->no_memory)
        add_fuse_tabs(circuit);
}
