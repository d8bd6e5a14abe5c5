/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One contact that pressure or level works: the model of such switches.
 */
#ifndef BP_SIM_SENSED_CONTACT_H
#define BP_SIM_SENSED_CONTACT_H

#include "sim/model.h"

void bp_sensed_contact_elements(bp_builder *b, const bp_part *part);
void bp_sensed_contact_values(const bp_view *view, double *value);
void bp_sensed_contact_behave(const bp_view *view, bp_behaviour *out);
extern const char *const bp_sensed_contact_says[];

#endif
