/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Output stage of a module: switches `out` to its ground while it is asked to and the module is
 * alive.
 */
#include "circuits/kinds/low_side_driver.h"

#include <math.h>
#include <stdio.h>

#include "sim/kick.h"
#include "sim/module.h"
#include "sim/pulse.h"
#include "sim/wave.h"
#include "sim/winding.h"

enum { OUTPUT, SUPPLY };

/* Once awake a module keeps on this much below the voltage it starts at, V. */
static const double hysteresis = 0.5;

/* What lets no more than so much through: $0 siemens up to $1 V, hardly more beyond; the line is
 * not quite flat, for the solver. */
static const bp_law held = {
    .id = "held", .n_controls = 1, .n_params = 2, .spice = "$0*(#0-0.999*uramp(#0-$1))"};

static bool holds(const bp_part *part) { return !isnan(part->param[BP_DRIVER_HOLD]); }

/* Slots of that law, where there is one. */
enum { HELD = SUPPLY + 1, N_HELD = 2 };

static const bp_stage stage = {BP_DRIVER_OUTPUT_OPEN, BP_DRIVER_OUTPUT_SHORTED, BP_DRIVER_WEAK,
                               BP_DRIVER_LEAKY};

static void elements(bp_builder *b, const bp_part *part) {
    size_t ground = bp_build_own(b, part, BP_DRIVER_PIN_31);
    bp_build_live(b, bp_build_resistor(b, bp_build_own(b, part, BP_DRIVER_PIN_OUT), ground));
    bp_build_resistor(b, bp_build_own(b, part, BP_DRIVER_PIN_15), ground);
    const size_t across[1][2] = {{bp_build_own(b, part, BP_DRIVER_PIN_OUT), ground}};
    if (holds(part))
        bp_build_live(b, bp_build_law(b, &held, across[0][0], ground, across));
}

/* What a run keeps: whether the output is on, and the kick of the load that it let go. */
enum { SWITCHED_ON, KICK, HOLDING = KICK + BP_KICK_MEMORY, N_MEMORY };

static bool is_on(const bp_view *view) {
    return view->memory ? view->memory[SWITCHED_ON] != 0 : view->position == BP_STAGE_ON;
}

/* In steady state the peak is long over. */
static bool is_holding(const bp_view *view) {
    return holds(view->part) && is_on(view) && (!view->memory || view->memory[HOLDING] != 0);
}

static void values(const bp_view *view, double *value) {
    const double *param = view->param;
    const bool holding = is_holding(view);
    value[OUTPUT] = bp_stage_ohm(view, &stage, is_on(view) && !holding,
                                 param[BP_DRIVER_ON_RESISTANCE], param[BP_DRIVER_LEAKAGE]);
    value[SUPPLY] = 12 / param[BP_DRIVER_DRAW]; /* the draw is stated at 12 V */
    if (!holds(view->part))
        return;
    const double ohm = bp_view_how_bad(view, BP_DRIVER_WEAK, param[BP_DRIVER_ON_RESISTANCE]);
    value[HELD] = holding && !bp_view_has(view, BP_DRIVER_OUTPUT_OPEN) ? 1 / ohm : 0;
    value[HELD + 1] = ohm * param[BP_DRIVER_HOLD];
}

static double output_volts(const bp_view *view) {
    return bp_view_pin_volts(view, BP_DRIVER_PIN_OUT) - bp_view_pin_volts(view, BP_DRIVER_PIN_31);
}

/* Through the output, held or not, A. */
static double output_amps(const bp_view *view) {
    double amps = bp_view_current(view, OUTPUT);
    if (holds(view->part))
        amps += bp_view_value(view, HELD) * fmin(output_volts(view), bp_view_value(view, HELD + 1));
    return amps;
}

static double feed_volts(const bp_view *view) {
    return bp_view_pin_volts(view, BP_DRIVER_PIN_15) - bp_view_pin_volts(view, BP_DRIVER_PIN_31);
}

static bool alive(const bp_view *view) {
    double least =
        view->param[BP_DRIVER_WORKS_FROM] - (view->position == BP_STAGE_OFF ? 0 : hysteresis);
    return !bp_module_is_wired(view->part, BP_DRIVER_PIN_15) || feed_volts(view) >= least;
}

static bool asked(const bp_view *view) {
    return view->setting == BP_DRIVER_SET_ON && !bp_view_has(view, BP_DRIVER_NO_REQUEST);
}

static bp_move next(const bp_view *view) {
    return bp_stage_next(view, asked(view) && alive(view), output_amps(view),
                         view->param[BP_DRIVER_LIMIT]);
}

static void behave(const bp_view *view, bp_behaviour *out) {
    bool dead = view->setting == BP_DRIVER_SET_ON && !alive(view);
    bp_stage_behave(view, dead, dead ? feed_volts(view) : 0, "switches its load to ground", out);
    if (!dead && view->setting == BP_DRIVER_SET_PULSING && view->position == BP_STAGE_OFF &&
        alive(view) && !bp_view_has(view, BP_DRIVER_NO_REQUEST))
        snprintf(out->words, sizeof out->words, "pulses; scope shows how");
}

/* A relay driver that says nothing of a limit stands this much, A: data-sheet typical, from
 * memory. */
#define UNLIMITED_MOST 3.0

static bool strained(const bp_view *view, char *words, size_t size) {
    const double limit = view->param[BP_DRIVER_LIMIT];
    return bp_stage_strained(view, OUTPUT, isnan(limit) ? UNLIMITED_MOST : limit, words, size);
}

/* In time: the rhythm, and what saves the output from the kick of a winding. */

/* Beyond $0 volts $1 siemens, below next to nothing; the corner is a hundredth of a volt wide. */
static const bp_law clamped = {.id = "output-clamp",
                               .n_controls = 1,
                               .n_params = 2,
                               .spice = "$1*0.5*(#0-$0+sqrt((#0-$0)*(#0-$0)+1e-4))"};

/* A clamp's own slope: a tenth of an ohm, from memory. */
static const double clamp_siemens = 10;

/* Edges of an output for windings and motors: data-sheet typical, from memory. */
static const double edge_seconds = 5e-6;

/* How closely a peak is met, s: at some amperes a millisecond well within its tolerance. */
static const double peak_step = 2e-6;

static void elements_in_time(bp_builder *b, const bp_part *part) {
    const size_t out = bp_build_own(b, part, BP_DRIVER_PIN_OUT);
    const size_t ground = bp_build_own(b, part, BP_DRIVER_PIN_31);
    const size_t across[1][2] = {{out, ground}};
    elements(b, part);
    bp_build_law(b, &clamped, out, ground, across);
}

static void values_in_time(const bp_view *view, double *value) {
    const size_t clamp = HELD + (holds(view->part) ? N_HELD : 0);
    values(view, value);
    value[clamp] = view->param[BP_DRIVER_CLAMP];
    value[clamp + 1] = bp_view_has(view, BP_DRIVER_OUTPUT_OPEN) ? 1 / BP_OPEN_OHM : clamp_siemens;
}

enum { TELL_ON, TELL_OFF, TELL_KICK, TELL_PEAK };
static const bp_wave_tell tells[] = {[TELL_ON] = {.id = "on", .words = "%s switches on"},
                                     [TELL_OFF] = {.id = "off",
                                                   .words = "%s switches off",
                                                   .unit = BP_UNIT_AMPERE,
                                                   .value_id = "current-at-switch-off",
                                                   .value_words = "current when it lets go",
                                                   .since = "on",
                                                   .span_id = "on-time",
                                                   .span_words = "time on"},
                                     [TELL_KICK] = {.id = "kick",
                                                    .words = "the load of %s has kicked",
                                                    .unit = BP_UNIT_VOLT,
                                                    .value_id = "kick",
                                                    .value_words = "voltage kick of the winding"},
                                     [TELL_PEAK] = {.id = "peak",
                                                    .words = "%s has its peak and only holds now",
                                                    .unit = BP_UNIT_AMPERE,
                                                    .value_id = "peak-current",
                                                    .value_words = "peak current",
                                                    .since = "on",
                                                    .span_id = "time-to-peak",
                                                    .span_words = "time to the peak"},
                                     {.id = NULL}};

static void watch_kick(bp_moment *m) {
    static const double least = 18; /* V: more than any supply */
    bp_kick_watch(m, &m->memory[KICK], output_volts(&m->view), least, TELL_KICK);
}

static bool wanted_on(bp_moment *m) {
    const bp_view *view = &m->view;
    if (view->setting != BP_DRIVER_SET_PULSING)
        return view->position == BP_STAGE_ON;
    const bp_pulse pulse = {
        .period = 1 / view->param[BP_DRIVER_FREQUENCY],
        .on = fmin(view->param[BP_DRIVER_ON_TIME], 1 / view->param[BP_DRIVER_FREQUENCY])};
    bp_moment_wake(m, bp_pulse_next(&pulse, m->time));
    return bp_pulse_is_on(&pulse, m->time) && !bp_view_has(view, BP_DRIVER_NO_REQUEST) &&
           alive(view);
}

static void begin(bp_moment *m) {
    m->memory[SWITCHED_ON] = m->memory[HOLDING] = m->view.position == BP_STAGE_ON;
}

/* While it is on: has the peak been reached? */
static bool watch_peak(bp_moment *m) {
    double *k = m->memory;
    if (!holds(m->view.part) || k[HOLDING] != 0)
        return false;
    bp_moment_fine(m, peak_step);
    if (output_amps(&m->view) < m->view.param[BP_DRIVER_PEAK])
        return false;
    k[HOLDING] = 1;
    bp_moment_tell(m, TELL_PEAK, output_amps(&m->view));
    return true;
}

static bool instant(bp_moment *m) {
    double *k = m->memory;
    const bool was = k[SWITCHED_ON] != 0, on = wanted_on(m);
    if (!on && !was)
        watch_kick(m);
    if (on == was)
        return on && watch_peak(m);
    k[SWITCHED_ON] = on;
    bp_kick_begin(&k[KICK]);
    k[HOLDING] = 0;
    bp_moment_tell(m, on ? TELL_ON : TELL_OFF, on ? NAN : output_amps(&m->view));
    return true;
}

static const bp_wave_model wave = {.elements = elements_in_time,
                                   .values = values_in_time,
                                   .n_memory = N_MEMORY,
                                   .begin = begin,
                                   .instant = instant,
                                   .tells = tells,
                                   .ramp = edge_seconds};

const bp_model bp_model_low_side_driver = {
    .elements = elements,
    .values = values,
    .n_positions = BP_STAGE_POSITIONS,
    .positions = bp_stage_positions,
    .next = next,
    .behave = behave,
    .output_on = BP_DRIVER_SET_ON,
    .strained = strained,
    .says = bp_stage_says,
    .kelvin_per_watt = 5,
    .wave = &wave,
};
