/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The fault table: every fault, over its grid of severities, against every state and point.
 */
#ifndef BACKPROBE_TABLE_H
#define BACKPROBE_TABLE_H

#include <backprobe/predict.h>

#ifdef __cplusplus
extern "C" {
#endif

/* One row: a fault at one severity. Strings belong to the table. */
typedef struct bp_table_row {
    const char *fault; /* canonical with severity: "W7:resistance=1.5ohm" */
    const char *words;
    double severity; /* NAN when the mode has none */
    bool typical;    /* at the mode's typical severity */
    size_t group;    /* rows with the same group look alike at every point in every state within the
                        meter's digits */
    const bp_answer *answer; /* every state, every point, volts, bare (bp_question); NULL if the
                                case got no result */
    bool telling;            /* something leaves its healthy good range */
} bp_table_row;

typedef struct bp_table bp_table;

/* Row 0 is healthy (with ranges). NULL on failure; see the report. */
bp_table *bp_table_compute(bp_lab *lab, void (*progress)(void *data, size_t done, size_t of),
                           void *data, bp_report *report);
void bp_table_free(bp_table **table);
size_t bp_table_n_rows(const bp_table *table);
const bp_table_row *bp_table_row_at(const bp_table *table, size_t index);
size_t bp_table_n_groups(const bp_table *table);
/* Number of solved cases: rows times states. */
size_t bp_table_n_cases(const bp_table *table);

#ifdef __cplusplus
}
#endif
#endif
