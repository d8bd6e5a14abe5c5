/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the inertia switch's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_INERTIA_SWITCH_H
#define BP_CIRCUITS_KINDS_INERTIA_SWITCH_H

enum { BP_INERTIA_SWITCH_PIN_1, BP_INERTIA_SWITCH_PIN_2 };
enum { BP_INERTIA_SWITCH_OHM };
enum {
    BP_INERTIA_SWITCH_TRIPPED,
    BP_INERTIA_SWITCH_OPEN,
    BP_INERTIA_SWITCH_RESISTANCE,
    BP_INERTIA_SWITCH_STUCK_CLOSED
};

/* Settings. */
enum { BP_INERTIA_SWITCH_SET, BP_INERTIA_SWITCH_KNOCKED };

#endif
