/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What ohmmeter and diode test have in common: a source of 3 V behind a resistor, and two leads.
 * Both need a dead circuit, so they look with a voltmeter's input first.
 */
#ifndef BP_SIM_TEST_CURRENT_H
#define BP_SIM_TEST_CURRENT_H

#include "sim/instrument.h"

void bp_test_current_elements(bp_builder *b, const bp_plan *plan);
/* As a voltmeter: no test current yet. */
void bp_test_current_connect(const bp_deck *deck, size_t pair, double *values);
/* Volts between the tips with the rig connected like that; more than 10 mV there falsify a reading.
 */
double bp_test_current_standing(const bp_rig *rig);
bool bp_test_current_is_live(double standing);
/* Lets the current flow through `ohm` and solves. False: there is no solution. */
bool bp_test_current_inject(bp_rig *rig, double ohm);
/* Then: volts between the tips, and amperes out of the red one. */
double bp_test_current_volts(const bp_rig *rig);
double bp_test_current_amps(const bp_rig *rig);

#endif
