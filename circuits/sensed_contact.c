/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/sensed_contact.h"

const bp_pin_decl bp_sensed_contact_pins[] = {
    [BP_SENSED_CONTACT_PIN_1] = {.name = "1", .sort = BP_PIN_PLUG},
    [BP_SENSED_CONTACT_PIN_2] = {.name = "2", .sort = BP_PIN_PLUG},
    {.name = NULL}};

const char *const bp_sensed_contact_actions[] = {"closes", "opens", NULL};

/* What modes of one place cannot set in two ways at once. */
enum { PLACE = 1 };

const bp_mode_decl bp_sensed_contact_modes[] = {
    [BP_SENSED_CONTACT_STUCK_OPEN] = {.id = "stuck-open",
                                      .sets = PLACE,
                                      .words = "%s never closes",
                                      .weight = 1,
                                      .intermittent = true},
    [BP_SENSED_CONTACT_STUCK_CLOSED] = {.id = "stuck-closed",
                                        .sets = PLACE,
                                        .words = "%s never opens",
                                        .weight = 0.7,
                                        .intermittent = true},
    [BP_SENSED_CONTACT_RESISTANCE] = {.id = "resistance",
                                      .words = "contact of %s burnt or dirty: high resistance",
                                      .scale = BP_SCALE_LOG,
                                      .unit = BP_UNIT_OHM,
                                      .lo = 0.5,
                                      .hi = 1e5,
                                      .typical = 500,
                                      .weight = 0.5,
                                      .intermittent = true},
    [BP_SENSED_CONTACT_LEAK] = {.id = "leak",
                                .words = "%s leaks across its open contact: oil or water inside",
                                .scale = BP_SCALE_LOG,
                                .unit = BP_UNIT_OHM,
                                .lo = 1,
                                .hi = 1e5,
                                .typical = 200,
                                .weight = 0.3,
                                .intermittent = true},
    {.id = NULL}};

bool bp_sensed_contact_closes(const bp_part *part, int setting) {
    bool answers = setting == 1;
    return answers == (part->param[BP_SENSED_CONTACT_ACTION] < BP_SENSED_CONTACT_OPENS);
}
