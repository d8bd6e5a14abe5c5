/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The three faces of `table`.
 */
#ifndef BP_CLI_TABLE_H
#define BP_CLI_TABLE_H

#include <backprobe/table.h>

#include "circuits/circuit.h"
#include "cli/screen.h"

/* all: every fault at every degree that was solved, else at its typical one. */
void bp_table_text(const bp_screen *out, const bp_circuit *circuit, const bp_table *table,
                   bool all);
void bp_table_json(const bp_screen *out, const bp_circuit *circuit, const bp_table *table);
void bp_table_csv(const bp_screen *out, const bp_circuit *circuit, const bp_table *table);

#endif
