/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two-way motor: runs forward or backward until it meets a stop, which holds it as long as it
 * pushes that way.
 */
#include "circuits/kinds/two_way_motor.h"

#include <math.h>
#include <stdio.h>

#include "circuits/kinds/motor.h"
#include "sim/dc_motor.h"
#include "sim/rotor.h"

enum { FREE, AGAINST_THE_STOP };

/* What it runs up against stops it in a moment, long before a fuse or a breaker has warmed up. */
static const double stops_seconds = 0.05;

static void values(const bp_view *view, double *value) {
    bp_dc_motor_values(view, view->position == AGAINST_THE_STOP, value);
}

/* +1: the stop is met by running forward, -1: backward, 0: it stands between its stops. */
static int stop(const bp_view *view) {
    return view->setting == BP_TWO_WAY_FORWARD_END    ? 1
           : view->setting == BP_TWO_WAY_BACKWARD_END ? -1
                                                      : 0;
}

/* Less than this share of the rated current turns nothing; both ways the same, so that a motor at
 * rest stays as it is. */
static const double idle = 0.02;

static bp_move next(const bp_view *view) {
    const double share = bp_dc_motor_amps(view) / view->param[BP_MOTOR_CURRENT];
    const double towards = share * stop(view);
    const int to = towards > idle                       ? AGAINST_THE_STOP
                   : towards < -idle || stop(view) == 0 ? FREE
                                                        : view->position;
    return (bp_move){.moves = to != view->position,
                     .position = to,
                     .seconds = to == FREE ? 0 : stops_seconds,
                     .beyond = fabs(share)};
}

static void behave(const bp_view *view, bp_behaviour *out) {
    const double speed = bp_dc_motor_speed(view), taken = fabs(bp_dc_motor_amps(view));
    const bool stands = fabs(speed) < BP_STANDS_STILL;
    const bool pushes = taken > BP_DC_MOTOR_STALLS * view->param[BP_MOTOR_CURRENT];
    out->value = speed;
    out->unit = BP_UNIT_FRACTION;
    if (stands && !pushes) {
        out->says = "off";
        snprintf(out->words, sizeof out->words, "stands still");
    } else if (stands && view->position == AGAINST_THE_STOP) {
        out->says = "at-its-stop";
        snprintf(out->words, sizeof out->words, "pushes against its stop and takes %.1f A", taken);
    } else if (stands) {
        out->says = "stalled";
        snprintf(out->words, sizeof out->words, "stands still and takes %.1f A", taken);
    } else {
        const bool slow = fabs(speed)<BP_DC_MOTOR_SLOW, fast = fabs(speed)> BP_DC_MOTOR_FAST;
        const char *const ids[2][3] = {{"forward", "forward-slow", "forward-fast"},
                                       {"backward", "backward-slow", "backward-fast"}};
        out->says = ids[speed < 0][slow ? 1 : fast ? 2 : 0];
        snprintf(out->words, sizeof out->words, "runs %s at %.0f %% of its speed",
                 ids[speed < 0][0], 100 * fabs(speed));
    }
}

static const char *const positions[] = {"free", "against its stop"};
static const char *const says[] = {
    "forward",       "forward-slow", "forward-fast", "backward",    "backward-slow",
    "backward-fast", "off",          "stalled",      "at-its-stop", NULL};

const bp_model bp_model_two_way_motor = {
    .elements = bp_dc_motor_elements,
    .values = values,
    .n_positions = 2,
    .positions = positions,
    .next = next,
    .behave = behave,
    .says = says,
    .senses = BP_HEARD | BP_SEEN,
};
