/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Level switch: a float with a magnet that works a reed contact.
 */
#include "circuits/sensed_contact.h"

static const char *const settings[] = {"full", "low", NULL};

static const bp_param_decl params[] = {
    [BP_SENSED_CONTACT_ACTION] = {.key = "contact",
                                  .type = BP_PARAM_WORD,
                                  .def = BP_SENSED_CONTACT_CLOSES,
                                  .choices = bp_sensed_contact_actions,
                                  .words = "what the contact does when the level is low",
                                  .source = "common practice: brake fluid warning closes"},
    [BP_SENSED_CONTACT_OHM] = {.key = "resistance",
                               .unit = BP_UNIT_OHM,
                               .def = 0.15,
                               .lo = 1e-3,
                               .hi = 100,
                               .tol = 0.6,
                               .tol_sort = BP_TOL_RELATIVE,
                               .words = "resistance of the closed contact",
                               .source = "reed contact 0.1 to 0.2 ohm: data-sheet typical, from "
                                         "memory"},
    {.key = NULL}};

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_SENSED_CONTACT_PIN_1, BP_SENSED_CONTACT_PIN_2, "while it closes"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_level_switch = {
    .id = "level-switch",
    .words = "level switch",
    .note = "A float with a magnet works a reed contact: brake fluid, coolant, washer fluid. How "
            "high the fluid stands is for the state to say. A float that has sunk or hangs looks "
            "like a stuck contact.",
    .pins = bp_sensed_contact_pins,
    .params = params,
    .settings = settings,
    .modes = bp_sensed_contact_modes,
    .ways = ways,
    .access = 5,
    .fit = 15,
    .price = 20,
};
