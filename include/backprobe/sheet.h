/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The test-point sheet: readings, drops and wiring of a circuit on paper.
 */
#ifndef BACKPROBE_SHEET_H
#define BACKPROBE_SHEET_H

#include <backprobe/predict.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bp_sheet_options {
    const char *state;  /* the state drawn and whose drops are shown; NULL: the one with the most
                           current flowing through loads */
    const char *faults; /* shown beside the healthy readings; NULL: healthy only */
    bool letter;        /* US letter instead of A4 */
    bool us_units;      /* feet, AWG, degF, inches */
    double ambient, engine, supply; /* as in bp_question; NAN = as the circuit says */
} bp_sheet_options;

#define BP_SHEET_OPTIONS_INIT                                                                      \
    { NULL, NULL, false, false, NAN, NAN, NAN }

/* Writes the sheet to path (.png, .pdf, .svg); nothing is left at `path` when it fails, and what
 * was there stays. */
bp_status bp_sheet_write(bp_lab *lab, const bp_sheet_options *options, const char *path,
                         bp_report *report);

#ifdef __cplusplus
}
#endif
#endif
