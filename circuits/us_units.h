/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Values in the units that people in the United States measure by.
 */
#ifndef BP_CIRCUITS_US_UNITS_H
#define BP_CIRCUITS_US_UNITS_H

#include <stdbool.h>

#include <backprobe/quantity.h>

/* As bp_quantity_format, but with us_units cross-sections in AWG (with "≈" where a metric size has
 * no gauge of its own), lengths in feet to a tenth, temperatures in degF to a whole one. */
int bp_quantity_in(bool us_units, double value, bp_unit unit, int digits, char *text, size_t size);

#endif
