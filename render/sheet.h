/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A sheet drawn onto any canvas, for tests and for booklets.
 */
#ifndef BP_RENDER_SHEET_H
#define BP_RENDER_SHEET_H

#include "render/sheet_facts.h"

/* Draws all pages; the canvas is at the top of an empty page of the paper that the options name.
 * BP_ERR_MEMORY, else BP_OK. */
bp_status bp_sheet_compose(bp_canvas *canvas, const bp_facts *facts);

#endif
