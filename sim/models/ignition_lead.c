/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Ignition lead: its resistance, half of its capacitance to ground at each end, and two places
 * where the spark may go another way: a burnt-through core and cracked insulation.
 */
#include <stdio.h>

#include "circuits/kinds/ignition_lead.h"
#include "sim/gap.h"
#include "sim/winding.h"

enum {
    CORE,
    BURNT,
    INSULATION = BURNT + BP_GAP_VALUES,
    NEAR = INSULATION + BP_GAP_VALUES, /* only in time */
    FAR
};
enum { BURNT_MEMORY, INSULATION_MEMORY = BP_GAP_MEMORY, N_MEMORY = 2 * BP_GAP_MEMORY };

/* Volts that an arc holds inside a lead and to metal beside it: from memory. */
static const bp_arc core_arc = BP_SPARK(1000), outside_arc = BP_SPARK(1500);

static void elements(bp_builder *b, const bp_part *part) {
    const size_t one = bp_build_own(b, part, BP_HT_LEAD_PIN_1);
    const size_t two = bp_build_own(b, part, BP_HT_LEAD_PIN_2);
    bp_build_resistor(b, one, two);
    bp_gap_elements(b, one, two);
    bp_gap_elements(b, two, bp_build_body(b));
}

static void elements_in_time(bp_builder *b, const bp_part *part) {
    elements(b, part);
    bp_build_capacitor(b, bp_build_own(b, part, BP_HT_LEAD_PIN_1), bp_build_body(b));
    bp_build_capacitor(b, bp_build_own(b, part, BP_HT_LEAD_PIN_2), bp_build_body(b));
}

static const double *kept(const bp_view *view, size_t memory) {
    return view->memory ? &view->memory[memory] : NULL;
}

static void values(const bp_view *view, double *value) {
    const double whole = bp_view_how_bad(view, BP_HT_LEAD_RESISTANCE, view->param[BP_HT_LEAD_OHM]);
    value[CORE] = bp_view_has(view, BP_HT_LEAD_BURNT) ? BP_OPEN_OHM : whole;
    bp_gap_values(&value[BURNT], kept(view, BURNT_MEMORY), &core_arc);
    bp_gap_values(&value[INSULATION], kept(view, INSULATION_MEMORY), &outside_arc);
}

static void values_in_time(const bp_view *view, double *value) {
    values(view, value);
    value[NEAR] = value[FAR] = view->param[BP_HT_LEAD_CAPACITANCE] / 2;
}

enum { TELL_FLASH };
static const bp_wave_tell tells[] = {
    [TELL_FLASH] = {.id = "flash",
                    .words = "a spark jumps from %s to metal beside it",
                    .unit = BP_UNIT_VOLT,
                    .value_id = "flash-over",
                    .value_words = "voltage at which it flashes over"},
    {.id = NULL}};

static bool instant(bp_moment *m) {
    const bp_gap burnt = {BURNT, &m->memory[BURNT_MEMORY],
                          bp_gap_breakdown(bp_view_how_bad(&m->view, BP_HT_LEAD_BURNT, 1), 1),
                          &core_arc};
    const bp_gap insulation = {
        INSULATION, &m->memory[INSULATION_MEMORY],
        bp_view_how_bad(&m->view, BP_HT_LEAD_FLASHES_OVER, m->view.param[BP_HT_LEAD_INSULATION]),
        &outside_arc};
    return bp_gap_beside(m, &burnt, &insulation, TELL_FLASH);
}

static const bp_wave_model wave = {.elements = elements_in_time,
                                   .values = values_in_time,
                                   .n_memory = N_MEMORY,
                                   .instant = instant,
                                   .tells = tells,
                                   .ramp = 5e-8};

const bp_model bp_model_ignition_lead = {.elements = elements, .values = values, .wave = &wave};
