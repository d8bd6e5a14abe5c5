/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Comma-separated values (RFC 4180, lines ended by a line feed), UTF-8.
 */
#ifndef BP_CLI_CSV_H
#define BP_CLI_CSV_H

#include "cli/screen.h"

/* The first line: n titles. */
void bp_csv_head(const bp_screen *out, const char *const *titles, size_t n);

/* One field and what follows it: ',' or '\n'. NULL and numbers that are not finite are empty
 * fields. */
void bp_csv_text(const bp_screen *out, const char *text, char then);
void bp_csv_number(const bp_screen *out, double value, char then);

#endif
