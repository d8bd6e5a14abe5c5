/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The colours behind the roles. Blue and a burnt red are told apart by every common form of colour
 * blindness, and their greys (about 29 and 37 % of white) are told apart from the greys of rules
 * and second-rank text.
 */
#include "render/canvas_private.h"

static const unsigned char palette[][3] = {
    [BP_INK_BLACK] = {0x14, 0x16, 0x1a},   [BP_GREY_TEXT] = {0x55, 0x5b, 0x63},
    [BP_GREY_RULE] = {0xc4, 0xc9, 0xcf},   [BP_GREY_FILL] = {0xf3, 0xf4, 0xf5},
    [BP_ACCENT] = {0x12, 0x4e, 0x78},      [BP_ACCENT_FILL] = {0xe3, 0xec, 0xf2},
    [BP_ALARM] = {0xa8, 0x32, 0x0a},       [BP_ALARM_FILL] = {0xfb, 0xec, 0xe4},
    [BP_PAPER_WHITE] = {0xff, 0xff, 0xff},
};

void bp_palette(bp_colour colour, double rgb[3]) {
    for (int i = 0; i < 3; i++)
        rgb[i] = palette[colour][i] / 255.0;
}

void bp_canvas_colour(bp_canvas *canvas, bp_colour colour) {
    double rgb[3];
    bp_palette(colour, rgb);
    cairo_set_source_rgb(canvas->cr, rgb[0], rgb[1], rgb[2]);
}
