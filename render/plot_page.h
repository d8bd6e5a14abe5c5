/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A page of waveforms, and the same as blocks of a sheet.
 */
#ifndef BP_RENDER_PLOT_PAGE_H
#define BP_RENDER_PLOT_PAGE_H

#include <backprobe/plot.h>

#include "render/plot.h"
#include "render/sheet_flow.h"

/* What a page of waveforms says. */
typedef struct bp_plot_page {
    bp_facts base; /* circuit, options, state, faults and their words; its answers are not there */
    bp_plot_runs runs; /* as they came, without result too */
    char conditions[300];
    bp_words notices; /* of both runs */
} bp_plot_page;

/* Draws all pages; the canvas is at the top of an empty page of the paper that the options name.
 * BP_ERR_MEMORY, else BP_OK. One run at least is drawable. */
bp_status bp_plot_compose(bp_canvas *canvas, const bp_plot_page *page);

/* Works out what the page says. BP_ERR_INPUT: faults that the circuit does not have. Free with
 * bp_plot_page_clear whatever comes back. */
bp_status bp_plot_page_make(bp_plot_page *page, const bp_circuit *circuit,
                            const bp_scope_question *question, const bp_plot_runs *runs,
                            const bp_plot_options *options);
void bp_plot_page_clear(bp_plot_page *page);

/* Blocks, which go on to further pages: what is known of parts, in rows; what was measured on each
 * trace, in columns. */
/* Is anything known of parts in one of the runs? */
bool bp_plot_knows_parts(const bp_plot_runs *runs);
void bp_block_features(bp_flow *flow, const bp_plot_runs *runs, double width);
void bp_block_measures(bp_flow *flow, const bp_plot_runs *runs);
/* What is said of runs that have no result: empty when both are drawable or not asked. */
void bp_plot_failed_words(const bp_plot_runs *runs, char *text, size_t size);

#endif
