/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Zener diode: conducts against its direction from its voltage on.
 */
#include "circuits/kind.h"
#include "circuits/kinds/zener.h"

static const bp_pin_decl pins[] = {
    [BP_ZENER_PIN_A] = {.name = "A", .sort = BP_PIN_PLUG, .words = "anode"},
    [BP_ZENER_PIN_K] = {.name = "K", .sort = BP_PIN_PLUG, .words = "cathode"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_ZENER_VOLTS] = {.key = "volts",
                        .unit = BP_UNIT_VOLT,
                        .def = BP_UNSET,
                        .required = true,
                        .lo = 2.4,
                        .hi = 200,
                        .tol = 0.05,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "zener voltage at its test current",
                        .source = "series E24 of IEC 60063, +-5 %"},
    [BP_ZENER_POWER] = {.key = "power",
                        .unit = BP_UNIT_WATT,
                        .def = 1.3,
                        .lo = 0.1,
                        .hi = 50,
                        .words = "most power that it stands for long",
                        .source = "1.3 W in its usual glass body: data-sheet typical"},
    [BP_ZENER_SLOPE] = {.key = "slope",
                        .unit = BP_UNIT_OHM,
                        .def = 4,
                        .lo = 0.1,
                        .hi = 1000,
                        .tol = 0.5,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "differential resistance beyond the test current",
                        .source = "2 to 7 ohm from 5 to 15 V at 1.3 W: data-sheet typical, from "
                                  "memory"},
    [BP_ZENER_TEST_CURRENT] = {.key = "test-current",
                               .unit = BP_UNIT_AMPERE,
                               .def = 0.02,
                               .lo = 1e-4,
                               .hi = 5,
                               .words = "current at which the zener voltage is stated",
                               .source = "20 mA at 12 V, 1.3 W: data-sheet typical, from memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { LEAD = 1, JUNCTION = 2 };

static const bp_mode_decl modes[] = {
    [BP_ZENER_OPEN] =
        {.id = "open", .sets = LEAD, .words = "%s open", .weight = 1, .intermittent = true},
    [BP_ZENER_SHORT] = {.id = "short",
                        .sets = LEAD | JUNCTION,
                        .words = "%s shorted: it conducts both ways",
                        .scale = BP_SCALE_LOG,
                        .unit = BP_UNIT_OHM,
                        .lo = 0.01,
                        .hi = 10,
                        .typical = 0.1,
                        .weight = 2},
    [BP_ZENER_LEAKY] = {.id = "leaky",
                        .sets = JUNCTION,
                        .words = "%s leaks below its voltage",
                        .scale = BP_SCALE_LOG,
                        .unit = BP_UNIT_OHM,
                        .lo = 10,
                        .hi = 1e6,
                        .typical = 500,
                        .weight = 0.5},
    [BP_ZENER_REVERSED] = {.id = "reversed",
                           .words = "%s fitted the wrong way round",
                           .weight = 0.5,
                           .seen_by_eye = true},
    [BP_ZENER_WRONG_VOLTAGE] = {.id = "wrong-voltage",
                                .words = "zener diode of another voltage fitted as %s",
                                .scale = BP_SCALE_LOG,
                                .unit = BP_UNIT_VOLT,
                                .lo = 2.4,
                                .hi = 75,
                                .typical = 3.9,
                                .weight = 0.3},
    {.id = NULL}};

static const bp_branch ways[] = {{BP_BRANCH_ONE_WAY, BP_ZENER_PIN_A, BP_ZENER_PIN_K, NULL},
                                 {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_zener = {
    .id = "zener",
    .words = "zener diode",
    .note = "Zener diode: from A to K a diode like any other, from K to A it conducts from its "
            "voltage on and so holds what is across it. Terminals A anode and K cathode.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 5,
    .fit = 10,
    .price = 3,
};
