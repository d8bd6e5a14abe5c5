/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the fusible link's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_FUSIBLE_LINK_H
#define BP_CIRCUITS_KINDS_FUSIBLE_LINK_H

enum { BP_LINK_PIN_1, BP_LINK_PIN_2 };
enum { BP_LINK_SIZE, BP_LINK_LENGTH };
enum { BP_LINK_MELTED, BP_LINK_RESISTANCE, BP_LINK_WRONG_SIZE };

#endif
