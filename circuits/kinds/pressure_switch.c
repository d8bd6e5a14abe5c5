/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pressure switch: a diaphragm that works one contact.
 */
#include "circuits/sensed_contact.h"

static const char *const settings[] = {"no-pressure", "pressure", NULL};

static const bp_param_decl params[] = {
    [BP_SENSED_CONTACT_ACTION] = {.key = "contact",
                                  .type = BP_PARAM_WORD,
                                  .def = BP_SENSED_CONTACT_OPENS,
                                  .choices = bp_sensed_contact_actions,
                                  .words = "what the contact does when pressure comes",
                                  .source = "common practice: the oil warning lamp is on with the "
                                            "engine stopped; brake lamp and air-conditioning "
                                            "switches close"},
    [BP_SENSED_CONTACT_OHM] = {.key = "resistance",
                               .unit = BP_UNIT_OHM,
                               .def = 0.05,
                               .lo = 1e-3,
                               .hi = 100,
                               .tol = 0.6,
                               .tol_sort = BP_TOL_RELATIVE,
                               .words = "resistance of the closed contact",
                               .source = "below 0.1 ohm when new: data-sheet typical, from memory"},
    {.key = NULL}};

static const bp_branch ways[] = {
    {BP_BRANCH_SWITCHED, BP_SENSED_CONTACT_PIN_1, BP_SENSED_CONTACT_PIN_2, "while it closes"},
    {.sort = BP_BRANCH_NONE}};

const bp_kind bp_kind_pressure_switch = {
    .id = "pressure-switch",
    .words = "pressure switch",
    .note = "A diaphragm works one contact: oil warning, brake lamp, air conditioning. Whether "
            "there is pressure is for the state to say. One with a single terminal is screwed into "
            "metal: wire its pin 2 to a ground on the engine.",
    .pins = bp_sensed_contact_pins,
    .params = params,
    .settings = settings,
    .modes = bp_sensed_contact_modes,
    .ways = ways,
    .access = 10,
    .fit = 20,
    .price = 20,
};
