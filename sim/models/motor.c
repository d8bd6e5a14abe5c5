/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Permanent-magnet DC motor with its load.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/motor.h"
#include "sim/dc_motor.h"
#include "sim/rotor.h"
#include "sim/wave.h"

static void values(const bp_view *view, double *value) { bp_dc_motor_values(view, false, value); }

static void say_speed(const bp_view *view, double speed, double taken, bp_behaviour *out) {
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

static void behave(const bp_view *view, bp_behaviour *out) {
    say_speed(view, bp_dc_motor_speed(view), fabs(bp_dc_motor_amps(view)), out);
}

/* In time: what people hear is the mean of about a tenth of a second. */
enum { MEAN_SPEED, MEAN_AMPS, BEGUN, N_MEMORY };

static bool instant(bp_moment *m) {
    static const double heard = 0.1;
    double *k = m->memory;
    const double speed = bp_dc_motor_speed_in_time(&m->view);
    const double share = k[BEGUN] != 0 ? 1 - exp(-(m->time - m->before) / heard) : 1;
    k[BEGUN] = 1;
    k[MEAN_SPEED] += share * (speed - k[MEAN_SPEED]);
    k[MEAN_AMPS] += share * (bp_dc_motor_amps_in_time(&m->view) - k[MEAN_AMPS]);
    return false;
}

static void behave_in_time(const bp_moment *m, bp_behaviour *out) {
    say_speed(&m->view, m->memory[MEAN_SPEED], fabs(m->memory[MEAN_AMPS]), out);
}

static const char *const says[] = {"normal", "weak", "off", "fast", "stalled", "backwards", NULL};

static const bp_wave_model wave = {.elements = bp_dc_motor_elements_in_time,
                                   .values = bp_dc_motor_values_in_time,
                                   .n_memory = N_MEMORY,
                                   .instant = instant,
                                   .behave = behave_in_time,
                                   .says = says};

const bp_model bp_model_motor = {
    .elements = bp_dc_motor_elements,
    .values = values,
    .behave = behave,
    .says = says,
    .senses = BP_HEARD,
    .wave = &wave,
};
