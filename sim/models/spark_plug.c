/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Spark plug: its resistor, its gap, and what leaks past it.
 */
#include <stdio.h>

#include "circuits/kinds/spark_plug.h"
#include "sim/gap.h"
#include "sim/winding.h"

enum {
    RESISTOR,
    BURNT,
    LEAK = BURNT + BP_GAP_VALUES,
    GAP,
    OUTSIDE = GAP + BP_GAP_VALUES,
    CAPACITANCE = OUTSIDE + BP_GAP_VALUES
};

/* What the parts keep in a run: three gaps, then how often the main one fired and what stood across
 * it at the last time, and the most that ever stood. */
enum {
    GAP_MEMORY = 0,
    OUTSIDE_MEMORY = GAP_MEMORY + BP_GAP_MEMORY,
    BURNT_MEMORY = OUTSIDE_MEMORY + BP_GAP_MEMORY,
    SPARKS = BURNT_MEMORY + BP_GAP_MEMORY,
    FIRED_AT,
    MOST,
    FLASHES,
    N_MEMORY
};

/* Voltage that a spark in a plug holds, and one along an insulator: 0.6 to 1.5 kV at idle and up to
 * 3 kV, from memory. */
static const bp_arc plug_arc = BP_SPARK(900), outside_arc = BP_SPARK(1500);

/* Edges and heat make a plug's gap break down below what rounded electrodes in cool gas stand: from
 * memory. */
static const double edges = 0.85;

/* Slower than this an engine is being cranked, rev/min: common practice. */
static const double cranking_speed = 400;

/* What a sound insulator stands along its outside, V: data-sheet typical, from memory. */
static const double outside_stands = 40e3;

static void common_elements(bp_builder *b, const bp_part *part) {
    const size_t top = bp_build_own(b, part, BP_PLUG_PIN_4);
    const size_t shell = bp_build_own(b, part, BP_PLUG_PIN_31);
    const size_t inner = bp_build_node(b);
    bp_build_resistor(b, top, inner);
    bp_gap_elements(b, top, inner);
    bp_build_resistor(b, inner, shell);
    bp_gap_elements(b, inner, shell);
    bp_gap_elements(b, top, shell);
}

static void elements_in_time(bp_builder *b, const bp_part *part) {
    common_elements(b, part);
    bp_build_capacitor(b, bp_build_own(b, part, BP_PLUG_PIN_4),
                       bp_build_own(b, part, BP_PLUG_PIN_31));
}

static const double *kept(const bp_view *view, size_t memory) {
    return view->memory ? &view->memory[memory] : NULL;
}

static void values(const bp_view *view, double *value) {
    const bool burnt = bp_view_has(view, BP_PLUG_RESISTOR_OPEN);
    value[RESISTOR] = burnt ? BP_OPEN_OHM : view->param[BP_PLUG_RESISTOR];
    value[LEAK] =
        bp_view_how_bad(view, BP_PLUG_BRIDGED, bp_view_how_bad(view, BP_PLUG_FOULED, BP_OPEN_OHM));
    bp_gap_values(&value[BURNT], kept(view, BURNT_MEMORY), &plug_arc);
    bp_gap_values(&value[GAP], kept(view, GAP_MEMORY), &plug_arc);
    bp_gap_values(&value[OUTSIDE], kept(view, OUTSIDE_MEMORY), &outside_arc);
}

static void values_in_time(const bp_view *view, double *value) {
    values(view, value);
    value[CAPACITANCE] = view->param[BP_PLUG_CAPACITANCE];
}

static double gap_stands(const bp_view *view) {
    const double gap = bp_view_how_bad(view, BP_PLUG_WIDE_GAP, view->param[BP_PLUG_GAP]);
    const bool cranked =
        view->around->supply == BP_SUPPLY_CRANKING || view->around->speed < cranking_speed;
    return edges *
           bp_gap_breakdown(gap, view->param[cranked ? BP_PLUG_DENSITY_CRANKING : BP_PLUG_DENSITY]);
}

static double burnt_stands(const bp_view *view) {
    return bp_gap_breakdown(bp_view_how_bad(view, BP_PLUG_RESISTOR_OPEN, 1), 1);
}

enum { TELL_SPARK, TELL_ENDS, TELL_FLASH };
static const bp_wave_tell tells[] = {
    [TELL_SPARK] = {.id = "spark",
                    .words = "%s fires",
                    .unit = BP_UNIT_VOLT,
                    .value_id = "breakdown",
                    .value_words = "voltage at which it fires"},
    [TELL_ENDS] = {.id = "spark-ends",
                   .words = "the spark of %s goes out",
                   .since = "spark",
                   .span_id = "burn-time",
                   .span_words = "burn time"},
    [TELL_FLASH] = {.id = "flash",
                    .words = "a spark runs down the outside of %s",
                    .unit = BP_UNIT_VOLT,
                    .value_id = "flash-over",
                    .value_words = "voltage at which it flashes over"},
    {.id = NULL}};

static bool instant(bp_moment *m) {
    double volts, other;
    const bp_gap gap = {GAP, &m->memory[GAP_MEMORY], gap_stands(&m->view), &plug_arc};
    const bp_gap outside = {OUTSIDE, &m->memory[OUTSIDE_MEMORY],
                            bp_view_how_bad(&m->view, BP_PLUG_FLASHES_OVER, outside_stands),
                            &outside_arc};
    const bp_gap burnt = {BURNT, &m->memory[BURNT_MEMORY], burnt_stands(&m->view), &plug_arc};
    const bp_gap_does does = bp_gap_instant(m, &gap, &volts);
    if (m->time >= 0)
        m->memory[MOST] = fmax(m->memory[MOST], fabs(volts));
    if (does == BP_GAP_FIRES) {
        m->memory[SPARKS]++;
        m->memory[FIRED_AT] = fabs(volts);
        bp_moment_tell(m, TELL_SPARK, fabs(volts));
    } else if (does == BP_GAP_ENDS)
        bp_moment_tell(m, TELL_ENDS, NAN);
    const bp_gap_does flash = bp_gap_instant(m, &outside, &other);
    if (flash == BP_GAP_FIRES) {
        m->memory[FLASHES]++;
        bp_moment_tell(m, TELL_FLASH, fabs(other));
    }
    const bp_gap_does through = bp_gap_instant(m, &burnt, &other);
    return does != BP_GAP_STAYS || flash != BP_GAP_STAYS || through != BP_GAP_STAYS;
}

static void behave_in_time(const bp_moment *m, bp_behaviour *out) {
    out->unit = BP_UNIT_VOLT;
    if (m->memory[SPARKS] > 0) {
        out->says = "sparks";
        out->value = m->memory[FIRED_AT];
        snprintf(out->words, sizeof out->words, "fires at %.1f kV", out->value / 1e3);
        return;
    }
    out->value = m->memory[MOST];
    out->says = m->memory[FLASHES] > 0 ? "flashes-over" : "no-spark";
    if (m->memory[FLASHES] > 0)
        snprintf(out->words, sizeof out->words, "does not fire: the spark runs down its outside");
    else
        snprintf(out->words, sizeof out->words,
                 "does not fire: it gets %.1f kV and its gap stands %.1f kV", out->value / 1e3,
                 gap_stands(&m->view) / 1e3);
}

static const char *const says[] = {"sparks", "no-spark", "flashes-over", NULL};

static const bp_wave_model wave = {.elements = elements_in_time,
                                   .values = values_in_time,
                                   .n_memory = N_MEMORY,
                                   .instant = instant,
                                   .tells = tells,
                                   .ramp = 5e-8,
                                   .behave = behave_in_time,
                                   .says = says};

const bp_model bp_model_spark_plug = {.elements = common_elements, .values = values, .wave = &wave};
