/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Sizes of texts that were measured before. A drawing is tried at many scales and asks for the same
 * few hundred texts again and again; laying one out costs far more than finding it here.
 */
#ifndef BP_RENDER_TEXT_MEMO_H
#define BP_RENDER_TEXT_MEMO_H

#include <glib.h>

#include "render/canvas.h"

/* Empty. Freed by g_hash_table_unref. */
GHashTable *bp_text_memo_new(void);

/* The box of this text in this font at this width, or NULL. */
const bp_box *bp_text_memo_find(GHashTable *memo, const char *text, const bp_font *font,
                                double width);
void bp_text_memo_keep(GHashTable *memo, const char *text, const bp_font *font, double width,
                       bp_box box);

#endif
