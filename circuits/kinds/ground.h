/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the ground's parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_GROUND_H
#define BP_CIRCUITS_KINDS_GROUND_H

enum { BP_GROUND_ON, BP_GROUND_OHM };
enum { BP_GROUND_OPEN, BP_GROUND_RESISTANCE };

/* What it is bolted to. */
enum { BP_GROUND_ON_BODY, BP_GROUND_ON_ENGINE };

#endif
