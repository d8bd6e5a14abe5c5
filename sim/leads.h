/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What leads and lamps add to the deck, what flows through them, and what is said of them.
 */
#ifndef BP_SIM_LEADS_H
#define BP_SIM_LEADS_H

#include "sim/case.h"
#include "sim/store.h"
#include "sim/task.h"

/* The most a sort of lead carries, A, and what sets that limit: "the 30 A fuse in such a lead". */
double bp_lead_most(const bp_patch *lead);
const char *bp_lead_limit(const bp_patch *lead);

/* The elements of all leads of the plan, and their values; there: they are connected. */
void bp_leads_elements(bp_builder *b, const bp_plan *plan);
void bp_leads_values(const bp_deck *deck, bool there, double *values);

/* Current through the plan's lead i from its red end to its black one, A, and the voltage across
 * it. */
double bp_lead_amps(const bp_deck *deck, const double *volts, size_t i);
double bp_lead_volts(const bp_deck *deck, const double *volts, size_t i);

/* "a jumper from F4.2 to C12.a1". */
void bp_lead_name(const bp_circuit *circuit, const bp_patch *lead, char *text, size_t size);
/* How notices call it: "Feed to M1.1", "Lamp for F4". */
void bp_lead_label(const bp_circuit *circuit, const bp_patch *lead, char *text, size_t size);
/* What people notice: a lamp's light, a lead's current. */
void bp_lead_behave(const bp_deck *deck, const double *volts, size_t i, bp_behaviour *out);

#endif
