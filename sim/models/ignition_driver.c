/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ignition driver: a transistor that carries no more than its limit, saves itself at its clamp
 * voltage, and in a run switches in step with the engine.
 */
#include <stdio.h>

#include "circuits/kinds/ignition_driver.h"
#include <stdio.h>

#include "sim/kick.h"
#include "sim/module.h"
#include "sim/pulse.h"
#include "sim/wave.h"
#include "sim/winding.h"

enum { OUTPUT, SUPPLY, TRANSISTOR, CLAMP = TRANSISTOR + 4 };
enum { SWITCHED_ON, KICK, RESET = KICK + BP_KICK_MEMORY, FED_SINCE, N_MEMORY };

/* Once awake it keeps on this much below the voltage it starts at, V. */
static const double hysteresis = 0.5;

/* Time from feed to first switching: data-sheet typical, from memory. */
static const double start_seconds = 5e-3;

/* What is left of a transistor that is off. */
static const double cut_off = 1e-10;

/* Fall time of the current: 5 us, data-sheet typical of ignition transistors, from memory. */
static const double fall_seconds = 5e-6;

/* At idle when the state names no speed, rev/min: common practice. */
static const double idle_speed = 800;

static const bp_stage stage = {BP_IGNITER_OUTPUT_OPEN, BP_IGNITER_OUTPUT_SHORTED, BP_IGNITER_WEAK,
                               BP_IGNITER_LEAKY};

/* A resistance up to the limit, next to a constant current beyond: $0 is 1 while it is on, $1 its
 * slope beyond the limit, $2 how much steeper it is below, $3 the volts at which it gets there.
 * Both slopes are far from 0, so that the solver finds its way from either; corners are sharp,
 * because what rounds them leaves rounding errors where a dead circuit has nothing else. */
static const bp_law limited = {.id = "limited",
                               .n_controls = 1,
                               .n_params = 4,
                               .spice = "$0*($1*#0+$2*(#0-uramp(#0-$3)+uramp(-#0-$3)))"};

/* S: 0.1 A more for each 10 V beyond the limit, from memory. */
static const double limited_slope = 0.01;

/* What saves the transistor: beyond $0 volts next to a short, and backwards beyond $1 a diode; $2
 * is the conductance of either. Exponentials in their place were seen to leave the solver without a
 * step when a coil is cut off. */
static const bp_law clamped = {
    .id = "clamped", .n_controls = 1, .n_params = 3, .spice = "$2*(uramp(#0-$0)-uramp($1-#0))"};

/* Backwards it conducts from here, V; S beyond either end. */
static const double backwards = -0.7, beyond = 10;

static void elements(bp_builder *b, const bp_part *part) {
    const size_t out = bp_build_own(b, part, BP_IGNITER_PIN_OUT);
    const size_t ground = bp_build_own(b, part, BP_IGNITER_PIN_31);
    const size_t across[1][2] = {{out, ground}};
    bp_build_resistor(b, out, ground);
    bp_build_resistor(b, bp_build_own(b, part, BP_IGNITER_PIN_15), ground);
    const size_t transistor = bp_build_law(b, &limited, out, ground, across);
    bp_build_live(b, transistor);
    bp_build_law(b, &clamped, out, ground, across);
}

static bool is_on(const bp_view *view) {
    return view->memory ? view->memory[SWITCHED_ON] != 0 : view->position == BP_STAGE_ON;
}

/* The stage's helper knows a resistance that is switched; here the transistor is one with a limit,
 * and only what its faults put across it is a resistance. */
static void values(const bp_view *view, double *value) {
    const double *param = view->param;
    const bool open = bp_view_has(view, BP_IGNITER_OUTPUT_OPEN);
    const double on_ohm = bp_view_how_bad(view, BP_IGNITER_WEAK, param[BP_IGNITER_ON_RESISTANCE]);
    value[OUTPUT] = bp_stage_ohm(view, &stage, false, 0, param[BP_IGNITER_LEAKAGE]);
    value[SUPPLY] = 12 / param[BP_IGNITER_DRAW]; /* the draw is stated at 12 V */
    value[TRANSISTOR] = is_on(view) && !open ? 1 : cut_off;
    value[TRANSISTOR + 1] = limited_slope;
    value[TRANSISTOR + 2] = 1 / on_ohm - limited_slope;
    value[TRANSISTOR + 3] = on_ohm * param[BP_IGNITER_LIMIT];
    value[CLAMP] = bp_view_how_bad(view, BP_IGNITER_CLAMPS_LOW, param[BP_IGNITER_CLAMP]);
    value[CLAMP + 1] = backwards;
    value[CLAMP + 2] = open ? 1 / BP_OPEN_OHM : beyond;
}

static double across(const bp_view *view) {
    return bp_view_pin_volts(view, BP_IGNITER_PIN_OUT) - bp_view_pin_volts(view, BP_IGNITER_PIN_31);
}

static double feed_volts(const bp_view *view) {
    return bp_view_pin_volts(view, BP_IGNITER_PIN_15) - bp_view_pin_volts(view, BP_IGNITER_PIN_31);
}

static bool alive(const bp_view *view, bool awake) {
    const double least = view->param[BP_IGNITER_WORKS_FROM] - (awake ? hysteresis : 0);
    return !bp_module_is_wired(view->part, BP_IGNITER_PIN_15) || feed_volts(view) >= least;
}

/* Amperes through transistor and shorted output. */
static double amps(const bp_view *view) {
    const double v = across(view), full = bp_view_value(view, TRANSISTOR + 3);
    const double held = fmax(-full, fmin(v, full));
    return bp_view_value(view, TRANSISTOR) * (bp_view_value(view, TRANSISTOR + 1) * v +
                                              bp_view_value(view, TRANSISTOR + 2) * held) +
           bp_view_current(view, OUTPUT);
}

static bp_move next(const bp_view *view) {
    const bool asked = view->setting == BP_IGNITER_SET_ON &&
                       !bp_view_has(view, BP_IGNITER_NO_REQUEST) &&
                       alive(view, view->position != BP_STAGE_OFF);
    return bp_stage_next(view, asked, amps(view), NAN);
}

/* Limiting the current it turns what the coil leaves of the battery's voltage into heat; on its
 * heat sink it stands this much, W: from memory. The battery straight on it is more. */
#define MOST_WATTS 75.0

static bool strained(const bp_view *view, char *words, size_t size) {
    const double watts = amps(view) * across(view);
    if (watts <= MOST_WATTS)
        return false;
    snprintf(words, size, "would turn %.0f W into heat, and it stands %g W", watts, MOST_WATTS);
    return true;
}

/* A steady reading of a sparking driver is one between two sparks. */
static void behave(const bp_view *view, bp_behaviour *out) {
    const bool dead = view->setting != BP_IGNITER_SET_OFF && !alive(view, true);
    bp_stage_behave(view, dead, dead ? feed_volts(view) : 0, "switches the coil on", out);
    if (dead || view->setting != BP_IGNITER_SET_SPARKING ||
        bp_view_has(view, BP_IGNITER_NO_REQUEST))
        return;
    out->says = "sparking";
    snprintf(out->words, sizeof out->words, "sparks; scope shows how");
}

static const char *const says[] = {"on", "off", "shut-down", "dead", "chatter", "sparking", NULL};

static bp_pulse pulse_of(const bp_view *view) {
    const double *param = view->param;
    const double speed = isnan(view->around->speed) ? idle_speed : view->around->speed;
    const double period = 60 / (fmax(speed, 1) * param[BP_IGNITER_SPARKS]);
    const double told = param[BP_IGNITER_DWELL] * bp_view_how_bad(view, BP_IGNITER_SHORT_DWELL, 1);
    return (bp_pulse){.period = period, .on = fmin(told, 0.8 * period)};
}

enum { TELL_ON, TELL_OFF, TELL_PEAK };
static const bp_wave_tell tells[] = {[TELL_ON] = {.id = "on", .words = "%s switches the coil on"},
                                     [TELL_OFF] = {.id = "off",
                                                   .words = "%s lets go",
                                                   .unit = BP_UNIT_AMPERE,
                                                   .value_id = "current-at-switch-off",
                                                   .value_words = "current when it lets go",
                                                   .since = "on",
                                                   .span_id = "dwell",
                                                   .span_words = "dwell"},
                                     [TELL_PEAK] = {.id = "peak",
                                                    .words = "the voltage at %s has peaked",
                                                    .unit = BP_UNIT_VOLT,
                                                    .value_id = "kick",
                                                    .value_words = "voltage kick of the primary"},
                                     {.id = NULL}};

static void watch_kick(bp_moment *m) {
    static const double least = 20; /* V */
    bp_kick_watch(m, &m->memory[KICK], across(&m->view), least, TELL_PEAK);
}

/* Once its feed was gone it starts anew, which takes a while. */
static bool is_awake(bp_moment *m) {
    if (!alive(&m->view, m->memory[RESET] == 0)) {
        m->memory[RESET] = 1;
        m->memory[FED_SINCE] = m->time;
    } else if (m->memory[RESET] != 0) {
        bp_moment_wake(m, m->memory[FED_SINCE] + start_seconds);
        if (m->time >= m->memory[FED_SINCE] + start_seconds - 1e-9)
            m->memory[RESET] = 0;
    }
    return m->memory[RESET] == 0;
}

static bool wanted_on(bp_moment *m) {
    const bp_view *view = &m->view;
    bool on = view->setting == BP_IGNITER_SET_ON;
    if (view->setting == BP_IGNITER_SET_SPARKING) {
        const bp_pulse pulse = pulse_of(view);
        bp_moment_wake(m, bp_pulse_next(&pulse, m->time));
        on = bp_pulse_is_on(&pulse, m->time);
    }
    return on && !bp_view_has(view, BP_IGNITER_NO_REQUEST) && is_awake(m);
}

static void begin(bp_moment *m) { m->memory[SWITCHED_ON] = m->view.position == BP_STAGE_ON; }

static bool instant(bp_moment *m) {
    const bool was = m->memory[SWITCHED_ON] != 0, on = wanted_on(m);
    if (on == was) {
        if (!was)
            watch_kick(m);
        return false;
    }
    m->memory[SWITCHED_ON] = on;
    bp_kick_begin(&m->memory[KICK]);
    bp_moment_tell(m, on ? TELL_ON : TELL_OFF, on ? NAN : amps(&m->view));
    return true;
}

static const bp_wave_model wave = {.n_memory = N_MEMORY,
                                   .begin = begin,
                                   .instant = instant,
                                   .tells = tells,
                                   .own_positions = true,
                                   .ramp = fall_seconds};

const bp_model bp_model_ignition_driver = {
    .elements = elements,
    .values = values,
    .n_positions = BP_STAGE_POSITIONS,
    .positions = bp_stage_positions,
    .next = next,
    .behave = behave,
    .output_on = BP_IGNITER_SET_ON,
    .strained = strained,
    .says = says,
    .wave = &wave,
};
