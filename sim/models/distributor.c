/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Distributor: the rotor's resistance and gap, and the insulation of cap and rotor.
 */
#include <stdio.h>

#include "circuits/kinds/distributor.h"
#include "sim/gap.h"
#include "sim/winding.h"

enum { ROTOR, GAP, INSULATION = GAP + BP_GAP_VALUES, SEGMENT = INSULATION + BP_GAP_VALUES };
enum { GAP_MEMORY, INSULATION_MEMORY = BP_GAP_MEMORY, N_MEMORY = 2 * BP_GAP_MEMORY };

/* Volts that the arcs hold: from memory. */
static const bp_arc rotor_arc = BP_SPARK(300), outside_arc = BP_SPARK(1500);

static void elements(bp_builder *b, const bp_part *part) {
    const size_t in = bp_build_own(b, part, BP_DISTRIBUTOR_PIN_4);
    const size_t rotor = bp_build_node(b);
    bp_build_resistor(b, in, rotor);
    bp_gap_elements(b, rotor, bp_build_own(b, part, BP_DISTRIBUTOR_PIN_OUT));
    bp_gap_elements(b, in, bp_build_body(b));
}

/* A segment and its socket are something to charge even with nothing plugged in: from memory. */
static const double segment_farad = 3e-12;

static void elements_in_time(bp_builder *b, const bp_part *part) {
    elements(b, part);
    bp_build_capacitor(b, bp_build_own(b, part, BP_DISTRIBUTOR_PIN_OUT), bp_build_body(b));
}

static const double *kept(const bp_view *view, size_t memory) {
    return view->memory ? &view->memory[memory] : NULL;
}

static void values(const bp_view *view, double *value) {
    value[ROTOR] = view->param[BP_DISTRIBUTOR_OHM];
    bp_gap_values(&value[GAP], kept(view, GAP_MEMORY), &rotor_arc);
    bp_gap_values(&value[INSULATION], kept(view, INSULATION_MEMORY), &outside_arc);
}

static void values_in_time(const bp_view *view, double *value) {
    values(view, value);
    value[SEGMENT] = segment_farad;
}

/* Rotor and segments, and in series what is burnt through in the rotor. */
static double gap_stands(const bp_view *view) {
    const double gap =
        bp_view_how_bad(view, BP_DISTRIBUTOR_ROTOR_BURNT, view->param[BP_DISTRIBUTOR_GAP]);
    return bp_gap_breakdown(gap, 1) +
           bp_gap_breakdown(bp_view_how_bad(view, BP_DISTRIBUTOR_ROTOR_OPEN, 0), 1);
}

static double insulation_stands(const bp_view *view) {
    return bp_view_how_bad(
        view, BP_DISTRIBUTOR_ROTOR_PUNCTURED,
        bp_view_how_bad(view, BP_DISTRIBUTOR_CAP_CRACKED, view->param[BP_DISTRIBUTOR_INSULATION]));
}

enum { TELL_FLASH };
static const bp_wave_tell tells[] = {
    [TELL_FLASH] = {.id = "flash",
                    .words = "a spark goes to ground inside %s",
                    .unit = BP_UNIT_VOLT,
                    .value_id = "flash-over",
                    .value_words = "voltage at which it flashes over"},
    {.id = NULL}};

static bool instant(bp_moment *m) {
    const bp_gap rotor = {GAP, &m->memory[GAP_MEMORY], gap_stands(&m->view), &rotor_arc};
    const bp_gap insulation = {INSULATION, &m->memory[INSULATION_MEMORY],
                               insulation_stands(&m->view), &outside_arc};
    return bp_gap_beside(m, &rotor, &insulation, TELL_FLASH);
}

static const bp_wave_model wave = {.elements = elements_in_time,
                                   .values = values_in_time,
                                   .n_memory = N_MEMORY,
                                   .instant = instant,
                                   .tells = tells,
                                   .ramp = 5e-8};

const bp_model bp_model_distributor = {.elements = elements, .values = values, .wave = &wave};
