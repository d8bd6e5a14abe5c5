/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The type sizes of a printed page, one role each, points.
 */
#ifndef BP_RENDER_STYLE_H
#define BP_RENDER_STYLE_H

#include "render/canvas.h"

extern const bp_font bp_font_title, bp_font_heading, bp_font_state;
extern const bp_font bp_font_text, bp_font_strong, bp_font_quiet;
extern const bp_font bp_font_cell, bp_font_cell_strong, bp_font_cell_quiet, bp_font_cell_head;
extern const bp_font bp_font_small, bp_font_small_strong, bp_font_chip;

#endif
