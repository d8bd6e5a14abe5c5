/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Alternator: field, regulator and exciter diodes, and the machine behind them (sim/generator.h).
 *
 * In steady state the three phases are one bus: what is highest of them. In time they are three,
 * with a bridge of real diodes. The field's current is the voltage of a node of its own.
 *
 * An alternator can stand with field or without at the same speed, by what was before; so that is
 * a position, decided outside the solver.
 */
#include "circuits/kinds/alternator.h"

#include <math.h>
#include <stdio.h>

#include "circuits/kinds/diode.h"
#include "sim/generator.h"
#include "sim/module.h"
#include "sim/ripple.h"
#include "sim/wave.h"
#include "sim/winding.h"

/* As the regimes of sim/generator.h, and: tried to excite itself in vain at this speed. */
enum { IN_VAIN = BP_FIELD_OFF + 1, N_POSITIONS };

static const double pi = 3.14159265358979323846;

/* ISO 8854: what an alternator is rated at, V and rev/min of its own; from memory. Its field is
 * then as warm as it gets under the bonnet. */
static const double rated_volts = 13.5, rated_speed = 6000, rated_celsius = 90;

/* The regulator's transistor: what it drops, V. Data-sheet typical of a Darlington, from memory. */
#define TRANSISTOR_DROP 0.9

/* A diode at the milliamperes of the start, V. */
static const double first_drop = 0.55;

/* How long it takes to excite itself: a few time constants of the field; as a move in steady
 * state. Which regime holds is part of one solution and no event, so nothing may come between. */
static const double excites = 0.3, regulates = 1e-6;

/* What its regulator listens with, ohm: data-sheet typical, from memory. */
static const double sense_ohm = 20e3;

static const double unit_ohm = 1;

/* The regulator smooths what comes in on its two wires. */
static const bp_law smoothed = {.id = "smoothed", .n_controls = 1, .spice = "#0"};

/* What it goes by: the higher one of the sense wire #0 and D+ #1 less $0 V. */
static const bp_law seen = {.id = "regulator-sees",
                            .n_controls = 2,
                            .n_params = 1,
                            .spice = "0.5*(#0+#1-$0+sqrt((#0-#1+$0)*(#0-#1+$0)+1e-4))"};

/* What the field takes on the average: without a field of its own making, $0 is 1, the full current
 * #1 at D+ #0, as long as that is above the housing; else of the current #0 the duty, which is its
 * share of the full one #1. The first is taken from D+, the other before the exciter diodes: taken
 * behind them it would, by what they drop, move what the regulator sees and so itself. What the
 * regulator may ask for beyond full duty, until that is seen, is not drawn. */
#define TAKEN_UNFED "$0*#1*0.5*(1+tanh(8*(#0-0.4)))"
#define TAKEN_FED "$0*min(#0,#1)*min(#0,#1)/(#1+1e-6)"
#define AT_START "*(1-min(1,1e9*time))"
static const bp_law taken_unfed = {
    .id = "field-unfed", .n_controls = 2, .n_params = 1, .spice = TAKEN_UNFED};
static const bp_law taken_fed = {
    .id = "field-fed", .n_controls = 2, .n_params = 1, .spice = TAKEN_FED};
static const bp_law taken_unfed_at_start = {
    .id = "field-unfed-at-start", .n_controls = 2, .n_params = 1, .spice = TAKEN_UNFED AT_START};
static const bp_law taken_fed_at_start = {
    .id = "field-fed-at-start", .n_controls = 2, .n_params = 1, .spice = TAKEN_FED AT_START};

/* What the exciter diodes drop with a field on them, V: data-sheet typical. */
static const double exciter_drop = 0.85;
static const double exciter_siemens = 5; /* stiff, beside a lamp */

/* Beyond $0 V its diodes break down, next to a short. */
static const bp_law avalanche = {
    .id = "avalanche", .n_controls = 1, .n_params = 1, .spice = "10*uramp(#0-$0)"};

/* Diodes of this kind clamp what a machine does whose battery is taken away, V: 24 to 32,
 * data-sheet typical, from memory. */
static const double breakdown = 28;

/* What reaches D+ #1 of the bus #0 of a machine with field: a share $1 of it, less $2 V, through $0
 * siemens. A fault that leaves D+ unfed for a part of each turn takes that part away on the
 * average. It goes both ways, since the field takes at D+ what comes in there from elsewhere. */
static const bp_law reaches = {
    .id = "exciter", .n_controls = 2, .n_params = 3, .spice = "$0*($1*#0-$2-#1)"};

typedef struct nodes {
    size_t out, sense, smooth[2];
    bp_generator_nodes machine;
} nodes;

/* Slots in the order in which they are built. */
enum { SENSE, SENSE_UNIT, EXCITER_UNIT, SEEN_UNIT, SEEN, COMMON };

/* What the regulator sees. */
static nodes sense_elements(bp_builder *b, const bp_part *part) {
    nodes n = {.out = bp_build_own(b, part, BP_ALTERNATOR_PIN_B),
               .sense = bp_build_own(b, part, BP_ALTERNATOR_PIN_S),
               .machine = {.housing = bp_build_own(b, part, BP_ALTERNATOR_PIN_31),
                           .exciter = bp_build_own(b, part, BP_ALTERNATOR_PIN_D),
                           .bus = bp_build_node(b)}};
    const size_t sense[1][2] = {{n.sense, n.machine.housing}};
    const size_t own[1][2] = {{n.machine.exciter, n.machine.housing}};
    bp_build_resistor(b, n.sense, n.machine.housing);
    n.smooth[0] = bp_driven_node(b, &smoothed, sense);
    n.smooth[1] = bp_driven_node(b, &smoothed, own);
    const size_t both[2][2] = {{n.smooth[0], 0}, {n.smooth[1], 0}};
    n.machine.seen = bp_driven_node(b, &seen, both);
    return n;
}

static void field_takes(bp_builder *b, const bp_generator_nodes *m, const bp_law *unfed,
                        const bp_law *fed) {
    const size_t at_exciter[2][2] = {{m->exciter, m->housing}, {m->full, 0}};
    const size_t at_bus[2][2] = {{m->field, 0}, {m->full, 0}};
    bp_build_law(b, unfed, m->exciter, m->housing, at_exciter);
    bp_build_law(b, fed, m->bus, m->housing, at_bus);
}

enum {
    MEAN = COMMON,
    TAKEN = MEAN + BP_GENERATOR_MEAN_VALUES,
    OUT_SERIES = TAKEN + 2,
    OUT_SHORT,
    HOUSING_SHORT,
    EXCITER_SERIES,
    REACHES,
    AVALANCHE = REACHES + 3
};

static void elements(bp_builder *b, const bp_part *part) {
    nodes n = sense_elements(b, part);
    bp_generator_nodes *m = &n.machine;
    const size_t behind = bp_build_node(b), exciter = bp_build_node(b);
    bp_generator_mean(b, m, false);
    field_takes(b, m, &taken_unfed, &taken_fed);
    bp_build_resistor(b, behind, n.out);
    bp_build_resistor(b, m->bus, n.out);
    bp_build_resistor(b, m->bus, m->housing);
    bp_build_resistor(b, exciter, m->exciter);
    const size_t ends[2][2] = {{m->bus, m->housing}, {m->exciter, m->housing}};
    bp_build_law(b, &reaches, m->bus, m->exciter, ends);
    const size_t across[1][2] = {{m->bus, m->housing}};
    bp_build_law(b, &avalanche, m->bus, m->housing, across);
    bp_build_diode(b, m->bus, behind, 3 * BP_GENERATOR_SATURATION, BP_GENERATOR_EMISSION);
    bp_build_diode(b, m->housing, m->bus, 3 * BP_GENERATOR_SATURATION, BP_GENERATOR_EMISSION);
    bp_build_diode(b, m->bus, exciter, 3 * BP_DIODE_SATURATION, BP_DIODE_EMISSION);
}

static double turns_left(const bp_view *view) {
    return 1 - bp_view_how_bad(view, BP_ALTERNATOR_FIELD_SHORTED, 0);
}

/* Field resistance at the engine's temperature. */
static double field_ohm(const bp_view *view) {
    if (bp_view_has(view, BP_ALTERNATOR_FIELD_OPEN))
        return BP_OPEN_OHM;
    return bp_copper_at(view->param[BP_ALTERNATOR_FIELD] * turns_left(view), view->around->engine) +
           bp_view_how_bad(view, BP_ALTERNATOR_WORN_BRUSHES, 0);
}

static double rated_field(const double *param) {
    return (rated_volts - TRANSISTOR_DROP) /
           bp_copper_at(param[BP_ALTERNATOR_FIELD], rated_celsius);
}

/* Electrical rad/s at a speed of its own. */
static double electrical(const double *param, double rpm) {
    return rpm / 60 * 2 * pi * param[BP_ALTERNATOR_POLE_PAIRS];
}

static bp_generator generator_of(const bp_view *view) {
    const double *param = view->param;
    bp_generator g =
        bp_generator_of(param[BP_ALTERNATOR_CURRENT], rated_volts, electrical(param, rated_speed),
                        electrical(param, param[BP_ALTERNATOR_CUTS_IN]), rated_field(param),
                        param[BP_ALTERNATOR_STATOR]);
    g.emf *= turns_left(view);
    g.ohm = bp_copper_at(g.ohm, view->around->engine);
    return g;
}

/* Revolutions a minute of its own. */
static double own_speed(const bp_view *view) {
    const double engine = isnan(view->around->speed) ? 0 : view->around->speed;
    if (bp_view_has(view, BP_ALTERNATOR_BELT_OFF))
        return 0;
    return engine * view->param[BP_ALTERNATOR_RATIO] *
           bp_view_how_bad(view, BP_ALTERNATOR_BELT_SLIPS, 1);
}

/* What a run over time gives on the average of a machine with such a fault, as a rectified machine
 * of other shares; good to a sixth of the current or so (tests/sim/test_alternator.c). The open
 * phase's follows by reasoning. `exciter` is the share of the output's voltage that reaches D+. */
typedef struct hurt {
    int mode;
    bp_bridge left;
    double exciter;
} hurt;

static const hurt hurts[] = {
    {BP_ALTERNATOR_POSITIVE_OPEN, {0.77, 1.23}, 1.14},
    {BP_ALTERNATOR_NEGATIVE_OPEN, {0.77, 1.23}, 0.98},
    {BP_ALTERNATOR_POSITIVE_SHORTED, {0.80, 0.38}, 1.00},
    {BP_ALTERNATOR_NEGATIVE_SHORTED, {1.00, 0.34}, 0.64},
    {BP_ALTERNATOR_EXCITER_OPEN, {1.00, 0.955}, 0.82},
    {BP_ALTERNATOR_PHASE_OPEN, {0.866, 0.637}, 0.94},
};

static hurt hurt_of(const bp_view *view) {
    for (size_t i = 0; i < sizeof hurts / sizeof *hurts; i++)
        if (bp_view_has(view, hurts[i].mode))
            return hurts[i];
    return (hurt){.left = bp_bridge_whole, .exciter = 1};
}

static double wanted_volts(const bp_view *view) {
    const double *param = view->param;
    if (bp_view_has(view, BP_ALTERNATOR_FULL_FIELD))
        return 100;
    if (bp_view_has(view, BP_ALTERNATOR_NO_FIELD))
        return -100;
    return bp_view_how_bad(view, BP_ALTERNATOR_SET_WRONG, param[BP_ALTERNATOR_SET]) -
           param[BP_ALTERNATOR_SLOPE] * (view->around->engine - 25);
}

static bool is_fed(const bp_view *view) {
    return view->position != BP_UNFED && view->position != IN_VAIN;
}

static bp_turning turning_of(const bp_view *view) {
    const double *param = view->param;
    return (bp_turning){.omega = electrical(param, own_speed(view)),
                        .residual = param[BP_ALTERNATOR_RESIDUAL] * rated_field(param),
                        .left = hurt_of(view).left,
                        .regime = is_fed(view) ? (bp_regime)view->position : BP_UNFED,
                        .field_siemens = 1 / field_ohm(view),
                        .transistor_open = bp_view_has(view, BP_ALTERNATOR_NO_FIELD),
                        .volts = wanted_volts(view),
                        .band = param[BP_ALTERNATOR_BAND],
                        .amps = param[BP_ALTERNATOR_CURRENT]};
}

static void sense_values(const bp_view *view, double *value) {
    const double *param = view->param;
    value[SENSE] = sense_ohm;
    value[SENSE_UNIT] = value[EXCITER_UNIT] = value[SEEN_UNIT] = unit_ohm;
    value[SEEN] =
        bp_module_is_wired(view->part, BP_ALTERNATOR_PIN_S) ? param[BP_ALTERNATOR_BACKUP] : 0;
}

static void values(const bp_view *view, double *value) {
    const bp_generator g = generator_of(view);
    const bp_turning turning = turning_of(view);
    const bool fed = is_fed(view);
    sense_values(view, value);
    bp_generator_mean_values(&value[MEAN], &g, &turning);
    value[OUT_SERIES] = BP_GENERATOR_SERIES_OHM / 3;
    value[OUT_SHORT] =
        !fed && bp_view_has(view, BP_ALTERNATOR_POSITIVE_SHORTED) ? g.ohm : BP_OPEN_OHM;
    value[HOUSING_SHORT] =
        !fed && bp_view_has(view, BP_ALTERNATOR_NEGATIVE_SHORTED) ? g.ohm : BP_OPEN_OHM;
    value[EXCITER_SERIES] = fed ? BP_OPEN_OHM : BP_DIODE_SERIES_OHM / 3;
    value[REACHES] = fed ? exciter_siemens : 0;
    value[REACHES + 1] = hurt_of(view).exciter;
    value[REACHES + 2] = exciter_drop;
    value[TAKEN] = !fed && !turning.transistor_open;
    value[TAKEN + 1] = fed;
    value[AVALANCHE] = breakdown;
}

static double exciter_volts(const bp_view *view) {
    return bp_view_pin_volts(view, BP_ALTERNATOR_PIN_D) -
           bp_view_pin_volts(view, BP_ALTERNATOR_PIN_31);
}

/* With the field that lamp and remanence give, and D+ not pulled down, do the lines' peaks open the
 * exciter diodes; and would it then hold itself? */
static bool would_start(const bp_view *view) {
    const bp_generator g = generator_of(view);
    const bp_turning t = turning_of(view);
    const double lines =
        sqrt(3) * bp_generator_emf(&g, t.omega, bp_generator_field(view, MEAN) + t.residual);
    const bool shorted = exciter_volts(view) < fmin(bp_generator_remanence(&g, &t), 1) / 4;
    return !shorted && lines > fmax(exciter_volts(view), TRANSISTOR_DROP) + 2 * first_drop;
}

static bp_move next(const bp_view *view) {
    bp_move move = {.position = view->position, .seconds = excites, .beyond = 0.1};
    if (view->position == BP_UNFED) {
        if (would_start(view))
            move.position = BP_REGULATED;
    } else if (view->position == IN_VAIN) {
        if (!would_start(view))
            move.position = BP_UNFED;
    } else if (exciter_volts(view) < BP_GENERATOR_ALIVE || own_speed(view) <= 0) {
        move.position = IN_VAIN;
    } else {
        const bp_turning turning = turning_of(view);
        move.position =
            (int)bp_generator_next(view, MEAN, &turning, bp_view_current(view, SEEN_UNIT));
        move.seconds = regulates;
    }
    move.moves = move.position != view->position;
    return move;
}

/* Amperes out of B+, through its own diodes. */
static double out_amps(const bp_view *view) {
    return bp_view_current(view, OUT_SERIES) + bp_view_current(view, OUT_SHORT);
}

/* More than this at its output harms battery and lamps, V; and so much below what its regulator
 * wants it is weak: common practice. */
static const double most_volts = 15.2, weak_by = 0.3;

static void say(const bp_view *view, double amps, double volts, double told, bp_behaviour *out) {
    const bool turns = own_speed(view) > 0;
    out->value = amps;
    out->unit = BP_UNIT_AMPERE;
    if (!turns || amps < 0.3) {
        out->says = turns ? "dead" : "off";
        snprintf(out->words, sizeof out->words,
                 turns ? "does not charge: %.1f V at its output" : "stands still", volts);
        return;
    }
    const double wanted = view->param[BP_ALTERNATOR_SET] -
                          view->param[BP_ALTERNATOR_SLOPE] * (view->around->engine - 25);
    const bool weak = told < wanted - weak_by;
    out->says = volts > most_volts ? "overcharges" : weak ? "weak" : "normal";
    snprintf(out->words, sizeof out->words,
             volts > most_volts ? "overcharges: it gives %.0f A at %.1f V"
             : weak             ? "gives all it can, %.0f A at %.1f V, and that is too little"
                                : "gives %.0f A at %.1f V",
             amps, volts);
}

static double out_volts(const bp_view *view) {
    return bp_view_pin_volts(view, BP_ALTERNATOR_PIN_B) -
           bp_view_pin_volts(view, BP_ALTERNATOR_PIN_31);
}

static void behave(const bp_view *view, bp_behaviour *out) {
    say(view, out_amps(view), out_volts(view), bp_view_current(view, SEEN_UNIT), out);
}

/* In time. */

/* What pushes the node of the field's duty: itself, so that its resistor of 1 ohm cancels out, and
 * what is missing at the regulator. Controls: 0 the duty, 1 what it goes by. Parameters: $0 V
 * wanted at half duty, $1 band. Beyond 1 and below 0 a line of 5000 V takes over. */
#define BEYOND "2500*((#0-1)+sqrt((#0-1)*(#0-1)+1e-10))"
#define BELOW "2500*(sqrt(#0*#0+1e-10)-#0)"
static const bp_law duty = {.id = "field-duty",
                            .n_controls = 2,
                            .n_params = 2,
                            .spice = "#0+$0-#1-$1*(#0-0.5)-" BEYOND "+" BELOW};

/* Field current that duty #0 and D+ #1 make in the end: $0 siemens. Until the run has started the
 * average decides. */
static const bp_law made = {.id = "field-made",
                            .n_controls = 2,
                            .n_params = 1,
                            .spice =
                                "$0*#0*0.5*(#1-0.9+sqrt((#1-0.9)*(#1-0.9)+1e-4))*min(1,1e9*time)"};

/* What of the field current #1 comes through D+ #2: the duty #0 of it, as long as D+ is above the
 * housing; else it goes round through the free-wheeling diode. */
static const bp_law drawn_in_time = {.id = "field-drawn-in-time",
                                     .n_controls = 3,
                                     .spice = "#0*#1*0.5*(1+tanh(8*(#2-0.4)))*min(1,1e9*time)"};
enum {
    T_MEAN = COMMON,
    T_TAKEN = T_MEAN + BP_GENERATOR_MEAN_VALUES,
    T_OUT_SERIES = T_TAKEN + 2,
    T_DUTY_UNIT,
    T_DUTY,
    T_MADE = T_DUTY + 2,
    T_PHASE,
    DIODE = BP_GENERATOR_PHASE_VALUES,
    PER_PHASE = DIODE + 6,
    T_FIELD_LAG = T_PHASE + 3 * PER_PHASE,
    T_SENSE_LAG,
    T_EXCITER_LAG,
    T_SUPPRESSOR,
    T_EXCITER_CAP
};
enum { POSITIVE, POSITIVE_SHORT, NEGATIVE, NEGATIVE_SHORT, EXCITER, BREAKDOWN };

static void phase_elements(bp_builder *b, const nodes *n, size_t star, int which) {
    const bp_generator_nodes *m = &n->machine;
    const size_t terminal = bp_build_node(b), high = bp_build_node(b), low = bp_build_node(b),
                 exciter = bp_build_node(b);
    bp_generator_phase(b, star, terminal, m->field, which);
    bp_build_resistor(b, terminal, high);
    bp_build_resistor(b, terminal, n->out);
    bp_build_resistor(b, low, terminal);
    bp_build_resistor(b, m->housing, terminal);
    bp_build_resistor(b, terminal, exciter);
    const size_t across[1][2] = {{terminal, m->housing}};
    bp_build_law(b, &avalanche, terminal, m->housing, across);
    bp_build_diode(b, high, n->out, BP_GENERATOR_SATURATION, BP_GENERATOR_EMISSION);
    bp_build_diode(b, m->housing, low, BP_GENERATOR_SATURATION, BP_GENERATOR_EMISSION);
    bp_build_diode(b, exciter, m->exciter, BP_DIODE_SATURATION, BP_DIODE_EMISSION);
}

/* The average, for the operating point with which the run starts. */
static void start_elements(bp_builder *b, nodes *n) {
    bp_generator_nodes *m = &n->machine;
    const size_t behind = bp_build_node(b);
    bp_generator_mean(b, m, true);
    field_takes(b, m, &taken_unfed_at_start, &taken_fed_at_start);
    bp_build_resistor(b, behind, n->out);
    bp_build_diode(b, m->bus, behind, 3 * BP_GENERATOR_SATURATION, BP_GENERATOR_EMISSION);
    bp_build_diode(b, m->bus, m->exciter, 3 * BP_DIODE_SATURATION, BP_DIODE_EMISSION);
}

static void elements_in_time(bp_builder *b, const bp_part *part) {
    nodes n = sense_elements(b, part);
    const bp_generator_nodes *m = &n.machine;
    const size_t star = bp_build_node(b);
    start_elements(b, &n);
    const size_t asks = bp_unit_node(b);
    const size_t decides[2][2] = {{asks, 0}, {m->seen, 0}};
    const size_t makes[2][2] = {{asks, 0}, {m->exciter, m->housing}};
    const size_t takes[3][2] = {{asks, 0}, {m->field, 0}, {m->exciter, m->housing}};
    bp_build_law(b, &duty, 0, asks, decides);
    bp_build_law(b, &made, 0, m->field, makes);
    bp_build_law(b, &drawn_in_time, m->exciter, m->housing, takes);
    for (int i = 0; i < 3; i++)
        phase_elements(b, &n, star, i);
    bp_build_capacitor(b, m->field, 0);
    bp_build_capacitor(b, n.smooth[0], 0);
    bp_build_capacitor(b, n.smooth[1], 0);
    bp_build_capacitor(b, n.out, m->housing);
    bp_build_capacitor(b, m->exciter, m->housing);
}

/* Smooths what the regulator sees, s: from memory. */
static const double sense_lag = 5e-3;
/* The suppression capacitor at the output, F: common practice. */
static const double suppressor = 2.2e-6;

static void phase_values(const bp_view *view, double *value, const bp_generator *g,
                         const bp_turning *turning, bool faulty) {
    bp_generator_phase_values(value, g, turning,
                              faulty && bp_view_has(view, BP_ALTERNATOR_PHASE_OPEN));
    double *d = &value[DIODE];
    const double series = BP_GENERATOR_SERIES_OHM;
    d[POSITIVE] = faulty && bp_view_has(view, BP_ALTERNATOR_POSITIVE_OPEN) ? BP_OPEN_OHM : series;
    d[NEGATIVE] = faulty && bp_view_has(view, BP_ALTERNATOR_NEGATIVE_OPEN) ? BP_OPEN_OHM : series;
    d[POSITIVE_SHORT] =
        faulty && bp_view_has(view, BP_ALTERNATOR_POSITIVE_SHORTED) ? BP_METAL_OHM : BP_OPEN_OHM;
    d[NEGATIVE_SHORT] =
        faulty && bp_view_has(view, BP_ALTERNATOR_NEGATIVE_SHORTED) ? BP_METAL_OHM : BP_OPEN_OHM;
    d[EXCITER] =
        faulty && bp_view_has(view, BP_ALTERNATOR_EXCITER_OPEN) ? BP_OPEN_OHM : BP_DIODE_SERIES_OHM;
    d[BREAKDOWN] = breakdown;
}

static void values_in_time(const bp_view *view, double *value) {
    const bp_generator g = generator_of(view);
    const bp_turning turning = turning_of(view);
    sense_values(view, value);
    bp_generator_mean_values(&value[T_MEAN], &g, &turning);
    value[T_MADE] = turning.field_siemens;
    value[T_TAKEN] = !is_fed(view) && !turning.transistor_open;
    value[T_TAKEN + 1] = is_fed(view);
    value[T_DUTY_UNIT] = unit_ohm;
    value[T_DUTY] = turning.volts;
    value[T_DUTY + 1] = turning.band;
    value[T_OUT_SERIES] = BP_GENERATOR_SERIES_OHM / 3;
    for (int i = 0; i < 3; i++)
        phase_values(view, &value[T_PHASE + i * PER_PHASE], &g, &turning, i == 0);
    value[T_FIELD_LAG] = view->param[BP_ALTERNATOR_FIELD_LAG];
    value[T_SENSE_LAG] = value[T_EXCITER_LAG] = sense_lag;
    value[T_SUPPRESSOR] = suppressor;
    value[T_EXCITER_CAP] = 1e-7;
}

/* The phases start from nothing; what is wrong with their currents then dies away with L/R, some
 * milliseconds. */
#define RUN_UP 0.04

/* Steps a period of a phase, so that the pulses are round. */
static const double steps_a_period = 180;

enum { TELL_RIPPLE, TELL_PULSES };
static const bp_wave_tell tells[] = {
    [TELL_RIPPLE] = {.id = "ripple",
                     .unit = BP_UNIT_VOLT,
                     .value_id = "ripple",
                     .value_words = "ripple at the output, peak to peak"},
    [TELL_PULSES] = {.id = "pulses",
                     .unit = BP_UNIT_HERTZ,
                     .value_id = "pulses",
                     .value_words = "pulses of the output"},
    {.id = NULL}};

/* Amperes out of B+ at an instant. */
static double amps_in_time(const bp_view *view) {
    double sum = 0;
    for (size_t i = 0; i < 3; i++) {
        const size_t diode = T_PHASE + i * PER_PHASE + DIODE;
        sum +=
            bp_view_current(view, diode + POSITIVE) + bp_view_current(view, diode + POSITIVE_SHORT);
    }
    return sum;
}

/* Below this it gives nothing whose ripple would mean anything, A. */
static const double least_amps = 0.02;

static bool instant(bp_moment *m) {
    const double omega = turning_of(&m->view).omega;
    const double volts = out_volts(&m->view);
    double *k = m->memory;
    if (!(omega > 0)) {
        k[BP_RIPPLE_MEAN_VOLTS] = volts;
        return false;
    }
    const double pair = 4 * pi / omega; /* two periods of a phase */
    bp_moment_fine(m, pair / 2 / steps_a_period);
    const bool whole = bp_ripple_watch(k, m->before, m->time, pair, amps_in_time(&m->view), volts);
    bp_moment_wake(m, bp_ripple_ends(k, pair));
    if (whole && k[BP_RIPPLE_MEAN_AMPS] > least_amps) {
        bp_moment_tell(m, TELL_RIPPLE, k[BP_RIPPLE_VOLTS]);
        bp_moment_tell(m, TELL_PULSES, k[BP_RIPPLE_PULSES]);
    }
    return false;
}

static void behave_in_time(const bp_moment *m, bp_behaviour *out) {
    say(&m->view, m->memory[BP_RIPPLE_MEAN_AMPS], m->memory[BP_RIPPLE_MEAN_VOLTS],
        bp_view_current(&m->view, SEEN_UNIT), out);
}

static const char *const positions[] = {"without field", "regulates", "full field", "field off",
                                        "does not excite itself"};
static const char *const says[] = {"normal", "weak", "off", "dead", "overcharges", NULL};

static const bp_wave_model wave = {.elements = elements_in_time,
                                   .values = values_in_time,
                                   .n_memory = BP_RIPPLE_MEMORY,
                                   .instant = instant,
                                   .hums = true,
                                   .run_up = RUN_UP,
                                   .tells = tells,
                                   .behave = behave_in_time,
                                   .says = says,
                                   .own_positions = true};

const bp_model bp_model_alternator = {
    .elements = elements,
    .values = values,
    .n_positions = N_POSITIONS,
    .positions = positions,
    .next = next,
    .behave = behave,
    .says = says,
    .wave = &wave,
};
