/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Thermistor: a resistance by Steinhart and Hart through three rows of a table. Warming by its own
 * current is left out: 5 V behind 2 kohm heat it by 3 mW at most, which is a degree or two.
 */
#include "circuits/kinds/thermistor.h"

#include "sim/ntc.h"
#include "sim/winding.h"

enum { ACROSS, GROUND_LEAK };

/* Rows of the tables: degC and ohm. Coolant: from memory. Air: table of a data sheet. */
static const struct {
    double celsius[3], ohm[3];
} rows[BP_THERMISTOR_N_CURVES] = {
    [BP_THERMISTOR_COOLANT] = {{0, 20, 100}, {5896, 2500, 186}},
    [BP_THERMISTOR_AIR] = {{0, 25, 50}, {32128, 9814, 3542}},
};

static void elements(bp_builder *b, const bp_part *part) {
    size_t plus = bp_build_own(b, part, BP_THERMISTOR_PIN_1);
    bp_build_resistor(b, plus, bp_build_own(b, part, BP_THERMISTOR_PIN_2));
    bp_build_resistor(b, plus, bp_build_body(b));
}

static void values(const bp_view *view, double *value) {
    const double *param = view->param;
    const size_t curve = (size_t)param[BP_THERMISTOR_CURVE];
    const bp_ntc ntc = bp_ntc_fit(rows[curve].celsius, rows[curve].ohm);
    double celsius = param[BP_THERMISTOR_FEELS] > BP_THERMISTOR_FEELS_ENGINE ? view->around->ambient
                                                                             : view->around->engine;
    value[ACROSS] = bp_ntc_ohm(&ntc, celsius) * param[BP_THERMISTOR_SCALE] *
                    bp_view_how_bad(view, BP_THERMISTOR_DRIFTED, 1);
    if (bp_view_has(view, BP_THERMISTOR_SHORT))
        value[ACROSS] = BP_METAL_OHM;
    if (bp_view_has(view, BP_THERMISTOR_OPEN))
        value[ACROSS] = BP_OPEN_OHM;
    value[GROUND_LEAK] = bp_view_how_bad(view, BP_THERMISTOR_GROUND_LEAK, BP_OPEN_OHM);
}

const bp_model bp_model_thermistor = {.elements = elements, .values = values};
