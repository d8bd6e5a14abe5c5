/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the ignition lead's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_IGNITION_LEAD_H
#define BP_CIRCUITS_KINDS_IGNITION_LEAD_H

enum { BP_HT_LEAD_PIN_1, BP_HT_LEAD_PIN_2 };
enum { BP_HT_LEAD_OHM, BP_HT_LEAD_CAPACITANCE, BP_HT_LEAD_INSULATION };
enum { BP_HT_LEAD_BURNT, BP_HT_LEAD_RESISTANCE, BP_HT_LEAD_FLASHES_OVER };

#endif
