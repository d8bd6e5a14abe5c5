/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Speed input: what the module loads its sensor with, and what it counts over a run.
 */
#include "circuits/kinds/speed_input.h"

#include <math.h>
#include <stdio.h>

#include "sim/module.h"
#include "sim/rail.h"
#include "sim/wave.h"
#include "sim/winding.h"

enum { IN, ACROSS, PULL, RETURN, SELF, RAIL };
/* What it keeps: armed for the next count; counts; times of the last and of the first one; the
 * step before the last; steps that fit neither a tooth nor the mark; marks; counts since the last
 * mark, -1 before the first; the fed time. */
enum { ARMED, COUNTS, FIRST, LAST, STEP, ODD, MARKS, SINCE_MARK, VOLTS, N_MEMORY };

static const double track_ohm = 0.05; /* inside the module */

/* The module's own 5 V: a drop-out of 0.3 V and some 50 mA for inputs, data-sheet typical, from
 * memory. */
static const bp_rail supply = {.dropout = 0.3, .ohm = 0.1, .limit = 0.05};

/* Hysteresis at the passage of zero, as a share of what it needs: data-sheet typical, from memory.
 */
static const double hysteresis = 0.05;

/* A step that differs from the one before by less than this is a tooth, by about missing + 1 the
 * mark, and anything else does not fit: common practice. */
static const double uneven = 0.4;

/* Below this between in and return nothing pulls a reluctance input down: an open circuit. Share of
 * what an open one stands at. */
static const double open_share = 0.6;

static void elements(bp_builder *b, const bp_part *part) {
    const size_t ground = bp_build_own(b, part, BP_SPEED_PIN_31);
    const size_t feed = bp_module_is_wired(part, BP_SPEED_PIN_15)
                            ? bp_build_own(b, part, BP_SPEED_PIN_15)
                            : bp_build_feed(b);
    const size_t input = bp_build_node(b), rail = bp_build_node(b);
    bp_build_resistor(b, bp_build_own(b, part, BP_SPEED_PIN_IN), input);
    bp_build_resistor(b, input, ground);
    bp_build_resistor(b, rail, input);
    bp_build_resistor(b, bp_build_own(b, part, BP_SPEED_PIN_RETURN), ground);
    bp_build_resistor(b, feed, ground);
    bp_rail_elements(b, feed, ground, rail);
}

static void values(const bp_view *view, double *value) {
    const double *param = view->param;
    value[IN] = bp_view_has(view, BP_SPEED_INPUT_OPEN) ? BP_OPEN_OHM : track_ohm;
    value[ACROSS] =
        1 / (1 / param[BP_SPEED_OHM] + 1 / bp_view_how_bad(view, BP_SPEED_LOADED, BP_OPEN_OHM));
    value[PULL] = bp_view_has(view, BP_SPEED_PULL_OPEN) ? BP_OPEN_OHM : param[BP_SPEED_PULL_OHM];
    value[RETURN] = bp_view_has(view, BP_SPEED_RETURN_OPEN) ? BP_OPEN_OHM : track_ohm;
    value[SELF] = 12 / param[BP_SPEED_DRAW]; /* the draw is stated at 12 V */
    bp_rail rail = supply;
    rail.volts = param[BP_SPEED_VOLTS];
    bp_rail_values(&value[RAIL], &rail);
}

static double across(const bp_view *view, size_t slot) {
    return bp_view_current(view, slot) * bp_view_value(view, slot);
}

static bool counts_reluctance(const bp_view *view) {
    return view->param[BP_SPEED_SENSOR] < BP_SPEED_OF_HALL;
}

static bool alive(const bp_view *view) {
    return across(view, SELF) >= view->param[BP_SPEED_WORKS_FROM];
}

static void say_dead(const bp_view *view, bp_behaviour *out) {
    out->says = "dead";
    snprintf(out->words, sizeof out->words,
             "counts nothing: its module has %.1f V between feed and ground", across(view, SELF));
}

/* What an open reluctance input stands at, V. */
static double open_volts(const bp_view *view) {
    const double *param = view->param;
    return param[BP_SPEED_VOLTS] * param[BP_SPEED_OHM] /
           (param[BP_SPEED_OHM] + param[BP_SPEED_PULL_OHM]);
}

/* Standing still: the level, or whether a coil is there. */
static void behave(const bp_view *view, bp_behaviour *out) {
    const double volts = across(view, ACROSS);
    out->value = volts;
    out->unit = BP_UNIT_VOLT;
    if (!alive(view)) {
        say_dead(view, out);
    } else if (counts_reluctance(view)) {
        const bool open = volts > open_share * open_volts(view);
        const bool turns = view->around->speed > 0; /* what it counts then, only a run shows */
        out->says = open ? "open" : turns ? "coil" : "standing";
        snprintf(out->words, sizeof out->words, "sees %s",
                 open    ? "an open circuit instead of a coil"
                 : turns ? "a coil on its input; scope shows what it counts"
                         : "a coil whose wheel stands still");
    } else {
        const bool low = volts <= view->param[BP_SPEED_LOW_BELOW];
        const bool high = volts >= view->param[BP_SPEED_HIGH_ABOVE];
        out->says = low ? "low" : high ? "high" : "undecided";
        snprintf(out->words, sizeof out->words,
                 low || high ? "reads %s" : "reads high or low by chance", out->says);
    }
}

enum { TELL_MARK };
static const bp_wave_tell tells[] = {
    [TELL_MARK] = {.id = "mark", .words = "%s sees the missing tooth"}, {.id = NULL}};

static double expected(const bp_view *view) {
    return view->param[BP_SPEED_TEETH] - view->param[BP_SPEED_MISSING];
}

/* One more tooth at this time. */
static void count(bp_moment *m, double time) {
    double *k = m->memory;
    const bp_view *view = &m->view;
    const double step = time - k[LAST], mark = view->param[BP_SPEED_MISSING] + 1;
    if (k[COUNTS]++ < 1) {
        k[FIRST] = k[LAST] = time;
        k[SINCE_MARK] = -1;
        return;
    }
    k[LAST] = time;
    const double ratio = k[STEP] > 0 ? step / k[STEP] : 1;
    const bool is_mark = mark > 1 && ratio > mark * (1 - uneven / 2) && ratio < mark * (1 + uneven);
    if (is_mark) {
        bp_moment_tell(m, TELL_MARK, NAN);
        k[ODD] += k[SINCE_MARK] >= 0 && k[SINCE_MARK] != expected(view) - 1;
        k[MARKS]++;
        k[SINCE_MARK] = 0;
        return; /* the step across the mark is no measure for the next one */
    }
    k[ODD] += fabs(ratio - 1) > uneven;
    k[STEP] = step;
    k[SINCE_MARK] += k[SINCE_MARK] >= 0;
}

/* Whether a tooth has passed: a reluctance signal by the falling passage of zero once its positive
 * half was high enough, a Hall signal by its edge from high to low. */
static bool instant(bp_moment *m) {
    const bp_view *view = &m->view;
    const double *param = view->param;
    double *k = m->memory;
    const double volts = across(view, ACROSS);
    const bool reluctance = counts_reluctance(view);
    const double arms = reluctance ? param[BP_SPEED_NEEDS] : param[BP_SPEED_HIGH_ABOVE];
    const double fires =
        reluctance ? -hysteresis * param[BP_SPEED_NEEDS] : param[BP_SPEED_LOW_BELOW];
    if (!alive(view) || bp_view_has(view, BP_SPEED_DEAF) || m->time < 0) {
        k[ARMED] = 0;
    } else if (volts >= arms) {
        k[ARMED] = 1;
    } else if (k[ARMED] != 0 && volts <= fires) {
        const double passed = (k[VOLTS] - fires) / fmax(k[VOLTS] - volts, 1e-12);
        k[ARMED] = 0;
        count(m, m->before + fmin(fmax(passed, 0), 1) * (m->time - m->before));
    }
    k[VOLTS] = volts;
    return false;
}

/* Crankshaft or camshaft; any other wheel is a road wheel or a gear, whose own speed counts. */
static bool is_of_engine(const bp_view *view) {
    const double turns = view->param[BP_SPEED_TURNS];
    return turns == 1 || turns == 0.5;
}

/* Teeth in the time counted, the missing ones with them, as a speed. */
static double speed_of(const bp_view *view, const double *k) {
    const double places = k[COUNTS] - 1 + k[MARKS] * view->param[BP_SPEED_MISSING];
    return 60 * places / (k[LAST] - k[FIRST]) / view->param[BP_SPEED_TEETH] /
           (is_of_engine(view) ? view->param[BP_SPEED_TURNS] : 1);
}

/* So few edges are expected that a good sensor would show none either? */
static bool is_too_short(const bp_moment *m) {
    const double *param = m->view.param;
    const double turns = m->view.around->speed / 60 * m->time * param[BP_SPEED_TURNS];
    return turns > 0 && turns * expected(&m->view) < 3;
}

static void behave_in_time(const bp_moment *m, bp_behaviour *out) {
    const bp_view *view = &m->view;
    const double *k = m->memory;
    out->unit = BP_UNIT_RPM;
    if (!alive(view)) {
        say_dead(view, out);
    } else if (k[COUNTS] < 3 && is_too_short(m)) {
        return;
    } else if (k[COUNTS] < 3) {
        out->says = "no-signal";
        snprintf(out->words, sizeof out->words, "counts no teeth: %s",
                 is_of_engine(view) ? "the engine does not start"
                                    : "to its module the wheel stands still");
    } else if (k[ODD] > 0) {
        out->says = "out-of-step";
        snprintf(out->words, sizeof out->words,
                 "loses count: the teeth do not fit the wheel %.0f times", k[ODD]);
        out->value = k[ODD];
        out->unit = BP_UNIT_NONE;
    } else {
        out->value = speed_of(view, k);
        out->says = "counts";
        snprintf(out->words, sizeof out->words, "counts %.0f rev/min%s", out->value,
                 is_of_engine(view) ? "" : " of its wheel");
    }
}

static const char *const says[] = {"counts", "no-signal", "out-of-step", "standing", "coil", "open",
                                   "high",   "low",       "undecided",   "dead",     NULL};

static const bp_wave_model wave = {.n_memory = N_MEMORY,
                                   .instant = instant,
                                   .tells = tells,
                                   .behave = behave_in_time,
                                   .says = says};

const bp_model bp_model_speed_input = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
    .wave = &wave,
};
