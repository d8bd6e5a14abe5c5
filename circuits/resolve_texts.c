/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The circuit's own words: id, title, scenario, cautions, where to look elsewhere.
 */
#include "circuits/building.h"

#include <stdlib.h>
#include <string.h>

#include "circuits/cautions.h"
#include "circuits/memory.h"
#include "circuits/text.h"

enum { LONGEST_TITLE = 120, LONGEST_SENTENCE = 500, MOST_SENTENCES = 20 };

char *bp_build_sentence(bp_circuit *circuit, const bp_note_place *place, const char *what,
                        const char *text, size_t most) {
    char *copy = bp_build_copy(circuit, text);
    if (!copy)
        return NULL;
    bp_text_one_line(copy);
    if (copy[0] == '\0')
        bp_build_mistake(circuit, place, "%s is empty", what);
    else if (strlen(copy) > most)
        bp_build_mistake(circuit, place, "%s is longer than %zu characters", what, most);
    else if (!bp_text_is_clean(copy))
        bp_build_mistake(circuit, place, "%s has characters that cannot be shown", what);
    else
        return copy;
    free(copy);
    return NULL;
}

/* Adds a text to a list that owns it. */
static void add(bp_circuit *circuit, char ***list, size_t *n, char *text) {
    if (*n > MOST_SENTENCES) { /* reported in the end */
        free(text);
        return;
    }
    char **room = text ? bp_build_got(circuit, bp_room(*list, *n, sizeof *room)) : NULL;
    if (!room) {
        free(text);
        return;
    }
    *list = room;
    room[(*n)++] = text;
}

static bool has(char *const *list, size_t n, const char *text) {
    for (size_t i = 0; i < n; i++)
        if (strcmp(list[i], text) == 0)
            return true;
    return false;
}

static void add_caution(bp_circuit *circuit, const bp_build_note *note) {
    if (!strchr(note->b, ' ')) {
        circuit->airbag = circuit->airbag || strcmp(note->b, "airbag") == 0;
        if (bp_caution_text(note->b))
            return; /* added with the others, in their order */
        bp_names keys = {0};
        for (const bp_caution *c = bp_cautions; c->key; c++)
            bp_names_add(&keys, c->key);
        bp_build_unknown(circuit, &note->place, "caution", note->b, "", &keys);
        bp_names_free(&keys);
        return;
    }
    char *text = bp_build_sentence(circuit, &note->place, "caution", note->b, LONGEST_SENTENCE);
    if (text && has(circuit->cautions, circuit->n_cautions, text))
        free(text);
    else
        add(circuit, &circuit->cautions, &circuit->n_cautions, text);
}

/* True when the file names the key, or a part calls for it, or every sheet carries it. */
static bool wanted(const bp_circuit *circuit, const bp_caution *caution) {
    const bp_building *b = bp_building_of(circuit);
    if (caution->always)
        return true;
    for (size_t i = 0; i < b->n_notes; i++)
        if (b->notes[i].sort == BP_NOTE_TEXT && strcmp(b->notes[i].a, "caution") == 0 &&
            strcmp(b->notes[i].b, caution->key) == 0)
            return true;
    for (size_t i = 0; i < circuit->n_parts; i++)
        for (size_t k = 0; k < 4 && caution->calls[k]; k++)
            if (circuit->parts[i].kind == caution->calls[k])
                return true;
    return false;
}

static void set_text(bp_circuit *circuit, const bp_build_note *note) {
    bool title = strcmp(note->a, "title") == 0;
    char **text = title ? &circuit->title : &circuit->scenario;
    char *copy = bp_build_sentence(circuit, &note->place, note->a, note->b,
                                   title ? LONGEST_TITLE : LONGEST_SENTENCE);
    if (!copy)
        return;
    free(*text);
    *text = copy;
}

void bp_resolve_texts(bp_circuit *circuit) {
    static const char *const keys[] = {"title", "scenario", "reference", "caution", "elsewhere"};
    bp_building *b = bp_building_of(circuit);
    const bp_note_place start = bp_build_start(circuit);
    if (!bp_text_is_id(circuit->id, true))
        bp_build_mistake(circuit, &start,
                         "\"%.60s\" cannot be the id of a circuit: expected letters, digits, _ and "
                         "-, beginning with a letter, at most 40 of them",
                         circuit->id);
    for (const bp_caution *c = bp_cautions; c->key; c++)
        if (wanted(circuit, c))
            add(circuit, &circuit->cautions, &circuit->n_cautions, bp_build_copy(circuit, c->key));
    for (size_t i = 0; i < b->n_notes && !b->no_memory; i++) {
        const bp_build_note *note = &b->notes[i];
        if (note->sort != BP_NOTE_TEXT || strcmp(note->a, "reference") == 0)
            continue;
        if (strcmp(note->a, "title") == 0 || strcmp(note->a, "scenario") == 0) {
            set_text(circuit, note);
        } else if (strcmp(note->a, "caution") == 0) {
            add_caution(circuit, note);
        } else if (strcmp(note->a, "elsewhere") == 0) {
            add(circuit, &circuit->elsewhere, &circuit->n_elsewhere,
                bp_build_sentence(circuit, &note->place, "elsewhere", note->b, LONGEST_SENTENCE));
        } else {
            bp_names names = {.name = (const char **)keys, .n = sizeof keys / sizeof *keys};
            bp_build_unknown(circuit, &note->place, "text", note->a, "", &names);
        }
    }
    if (circuit->n_elsewhere > MOST_SENTENCES || circuit->n_cautions > MOST_SENTENCES)
        bp_build_mistake(circuit, &start,
                         "there are more than %d sentences of caution or of elsewhere",
                         MOST_SENTENCES);
}
