/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The two faces of `show`.
 */
#ifndef BP_CLI_SHOW_H
#define BP_CLI_SHOW_H

#include "circuits/circuit.h"
#include "cli/screen.h"

/* values: also every parameter with its spread and source. */
void bp_show_text(const bp_screen *out, const bp_circuit *circuit, bool us_units, bool values);
void bp_show_values(const bp_screen *out, const bp_circuit *circuit, bool us_units);
void bp_show_json(const bp_screen *out, const bp_circuit *circuit);

/* One parameter of a part as people read it: "85 Ω", "cathode-86". False when the part has none. */
bool bp_show_param(const bp_part *part, size_t param, bool us_units, char *text, size_t size);

#endif
