/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A YAML document as building calls.
 */
#ifndef BP_CIRCUITS_LOAD_YAML_H
#define BP_CIRCUITS_LOAD_YAML_H

#include <yaml.h>

#include <backprobe/circuit.h>

/* Makes the building calls of a document that has passed bp_yaml_guard. BP_OK: *circuit is there,
 * owned by the caller and not finished yet, and mistakes of shape are in the report. BP_ERR_INPUT:
 * it has no shape of a circuit at all; BP_ERR_MEMORY. */
bp_status bp_load_document(yaml_document_t *document, const char *file, bp_circuit **circuit,
                           bp_report *report);

#endif
