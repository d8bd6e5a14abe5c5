/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Voltage drops along the current: from battery + over the test points on its way, through the
 * load, back to battery -. What a drop may be is common practice: 0.1 V a connection, 0.2 V a wire
 * or ground, 0.3 V a switch or relay contact, 0.5 V in all; where a good circuit of this design
 * drops more, its own good range counts.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "render/sheet_facts.h"
#include "sim/model.h"

static const double connection_limit = 0.1, wire_limit = 0.2, contact_limit = 0.3;
const double bp_whole_limit = 0.5;
/* A part that takes more than this share of the supply in a good circuit is a load: no contact or
 * driver does. */
static const double load_share = 0.2;

/* A stop on the way: a face, and the test point there. */
typedef struct stop {
    size_t face;
    size_t point; /* BP_NONE: one of the battery's posts */
    size_t step;  /* the first step behind it */
} stop;

static size_t point_at(const bp_circuit *circuit, size_t node) {
    size_t found = BP_NONE;
    for (size_t i = 0; i < circuit->n_points; i++)
        if (bp_face_node(circuit, circuit->points[i].face) == node &&
            (found == BP_NONE || circuit->points[found].automatic))
            found = i;
    return found;
}

/* Stops in the order of the current; room for path->n + 2. */
static size_t find_stops(const bp_circuit *circuit, const bp_path *path, stop *stops) {
    size_t n = 0;
    stops[n++] = (stop){path->steps[0].from, BP_NONE, 0};
    size_t end = bp_face_node(circuit, path->steps[path->n - 1].to);
    for (size_t i = 0; i + 1 < path->n; i++) {
        size_t node = bp_face_node(circuit, path->steps[i].to);
        size_t point = point_at(circuit, node);
        if (point != BP_NONE && node != end)
            stops[n++] = (stop){circuit->points[point].face, point, i + 1};
    }
    stops[n++] = (stop){path->steps[path->n - 1].to, BP_NONE, path->n};
    return n;
}

static void name_stop(const bp_circuit *circuit, const stop *at, char *name, size_t size,
                      char *face, size_t face_size) {
    if (at->point != BP_NONE) {
        snprintf(name, size, "%s", circuit->points[at->point].id);
        snprintf(face, face_size, "%s", circuit->points[at->point].id);
        return;
    }
    const bp_face *f = &circuit->faces[at->face];
    const bp_part *part = &circuit->parts[f->part];
    const char *pin = part->pins[f->pin].name;
    snprintf(name, size, "%s %s", part->kind->id, strcmp(pin, "-") == 0 ? "−" : pin);
    bp_face_name(circuit, at->face, face, face_size);
}

/* Names go in whole or not at all. */
static void add_name(bp_drop *drop, const char *joint, const char *name) {
    size_t used = strlen(drop->spans), room = sizeof drop->spans - used;
    int n = snprintf(drop->spans + used, room, "%s%s", used ? joint : "", name);
    if (n < 0 || (size_t)n >= room)
        drop->spans[used] = '\0';
}

static bool passes(const bp_path *path, size_t from, size_t to, size_t part) {
    for (size_t i = from; i < to; i++)
        if (path->steps[i].part == part)
            return true;
    return false;
}

/* inside: the current goes through the part, not only over one of its pins. */
static double limit_of(const bp_part *part, bool inside) {
    if (part->kind == &bp_kind_wire || part->kind == &bp_kind_ground)
        return wire_limit;
    if (!inside || part->kind->passive || bp_models[bp_kind_index(part->kind)]->lasting)
        return connection_limit; /* a fuse is two of its own; its element hardly drops */
    return contact_limit;
}

static bool goes_inside(const bp_path *path, size_t from, size_t to, size_t part) {
    for (size_t i = from; i < to; i++)
        if (path->steps[i].part == part && !path->steps[i].joint)
            return true;
    return false;
}

/* The part's own drop between two stops, contacts included, V. */
static double own_volts(const bp_path *path, size_t from, size_t to, size_t part) {
    double volts = 0;
    for (size_t i = from; i < to; i++)
        if (path->steps[i].part == part)
            volts += path->steps[i].volts;
    return volts;
}

/* What lies between two stops, the loads first ("M1 with C5, W19"), and what may drop there. */
static void span(const bp_circuit *circuit, const bp_path *path, size_t from, size_t to,
                 bp_drop *drop) {
    double limit = 0, all = 0;
    for (size_t i = 0; i < path->n; i++)
        all += path->steps[i].volts;
    for (int loads = 1; loads >= 0; loads--) {
        const char *joint = loads || !drop->load ? ", " : " with ";
        for (size_t i = from; i < to; i++) {
            size_t part = path->steps[i].part;
            bool load = own_volts(path, from, to, part) > load_share * all;
            if (load != loads || passes(path, from, i, part))
                continue;
            add_name(drop, joint, circuit->parts[part].id);
            joint = ", ";
            drop->load = drop->load || load;
            limit += limit_of(&circuit->parts[part], goes_inside(path, from, to, part));
        }
    }
    drop->most = drop->load ? NAN : fmin(limit, bp_whole_limit);
}

static bp_status make_rows(bp_facts *facts) {
    const bp_path *path = &facts->path;
    bp_drops *drops = &facts->drops;
    stop *stops = bp_zeroed(path->n + 2, sizeof *stops);
    drops->rows = bp_zeroed(path->n + 1, sizeof *drops->rows);
    if (stops && drops->rows) {
        size_t n = find_stops(facts->circuit, path, stops);
        for (size_t i = 0; i + 1 < n; i++) {
            bp_drop *drop = &drops->rows[drops->n++];
            name_stop(facts->circuit, &stops[i], drop->red, sizeof drop->red, drop->red_at,
                      sizeof drop->red_at);
            name_stop(facts->circuit, &stops[i + 1], drop->black, sizeof drop->black,
                      drop->black_at, sizeof drop->black_at);
            span(facts->circuit, path, stops[i].step, stops[i + 1].step, drop);
        }
    }
    bp_status status = stops && drops->rows ? BP_OK : BP_ERR_MEMORY;
    free(stops);
    return status;
}

/* The two sides of the loads as rows of their own, where there is more than one row to sum up. */
static void make_sides(bp_drops *drops) {
    size_t first = drops->n, last = 0;
    for (size_t i = 0; i < drops->n; i++)
        if (drops->rows[i].load) {
            first = i < first ? i : first;
            last = i;
        }
    if (first == drops->n)
        return;
    const bp_drop *end = &drops->rows[drops->n - 1];
    if (first > 0) {
        drops->side[0] = drops->rows[0];
        memcpy(drops->side[0].black_at, drops->rows[first].red_at, sizeof end->black_at);
    }
    if (last + 1 < drops->n) {
        drops->side[1] = *end;
        memcpy(drops->side[1].red_at, drops->rows[last].black_at, sizeof end->red_at);
    }
    drops->side[0].most = drops->side[1].most = bp_whole_limit;
}

/* Every row that is asked for: the stretches, then the sides. */
static bp_drop *asked_row(bp_drops *drops, size_t i) {
    return i < drops->n ? &drops->rows[i] : &drops->side[i - drops->n];
}

/* Takes the readings of the last answer of the state: as the vehicle is found. Returns the sum of
 * the stretches. */
static double take_readings(bp_drops *drops, const bp_answer *answer, const size_t *asked,
                            bool fault) {
    const bp_state_answer *state = &answer->states[answer->n_states - 1];
    double sum = 0;
    for (size_t i = 0; i < state->n_readings; i++) {
        const bp_reading *reading = &state->readings[i];
        bp_drop *row = asked_row(drops, asked[i]);
        *(fault ? &row->fault : &row->good) = reading;
        if (asked[i] < drops->n)
            sum += reading->status == BP_READING_OK ? reading->value : NAN;
        if (!fault && !row->load && reading->high > row->most)
            row->most = reading->high;
    }
    return sum;
}

static bp_status ask_rows(bp_facts *facts, bp_lab *lab, bp_report *report) {
    bp_drops *drops = &facts->drops;
    bp_pair *pairs = bp_zeroed(drops->n + 2, sizeof *pairs);
    size_t *asked = bp_zeroed(drops->n + 2, sizeof *asked), n = 0;
    for (size_t i = 0; pairs && asked && i < drops->n + 2; i++) {
        const bp_drop *row = asked_row(drops, i);
        if (!row->red_at[0])
            continue;
        pairs[n] = (bp_pair){row->red_at, row->black_at};
        asked[n++] = i;
    }
    bp_question question = bp_facts_question(&facts->options);
    question.state = facts->circuit->states[facts->shown].id;
    question.pairs = pairs;
    question.n_pairs = n;
    question.ranges = true;
    drops->good = n ? bp_lab_ask(lab, &question, report) : NULL;
    if (drops->good && facts->faults.n > 0) {
        question.ranges = false;
        question.faults = facts->options.faults;
        drops->fault = bp_lab_ask(lab, &question, report);
    }
    bp_status status = !pairs || !asked                                         ? BP_ERR_MEMORY
                       : !drops->good || (facts->faults.n > 0 && !drops->fault) ? BP_ERR_SOLVER
                                                                                : BP_OK;
    if (status == BP_OK) {
        drops->sum_good = take_readings(drops, drops->good, asked, false);
        drops->sum_fault = drops->fault ? take_readings(drops, drops->fault, asked, true) : NAN;
    }
    free(pairs);
    free(asked);
    return status;
}

bp_status bp_drops_gather(bp_facts *facts, bp_lab *lab, bp_report *report) {
    /* No current flows in this state; or it pulses, and the mean of a drop is no drop. */
    if (facts->path.n == 0 || bp_state_pulses(facts->circuit, facts->shown))
        return BP_OK;
    bp_status status = make_rows(facts);
    if (status == BP_OK)
        make_sides(&facts->drops);
    return status == BP_OK ? ask_rows(facts, lab, report) : status;
}

void bp_drops_clear(bp_drops *drops) {
    bp_answer_free(&drops->good);
    bp_answer_free(&drops->fault);
    free(drops->rows);
    *drops = (bp_drops){0};
}
