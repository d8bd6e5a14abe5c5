/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/generator.h"

#include <math.h>

#include "sim/wave.h"

#define TWO_BY_PI 0.6366197723675814
#define THREE_BY_PI 0.954929658551372

const bp_bridge bp_bridge_whole = {1, THREE_BY_PI};
const bp_bridge bp_bridge_single_phase = {0.8660254037844386, TWO_BY_PI};

/* Iron saturates: the flux goes with tanh(field / knee), the knee at so many rated field currents;
 * at the rated one an eighth is lost. From memory. */
#define KNEE 1.5

bp_generator bp_generator_of(double amps, double volts, double at, double cuts_in, double field,
                             double ohm) {
    const double bridge = volts + 2 * BP_GENERATOR_DROP;
    const double emf = bridge / sqrt(3) / cuts_in;
    const double phase = (amps + field) / THREE_BY_PI;
    const double in_phase = TWO_BY_PI * bridge + ohm * phase;
    const double across = emf * at * emf * at - in_phase * in_phase;
    const double knee = KNEE * field;
    return (bp_generator){.emf = emf / (knee * tanh(field / knee)),
                          .knee = knee,
                          .ohm = ohm,
                          .henry = sqrt(fmax(across, 1e-3)) / phase / at};
}

double bp_generator_emf(const bp_generator *g, double omega, double field) {
    return g->emf * omega * g->knee * tanh(field / g->knee);
}

static const double unit_ohm = 1;

/* Volts of D+ that are left for the field: not those of the regulator's transistor. The excited
 * machine's are held up at $1 V. */
#define HELD(d, floor) "(0.5*(" d "+" floor "+sqrt((" d "-" floor ")*(" d "-" floor ")+5e-2)))"
#define OVER(x) "(0.5*(" x "+sqrt(" x "*" x "+1e-4)))"

/* Field current that D+ #0 makes at full duty: $0 siemens, D+ held up at $1 V. */
#define FULL_FIELD "$0*" OVER("(" HELD("#0", "$1") "-0.9)")
static const bp_law full_field = {
    .id = "full-field", .n_controls = 1, .n_params = 2, .spice = FULL_FIELD};

/* The emf of a field current #0: $0 V when the iron is full, $1 A of remanence, $2 A of knee. */
#define FLUX "tanh((#0+$1)/$2)"
static const bp_law emf = {.id = "emf", .n_controls = 1, .n_params = 3, .spice = "$0*" FLUX};

/* The emf that a phase current #0 asks for at the voltage #1 of the bus: $0 ohm, $1 reactance. The
 * bridge's voltage is not let below some tenths of a volt. */
#define PHASE_VOLTS "(0.3183098861837907*(#1+0.95+sqrt((#1+0.95)*(#1+0.95)+0.25))+$0*#0)"
static const bp_law needed = {.id = "emf-needed",
                              .n_controls = 2,
                              .n_params = 2,
                              .spice = "sqrt(" PHASE_VOLTS "*" PHASE_VOLTS "+$1*$1*#0*#0)"};

/* What pushes the node of the phase current #0. The regulator's: $0 A for each volt that is missing
 * at #1 of $1 V, and $2 A. At full field ($3 is 1): the current itself, so that its resistor of 1
 * ohm cancels out, and the emf that is left, #2; below no current a line of 4 MV an ampere takes
 * over, since a flat line there would let Newton's method jump to and fro. */
#define BELOW "2e6*(sqrt(#0*#0+1e-14)-#0)"
static const bp_law amperes = {.id = "phase-current",
                               .n_controls = 3,
                               .n_params = 4,
                               .spice = "$0*($1-#1)+$2+$3*(#0+#2+" BELOW ")"};

/* The field current: that of the emf needed #0, as a share $0 of the full iron's, $1 A of knee and
 * $2 A of remanence; where it is not regulated ($0 and $2 are 0), that of full duty #1 times $3. */
#define FLUX_NEEDED "min($0*#0,0.97)"
#define STEADY_FIELD "(0.5*$1*ln((1+" FLUX_NEEDED ")/(1-" FLUX_NEEDED "))-$2+$3*#1)"
static const bp_law steady_field = {
    .id = "field", .n_controls = 2, .n_params = 4, .spice = STEADY_FIELD};
static const bp_law starting_field = {.id = "field-at-start",
                                      .n_controls = 2,
                                      .n_params = 4,
                                      .spice = STEADY_FIELD "*(1-min(1,1e9*time))"};

/* Direct current: $0 for each ampere #0 of a phase; and what remanence alone gives: $1 siemens up
 * to $2 V of the bus #1. */
static const bp_law rectified = {
    .id = "rectified", .n_controls = 2, .n_params = 3, .spice = "$0*#0+$1*uramp($2-#1)"};
static const bp_law rectified_at_start = {.id = "rectified-at-start",
                                          .n_controls = 2,
                                          .n_params = 3,
                                          .spice = "($0*#0+$1*uramp($2-#1))*(1-min(1,1e9*time))"};

enum {
    FULL_UNIT,
    FULL,
    EMF_UNIT = FULL + 2,
    EMF,
    NEEDED_UNIT = EMF + 3,
    NEEDED,
    AMPS_UNIT = NEEDED + 2,
    AMPERES,
    FIELD_UNIT = AMPERES + 4,
    FIELD,
    DIRECT = FIELD + 4,
    N_MEAN = DIRECT + 3
};
_Static_assert((int)N_MEAN == (int)BP_GENERATOR_MEAN_VALUES, "as told in the header");

size_t bp_unit_node(bp_builder *b) {
    const size_t node = bp_build_node(b);
    bp_build_resistor(b, node, 0);
    return node;
}

size_t bp_driven_node(bp_builder *b, const bp_law *law, const size_t (*control)[2]) {
    const size_t node = bp_unit_node(b);
    bp_build_law(b, law, 0, node, control);
    return node;
}

void bp_generator_mean(bp_builder *b, bp_generator_nodes *n, bool in_time) {
    const size_t exciter[1][2] = {{n->exciter, n->housing}};
    n->full = bp_driven_node(b, &full_field, exciter);
    const size_t with_full[1][2] = {{n->full, 0}};
    const size_t most = bp_driven_node(b, &emf, with_full);
    const size_t asked = bp_unit_node(b), amps = bp_build_node(b);
    const size_t with_amps[2][2] = {{amps, 0}, {n->bus, n->housing}};
    bp_build_law(b, &needed, 0, asked, with_amps);
    bp_build_resistor(b, amps, 0);
    const size_t decides[3][2] = {{amps, 0}, {n->seen, 0}, {most, asked}};
    bp_build_law(b, &amperes, 0, amps, decides);
    const size_t leads[2][2] = {{asked, 0}, {n->full, 0}};
    n->field = bp_driven_node(b, in_time ? &starting_field : &steady_field, leads);
    const size_t gives[2][2] = {{amps, 0}, {n->bus, n->housing}};
    bp_build_law(b, in_time ? &rectified_at_start : &rectified, n->housing, n->bus, gives);
}

/* Behind its own resistance and that of diodes that hardly conduct, S: from memory. */
static const double remanence_siemens = 0.1;

/* A machine that stands still is given so much of a spin, rad/s, that nothing divides by 0; what it
 * gives is multiplied by nothing. */
static const double least_omega = 1;

void bp_generator_mean_values(double *value, const bp_generator *g, const bp_turning *t) {
    const double iron = g->emf * fmax(t->omega, least_omega) * g->knee * t->left.emf;
    value[FULL_UNIT] = value[EMF_UNIT] = value[NEEDED_UNIT] = unit_ohm;
    value[AMPS_UNIT] = value[FIELD_UNIT] = unit_ohm;
    value[FULL] = t->field_siemens;
    value[FULL + 1] = t->regime == BP_UNFED ? 0 : BP_GENERATOR_ALIVE;
    value[EMF] = iron;
    value[EMF + 1] = t->residual;
    value[EMF + 2] = g->knee;
    value[NEEDED] = g->ohm;
    value[NEEDED + 1] = g->henry * fmax(t->omega, least_omega);
    const bool regulated = t->regime == BP_REGULATED;
    value[AMPERES] = regulated ? t->amps / t->band : 0;
    value[AMPERES + 1] = t->volts;
    value[AMPERES + 2] = regulated ? t->amps / 2 : 0;
    value[AMPERES + 3] = t->regime == BP_FULL_FIELD ? 1 : 0;
    value[FIELD] = regulated ? 1 / iron : 0;
    value[FIELD + 1] = g->knee;
    value[FIELD + 2] = regulated ? t->residual : 0;
    value[FIELD + 3] = regulated || t->regime == BP_FIELD_OFF || t->transistor_open ? 0 : 1;
    const bool unfed = t->regime == BP_UNFED;
    value[DIRECT] = unfed || !(t->omega > 0) ? 0 : t->left.direct;
    value[DIRECT + 1] = unfed ? remanence_siemens : 0;
    value[DIRECT + 2] = bp_generator_remanence(g, t);
}

double bp_generator_remanence(const bp_generator *g, const bp_turning *t) {
    static const double drop = 0.55; /* at milliamperes */
    return fmax(sqrt(3) * bp_generator_emf(g, t->omega, t->residual) - drop, 0);
}

double bp_generator_field(const bp_view *view, size_t slot) {
    return bp_view_current(view, slot + FIELD_UNIT);
}

bp_regime bp_generator_next(const bp_view *view, size_t slot, const bp_turning *t, double seen) {
    static const double slack = 1e-6; /* of rounding */
    const double amps = bp_view_current(view, slot + AMPS_UNIT);
    const double asked = t->amps * (0.5 + (t->volts - seen) / t->band);
    if (asked < -slack)
        return BP_FIELD_OFF;
    if (t->regime == BP_FIELD_OFF)
        return asked > slack ? BP_REGULATED : BP_FIELD_OFF;
    if (t->regime == BP_FULL_FIELD)
        return asked < amps * (1 - slack) - slack ? BP_REGULATED : BP_FULL_FIELD;
    const double full = bp_view_current(view, slot + EMF_UNIT);
    const double asks_for = bp_view_current(view, slot + NEEDED_UNIT);
    return asks_for > full * (1 + slack) ? BP_FULL_FIELD : BP_REGULATED;
}

/* A phase's emf drawn as the current through its own resistance: $0 A when the iron is full, $1 A
 * of remanence, $2 A of knee, $3 rad/s. Nothing at the start, so that the solver finds rest there.
 */
#define PHASE(angle) "$0*" FLUX "*sin($3*time" angle ")*min(1,1e9*time)"
static const bp_law phases[3] = {
    {.id = "phase-1", .n_controls = 1, .n_params = 4, .spice = PHASE("")},
    {.id = "phase-2", .n_controls = 1, .n_params = 4, .spice = PHASE("-2.0943951023931953")},
    {.id = "phase-3", .n_controls = 1, .n_params = 4, .spice = PHASE("+2.0943951023931953")}};

/* Iron lets no field change faster than this: eddy currents as a resistance across the inductance,
 * ohm for each henry. From memory; it is what ends the ringing after a diode has let go. */
static const double loss_rate = 1e5;

void bp_generator_phase(bp_builder *b, size_t star, size_t terminal, size_t field, int which) {
    const size_t inner = bp_build_node(b);
    const size_t control[1][2] = {{field, 0}};
    bp_build_resistor(b, star, inner);
    bp_build_law(b, &phases[which], star, inner, control);
    bp_build_inductor(b, inner, terminal);
    bp_build_resistor(b, inner, terminal);
}

enum { PHASE_OHM, PHASE_EMF, COIL = PHASE_EMF + 4, LOSS, N_PHASE };
_Static_assert((int)N_PHASE == (int)BP_GENERATOR_PHASE_VALUES, "as told in the header");

void bp_generator_phase_values(double *value, const bp_generator *g, const bp_turning *t,
                               bool open) {
    value[PHASE_OHM] = open ? BP_OPEN_OHM : g->ohm;
    value[PHASE_EMF] = open ? 0 : g->emf * t->omega * g->knee / g->ohm;
    value[PHASE_EMF + 1] = t->residual;
    value[PHASE_EMF + 2] = g->knee;
    value[PHASE_EMF + 3] = t->omega;
    value[COIL] = g->henry;
    value[LOSS] = loss_rate * g->henry;
}
