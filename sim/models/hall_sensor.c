/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Hall sensor: an output that is pulled down while the field before it is strong enough and its
 * feed carries it.
 */
#include "circuits/kinds/hall_sensor.h"

#include <math.h>
#include <stdio.h>

#include "sim/wave.h"
#include "sim/wheel.h"
#include "sim/winding.h"

enum { FEED, SELF, OUTPUT, GROUND };
enum { BEFORE_TOOTH, N_MEMORY };
enum { OPEN, PULLS };

/* Switching takes some microseconds: data-sheet typical, from memory. */
static const double switch_seconds = 5e-6;

/* The draw is stated at this voltage, V. */
static const double draw_volts = 8;

static const double track_ohm = 0.05; /* inside the housing */

/* Which tooth is broken off: any, away from the mark. */
static const double damaged_place = 1;

static const double pi = 3.14159265358979323846;

static void elements(bp_builder *b, const bp_part *part) {
    const size_t feed = bp_build_node(b), ground = bp_build_node(b);
    bp_build_resistor(b, bp_build_own(b, part, BP_HALL_PIN_FEED), feed);
    bp_build_resistor(b, feed, ground);
    bp_build_live(b, bp_build_resistor(b, bp_build_own(b, part, BP_HALL_PIN_OUT), ground));
    bp_build_resistor(b, ground, bp_build_own(b, part, BP_HALL_PIN_GROUND));
}

/* Share of a pitch for which the field is strong enough: the field over a tooth falls as a cosine
 * to nothing beside it, and the whole of it with the gap. */
static double low_share(const bp_view *view) {
    const double *param = view->param;
    const double more =
        bp_view_how_bad(view, BP_HALL_GAP_WIDE, 0) - bp_view_how_bad(view, BP_HALL_GAP_NARROW, 0);
    const double needs = (1 + cos(pi * param[BP_HALL_LOW_SHARE])) / 2;
    const double edge = 2 * needs / bp_wheel_field(more, param[BP_HALL_PITCH]) - 1;
    return edge >= 1 ? 0 : acos(edge) / pi;
}

static bool pulls(const bp_view *view) {
    if (bp_view_has(view, BP_HALL_STUCK_OPEN))
        return false;
    return view->memory ? view->memory[BEFORE_TOOTH] != 0 && view->position == PULLS
                        : view->position == PULLS;
}

static void values(const bp_view *view, double *value) {
    const double *param = view->param;
    const double on = bp_view_how_bad(view, BP_HALL_WEAK, param[BP_HALL_ON_RESISTANCE]);
    const double off = bp_view_how_bad(view, BP_HALL_LEAKY, param[BP_HALL_LEAKAGE]);
    value[FEED] = bp_view_has(view, BP_HALL_FEED_OPEN) ? BP_OPEN_OHM : track_ohm;
    value[SELF] = bp_view_how_bad(view, BP_HALL_FEED_SHORTED, draw_volts / param[BP_HALL_DRAW]);
    value[OUTPUT] = bp_view_how_bad(view, BP_HALL_STUCK_LOW, pulls(view) ? on : off);
    value[GROUND] = bp_view_has(view, BP_HALL_GROUND_OPEN) ? BP_OPEN_OHM : track_ohm;
}

static double feed_volts(const bp_view *view) {
    return bp_view_current(view, SELF) * bp_view_value(view, SELF);
}

/* Position says whether it would pull: alive, and in a steady state before a tooth. In a run the
 * tooth is the wave block's business. */
static bp_move next(const bp_view *view) {
    const bool alive = feed_volts(view) >= view->param[BP_HALL_WORKS_FROM];
    const bool tooth = view->setting == BP_HALL_SET_LOW && low_share(view) > 0;
    const int to = alive && (tooth || view->memory) ? PULLS : OPEN;
    return (bp_move){.moves = to != view->position, .position = to, .seconds = 1e-5};
}

static void behave(const bp_view *view, bp_behaviour *out) {
    const double feed = feed_volts(view);
    if (feed < view->param[BP_HALL_WORKS_FROM]) {
        out->says = "dead";
        snprintf(out->words, sizeof out->words, "is dead: %.1f V between its feed and ground",
                 feed);
        return;
    }
    out->says = view->position == PULLS ? "low" : "high";
    snprintf(out->words, sizeof out->words, "%s",
             view->position == PULLS                ? "pulls its output down"
             : view->setting == BP_HALL_SET_TURNING ? "sees teeth pass; scope shows its signal"
                                                    : "leaves its output open");
}

static bp_wheel wheel_of(const bp_view *view) {
    const double *param = view->param;
    return bp_wheel_of(view, param[BP_HALL_TEETH], param[BP_HALL_MISSING], param[BP_HALL_TURNS]);
}

/* While the wheel turns: low around the middle of each tooth. */
static bool is_before_tooth(bp_moment *m) {
    const bp_view *view = &m->view;
    const bp_wheel wheel = wheel_of(view);
    const double share = low_share(view);
    if (view->setting != BP_HALL_SET_TURNING || m->time < 0)
        return view->setting == BP_HALL_SET_LOW && share > 0;
    double passed;
    const double place = bp_wheel_place(&wheel, m->time, &passed);
    bp_moment_wake(m, bp_wheel_next(&wheel, m->time, (1 - share) / 2));
    bp_moment_wake(m, bp_wheel_next(&wheel, m->time, (1 + share) / 2));
    const bool tooth = bp_wheel_has_tooth(&wheel, place) &&
                       !(place == damaged_place && bp_view_has(view, BP_HALL_TOOTH_DAMAGED));
    return tooth && passed >= (1 - share) / 2 - 1e-6 && passed < (1 + share) / 2 - 1e-6;
}

static bool instant(bp_moment *m) {
    const bool was = m->memory[BEFORE_TOOTH] != 0, is = is_before_tooth(m);
    m->memory[BEFORE_TOOTH] = is;
    return is != was;
}

static void begin(bp_moment *m) {
    m->memory[BEFORE_TOOTH] = m->view.setting == BP_HALL_SET_LOW && low_share(&m->view) > 0;
}

static const char *const positions[] = {"open", "pulls"};
static const char *const says[] = {"high", "low", "dead", NULL};

static const bp_wave_model wave = {
    .n_memory = N_MEMORY, .begin = begin, .instant = instant, .ramp = switch_seconds};

const bp_model bp_model_hall_sensor = {
    .elements = elements,
    .values = values,
    .n_positions = 2,
    .positions = positions,
    .next = next,
    .behave = behave,
    .says = says,
    .wave = &wave,
};
