/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * An instant of a run: what the parts make of it, and how far the solver may go from here.
 */
#include <math.h>

#include "sim/wave_inside.h"

/* Steps within a ramp, so that the solver follows it. */
enum { STEPS_IN_RAMP = 6 };
/* What is looked at is followed as closely as a picture of it resolves, however long the run before
 * it was. */
enum { STEPS_IN_WINDOW = 500 };

static const bp_model *model_of(const bp_run *run, size_t part) {
    return bp_models[bp_kind_index(run->circuit->parts[part].kind)];
}

bp_moment bp_run_moment(bp_run *run, size_t part) {
    return (bp_moment){.view = bp_case_view(run->c, part, run->values, run->volts),
                       .time = run->now,
                       .before = run->before,
                       .memory = &run->memory[run->memory_at[part]],
                       .run = run};
}

void bp_moment_wake(bp_moment *m, double time) {
    double *wake = &m->run->wake[m->view.part->index];
    if (time > m->time + BP_INSTANT)
        *wake = fmin(*wake, time);
}

void bp_moment_fine(bp_moment *m, double longest) {
    double *fine = &m->run->fine[m->view.part->index];
    *fine = fmin(*fine, longest);
}

void bp_moment_tell(bp_moment *m, size_t which, double value) {
    bp_moment_tell_of(m, which, value, m->time);
}

void bp_moment_tell_of(bp_moment *m, size_t which, double value, double time) {
    bp_run_event(m->run, m->view.part->index, (int)which, value, time);
}

static void take_position(bp_run *run, size_t part, int position) {
    run->c->position[part] = position;
    run->progress[part] = 0;
    run->wish[part] = -1;
    bp_run_event(run, part, -1 - position, NAN, run->now);
    bp_run_remake(run, part);
}

/* A part with positions: a wish that stands long enough is carried out. */
static void decide(bp_run *run, size_t part) {
    const bp_model *model = model_of(run, part);
    const bool lasts = bp_part_lasts(&run->circuit->parts[part]);
    if (lasts && run->c->position[part] != 0)
        return;
    const bp_view view = bp_case_view(run->c, part, run->values, run->volts);
    const bp_move move = model->next(&view);
    if (!move.moves || move.position == run->c->position[part]) {
        run->wish[part] = -1;
        run->progress[part] = lasts ? run->progress[part] : 0;
        return;
    }
    const double needs = fmax(move.seconds, BP_INSTANT);
    if (run->wish[part] == move.position)
        run->progress[part] += (run->now - run->before) / needs;
    else
        run->progress[part] = lasts ? run->progress[part] : 0;
    run->wish[part] = move.position;
    if (run->progress[part] >= 1 - 1e-9 || move.seconds <= BP_INSTANT)
        take_position(run, part, move.position);
    else if (isfinite(needs))
        run->wake[part] = fmin(run->wake[part], run->now + (1 - run->progress[part]) * needs);
}

static void look(bp_run *run, size_t part) {
    const bp_model *model = model_of(run, part);
    run->wake[part] = run->fine[part] = INFINITY;
    if (model->n_positions > 1 && model->next && !(model->wave && model->wave->own_positions))
        decide(run, part);
    if (!model->wave || !model->wave->instant)
        return;
    bp_moment m = bp_run_moment(run, part);
    if (model->wave->instant(&m))
        bp_run_remake(run, part);
}

/* At time 0 the settings become those of the state. */
static void enter(bp_run *run) {
    run->entered = true;
    for (size_t i = 0; i < run->circuit->n_parts; i++) {
        if (run->c->setting[i] == run->setting_then[i])
            continue;
        run->c->setting[i] = run->setting_then[i];
        bp_run_remake(run, i);
    }
}

void bp_run_instant(bp_run *run) {
    if (!run->entered && run->now >= -BP_INSTANT)
        enter(run);
    for (size_t i = 0; i < run->n_lively; i++)
        look(run, run->lively[i]);
}

/* A step that would end just short of an instant goes on to it. */
static double up_to(double step, double left) {
    return left > BP_INSTANT && step > left / 1.1 ? left : step;
}

static double within_ramps(const bp_run *run, double step) {
    for (size_t i = 0; i < run->circuit->n_parts; i++)
        if (run->now < run->ramp_ends[i] - BP_INSTANT)
            step = fmin(step, bp_run_ramp(run, i) / STEPS_IN_RAMP / run->task->fineness);
    for (size_t i = 0; i < run->circuit->n_parts; i++)
        step = up_to(step, run->ramp_ends[i] - run->now);
    return step;
}

double bp_run_step(const bp_run *run, double wanted) {
    double step = wanted;
    for (size_t i = 0; i < run->n_lively; i++)
        step = fmin(step, run->fine[run->lively[i]] / run->task->fineness);
    for (size_t i = 0; i < run->n_lively; i++)
        step = up_to(step, run->wake[run->lively[i]] - run->now);
    if (run->now < run->last_ramp - BP_INSTANT)
        step = within_ramps(run, step);
    if (run->now >= run->task->from - BP_INSTANT)
        step =
            fmin(step, (run->task->to - run->task->from) / STEPS_IN_WINDOW / run->task->fineness);
    step = up_to(step, run->entered ? -1 : -run->now);
    step = up_to(step, run->task->from - run->now);
    return up_to(step, run->task->to - run->now);
}
