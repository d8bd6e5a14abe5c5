/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Variable-reluctance sensor: to steady current a coil; in time a voltage that follows the change
 * of the field before each tooth, behind the coil's copper and inductance.
 */
#include "circuits/kinds/reluctance_sensor.h"

#include <math.h>
#include <stdio.h>

#include "sim/wave.h"
#include "sim/wheel.h"
#include "sim/winding.h"

enum { WINDING, FIELD = WINDING + BP_WINDING_VALUES, SOURCE, EMF };
enum { SHARE, START, N_MEMORY };

/* Teeth a second at which the output is stated. */
static const double rated_rate = 100;

/* Steps a tooth, so that the wave is round. */
static const double steps_a_tooth = 32;

/* A tip that touches the teeth has this gap left, m. */
static const double least_gap = 5e-5;

/* Which tooth is the damaged one: any, away from the mark. */
static const double damaged_place = 5;

/* A coil's emf drawn as the current through its source resistor: volts $0, teeth a second $1, time
 * 0 of the run on the solver's clock $2. A tooth that comes nearer gives the positive half. */
static const bp_law emf = {.id = "tooth-emf",
                           .n_controls = 0,
                           .n_params = 3,
                           .spice = "$0*sin(6.283185307179586*$1*(time-$2))"};

static const double source_ohm = 1;

static void elements(bp_builder *b, const bp_part *part) {
    bp_winding_elements(b, bp_build_own(b, part, BP_RELUCTOR_PIN_1),
                        bp_build_own(b, part, BP_RELUCTOR_PIN_2));
}

static double turns_left(const bp_view *view) {
    return 1 - bp_view_how_bad(view, BP_RELUCTOR_SHORTED_TURNS, 0);
}

static void values(const bp_view *view, double *value) {
    const double copper = bp_view_copper(view, BP_RELUCTOR_PLACE,
                                         view->param[BP_RELUCTOR_WINDING] * turns_left(view));
    bp_winding_values(&value[WINDING], bp_view_has(view, BP_RELUCTOR_OPEN) ? BP_OPEN_OHM : copper,
                      bp_view_how_bad(view, BP_RELUCTOR_GROUND_LEAK, BP_OPEN_OHM));
}

static void elements_in_time(bp_builder *b, const bp_part *part) {
    const size_t signal = bp_build_own(b, part, BP_RELUCTOR_PIN_1);
    const size_t back = bp_build_own(b, part, BP_RELUCTOR_PIN_2);
    const size_t inner = bp_build_node(b), source = bp_build_node(b);
    bp_winding_elements(b, signal, inner);
    bp_build_inductor(b, inner, source);
    bp_build_resistor(b, source, back);
    bp_build_live(b, bp_build_law(b, &emf, back, source, NULL));
}

static bp_wheel wheel_of(const bp_view *view) {
    const double *param = view->param;
    return bp_wheel_of(view, param[BP_RELUCTOR_TEETH], param[BP_RELUCTOR_MISSING],
                       param[BP_RELUCTOR_TURNS]);
}

/* Peak volts of a good tooth at this speed. */
static double peak_volts(const bp_view *view) {
    const double *param = view->param;
    const double wide = bp_view_how_bad(view, BP_RELUCTOR_GAP_WIDE, 0);
    const double narrow =
        fmin(bp_view_how_bad(view, BP_RELUCTOR_GAP_NARROW, 0), param[BP_RELUCTOR_GAP] - least_gap);
    const double sign = bp_view_has(view, BP_RELUCTOR_SWAPPED) ? -1 : 1;
    return sign * param[BP_RELUCTOR_OUTPUT] * wheel_of(view).rate / rated_rate * turns_left(view) *
           bp_wheel_field(wide - fmax(narrow, 0), param[BP_RELUCTOR_PITCH]) *
           bp_view_how_bad(view, BP_RELUCTOR_WEAK_MAGNET, 1);
}

static void values_in_time(const bp_view *view, double *value) {
    const double turns = turns_left(view);
    values(view, value);
    value[FIELD] = view->param[BP_RELUCTOR_INDUCTANCE] * turns * turns;
    value[SOURCE] = source_ohm;
    value[EMF] = peak_volts(view) * view->memory[SHARE] / source_ohm;
    value[EMF + 1] = wheel_of(view).rate;
    value[EMF + 2] = -view->memory[START];
}

/* Share of a good tooth's signal at this time. */
static double share_at(const bp_moment *m) {
    const bp_wheel wheel = wheel_of(&m->view);
    double passed;
    const double place = bp_wheel_place(&wheel, m->time, &passed);
    if (m->time < -1e-12 || !bp_wheel_has_tooth(&wheel, place))
        return 0;
    return place == damaged_place ? bp_view_how_bad(&m->view, BP_RELUCTOR_TOOTH_DAMAGED, 1) : 1;
}

static void begin(bp_moment *m) { m->memory[START] = m->time; }

static bool instant(bp_moment *m) {
    const bp_wheel wheel = wheel_of(&m->view);
    const double share = share_at(m), was = m->memory[SHARE];
    if (!(wheel.rate > 0))
        return false;
    bp_moment_wake(m, m->time < 0 ? 0 : bp_wheel_next(&wheel, m->time, 0));
    bp_moment_fine(m, 1 / wheel.rate / steps_a_tooth);
    m->memory[SHARE] = share;
    return share != was;
}

static const bp_wave_model wave = {.elements = elements_in_time,
                                   .values = values_in_time,
                                   .n_memory = N_MEMORY,
                                   .begin = begin,
                                   .instant = instant};

const bp_model bp_model_reluctance_sensor = {.elements = elements, .values = values, .wave = &wave};
