/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A reply sheet drawn onto any canvas, for tests.
 */
#ifndef BP_RENDER_REPLY_H
#define BP_RENDER_REPLY_H

#include "render/reply_facts.h"

/* Draws all pages, one where it fits; the canvas is at the top of an empty page of the paper that
 * the options name. *drawn (or NULL) is how large the wiring came out on that page, 1 with texts at
 * their size; 0: it has a page of its own. BP_ERR_MEMORY, else BP_OK. */
bp_status bp_reply_compose(bp_canvas *canvas, const bp_reply *reply, double *drawn);

#endif
