/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Starter: a solenoid of two windings whose contact feeds a motor that turns an engine. In time the
 * engine has inertia, and the compression of each cylinder holds back and gives back.
 */
#include "circuits/kinds/starter.h"

#include <math.h>
#include <stdio.h>

#include "sim/rotor.h"
#include "sim/wave.h"
#include "sim/winding.h"

enum { PULL, HOLD, CONTACT, MOTOR };
enum { OUT, IN };

/* A plunger takes some 25 ms to engage the pinion and close the contact, and 15 ms to let go:
 * data-sheet typical, from memory. */
static const double engages = 0.025, lets_go = 0.015;

/* Shares of the cranking torque: dry friction of pistons and bearings, and what grows with the
 * speed of the oil; from memory. */
static const bp_load engine = {0.7, 0.3, 0}, free_pinion = {0.12, 0.02, 0};

/* How the drag of oil falls with warmth: half of it is oil, doubled for each 30 K less; from
 * memory. */
static double stiffness(double celsius) { return 0.5 + 0.5 * pow(2, (20 - celsius) / 30); }

/* Compression as a swing of torque about its mean, in rated torques: from memory; the current's
 * ripple of a fifth to a third of its mean is common practice. */
static const double compression = 0.8;

/* Share of the cranking current from which one that stands still counts as stalled: common
 * practice. The pull-in winding's current flows through it too. */
static const double stalls = 0.4;

/* Shares of the cranking speed: common practice. */
static const double slow = 0.65, fast = 1.5;

/* Compression over the engine's angle of 4 pi a cycle: $0 the swing, $1 cylinders, $2 share that is
 * gone in one of them, $3 the half width of its part of the cycle as a cosine. */
static const bp_law squeeze = {.id = "compression",
                               .n_controls = 1,
                               .n_params = 4,
                               .spice = "-$0*sin($1*#0/2)*(1-$2*0.5*(1+tanh(12*(cos(#0/2)-$3))))"};

/* Angle grows with speed: $0 rad/s at the rated one. */
static const bp_law turning = {
    .id = "turning", .n_controls = 1, .n_params = 1, .spice = "$0*#0*min(1,1e9*time)"};

/* The angle is the voltage of a farad; this keeps a standing one solvable and makes it forget a
 * thousandth in a second. */
static const double angle_leak = 1e3;

static const double pi = 3.14159265358979323846;

typedef struct nodes {
    size_t motor, ground;
} nodes;

static nodes solenoid_elements(bp_builder *b, const bp_part *part) {
    const size_t feed = bp_build_own(b, part, BP_STARTER_PIN_30);
    const size_t control = bp_build_own(b, part, BP_STARTER_PIN_50);
    const nodes n = {bp_build_node(b), bp_build_own(b, part, BP_STARTER_PIN_31)};
    bp_build_resistor(b, control, n.motor);
    bp_build_resistor(b, control, n.ground);
    bp_build_resistor(b, feed, n.motor);
    return n;
}

static void elements(bp_builder *b, const bp_part *part) {
    const nodes n = solenoid_elements(b, part);
    const bp_rotor rotor = bp_rotor_load(b);
    bp_rotor_winding(b, n.motor, n.ground, &rotor);
}

enum { STEADY_LOAD = MOTOR, STEADY_MOTOR = STEADY_LOAD + BP_ROTOR_LOAD_VALUES };

static double motor_ohm(const double *param) {
    return param[BP_STARTER_VOLTS] / param[BP_STARTER_STALL];
}

static void solenoid_values(const bp_view *view, double *value) {
    const double *param = view->param;
    const double celsius = view->around->engine;
    value[PULL] = bp_view_has(view, BP_STARTER_PULL_OPEN)
                      ? BP_OPEN_OHM
                      : bp_copper_at(param[BP_STARTER_PULL_WINDING], celsius);
    value[HOLD] = bp_view_has(view, BP_STARTER_HOLD_OPEN)
                      ? BP_OPEN_OHM
                      : bp_copper_at(param[BP_STARTER_HOLD_WINDING], celsius);
    const bool closed = view->position == IN || bp_view_has(view, BP_STARTER_CONTACT_WELDED);
    value[CONTACT] =
        closed && !bp_view_has(view, BP_STARTER_CONTACT_OPEN)
            ? bp_view_how_bad(view, BP_STARTER_CONTACT_RESISTANCE, param[BP_STARTER_CONTACT])
            : BP_OPEN_OHM;
}

static void motor_values(const bp_view *view, double *value) {
    const double *param = view->param;
    const double turns = 1 - bp_view_how_bad(view, BP_STARTER_SHORTED_TURNS, 0);
    const double ohm = motor_ohm(param);
    const double back_emf = param[BP_STARTER_VOLTS] - param[BP_STARTER_CURRENT] * ohm;
    bp_rotor_winding_values(value,
                            bp_copper_at(ohm * turns, view->around->engine) +
                                bp_view_how_bad(view, BP_STARTER_WORN_BRUSHES, 0),
                            turns * back_emf, turns / param[BP_STARTER_CURRENT]);
}

static bp_load load_of(const bp_view *view) {
    const double *param = view->param;
    const double shorted = bp_view_how_bad(view, BP_STARTER_SHORTED_TURNS, 0);
    const double ohm = motor_ohm(param);
    bp_load load = bp_view_has(view, BP_STARTER_SPINS_FREE) ? free_pinion : engine;
    if (!bp_view_has(view, BP_STARTER_SPINS_FREE)) {
        load.friction *= stiffness(view->around->engine);
        load.proportional *= stiffness(view->around->engine);
    }
    load.friction += bp_view_how_bad(view, BP_STARTER_BINDING, 0);
    load.proportional +=
        bp_rotor_short_drag(shorted, param[BP_STARTER_VOLTS] - param[BP_STARTER_CURRENT] * ohm, ohm,
                            param[BP_STARTER_CURRENT]);
    if (bp_view_has(view, BP_STARTER_SEIZED))
        load.proportional = BP_ROTOR_SEIZED;
    return load;
}

static void values(const bp_view *view, double *value) {
    const bp_load load = load_of(view);
    solenoid_values(view, value);
    bp_rotor_load_values(&value[STEADY_LOAD], &load);
    motor_values(view, &value[STEADY_MOTOR]);
}

/* Both windings pull the same way. In amperes through turns that are alike. */
static bp_move next(const bp_view *view) {
    const double *param = view->param;
    const double both = 1 / param[BP_STARTER_PULL_WINDING] + 1 / param[BP_STARTER_HOLD_WINDING];
    const double needs = bp_view_how_bad(view, BP_STARTER_STICKS, param[BP_STARTER_PULL_IN]);
    const bp_armature armature = {.amps = bp_view_current(view, PULL) + bp_view_current(view, HOLD),
                                  .pull_in = needs * both,
                                  .drop_out =
                                      param[BP_STARTER_DROP_OUT] / param[BP_STARTER_HOLD_WINDING],
                                  .seconds_in = engages,
                                  .seconds_out = lets_go};
    return bp_armature_next(&armature, view->position);
}

static void say_speed(const bp_view *view, double speed, double amps, bp_behaviour *out) {
    const double rpm = speed * view->param[BP_STARTER_CRANKS_AT];
    const double asked =
        bp_view_pin_volts(view, BP_STARTER_PIN_50) - bp_view_pin_volts(view, BP_STARTER_PIN_31);
    out->value = rpm;
    out->unit = BP_UNIT_RPM;
    if (speed < BP_STANDS_STILL && amps > stalls * view->param[BP_STARTER_CURRENT]) {
        out->says = "stalled";
        snprintf(out->words, sizeof out->words, "stands still and takes %.0f A", amps);
    } else if (speed < BP_STANDS_STILL) {
        out->says = asked > 1 ? "clicks" : "off";
        snprintf(out->words, sizeof out->words,
                 asked > 1 ? "does not crank, with %.1f V at its terminal 50" : "is off", asked);
    } else if (bp_view_has(view, BP_STARTER_SPINS_FREE)) {
        out->says = "spins-free";
        snprintf(out->words, sizeof out->words, "spins and the engine stands still");
    } else {
        out->says = speed < slow ? "weak" : speed > fast ? "fast" : "normal";
        snprintf(out->words, sizeof out->words, "cranks at %.0f rev/min and takes %.0f A", rpm,
                 amps);
    }
}

static void behave(const bp_view *view, bp_behaviour *out) {
    const double speed = bp_rotor_speed(view, STEADY_LOAD);
    say_speed(view, speed, bp_rotor_amps(view, STEADY_MOTOR, speed), out);
}

/* In time. */

enum { MEAN_SPEED, MEAN_AMPS, SINCE, LOWEST, LOWEST_AT, CLICKS, WAS_IN, N_MEMORY };

static void elements_in_time(bp_builder *b, const bp_part *part) {
    const nodes n = solenoid_elements(b, part);
    const size_t angle = bp_build_node(b);
    const size_t here[1][2] = {{angle, 0}};
    const bp_rotor rotor = bp_rotor_inertia(b);
    const size_t speed[1][2] = {{rotor.speed, 0}};
    bp_rotor_winding(b, n.motor, n.ground, &rotor);
    bp_build_capacitor(b, angle, 0);
    bp_build_resistor(b, angle, 0);
    bp_build_law(b, &turning, 0, angle, speed);
    bp_build_law(b, &squeeze, 0, rotor.speed, here);
}

enum {
    T_LOAD = MOTOR,
    T_MOTOR = T_LOAD + BP_ROTOR_INERTIA_VALUES,
    T_ANGLE = T_MOTOR + BP_ROTOR_WINDING_VALUES
};

static void values_in_time(const bp_view *view, double *value) {
    const double *param = view->param;
    const bp_load load = load_of(view);
    const bool loose = bp_view_has(view, BP_STARTER_SPINS_FREE);
    solenoid_values(view, value);
    bp_rotor_inertia_values(&value[T_LOAD], param[BP_STARTER_INERTIA] * (loose ? 0.2 : 1), &load);
    motor_values(view, &value[T_MOTOR]);
    double *angle = &value[T_ANGLE];
    angle[0] = 1;
    angle[1] = angle_leak;
    angle[2] = param[BP_STARTER_CRANKS_AT] / 60 * 2 * pi;
    angle[3] = loose ? 0 : compression;
    angle[4] = param[BP_STARTER_CYLINDERS];
    angle[5] = bp_view_how_bad(view, BP_STARTER_WEAK_CYLINDER, 0);
    angle[6] = cos(pi / fmax(param[BP_STARTER_CYLINDERS], 2));
}

enum { TELL_LOWEST, TELL_AGAIN };
static const bp_wave_tell tells[] = {
    [TELL_LOWEST] = {.id = "lowest",
                     .words = "the battery cable at %s is at its lowest",
                     .unit = BP_UNIT_VOLT,
                     .value_id = "dip",
                     .value_words = "lowest voltage at the starter"},
    [TELL_AGAIN] = {.id = "again", .words = "%s lets go and pulls in again"},
    {.id = NULL}};

/* Averages with a time constant of a third of a second smooth the compressions. */
static bool instant(bp_moment *m) {
    static const double smooth = 0.3;
    double *k = m->memory;
    const double dt = m->time - m->before;
    const double speed = bp_rotor_speed_in_time(&m->view, T_LOAD);
    const double share = 1 - exp(-dt / smooth);
    k[MEAN_SPEED] += share * (speed - k[MEAN_SPEED]);
    k[MEAN_AMPS] += share * (bp_rotor_amps(&m->view, T_MOTOR, speed) - k[MEAN_AMPS]);
    const bool in = m->view.position == IN;
    if (in && k[WAS_IN] == 0 && k[CLICKS]++ > 0)
        bp_moment_tell(m, TELL_AGAIN, NAN);
    k[WAS_IN] = in;
    const double volts = bp_view_pin_volts(&m->view, BP_STARTER_PIN_30) -
                         bp_view_pin_volts(&m->view, BP_STARTER_PIN_31);
    if (in && (k[LOWEST] == 0 || volts < k[LOWEST])) {
        k[LOWEST] = volts;
        k[LOWEST_AT] = m->time;
    } else if (in && k[SINCE] == 0 && volts > k[LOWEST] + 0.3) {
        k[SINCE] = 1;
        bp_moment_tell_of(m, TELL_LOWEST, k[LOWEST], k[LOWEST_AT]);
    }
    if (in)
        bp_moment_fine(m, 2e-3);
    return false;
}

static void behave_in_time(const bp_moment *m, bp_behaviour *out) {
    const double *k = m->memory;
    if (k[CLICKS] > 2) {
        out->says = "chatter";
        out->value = k[CLICKS];
        snprintf(out->words, sizeof out->words, "clatters: it pulled in %.0f times", k[CLICKS]);
        return;
    }
    say_speed(&m->view, k[MEAN_SPEED], k[MEAN_AMPS], out);
}

static const char *const positions[] = {"out", "in"};
static const char *const says[] = {"normal", "weak",       "off",     "fast", "stalled",
                                   "clicks", "spins-free", "chatter", NULL};

static const bp_wave_model wave = {.elements = elements_in_time,
                                   .values = values_in_time,
                                   .n_memory = N_MEMORY,
                                   .instant = instant,
                                   .tells = tells,
                                   .behave = behave_in_time,
                                   .says = says};

const bp_model bp_model_starter = {
    .elements = elements,
    .values = values,
    .n_positions = 2,
    .positions = positions,
    .next = next,
    .behave = behave,
    .says = says,
    .senses = BP_HEARD,
    .wave = &wave,
};
