/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the switch's parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_SWITCH_H
#define BP_CIRCUITS_KINDS_SWITCH_H

enum { BP_SWITCH_OHM };
enum {
    BP_SWITCH_OPEN,
    BP_SWITCH_RESISTANCE,
    BP_SWITCH_STUCK_FIRST,
    BP_SWITCH_STUCK_SECOND,
    BP_SWITCH_STUCK_THIRD,
    BP_SWITCH_STUCK_FOURTH,
    BP_SWITCH_LEAK
};

#endif
