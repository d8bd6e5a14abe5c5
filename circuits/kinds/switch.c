/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Switch: a contact table over numbered pins; button, stalk, door or oil-pressure switch.
 */
#include "circuits/circuit.h"
#include "circuits/kinds/switch.h"

static const bp_param_decl params[] = {
    [BP_SWITCH_OHM] =
        {.key = "resistance",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_OHM,
         .def = 10e-3,
         .lo = 1e-6,
         .hi = 100,
         .tol = 0.6,
         .tol_sort = BP_TOL_RELATIVE,
         .words = "resistance of a closed contact",
         .source =
             "data-sheet typical of panel and stalk switches, new (from memory); keeps the drop "
             "at 10 A under the 0.3 V a switch of common practice"},
    {0}};

static bool has_two(const bp_part *part) { return part->n_positions >= 2; }
static bool has_three(const bp_part *part) { return part->n_positions >= 3; }
static bool has_four(const bp_part *part) { return part->n_positions >= 4; }

/* What modes of one place cannot set in two ways at once. */
enum { CONTACT = 1, PLACE = 2 };

static const bp_mode_decl modes[] = {
    [BP_SWITCH_OPEN] = {.id = "open",
                        .sets = CONTACT,
                        .words = "%s makes no contact in any position",
                        .scope = BP_SCOPE_PART,
                        .weight = 1.0,
                        .intermittent = true},
    [BP_SWITCH_RESISTANCE] = {.id = "resistance",
                              .sets = CONTACT,
                              .words = "%s contacts burnt: high resistance",
                              .scope = BP_SCOPE_PART,
                              .scale = BP_SCALE_LOG,
                              .unit = BP_UNIT_OHM,
                              .lo = 0.05,
                              .hi = 1000.0,
                              .typical = 1.0,
                              .weight = 1.0,
                              .intermittent = true},
    [BP_SWITCH_STUCK_FIRST] = {.id = "stuck-first",
                               .sets = PLACE,
                               .words = "%s stuck in its first position",
                               .scope = BP_SCOPE_PART,
                               .weight = 0.4,
                               .intermittent = true},
    [BP_SWITCH_STUCK_SECOND] = {.id = "stuck-second",
                                .sets = PLACE,
                                .words = "%s stuck or welded in its second position",
                                .scope = BP_SCOPE_PART,
                                .weight = 0.4,
                                .intermittent = true,
                                .applies = has_two},
    [BP_SWITCH_STUCK_THIRD] = {.id = "stuck-third",
                               .sets = PLACE,
                               .words = "%s stuck or welded in its third position",
                               .scope = BP_SCOPE_PART,
                               .weight = 0.2,
                               .intermittent = true,
                               .applies = has_three},
    [BP_SWITCH_STUCK_FOURTH] = {.id = "stuck-fourth",
                                .sets = PLACE,
                                .words = "%s stuck or welded in its fourth position",
                                .scope = BP_SCOPE_PART,
                                .weight = 0.2,
                                .intermittent = true,
                                .applies = has_four},
    [BP_SWITCH_LEAK] = {.id = "leak",
                        .words = "%s leaks between its open contacts",
                        .scope = BP_SCOPE_PART,
                        .scale = BP_SCALE_LOG,
                        .unit = BP_UNIT_OHM,
                        .lo = 1.0,
                        .hi = 100e3,
                        .typical = 200.0,
                        .weight = 0.2,
                        .intermittent = true},
    {0}};

const bp_kind bp_kind_switch = {
    .id = "switch",
    .words = "switch",
    .note = "Contacts by a table: each position lists the pairs of pins it joins. Pins are those "
            "that the table names. A single bad contact of a switch with several looks like its "
            "pin: see the faults of its pins.",
    .params = params,
    .modes = modes,
    .has_positions = true,
    .access = 5,
    .fit = 15,
    .price = 30,
};
