/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the gauge's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_GAUGE_H
#define BP_CIRCUITS_KINDS_GAUGE_H

enum { BP_GAUGE_PIN_15, BP_GAUGE_PIN_G, BP_GAUGE_PIN_31 };
enum { BP_GAUGE_FEED_COIL, BP_GAUGE_GROUND_COIL, BP_GAUGE_EMPTY, BP_GAUGE_FULL };
enum { BP_GAUGE_FEED_COIL_OPEN, BP_GAUGE_GROUND_COIL_OPEN, BP_GAUGE_STUCK };

#endif
