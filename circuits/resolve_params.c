/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a file says about one part: the keys that every part takes, and the parameters of its kind.
 */
#include "circuits/building.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "circuits/text.h"

enum { LONGEST_LABEL = 120 };

static const char *const common_keys[] = {"label", "in", "access", "price", "fit"};
enum { N_COMMON_KEYS = sizeof common_keys / sizeof *common_keys };

static void broken(bp_circuit *circuit, const bp_part *part) {
    bp_building_of(circuit)->drafts[part->index].broken = true;
}

/* Puts a checked one-line copy of the note's value into *text. */
static void set_text(bp_circuit *circuit, bp_part *part, const bp_build_note *note, char **text) {
    char *copy = bp_build_copy(circuit, note->c);
    if (!copy)
        return;
    bp_text_one_line(copy);
    const char *wrong = copy[0] == '\0'                ? "is empty"
                        : strlen(copy) > LONGEST_LABEL ? "is longer than 120 characters"
                        : !bp_text_is_clean(copy)      ? "has characters that cannot be shown"
                                                       : NULL;
    if (wrong) {
        bp_build_mistake(circuit, &note->place, "%s of %s %s", note->b, part->id, wrong);
        broken(circuit, part);
        free(copy);
        return;
    }
    free(*text);
    *text = copy;
}

/* Reads the note's value in a unit; *value stays as it is when that is not possible or not within
 * lo and hi. */
static void set_value(bp_circuit *circuit, bp_part *part, const bp_build_note *note, bp_unit unit,
                      double lo, double hi, double *value) {
    char why[200], least[40], most[40];
    double read;
    if (bp_quantity_parse(note->c, unit, &read, why, sizeof why) != BP_OK) {
        bp_build_mistake(circuit, &note->place, "%s of %s: %s", note->b, part->id, why);
        broken(circuit, part);
        return;
    }
    if ((lo != 0 || hi != 0) && !(read >= lo && read <= hi)) {
        bp_quantity_format(lo, unit, 4, least, sizeof least);
        bp_quantity_format(hi, unit, 4, most, sizeof most);
        bp_build_mistake(circuit, &note->place,
                         "%s of %s is \"%.40s\", which cannot be: expected %s to %s", note->b,
                         part->id, note->c, least, most);
        broken(circuit, part);
        return;
    }
    *value = read;
}

static void set_count(bp_circuit *circuit, bp_part *part, const bp_build_note *note,
                      const bp_param_decl *decl, double *value) {
    size_t digits = strspn(note->c, "0123456789");
    if (digits == 0 || note->c[digits] != '\0') {
        bp_build_mistake(circuit, &note->place, "%s of %s: \"%.40s\" is not a whole number",
                         note->b, part->id, note->c);
        broken(circuit, part);
        return;
    }
    set_value(circuit, part, note, BP_UNIT_NONE, decl->lo, decl->hi, value);
}

static void set_word(bp_circuit *circuit, bp_part *part, const bp_build_note *note,
                     const bp_param_decl *decl, double *value) {
    for (size_t i = 0; decl->choices[i]; i++)
        if (strcmp(decl->choices[i], note->c) == 0) {
            *value = (double)i;
            return;
        }
    bp_names choices = {0};
    for (size_t i = 0; decl->choices[i]; i++)
        bp_names_add(&choices, decl->choices[i]);
    char where[80];
    snprintf(where, sizeof where, " for %.30s of %.40s", note->b, part->id);
    bp_build_unknown(circuit, &note->place, "word", note->c, where, &choices);
    bp_names_free(&choices);
    broken(circuit, part);
}

/* The keys that every part takes; false when the note's key is none of them. */
static bool set_common(bp_circuit *circuit, bp_part *part, const bp_build_note *note) {
    double seconds = -1;
    const char *key = note->b;
    if (strcmp(key, "label") == 0) {
        set_text(circuit, part, note, &part->label);
    } else if (strcmp(key, "in") == 0) {
        set_text(circuit, part, note, &part->unit);
        if (part->unit && !bp_text_is_id(part->unit, false))
            bp_build_mistake(circuit, &note->place,
                             "\"%.40s\" is not a name for what %s sits in: expected letters, "
                             "digits and _, beginning with a letter",
                             part->unit, part->id);
    } else if (strcmp(key, "access") == 0 || strcmp(key, "fit") == 0) {
        set_value(circuit, part, note, BP_UNIT_SECOND, 0, 100 * 3600.0, &seconds);
        if (seconds >= 0)
            *(key[0] == 'a' ? &part->access : &part->fit) = seconds / 60;
    } else if (strcmp(key, "price") == 0) {
        set_value(circuit, part, note, BP_UNIT_NONE, 0, 1e6, &part->price);
    } else {
        return false;
    }
    return true;
}

static void unknown_key(bp_circuit *circuit, bp_part *part, const bp_build_note *note) {
    bp_names keys = {0};
    char where[80];
    for (size_t i = 0; part->kind->params && part->kind->params[i].key; i++)
        bp_names_add(&keys, part->kind->params[i].key);
    if (part->kind->has_positions)
        bp_names_add(&keys, "positions");
    for (size_t i = 0; i < N_COMMON_KEYS; i++)
        bp_names_add(&keys, common_keys[i]);
    if (part->kind == &bp_kind_wire) {
        bp_names_add(&keys, "from");
        bp_names_add(&keys, "to");
    }
    snprintf(where, sizeof where, " in %.30s %.40s", part->kind->words, part->id);
    bp_build_unknown(circuit, &note->place, "key", note->b, where, &keys);
    bp_names_free(&keys);
    broken(circuit, part);
}

static bool set_wire_end(bp_circuit *circuit, bp_part *part, const bp_build_note *note) {
    int end = strcmp(note->b, "from") == 0 ? 0 : strcmp(note->b, "to") == 0 ? 1 : -1;
    if (part->kind != &bp_kind_wire || end < 0)
        return false;
    bp_draft *draft = &bp_building_of(circuit)->drafts[part->index];
    draft->end[end] = note->c;
    draft->end_place[end] = note->place;
    return true;
}

void bp_resolve_param(bp_circuit *circuit, bp_part *part, const bp_build_note *note) {
    if (!part->kind || set_wire_end(circuit, part, note) || set_common(circuit, part, note))
        return;
    int index = bp_kind_param(part->kind, note->b);
    if (index < 0) {
        unknown_key(circuit, part, note);
        return;
    }
    const bp_param_decl *decl = &part->kind->params[index];
    double *value = &part->param[index];
    switch (decl->type) {
    case BP_PARAM_QUANTITY:
        set_value(circuit, part, note, decl->unit, decl->lo, decl->hi, value);
        break;
    case BP_PARAM_COUNT:
        set_count(circuit, part, note, decl, value);
        break;
    case BP_PARAM_WORD:
        set_word(circuit, part, note, decl, value);
        break;
    case BP_PARAM_TEXT:
        set_text(circuit, part, note, &part->text[index]);
        break;
    }
    part->given[index] = true;
}
