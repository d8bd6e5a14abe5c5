/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Silicon rectifier diode.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/diode.h"

static const bp_pin_decl pins[] = {
    [BP_DIODE_PIN_A] = {.name = "A", .sort = BP_PIN_PLUG, .words = "anode"},
    [BP_DIODE_PIN_K] = {.name = "K", .sort = BP_PIN_PLUG, .words = "cathode"},
    {.name = NULL}};

static const bp_param_decl params[] = {
    [BP_DIODE_SERIES] = {.key = "series",
                         .unit = BP_UNIT_OHM,
                         .def = BP_DIODE_SERIES_OHM,
                         .lo = 1e-3,
                         .hi = 10,
                         .tol = 0.5,
                         .tol_sort = BP_TOL_RELATIVE,
                         .words = "resistance in series with the junction",
                         .source = "1 A silicon rectifier, 0.95 V at 1 A: data-sheet typical, from "
                                   "memory"},
    {.key = NULL}};

/* What modes of one place cannot set in two ways at once. */
enum { LEAD = 1, JUNCTION = 2 };

static const bp_mode_decl modes[] = {
    [BP_DIODE_OPEN] =
        {.id = "open", .sets = LEAD, .words = "%s open", .weight = 1.5, .intermittent = true},
    [BP_DIODE_SHORT] = {.id = "short",
                        .sets = LEAD | JUNCTION,
                        .words = "%s shorted: it conducts both ways",
                        .scale = BP_SCALE_LOG,
                        .unit = BP_UNIT_OHM,
                        .lo = 0.01,
                        .hi = 10,
                        .typical = 0.1,
                        .weight = 2},
    [BP_DIODE_LEAKY] = {.id = "leaky",
                        .sets = JUNCTION,
                        .words = "%s leaks against its direction",
                        .scale = BP_SCALE_LOG,
                        .unit = BP_UNIT_OHM,
                        .lo = 10,
                        .hi = 1e6,
                        .typical = 1000,
                        .weight = 0.5},
    [BP_DIODE_REVERSED] = {.id = "reversed",
                           .words = "%s fitted the wrong way round",
                           .weight = 0.5,
                           .seen_by_eye = true},
    {.id = NULL}};

static const bp_branch ways[] = {{BP_BRANCH_ONE_WAY, BP_DIODE_PIN_A, BP_DIODE_PIN_K, NULL},
                                 {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_diode = {
    .id = "diode",
    .words = "diode",
    .note = "Silicon diode; current passes from A to K for 0.6 to 1 V. Terminals A anode and K "
            "cathode.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .ways = ways,
    .access = 5,
    .fit = 5,
    .price = 4,
};
