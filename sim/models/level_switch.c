/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Level switch: one contact.
 */
#include "sim/sensed_contact.h"

const bp_model bp_model_level_switch = {
    .elements = bp_sensed_contact_elements,
    .values = bp_sensed_contact_values,
    .behave = bp_sensed_contact_behave,
    .says = bp_sensed_contact_says,
    .kelvin_per_watt = 15,
};
