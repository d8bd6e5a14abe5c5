/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Splice: wires crimped or soldered into one joint.
 */
#include "circuits/kind.h"
#include "circuits/kinds/splice.h"

static const bp_pin_decl pins[] = {
    [BP_SPLICE_PIN_1] = {.name = "1", .sort = BP_PIN_IDEAL, .words = "the joint"}, {0}};

static const bp_param_decl params[] = {{0}};

static const bp_mode_decl modes[] = {
    [BP_SPLICE_LEAK_TO_GROUND] = {.id = "leak-to-ground",
                                  .words = "%s wet: leaks to ground",
                                  .scope = BP_SCOPE_PART,
                                  .scale = BP_SCALE_LOG,
                                  .unit = BP_UNIT_OHM,
                                  .lo = 10.0,
                                  .hi = 1e5,
                                  .typical = 500.0,
                                  .weight = 0.2,
                                  .intermittent = true},
    {0}};

const bp_kind bp_kind_splice = {
    .id = "splice",
    .words = "splice",
    .note = "Wires joined in one crimp. A crimp that is open or has high resistance towards one "
            "wire is, to every meter, that wire open or with high resistance, so it counts as the "
            "wire's fault and is not listed twice; look at both ends of a suspected wire.",
    .pins = pins,
    .params = params,
    .modes = modes,
    .passive = true,
    .access = 10,
    .fit = 20,
    .price = 2,
};
