/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A YAML document as building calls.
 */
#ifndef BP_CIRCUITS_LOAD_YAML_H
#define BP_CIRCUITS_LOAD_YAML_H

#include <yaml.h>

#include <backprobe/circuit.h>

/* Makes the building calls of a document that has passed bp_yaml_guard. NULL when memory is out;
 * mistakes of shape are in the report, and the circuit is not finished yet. */
bp_circuit *bp_load_document(yaml_document_t *document, const char *file, bp_report *report);

#endif
