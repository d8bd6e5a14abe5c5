/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Numbers with units. Inside the program every value is a double in the unit named in bp_unit's
 * comment (SI, but degC for temperatures, fractions for percentages, mm2 kept as m2).
 */
#ifndef BACKPROBE_QUANTITY_H
#define BACKPROBE_QUANTITY_H

#include <backprobe/report.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef enum bp_unit {
    BP_UNIT_NONE,       /* a bare number */
    BP_UNIT_VOLT,       /* V */
    BP_UNIT_AMPERE,     /* A */
    BP_UNIT_OHM,        /* ohm; also written with the letter omega */
    BP_UNIT_WATT,       /* W */
    BP_UNIT_FARAD,      /* F */
    BP_UNIT_HENRY,      /* H */
    BP_UNIT_METRE,      /* m; also mm, cm, ft, in */
    BP_UNIT_AREA,       /* m2; written mm2 or AWG */
    BP_UNIT_CELSIUS,    /* degC; also degF, K */
    BP_UNIT_SECOND,     /* s; also min, h */
    BP_UNIT_FRACTION,   /* 1 = 100 %; written % */
    BP_UNIT_RPM,        /* rev/min; also rpm */
    BP_UNIT_HERTZ,      /* Hz */
    BP_UNIT_AMPERE_HOUR /* A h, written Ah */
} bp_unit;

/* Reads "12.6 V", "0.5ohm", "18 AWG", "95 degC", "25 uF" as `unit`. Prefixes p n u m k M G are
 * case-sensitive. On failure returns BP_ERR_INPUT and writes what was found and expected into why
 * (size bytes, always ended). */
bp_status bp_quantity_parse(const char *text, bp_unit unit, double *value, char *why, size_t size);

/* Writes the value with the prefix and digits that a person would write: "12.6 V", "85 ohm" with
 * the omega sign, "2.5 mm²", "90 %". `digits` significant digits (2 to 17). Returns the length as
 * snprintf does. */
int bp_quantity_format(double value, bp_unit unit, int digits, char *text, size_t size);

/* The same of something measured, whose last digits count even where they are 0: "5.00 V". */
int bp_quantity_measured(double value, bp_unit unit, int digits, char *text, size_t size);

/* The same as plain input text that bp_quantity_parse reads back: "85 ohm", "2.5 mm2". */
int bp_quantity_write(double value, bp_unit unit, char *text, size_t size);

/* The unit's own name, e.g. "volt", and its symbol, e.g. "V", "Ω". Static. */
const char *bp_unit_name(bp_unit unit);
const char *bp_unit_symbol(bp_unit unit);

#ifdef __cplusplus
}
#endif
#endif
