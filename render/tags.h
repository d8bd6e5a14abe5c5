/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The tag of a test point: its letter on a dark field, the good reading and the one with this
 * fault. Points that nobody wrote (a fuse's tabs) have a quieter, smaller one.
 */
#ifndef BP_RENDER_TAGS_H
#define BP_RENDER_TAGS_H

#include "render/schematic.h"

/* Radius of the ring on the wire, points. */
#define BP_RING 2.5

/* How tags are written in one drawing. */
typedef struct bp_tag_style {
    int lines;   /* readings: 1 or 2 */
    double text; /* scales what is larger than the smallest text */
    bool flat;   /* two readings side by side, as the quiet ones always have them */
} bp_tag_style;

/* Size on the page, points. */
bp_box bp_tag_size(bp_canvas *measure, const bp_point *point, const bp_tag_style *style);

/* Draws the tag into its box; `left`: it hangs left of its ring. tag NULL: the letter alone, with
 * room to write. */
void bp_tag_draw(bp_canvas *canvas, const bp_point *point, const bp_tag *tag, bp_box box, bool left,
                 const bp_tag_style *style);

#endif
