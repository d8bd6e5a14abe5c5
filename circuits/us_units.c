/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/us_units.h"

#include <math.h>
#include <stdio.h>

/* International foot, m (exact). */
static const double foot = 0.3048;

/* American wire gauge by ASTM B258: diameter 0.127 mm * 92^((36 - n)/39). Even gauges are what is
 * sold down to 2. */
static int write_gauge(double area, char *text, size_t size) {
    double millimetres = 2e3 * sqrt(area / acos(-1));
    double exact = 36 - 39 * log(millimetres / 0.127) / log(92);
    double gauge = exact > 1 ? 2 * round(exact / 2) : round(exact);
    const char *about = fabs(exact - gauge) < 0.1 ? "" : "≈ ";
    if (gauge < 0)
        return snprintf(text, size, "%s%.0f/0 AWG", about, 1 - gauge);
    return snprintf(text, size, "%s%.0f AWG", about, gauge);
}

int bp_quantity_in(bool us_units, double value, bp_unit unit, int digits, char *text, size_t size) {
    if (us_units && unit == BP_UNIT_AREA)
        return write_gauge(value, text, size);
    if (us_units && unit == BP_UNIT_METRE)
        return snprintf(text, size, "%.1f ft", value / foot);
    if (us_units && unit == BP_UNIT_CELSIUS)
        return snprintf(text, size, "%.0f °F", value * 9 / 5 + 32);
    return bp_quantity_format(value, unit, digits, text, size);
}
