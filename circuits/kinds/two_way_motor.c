/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Two-way motor: window, lock, seat. Whichever pin is fed decides which way it runs.
 */
#include "circuits/kinds/two_way_motor.h"
#include "circuits/circuit.h"
#include "circuits/kinds/motor.h"

static const bp_pin_decl pins[] = {
    [BP_MOTOR_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG, .words = "fed to run forward"},
    [BP_MOTOR_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG, .words = "fed to run backward"},
    {.name = NULL}};

static const char *const settings[] = {"between", "forward-end", "backward-end", NULL};

const bp_kind bp_kind_two_way_motor = {
    .id = "two-way-motor",
    .words = "two-way motor",
    .note = "Permanent-magnet motor that runs either way: forward with its feed on 1 and ground "
            "on 2, backward the other way round. Its setting says where what it moves stands; at "
            "the end of travel it can only run away from the stop and stalls against it.",
    .pins = pins,
    .params = bp_motor_params,
    .settings = settings,
    .modes = bp_motor_modes,
    .access = 15,
    .fit = 60,
    .price = 110,
    .check = bp_motor_check,
};
