/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the files that read, write and list faults share.
 */
#ifndef BP_CIRCUITS_FAULT_PARTS_H
#define BP_CIRCUITS_FAULT_PARTS_H

#include "circuits/fault.h"

/* Pins of each half of a connector; 0 for a part that has no numbered pins that fail one by one. */
size_t bp_fault_n_cavities(const bp_part *part);

/* The table in which a fault of this part and sub has its mode. */
const bp_mode_decl *bp_fault_modes(const bp_part *part, size_t sub);

/* True when pin `pin` has the shared pin modes: its contact is its own. */
bool bp_fault_pin_fails(const bp_part *part, size_t pin);

/* Reads the subject of a rule: PART, PART.SUB, with or without :MODE and =PARTNER. mode is -1 when
 * none is named; a mode of single pins may stand after the part alone and then means each of its
 * pins (sub BP_NONE). Severity and condition are not taken. */
bp_status bp_fault_parse_rule(const bp_circuit *circuit, const char *text, bp_fault *out, char *why,
                              size_t size);

/* Reads "tugged", "engine > 80 degC" ... into fault->when. */
bp_status bp_fault_parse_when(const char *text, bp_fault *fault, char *why, size_t size);

/* Reads a severity for the mode of `fault`, in its unit and range. */
bp_status bp_fault_parse_severity(const bp_mode_decl *mode, const char *text, double *severity,
                                  char *why, size_t size);

/* One form of each fault: the lower part or pin owns a pair, a joined pin is the one that keeps the
 * contact. */
void bp_fault_canonical(const bp_circuit *circuit, bp_fault *fault);

/* Order of faults: by part, sub, mode, partner. */
int bp_fault_compare(const bp_fault *a, const bp_fault *b);

#endif
