/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A reading beside its good range.
 */
#ifndef BP_CLI_READING_H
#define BP_CLI_READING_H

#include <backprobe/predict.h>

/* "▲", "▼" or "" for a mark above 0, below 0 or 0 (bp_reading_mark). Static. On a terminal without
 * UTF-8 they become "above" and "below". */
const char *bp_mark_text(int mark);

/* What stands in the reading's place: the display; for an unsteady one its extremes; "no result".
 */
void bp_show_reading(const bp_reading *reading, char *text, size_t size);

/* "12.02 – 12.43 V" or, when short, "12.02–12.43", as the meter would show the ends; "±0.002 V"
 * about zero; empty when there is no range. */
void bp_show_range(const bp_reading *reading, bool is_short, char *text, size_t size);

/* The healthy state that a faulted one is compared with: the one of the same name, or NULL. */
const bp_state_answer *bp_same_state(const bp_answer *healthy, const bp_state_answer *faulted);

#endif
