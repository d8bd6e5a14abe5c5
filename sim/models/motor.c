/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Permanent-magnet DC motor with its load.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/motor.h"
#include "sim/dc_motor.h"
#include "sim/rotor.h"

static void values(const bp_view *view, double *value) { bp_dc_motor_values(view, false, value); }

static void behave(const bp_view *view, bp_behaviour *out) {
    const double speed = bp_dc_motor_speed(view);
    const double taken = fabs(bp_dc_motor_amps(view));
    out->value = speed;
    out->unit = BP_UNIT_FRACTION;
    if (fabs(speed) < BP_STANDS_STILL &&
        taken > BP_DC_MOTOR_STALLS * view->param[BP_MOTOR_CURRENT]) {
        out->says = "stalled";
        snprintf(out->words, sizeof out->words, "stands still and takes %.1f A", taken);
    } else if (fabs(speed) < BP_STANDS_STILL) {
        out->says = "off";
        snprintf(out->words, sizeof out->words, "stands still");
    } else if (speed < 0) {
        out->says = "backwards";
        snprintf(out->words, sizeof out->words, "runs backwards");
    } else {
        out->says = speed < BP_DC_MOTOR_SLOW   ? "weak"
                    : speed > BP_DC_MOTOR_FAST ? "fast"
                                               : "normal";
        snprintf(out->words, sizeof out->words, "runs at %.0f %% of its speed", 100 * speed);
    }
}

static const char *const says[] = {"normal", "weak", "off", "fast", "stalled", "backwards", NULL};

const bp_model bp_model_motor = {
    .elements = bp_dc_motor_elements,
    .values = values,
    .behave = behave,
    .says = says,
    .senses = BP_HEARD,
};
