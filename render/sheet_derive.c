/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From answers to columns, marks, tags and looks.
 */
#include "render/sheet_facts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "sim/model.h"

const bp_reading *bp_reading_of_point(const bp_state_answer *answer, const char *point) {
    for (size_t i = 0; answer && i < answer->n_readings; i++)
        if (answer->readings[i].point && strcmp(answer->readings[i].point, point) == 0)
            return &answer->readings[i];
    return NULL;
}

/* Digits after the point of a display: 2 for "12.41 V". */
static int decimals_of(const char *display) {
    const char *point = strchr(display, '.');
    return point ? (int)strspn(point + 1, "0123456789") : 0;
}

int bp_range_text(const bp_reading *reading, char *text, size_t size) {
    text[0] = '\0';
    if (!reading || isnan(reading->low) || isnan(reading->high))
        return 0;
    /* An unsteady display has no digits to go by. */
    int digits = reading->status == BP_READING_UNSTEADY ? 1 : decimals_of(reading->display);
    double zero = 0.5 * pow(10, -digits); /* what would print as "-0.00" */
    double low = fabs(reading->low) < zero ? 0 : reading->low;
    double high = fabs(reading->high) < zero ? 0 : reading->high;
    if (low < 0 && high > 0 && fabs(low + high) < 2 * zero)
        return snprintf(text, size, "± %.*f", digits, fmax(-low, high));
    return snprintf(text, size, "%s%.*f – %s%.*f", low < 0 ? "−" : "", digits, fabs(low),
                    high < 0 ? "−" : "", digits, fabs(high));
}

const char *bp_reading_text(const bp_reading *reading) {
    if (!reading || reading->status == BP_READING_NONE)
        return "no result";
    return reading->display;
}

/* The columns of one state, in the order of its phases. */
static void add_columns(bp_facts *facts, size_t state) {
    const bp_answer *by = facts->fault ? facts->fault : facts->good;
    for (size_t i = 0; i < by->n_states; i++) {
        if (bp_state_find(facts->circuit, by->states[i].state) != state)
            continue;
        bp_state_column column = {.state = &facts->circuit->states[state]};
        for (size_t g = 0; g < facts->good->n_states && !column.good; g++)
            if (strcmp(facts->good->states[g].state, by->states[i].state) == 0)
                column.good = &facts->good->states[g];
        column.fault = facts->fault ? &facts->fault->states[i] : NULL;
        if (state == facts->shown) /* of several phases the last: as the vehicle is found */
            facts->column = facts->n_columns;
        facts->columns[facts->n_columns++] = column;
    }
}

/* The state drawn comes first: it is looked up most. */
static bp_status make_columns(bp_facts *facts) {
    const bp_answer *by = facts->fault ? facts->fault : facts->good;
    facts->columns = bp_zeroed(by->n_states, sizeof *facts->columns);
    if (!facts->columns)
        return BP_ERR_MEMORY;
    add_columns(facts, facts->shown);
    for (size_t s = 0; s < facts->circuit->n_states; s++)
        if (s != facts->shown)
            add_columns(facts, s);
    return BP_OK;
}

static bp_status make_tags(bp_facts *facts) {
    const bp_circuit *c = facts->circuit;
    const bp_state_column *column = &facts->columns[facts->column];
    facts->tags = bp_zeroed(c->n_points, sizeof *facts->tags);
    if (!facts->tags)
        return BP_ERR_MEMORY;
    for (size_t p = 0; p < c->n_points; p++) {
        const bp_reading *good = bp_reading_of_point(column->good, c->points[p].id);
        const bp_reading *fault = bp_reading_of_point(column->fault, c->points[p].id);
        facts->tags[p].good = bp_reading_text(good);
        facts->tags[p].fault = column->fault ? bp_reading_text(fault) : NULL;
        facts->tags[p].mark = bp_reading_mark(good, fault);
    }
    return BP_OK;
}

static int position_named(const bp_model *model, const char *name) {
    for (int i = 0; model->positions && i < model->n_positions; i++)
        if (strcmp(model->positions[i], name) == 0)
            return i;
    return -1;
}

static void look_as_answered(bp_facts *facts, const bp_state_answer *answer) {
    const bp_circuit *c = facts->circuit;
    for (size_t i = 0; i < answer->n_notices; i++) {
        size_t part = bp_part_find(c, answer->notices[i].part);
        if (part == BP_NONE)
            continue;
        const bp_model *model = bp_models[bp_kind_index(c->parts[part].kind)];
        int position = position_named(model, answer->notices[i].says);
        if (position >= 0)
            facts->looks[part].position = position;
    }
    for (size_t i = 0; i < answer->n_blown; i++) {
        size_t part = bp_part_find(c, answer->blown[i]);
        if (part != BP_NONE)
            facts->looks[part].position = 1;
    }
}

static bp_status make_looks(bp_facts *facts) {
    const bp_circuit *c = facts->circuit;
    facts->looks = bp_zeroed(c->n_parts, sizeof *facts->looks);
    if (!facts->looks)
        return BP_ERR_MEMORY;
    const bp_state_column *column = &facts->columns[facts->column];
    for (size_t i = 0; i < column->state->n_settings; i++)
        facts->looks[column->state->settings[i].part].setting = column->state->settings[i].setting;
    const bp_state_answer *answer = column->fault ? column->fault : column->good;
    if (answer)
        look_as_answered(facts, answer);
    return BP_OK;
}

bp_status bp_facts_derive(bp_facts *facts) {
    bp_status status = make_columns(facts);
    if (status == BP_OK)
        status = make_tags(facts);
    if (status == BP_OK)
        status = make_looks(facts);
    if (status == BP_OK)
        status = bp_words_notices(facts);
    if (status == BP_OK)
        status = bp_words_giveaway(facts);
    return status;
}
