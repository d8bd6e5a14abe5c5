/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From notes to a circuit: every step goes on past mistakes, so that one pass shows them all.
 */
#include "circuits/building.h"

#include "circuits/report.h"

static void (*const steps[])(bp_circuit *circuit) = {
    bp_resolve_parts, bp_resolve_texts,  bp_resolve_faces,     bp_resolve_nodes, bp_resolve_states,
    bp_resolve_modes, bp_resolve_points, bp_resolve_waveforms, bp_resolve_rules, bp_check_circuit,
};

bp_status bp_circuit_finish(bp_circuit *circuit) {
    bp_building *b = bp_building_of(circuit);
    if (!b)
        return BP_ERR_USAGE;
    if (b->n_files > 0)
        circuit->file = bp_build_copy(circuit, b->files[0]);
    for (size_t i = 0; i < sizeof steps / sizeof *steps && !b->no_memory; i++)
        steps[i](circuit);
    bool no_memory = b->no_memory || bp_report_failed(b->report);
    bool mistakes = b->n_mistakes > 0;
    bp_building_free(&b);
    circuit->building = NULL;
    return no_memory ? BP_ERR_MEMORY : mistakes ? BP_ERR_INPUT : BP_OK;
}
