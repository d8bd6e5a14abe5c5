/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Values that change while the solver runs. Which ones can is found by trying: all positions of a
 * part, with its setting before and after time 0.
 */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "sim/wave_inside.h"

static const bp_model *model_of(const bp_run *run, size_t part) {
    return bp_models[bp_kind_index(run->circuit->parts[part].kind)];
}

void bp_run_give_up(bp_run *run, const char *format, ...) {
    va_list list;
    va_start(list, format);
    if (!run->why[0])
        vsnprintf(run->why, sizeof run->why, format, list);
    va_end(list);
}

/* Calls `each` for every value of a part: its contacts and its own run. */
static void each_value(bp_run *run, size_t part, void (*each)(bp_run *run, size_t value)) {
    const bp_deck *d = run->deck;
    for (size_t v = d->contact[part]; v < d->contact[part + 1]; v++)
        each(run, v);
    for (size_t v = d->first[part]; v < d->first[part + 1]; v++)
        each(run, v);
}

static void mark_if_differs(bp_run *run, size_t value) {
    if (run->wanted[value] != run->values[value])
        run->deck->live[value] = true;
}

/* With one setting, every position that the part may take in a run. */
static void try_positions(bp_run *run, size_t part) {
    const bp_model *model = model_of(run, part);
    const bool moves = model->n_positions > 1 && !(model->wave && model->wave->own_positions);
    const int stands = run->c->position[part];
    for (int p = 0; p < (moves ? model->n_positions : 1); p++) {
        run->c->position[part] = moves ? p : stands;
        bp_case_part_values(run->c, part, run->wanted);
        each_value(run, part, mark_if_differs);
    }
    run->c->position[part] = stands;
    bp_case_part_values(run->c, part, run->wanted);
}

static void stand(bp_run *run, size_t value) {
    run->wanted[value] = run->values[value];
    run->lead[value] = (bp_lead){run->values[value], run->values[value], run->start, 0};
}

void bp_run_find_live(bp_run *run) {
    bp_case_values(run->c, run->values);
    for (size_t v = 0; v < run->deck->n_values; v++)
        stand(run, v);
    for (size_t i = 0; i < run->circuit->n_parts; i++) {
        const int before = run->c->setting[i];
        try_positions(run, i);
        if (run->setting_then[i] == before)
            continue;
        run->c->setting[i] = run->setting_then[i];
        try_positions(run, i);
        run->c->setting[i] = before;
        bp_case_part_values(run->c, i, run->wanted);
    }
}

static double conductance(double ohm) { return 1 / ohm; }

static double led(const bp_run *run, size_t value, double time) {
    const bp_lead *l = &run->lead[value];
    const double share = l->ramp > 0 ? (time - l->begin) / l->ramp : 1;
    if (share >= 1)
        return l->to;
    if (share <= 0)
        return l->from;
    const bp_element *e = &run->deck->element[run->deck->element_of[value]];
    if (e->sort == BP_EL_RESISTOR)
        return l->from * pow(l->to / l->from, share);
    return l->from + share * (l->to - l->from);
}

double bp_run_source(const bp_run *run, size_t value, double time) {
    const double now = led(run, value, time);
    const bp_element *e = &run->deck->element[run->deck->element_of[value]];
    return e->sort == BP_EL_RESISTOR ? conductance(now) : now;
}

void bp_run_update(bp_run *run) {
    if (run->before > run->last_ramp)
        return;
    for (size_t v = 0; v < run->deck->n_values; v++)
        if (run->deck->live[v])
            run->values[v] = led(run, v, run->now);
}

/* A value that was just made anew stands in run->wanted. */
static void lead_value(bp_run *run, size_t value) {
    bp_lead *l = &run->lead[value];
    const double to = run->wanted[value];
    if (to == l->to)
        return;
    if (!run->deck->live[value]) {
        bp_run_give_up(run, "a value that stands still in a run was changed (element %zu)",
                       run->deck->element_of[value]);
        return;
    }
    const double ramp = bp_run_ramp(run, run->changing);
    *l = (bp_lead){led(run, value, run->now), to, run->now, ramp};
    run->ramp_ends[run->changing] = run->now + ramp;
    run->last_ramp = fmax(run->last_ramp, run->now + ramp);
}

double bp_run_ramp(const bp_run *run, size_t part) {
    const bp_wave_model *wave = model_of(run, part)->wave;
    return wave && wave->ramp > 0 ? wave->ramp : BP_WAVE_RAMP;
}

void bp_run_remake(bp_run *run, size_t part) {
    run->changing = part;
    bp_case_part_values(run->c, part, run->wanted);
    each_value(run, part, lead_value);
}
