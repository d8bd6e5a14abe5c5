/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What pressure and level switches have in common: pins, parameters, failure modes. They have two
 * settings; the second is what the contact answers to (pressure has come, the level is low).
 */
#ifndef BP_CIRCUITS_SENSED_CONTACT_H
#define BP_CIRCUITS_SENSED_CONTACT_H

#include "circuits/circuit.h"

enum { BP_SENSED_CONTACT_PIN_1, BP_SENSED_CONTACT_PIN_2 };
enum { BP_SENSED_CONTACT_ACTION, BP_SENSED_CONTACT_OHM };
enum { BP_SENSED_CONTACT_CLOSES, BP_SENSED_CONTACT_OPENS };
enum {
    BP_SENSED_CONTACT_STUCK_OPEN,
    BP_SENSED_CONTACT_STUCK_CLOSED,
    BP_SENSED_CONTACT_RESISTANCE,
    BP_SENSED_CONTACT_LEAK
};

extern const bp_pin_decl bp_sensed_contact_pins[];
extern const bp_mode_decl bp_sensed_contact_modes[];
extern const char *const bp_sensed_contact_actions[];

/* Is the contact of a good one closed in this setting? */
bool bp_sensed_contact_closes(const bp_part *part, int setting);

#endif
