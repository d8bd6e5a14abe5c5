/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Messages and lists of names while a circuit is built.
 */
#include "circuits/building.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "circuits/report.h"

enum { MOST_LISTED = 12 };

bp_building *bp_building_of(const bp_circuit *circuit) { return circuit->building; }

void bp_building_free(bp_building **building) {
    bp_building *b = *building;
    if (!b)
        return;
    for (size_t i = 0; i < b->n_notes; i++) {
        bp_build_note *note = &b->notes[i];
        free(note->a);
        free(note->b);
        free(note->c);
        for (size_t k = 0; k < note->n_list; k++)
            free(note->list[k]);
        free(note->list);
    }
    for (size_t i = 0; i < b->n_files; i++)
        free(b->files[i]);
    free(b->notes);
    free(b->files);
    free(b->drafts);
    free(b->state_places);
    free(b->point_places);
    free(b);
    *building = NULL;
}

bp_note_place bp_build_start(const bp_circuit *circuit) {
    const bp_building *b = bp_building_of(circuit);
    if (b->n_files == 0)
        return (bp_note_place){NULL, 0, 0};
    return (bp_note_place){b->files[0], 1, 1};
}

void *bp_build_got(bp_circuit *circuit, void *pointer) {
    if (!pointer)
        bp_building_of(circuit)->no_memory = true;
    return pointer;
}

char *bp_build_copy(bp_circuit *circuit, const char *text) {
    return bp_build_got(circuit, bp_copy(text));
}

void bp_build_mistake(bp_circuit *circuit, const bp_note_place *place, const char *format, ...) {
    bp_building *b = bp_building_of(circuit);
    va_list arguments;
    va_start(arguments, format);
    bp_report_add_list(b->report, BP_MISTAKE, place->file, place->line, place->column, format,
                       arguments);
    va_end(arguments);
    b->n_mistakes++;
}

void bp_build_warning(bp_circuit *circuit, const bp_note_place *place, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    bp_report_add_list(bp_building_of(circuit)->report, BP_WARNING, place->file, place->line,
                       place->column, format, arguments);
    va_end(arguments);
}

void bp_names_add(bp_names *names, const char *name) {
    const char **room = name ? bp_room(names->name, names->n, sizeof *room) : NULL;
    if (!room) {
        names->no_memory = names->no_memory || name;
        return;
    }
    names->name = room;
    names->name[names->n++] = name;
}

void bp_names_free(bp_names *names) {
    free(names->name);
    *names = (bp_names){0};
}

const char *bp_names_list(const bp_names *names, char *text, size_t size) {
    size_t used = 0;
    snprintf(text, size, "none");
    for (size_t i = 0; i < names->n && used < size; i++) {
        const char *before = i == 0 ? "" : i + 1 == names->n ? " or " : ", ";
        if (i == MOST_LISTED) {
            snprintf(text + used, size - used, " ...");
            break;
        }
        used += (size_t)snprintf(text + used, size - used, "%s%s", before, names->name[i]);
    }
    return text;
}

const char *bp_names_hint(const bp_names *names, const char *word, char *text, size_t size) {
    const char *near = names->n ? bp_near_miss(word, names->name, names->n) : NULL;
    if (near)
        snprintf(text, size, "; did you mean \"%s\"?", near);
    else
        text[0] = '\0';
    return text;
}

void bp_names_of_pins(bp_names *names, const bp_part *part) {
    for (size_t i = 0; i < part->n_pins; i++)
        bp_names_add(names, part->pins[i].name);
}

void bp_names_of_settings(bp_names *names, const bp_part *part) {
    for (size_t i = 0; i < part->n_positions; i++)
        bp_names_add(names, part->positions[i].name);
    if (part->n_positions == 0 && part->kind && part->kind->settings)
        for (size_t i = 0; part->kind->settings[i]; i++)
            bp_names_add(names, part->kind->settings[i]);
}

void bp_names_of_parts(bp_names *names, const bp_circuit *circuit, bool wires) {
    for (size_t i = 0; i < circuit->n_parts; i++)
        if (wires || circuit->parts[i].kind != &bp_kind_wire)
            bp_names_add(names, circuit->parts[i].id);
}

void bp_build_unknown(bp_circuit *circuit, const bp_note_place *place, const char *what,
                      const char *word, const char *where, const bp_names *choices) {
    if (choices->no_memory)
        bp_building_of(circuit)->no_memory = true;
    char list[400], hint[100] = "";
    bool hints = bp_building_of(circuit)->n_mistakes < BP_MOST_HINTS;
    if (hints)
        bp_names_hint(choices, word, hint, sizeof hint);
    if (choices->n <= MOST_LISTED || hint[0] == '\0')
        bp_build_mistake(circuit, place, "unknown %s \"%.60s\"%s: expected %s%s", what, word, where,
                         bp_names_list(choices, list, sizeof list), hint);
    else
        bp_build_mistake(circuit, place, "unknown %s \"%.60s\"%s%s", what, word, where, hint);
}
