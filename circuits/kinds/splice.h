/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Indices of the splice's pins and failure modes.
 */
#ifndef BP_CIRCUITS_KINDS_SPLICE_H
#define BP_CIRCUITS_KINDS_SPLICE_H

enum { BP_SPLICE_PIN_1 };
enum { BP_SPLICE_LEAK_TO_GROUND };

#endif
