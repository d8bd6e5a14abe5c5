/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Battery: open-circuit voltage behind an internal resistance; across the clamps of its posts what
 * a running alternator or a turning starter adds in the states that say so. Where the circuit has
 * an alternator of its own, the plates hold against what it pushes in.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/battery.h"
#include "sim/contact.h"
#include "sim/curve.h"
#include "sim/model.h"
#include "sim/wave.h"

enum {
    EMF,
    INSIDE,
    ALTERNATOR,
    ALTERNATOR_INSIDE,
    STARTER,
    HOLDS,
    SELF_DISCHARGE = HOLDS + 3,
    DOUBLE_LAYER
};

enum { N_CELLS = 6 };

/* A running alternator at the clamps: common practice. */
#define CHARGING_VOLTS 14.2
/* 95 % of sound charging systems hold within so many volts of it, warm or cold, loaded or not:
 * common practice takes 13.8 to 14.6 V as good. */
#define CHARGING_STRAYS 0.4
#define CHARGING_OHM 10e-3
/* A starter at a standstill takes about three times its cranking current at the same volts: from
 * memory. */
#define STALL_RATIO 3.0
/* How much the cranking current of sound engines differs, cold or warm: from memory. */
#define CRANKING_STRAYS 0.25
#define CRANKING_VOLTS 10.0

/* Rested open-circuit volts by charge: US Army TM 5-3805-262-20, p. 5-142. */
static const double charges[] = {0, 0.25, 0.5, 0.75, 1};
static const double rested[] = {11.7, 12.0, 12.2, 12.4, 12.6};
/* Internal resistance by charge, relative to full: dilute acid and sulphated plates; from memory.
 */
static const double stiffness[] = {5, 2, 1.35, 1.1, 1};
enum { N_CHARGES = sizeof charges / sizeof *charges };

/* 0.22 mV a cell and kelvin around half to full charge: Bode, Lead-Acid Batteries, from memory. */
#define VOLTS_PER_KELVIN (N_CELLS * 0.22e-3)
/* The acid, about half of the resistance, changes by 1.6 % a kelvin: from memory. */
#define OHM_PER_KELVIN 0.008

static double open_circuit(double charge, double celsius) {
    return bp_curve(charges, rested, N_CHARGES, charge) + VOLTS_PER_KELVIN * (celsius - 20);
}

static double warmth(double celsius) { return exp(-OHM_PER_KELVIN * (celsius - 20)); }

/* Full, at 20 degC. EN 50342-1 defines the cold-cranking current as that which leaves 7.5 V after
 * 10 s at -18 degC. */
static double resistance_from_cca(double cca) {
    return (open_circuit(1, -18) - 7.5) / cca / warmth(-18);
}

static double charge_of(const bp_view *view) {
    const bp_fault *left = bp_view_fault(view, BP_BATTERY_CHARGE, BP_NONE);
    return left ? left->severity : view->param[BP_BATTERY_CHARGED];
}

static double emf_of(const bp_view *view) {
    double celsius = view->around->ambient;
    double volts = open_circuit(charge_of(view), celsius);
    if (!isnan(view->around->rest_volts)) /* as stated, less what a fault takes away */
        volts += view->around->rest_volts - open_circuit(view->param[BP_BATTERY_CHARGED], celsius);
    if (bp_view_fault(view, BP_BATTERY_SHORTED_CELL, BP_NONE))
        volts *= (N_CELLS - 1.0) / N_CELLS;
    return volts;
}

static double inside_of(const bp_view *view) {
    if (bp_view_fault(view, BP_BATTERY_OPEN, BP_NONE))
        return BP_OPEN_OHM;
    const bp_fault *weak = bp_view_fault(view, BP_BATTERY_WEAK_CELL, BP_NONE);
    const bp_fault *old = bp_view_fault(view, BP_BATTERY_RESISTANCE, BP_NONE);
    double ohm = view->param[BP_BATTERY_OHM];
    if (isnan(ohm))
        ohm = resistance_from_cca(view->param[BP_BATTERY_CCA]);
    ohm *= warmth(view->around->ambient) * bp_curve(charges, stiffness, N_CHARGES, charge_of(view));
    double cell = ohm / N_CELLS;
    if (bp_view_fault(view, BP_BATTERY_SHORTED_CELL, BP_NONE))
        ohm -= cell;
    if (weak) /* less plate at work in that cell, and so much more resistance */
        ohm += cell / weak->severity - cell;
    return ohm + (old ? old->severity : 0);
}

static double charging_volts(const bp_view *view) {
    return CHARGING_VOLTS + CHARGING_STRAYS * view->around->supply_strays;
}

/* While it is being charged a battery holds against the alternator: 1 % of its capacity flows in
 * when it is full and a quarter of it when it is empty (common practice), not the hundreds of
 * amperes that its resistance alone would let in. */
static double taken_amps(const bp_view *view) {
    double charge = fmin(fmax(charge_of(view), 0), 1);
    return view->param[BP_BATTERY_CAPACITY] * (0.01 + 0.24 * (1 - charge));
}

static double hold_off(const bp_view *view, double emf) {
    return fmax(charging_volts(view) - emf, 0) / taken_amps(view);
}

/* The starter takes the current that it is told to, since an engine that turns asks for the same
 * torque at any speed. From a battery that cannot give it, it stands still, and is no more than a
 * resistance. As a resistance it takes less through a bad clamp, and nothing without a battery. */
static double starter_ohm(double told, double emf, double inside) {
    return fmax(emf / told - inside - 2 * BP_BOLTED_OHM, CRANKING_VOLTS / (STALL_RATIO * told));
}

/* What plates that are being charged hold against it, #0 V over their rest: a current that grows
 * tenfold for each 1.4 V (Tafel slopes of both gases in six cells, 0.12 V each: handbooks, from
 * memory); the other way next to nothing. $0 A at $1 V, $2 what makes it none at rest. Where the
 * current is some twenty times $0 it goes on as a straight line, which the solver needs. */
#define TAFEL "((#0-$1)/0.61)"
static const bp_law holds = {.id = "plates",
                             .n_controls = 1,
                             .n_params = 3,
                             .spice = "$0*(exp(min(" TAFEL ",3))*(1+uramp(" TAFEL
                                      "-3))-$2)+1.5e3*(#0-sqrt(#0*#0+1e-8)+1e-4)"};
static const double tafel_volts = 0.61;

/* Share of its capacity that a battery loses in an hour by itself: 3 % a month, common practice. It
 * also is a current that the law above can be solved to, where else there would be none at all. */
static const double lost_an_hour = 0.03 / 720;

/* Charge on the plates' surface: of the order of a farad for each ampere-hour, from memory. Ripple
 * passes it, so that a battery smooths by its resistance alone. */
static const double farad_per_ampere_hour = 1;

static bool has_alternator(const bp_circuit *circuit) {
    for (size_t i = 0; i < circuit->n_parts; i++)
        if (circuit->parts[i].kind == &bp_kind_alternator)
            return true;
    return false;
}

typedef struct cells_nodes {
    size_t emf, surface; /* the same where nothing holds against an alternator */
} cells_nodes;

static cells_nodes build(bp_builder *b, const bp_part *part) {
    size_t plus = bp_build_own(b, part, BP_BATTERY_PIN_PLUS);
    size_t minus = bp_build_own(b, part, BP_BATTERY_PIN_MINUS);
    size_t clamp = bp_build_harness(b, part, BP_BATTERY_PIN_PLUS);
    size_t ground_clamp = bp_build_harness(b, part, BP_BATTERY_PIN_MINUS);
    size_t cells = bp_build_node(b), alternator = bp_build_node(b);
    const bool charged = has_alternator(bp_builder_circuit(b));
    const size_t emf = charged ? bp_build_node(b) : cells;
    bp_build_voltage(b, emf, minus);
    bp_build_resistor(b, cells, plus);
    bp_build_voltage(b, alternator, ground_clamp);
    bp_build_resistor(b, alternator, clamp);
    bp_build_resistor(b, clamp, ground_clamp);
    const size_t across[1][2] = {{cells, emf}};
    if (charged) {
        bp_build_law(b, &holds, cells, emf, across);
        bp_build_resistor(b, cells, minus);
    }
    return (cells_nodes){emf, cells};
}

static void elements(bp_builder *b, const bp_part *part) { build(b, part); }

static void values(const bp_view *view, double *value) {
    const bp_surroundings *around = view->around;
    bool charging = around->supply == BP_SUPPLY_CHARGING;
    double emf = emf_of(view), inside = inside_of(view);
    value[EMF] = emf;
    value[INSIDE] = charging ? fmax(inside, hold_off(view, emf)) : inside;
    value[ALTERNATOR] = charging_volts(view);
    value[ALTERNATOR_INSIDE] = charging ? CHARGING_OHM : BP_OPEN_OHM;
    value[STARTER] = around->supply == BP_SUPPLY_CRANKING
                         ? starter_ohm(around->supply_value *
                                           fmax(1 + CRANKING_STRAYS * around->supply_strays, 0.1),
                                       emf, inside)
                         : BP_OPEN_OHM;
    if (!has_alternator(view->circuit))
        return;
    const double over = fmax(CHARGING_VOLTS - emf, 0.1);
    value[HOLDS] = taken_amps(view);
    value[HOLDS + 1] = over;
    value[HOLDS + 2] = exp(-over / tafel_volts);
    value[SELF_DISCHARGE] = emf / (view->param[BP_BATTERY_CAPACITY] * lost_an_hour);
}

/* The double layer lies across what holds, and the source behind it stands still. So to the solver
 * it may as well reach over both: the charge of a battery at rest, which would be none on so many
 * farads, is then one beside which rounding does not count. */
static void elements_in_time(bp_builder *b, const bp_part *part) {
    const cells_nodes n = build(b, part);
    if (n.emf != n.surface)
        bp_build_capacitor(b, n.surface, bp_build_own(b, part, BP_BATTERY_PIN_MINUS));
}

static void values_in_time(const bp_view *view, double *value) {
    values(view, value);
    if (has_alternator(view->circuit))
        value[DOUBLE_LAYER] = farad_per_ampere_hour * view->param[BP_BATTERY_CAPACITY];
}

static const char *const says[] = {"normal", "weak", "off", NULL};

static double clamp_volts(const bp_view *view, size_t pin) {
    return view->volts[bp_deck_node_of_face(view->deck, view->part->pins[pin].harness)];
}

/* What the starter makes of it: below 9.6 V (load test, from memory) it turns slowly, below half
 * of 12 V hardly at all (common practice). */
static void behave(const bp_view *view, bp_behaviour *out) {
    if (view->around->supply != BP_SUPPLY_CRANKING)
        return;
    double volts = clamp_volts(view, BP_BATTERY_PIN_PLUS) - clamp_volts(view, BP_BATTERY_PIN_MINUS);
    int grade = volts >= 9.6 ? 0 : volts >= 6.0 ? 1 : 2;
    static const char *const turns[] = {"turns the starter at full speed",
                                        "turns the starter slowly", "does not turn the starter"};
    out->says = says[grade];
    out->value = volts;
    out->unit = BP_UNIT_VOLT;
    snprintf(out->words, sizeof out->words, "%s: %.1f V at its clamps", turns[grade], volts);
}

static const bp_wave_model wave = {.elements = elements_in_time, .values = values_in_time};

const bp_model bp_model_battery = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
    .wave = &wave,
};
