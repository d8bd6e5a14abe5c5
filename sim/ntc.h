/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Resistance of a thermistor that falls as it warms, by Steinhart and Hart: 1/T = A + B ln R +
 * C (ln R)^3, T in K (J. S. Steinhart and S. R. Hart, Calibration curves for thermistors, Deep-Sea
 * Research 15 (1968), 497; from memory).
 */
#ifndef BP_SIM_NTC_H
#define BP_SIM_NTC_H

typedef struct bp_ntc {
    double a, b, c; /* 1/K; c > 0 */
} bp_ntc;

/* The curve through three rows of a data sheet, coldest first. */
bp_ntc bp_ntc_fit(const double celsius[3], const double ohm[3]);
/* ohm at degC. */
double bp_ntc_ohm(const bp_ntc *ntc, double celsius);

#endif
