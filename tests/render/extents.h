/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Reads a canvas's ledger and finds what lies over each other or off the page.
 */
#ifndef BP_TESTS_RENDER_EXTENTS_H
#define BP_TESTS_RENDER_EXTENTS_H

#include "render/canvas.h"

/* Number of collisions; the first few are printed, `what` before each:
 * - texts over texts, tags or symbols that they do not belong to;
 * - tags or symbols over each other;
 * - texts across the border of a frame, or out of the frame that they belong to;
 * - wires through texts, tags or symbols;
 * - ink nearer to the paper's edge than printers reach. */
size_t bp_extents_faults(const bp_canvas *canvas, const char *what);

#endif
