/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a symbol says in words: captions from parameters, names of positions.
 */
#include <math.h>
#include <stdio.h>

#include "render/symbol_ink.h"

double bp_part_value(const bp_part *part, const char *key) {
    int index = bp_kind_param(part->kind, key);
    return index < 0 || !part->param ? NAN : part->param[index];
}

int bp_caption_value(const bp_part *part, const char *key, char *text, size_t size) {
    double value = bp_part_value(part, key);
    if (isnan(value))
        return 0;
    return bp_quantity_format(value, part->kind->params[bp_kind_param(part->kind, key)].unit, 3,
                              text, size);
}

int bp_caption_kind_value(const bp_part *part, const char *words, const char *key, char *text,
                          size_t size) {
    char value[40];
    if (part->label)
        return bp_caption_value(part, key, text, size);
    if (bp_caption_value(part, key, value, sizeof value) > 0)
        return snprintf(text, size, "%s · %s", words, value);
    return snprintf(text, size, "%s", words);
}

const char *bp_says_setting(const bp_part *part, const bp_look *look) {
    return bp_part_setting_name(part, look->setting);
}

bool bp_position_joins(const bp_part *part, int setting, size_t a, size_t b) {
    if (setting < 0 || (size_t)setting >= part->n_positions)
        return false;
    const bp_position *position = &part->positions[setting];
    for (size_t i = 0; i < position->n_pairs; i++) {
        const size_t *pair = position->pairs[i];
        if ((pair[0] == a && pair[1] == b) || (pair[0] == b && pair[1] == a))
            return true;
    }
    return false;
}
