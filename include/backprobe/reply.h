/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The reply sheet: for the person with the complaint, on one page where it fits. What is known so
 * far, what to measure next and where, what each reading will mean, what not to buy yet, when to
 * stop.
 */
#ifndef BACKPROBE_REPLY_H
#define BACKPROBE_REPLY_H

#include <backprobe/next.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bp_reply_options {
    bp_next_options next; /* match, tools, rate in money per hour or NAN */
    const char *currency; /* of the rate and the prices: "EUR"; NULL: none is written */
    bool letter;          /* US letter instead of A4 */
    bool us_units;        /* AWG, degF */
} bp_reply_options;

#define BP_REPLY_OPTIONS_INIT                                                                      \
    { BP_NEXT_OPTIONS_INIT, NULL, false, false }

/* Writes the sheet to path (.png, .pdf, .svg); nothing is left at `path` when it fails, and what
 * was there stays. The file is kept (not owned). */
bp_status bp_reply_write(const bp_casefile *file, const bp_reply_options *options, const char *path,
                         bp_report *report);

#ifdef __cplusplus
}
#endif
#endif
