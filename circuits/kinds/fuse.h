/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the fuse's pins, parameters and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_FUSE_H
#define BP_CIRCUITS_KINDS_FUSE_H

enum { BP_FUSE_PIN_1, BP_FUSE_PIN_2 };
enum { BP_FUSE_RATING, BP_FUSE_RESISTANCE };
enum { BP_FUSE_BLOWN, BP_FUSE_HAIRLINE, BP_FUSE_WRONG_RATING };

#endif
