/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an hour of work costs, as people write it.
 */
#ifndef BP_CLI_RATE_H
#define BP_CLI_RATE_H

#include <stdbool.h>
#include <stddef.h>

typedef struct bp_rate {
    double per_hour;   /* NAN: not given */
    char currency[16]; /* "EUR", "kr"; empty: none was written */
} bp_rate;

/* "95 EUR", "EUR 95", "€95", "95": a number with a currency before or behind it. False when it is
 * none, or not above 0. */
bool bp_rate_read(const char *text, bp_rate *rate);

#endif
