/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Terminating resistor at one end of a two-wire bus.
 */
#include "circuits/kinds/bus_terminator.h"
#include "circuits/circuit.h"

static const bp_pin_decl pins[] = {
    [BP_TERMINATOR_PIN_H] = {.name = "H", .sort = BP_PIN_PLUG, .words = "high wire of the bus"},
    [BP_TERMINATOR_PIN_L] = {.name = "L", .sort = BP_PIN_PLUG, .words = "low wire of the bus"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_TERMINATOR_RESISTANCE] = {.key = "resistance",
                                  .unit = BP_UNIT_OHM,
                                  .def = 120,
                                  .lo = 10,
                                  .hi = 1e5,
                                  .tol = 0.01,
                                  .tol_sort = BP_TOL_RELATIVE,
                                  .words = "resistance between the wires of the bus",
                                  .source = "120 ohm at both ends: ISO 11898-2; +-1 % resistors: "
                                            "common practice"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { BODY = 1 };

static const bp_mode_decl modes[] = {
    [BP_TERMINATOR_OPEN] =
        {.id = "open", .sets = BODY, .words = "%s open", .weight = 1, .intermittent = true},
    [BP_TERMINATOR_SHORT] = {.id = "short", .sets = BODY, .words = "%s shorted", .weight = 0.2},
    [BP_TERMINATOR_DRIFTED] = {.id = "drifted",
                               .sets = BODY,
                               .words = "%s drifted from its resistance",
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_FRACTION,
                               .lo = 0.1,
                               .hi = 50,
                               .typical = 3,
                               .weight = 0.3},
    {.id = NULL}};

static const bp_branch ways[] = {{BP_BRANCH_DROPS, 0, 1, NULL}, {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_bus_terminator = {
    .id = "bus-terminator",
    .words = "bus terminator",
    .note = "120 ohm at each end of a two-wire bus (ISO 11898-2), alone or inside a module. With "
            "the supply off an ohmmeter finds 60 ohm between the wires, 120 when one end is gone.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 10,
    .fit = 15,
    .price = 15,
};
