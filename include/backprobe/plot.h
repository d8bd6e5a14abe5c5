/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Waveforms on paper: traces of a run over time, the good circuit's behind those with a fault, and
 * what was measured on them.
 */
#ifndef BACKPROBE_PLOT_H
#define BACKPROBE_PLOT_H

#include <backprobe/scope.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bp_plot_options {
    bool letter;   /* US letter instead of A4 */
    bool us_units; /* temperatures in degF */
} bp_plot_options;

/* Writes a page to path (.png, .pdf, .svg): the run with the fault, the good circuit's behind it.
 * `question` is what both were asked (its conditions are printed); `fault` is NULL where only the
 * good circuit was asked, `good` may be NULL. A run without result is not drawn, and the page says
 * why; when nothing is left to draw nothing is written (BP_ERR_SOLVER). Nothing is left at `path`
 * when it fails, and what was there stays. */
bp_status bp_plot_write(bp_lab *lab, const bp_scope_question *question, const bp_scope_run *good,
                        const bp_scope_run *fault, const bp_plot_options *options, const char *path,
                        bp_report *report);

#ifdef __cplusplus
}
#endif
#endif
