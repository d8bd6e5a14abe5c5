/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is written beside a part: its id, what people call it, its value, the position shown.
 */
#include <stdio.h>
#include <string.h>

#include "render/place.h"

const bp_font bp_font_quieter = {BP_SMALL_TEXT, BP_REGULAR, BP_GREY_TEXT, false};
bp_font bp_font_part(const bp_plan *plan) {
    return (bp_font){8.0 * plan->options.tags.text, BP_BOLD, BP_INK_BLACK, false};
}

double bp_name_width(const bp_part *part) { return part->kind == &bp_kind_ground ? 54 : 66; }

static const bp_font shown = {BP_SMALL_TEXT, BP_BOLD, BP_INK_BLACK, false};

static void add(bp_words *words, const char *text, const bp_font *font) {
    if (!text || !text[0] || words->n >= BP_NAME_LINES)
        return;
    snprintf(words->line[words->n], sizeof words->line[0], "%s", text);
    words->font[words->n++] = *font;
}

/* The longest word that a part may say in any of its settings. */
static const char *longest(const bp_plan *plan, const bp_part *part) {
    const bp_symbol *symbol = bp_symbol_of(part);
    const char *best = NULL;
    double width = 0;
    for (int setting = 0; symbol->says && setting < 16; setting++) {
        if (setting && !bp_part_setting_name(part, setting) && setting > 1)
            break;
        const char *text = symbol->says(part, &(bp_look){.setting = setting, .position = setting});
        if (!text)
            continue;
        bp_box size = bp_text_size(plan->measure, text, &shown, 0);
        if (size.w > width) {
            width = size.w;
            best = text;
        }
    }
    return best;
}

void bp_block_words(const bp_plan *plan, const bp_part *part, const bp_shape *shape,
                    const bp_look *look, bp_words *words) {
    const bp_symbol *symbol = bp_symbol_of(part);
    memset(words, 0, sizeof *words);
    if (part->kind == &bp_kind_connector && part->n_pins > 2)
        snprintf(words->id, sizeof words->id, "%s.%zu", part->id, shape->piece + 1);
    else
        snprintf(words->id, sizeof words->id, "%s", part->id);
    if (shape->piece == 0)
        add(words, part->label, &bp_font_quieter);
    char text[96] = "";
    if (symbol->caption(part, text, sizeof text) > 0)
        add(words, text, &bp_font_quieter);
    if (symbol->says)
        add(words, look ? symbol->says(part, look) : longest(plan, part), &shown);
}
