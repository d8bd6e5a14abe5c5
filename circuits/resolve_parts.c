/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Parts and wires: their ids and kinds, their parameters and defaults, the positions of switches,
 * their pins.
 */
#include "circuits/building.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "circuits/report.h"
#include "circuits/text.h"

/* Words that have a meaning of their own where a state names parts. */
static const char *const reserved[] = {"supply", "speed", "ambient", "engine",
                                       "lasts",  "from",  "label",   "healthy"};

static const bp_kind *kind_of(bp_circuit *circuit, const bp_build_note *note) {
    if (note->sort == BP_NOTE_WIRE)
        return &bp_kind_wire;
    const bp_kind *kind = bp_kind_find(note->b);
    if (kind == &bp_kind_wire) {
        bp_build_mistake(circuit, &note->place,
                         "%.40s is a wire among the parts: write it under wires", note->a);
        return NULL;
    }
    if (kind)
        return kind;
    bp_names kinds = {0};
    char where[60];
    for (size_t i = 0; i < BP_N_KINDS; i++)
        if (bp_kinds[i] != &bp_kind_wire)
            bp_names_add(&kinds, bp_kinds[i]->id);
    snprintf(where, sizeof where, " of part %.40s", note->a);
    if (note->b[0] == '\0')
        bp_build_mistake(circuit, &note->place,
                         "part %.40s has no kind: expected, for instance, %.40s: {kind: relay}",
                         note->a, note->a);
    else
        bp_build_unknown(circuit, &note->place, "kind", note->b, where, &kinds);
    bp_names_free(&kinds);
    return NULL;
}

static bool id_is_good(bp_circuit *circuit, const bp_build_note *note) {
    if (!bp_text_is_id(note->a, false)) {
        bp_build_mistake(circuit, &note->place,
                         "\"%.60s\" cannot be an id: expected letters, digits and _, beginning "
                         "with a letter, at most 40 of them",
                         note->a);
        return false;
    }
    for (size_t i = 0; i < sizeof reserved / sizeof *reserved; i++)
        if (strcmp(reserved[i], note->a) == 0) {
            bp_build_mistake(circuit, &note->place,
                             "\"%s\" cannot be an id: it is a word of the format", note->a);
            return false;
        }
    size_t other = bp_part_find(circuit, note->a);
    if (other == BP_NONE)
        return true;
    bp_build_mistake(circuit, &note->place, "id %s is there twice: first in line %zu", note->a,
                     circuit->parts[other].line);
    return false;
}

/* Room for the parameters, filled with the kind's defaults. */
static void set_defaults(bp_circuit *circuit, bp_part *part) {
    const bp_kind *kind = part->kind;
    size_t n = 0;
    while (kind->params && kind->params[n].key)
        n++;
    part->access = kind->access;
    part->fit = kind->fit;
    part->price = kind->price;
    part->param = bp_build_got(circuit, bp_zeroed(n, sizeof *part->param));
    part->given = bp_build_got(circuit, bp_zeroed(n, sizeof *part->given));
    part->text = n ? bp_build_got(circuit, bp_zeroed(n, sizeof *part->text)) : NULL;
    for (size_t i = 0; i < n && part->param; i++)
        part->param[i] = kind->params[i].type == BP_PARAM_TEXT ? NAN : kind->params[i].def;
}

static void add_part(bp_circuit *circuit, const bp_build_note *note) {
    bp_building *b = bp_building_of(circuit);
    bool good = id_is_good(circuit, note);
    size_t index = circuit->n_parts++;
    bp_part *part = &circuit->parts[index];
    bp_draft *draft = &b->drafts[index];
    draft->place = draft->end_place[0] = draft->end_place[1] = note->place;
    draft->face[0] = draft->face[1] = BP_NONE;
    part->circuit = circuit;
    part->index = index;
    part->line = note->place.line;
    part->column = note->place.column;
    part->id = bp_build_copy(circuit, note->a);
    part->kind = kind_of(circuit, note);
    draft->broken = !good || !part->kind;
    if (part->kind)
        set_defaults(circuit, part);
}

/* All parts and wires, in the order in which they were named. */
static bool add_parts(bp_circuit *circuit) {
    bp_building *b = bp_building_of(circuit);
    size_t n = 0;
    for (size_t i = 0; i < b->n_notes; i++)
        n += b->notes[i].sort == BP_NOTE_PART || b->notes[i].sort == BP_NOTE_WIRE;
    if (n > BP_MOST_PARTS) {
        bp_build_mistake(circuit, &b->at, "there are %zu parts and wires: at most %d are taken", n,
                         BP_MOST_PARTS);
        return false;
    }
    circuit->parts = bp_build_got(circuit, bp_zeroed(n, sizeof *circuit->parts));
    b->drafts = bp_build_got(circuit, bp_zeroed(n, sizeof *b->drafts));
    for (size_t i = 0; i < b->n_notes && !b->no_memory; i++)
        if (b->notes[i].sort == BP_NOTE_PART || b->notes[i].sort == BP_NOTE_WIRE)
            add_part(circuit, &b->notes[i]);
    return !b->no_memory;
}

static void add_position(bp_circuit *circuit, bp_part *part, const bp_build_note *note) {
    if (!part->kind)
        return;
    bool wrong = true;
    if (!part->kind->has_positions)
        bp_build_mistake(circuit, &note->place, "%s is a %s, which has no positions", part->id,
                         part->kind->words);
    else if (!bp_text_is_id(note->b, true))
        bp_build_mistake(circuit, &note->place,
                         "\"%.60s\" cannot be a position of %s: expected letters, digits, _ and -",
                         note->b, part->id);
    else
        wrong = false;
    for (size_t i = 0; i < part->n_positions; i++)
        if (!wrong && strcmp(part->positions[i].name, note->b) == 0) {
            bp_build_mistake(circuit, &note->place, "position %s of %s is there twice", note->b,
                             part->id);
            wrong = true;
        }
    if (wrong) {
        bp_building_of(circuit)->drafts[part->index].broken = true;
        return;
    }
    bp_position *room =
        bp_build_got(circuit, bp_room(part->positions, part->n_positions, sizeof *part->positions));
    if (!room)
        return;
    part->positions = room;
    bp_position *position = &room[part->n_positions];
    *position = (bp_position){.name = bp_build_copy(circuit, note->b)};
    if (position->name)
        part->n_positions++;
}

static void place_part(bp_circuit *circuit, bp_part *part, const bp_build_note *note) {
    enum { MOST_CELLS = 1000 };
    if (!(fabs(note->x) <= MOST_CELLS && fabs(note->y) <= MOST_CELLS))
        bp_build_mistake(circuit, &note->place, "%s is placed more than %d cells away", part->id,
                         MOST_CELLS);
    if (note->turn != 0 && note->turn != 90 && note->turn != 180 && note->turn != 270)
        bp_build_mistake(circuit, &note->place,
                         "turn of %s is %d: expected 0, 90, 180 or 270 degrees", part->id,
                         note->turn);
    part->placed = true;
    part->x = note->x;
    part->y = note->y;
    part->turn = note->turn;
}

/* The part that a note is about: nearly always the last one that was named. */
static bp_part *part_of(bp_circuit *circuit, const bp_build_note *note, size_t last) {
    if (last != BP_NONE && strcmp(circuit->parts[last].id, note->a) == 0)
        return &circuit->parts[last];
    size_t index = bp_part_find(circuit, note->a);
    if (index != BP_NONE)
        return &circuit->parts[index];
    bp_names names = {0};
    bp_names_of_parts(&names, circuit, true);
    bp_build_unknown(circuit, &note->place, "part", note->a, "", &names);
    bp_names_free(&names);
    return NULL;
}

static void apply_notes(bp_circuit *circuit) {
    bp_building *b = bp_building_of(circuit);
    size_t last = BP_NONE;
    for (size_t i = 0; i < b->n_notes && !b->no_memory; i++) {
        const bp_build_note *note = &b->notes[i];
        if (note->sort == BP_NOTE_PART || note->sort == BP_NOTE_WIRE)
            last = last == BP_NONE ? 0 : last + 1;
        if (note->sort != BP_NOTE_SET && note->sort != BP_NOTE_POSITION &&
            note->sort != BP_NOTE_PLACE)
            continue;
        bp_part *part = part_of(circuit, note, last);
        if (!part)
            continue;
        if (note->sort == BP_NOTE_SET)
            bp_resolve_param(circuit, part, note);
        else if (note->sort == BP_NOTE_POSITION)
            add_position(circuit, part, note);
        else
            place_part(circuit, part, note);
    }
}

static void add_pin(bp_part *part, const char *name, bp_pin_sort sort, bool optional,
                    const char *words) {
    /* Only a part that is still being built comes here, so the circuit may be changed. */
    bp_circuit *circuit = (bp_circuit *)part->circuit;
    if (part->n_pins >= BP_MOST_PINS || bp_pin_find(part, name) != BP_NONE)
        return;
    bp_pin *pins = bp_build_got(circuit, bp_room(part->pins, part->n_pins, sizeof *pins));
    if (!pins)
        return;
    part->pins = pins;
    char *copy = bp_build_copy(circuit, name);
    if (!copy)
        return;
    pins[part->n_pins++] = (bp_pin){.name = copy,
                                    .sort = sort,
                                    .optional = optional,
                                    .words = words,
                                    .harness = BP_NONE,
                                    .own = BP_NONE};
}

void bp_part_add_pin(bp_part *part, const char *name, bp_pin_sort sort, bool optional) {
    add_pin(part, name, sort, optional, NULL);
}

void bp_part_mistake(const bp_part *part, bp_report *report, const char *format, ...) {
    bp_building *b = bp_building_of(part->circuit);
    char text[1000];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    bp_report_add(report, BP_MISTAKE, b ? b->drafts[part->index].place.file : NULL, part->line,
                  part->column, "%s %s: %s", part->kind->words, part->id, text);
    if (!b)
        return;
    b->drafts[part->index].broken = true;
    b->n_mistakes++;
}

/* The pin of a position. A switch has, besides those its kind declares, the pins that its positions
 * name. */
static size_t position_pin(bp_circuit *circuit, bp_part *part, const bp_build_note *note,
                           const char *name) {
    size_t pin = bp_pin_find(part, name);
    bool shaped = bp_text_is_clean(name) && name[0] && strlen(name) <= 12 && !strpbrk(name, " ./:");
    if (pin == BP_NONE && shaped) {
        bp_part_add_pin(part, name, BP_PIN_PLUG, false);
        pin = bp_pin_find(part, name);
    }
    if (pin != BP_NONE || bp_building_of(circuit)->no_memory)
        return pin;
    char where[100];
    bp_names pins = {0};
    bp_names_of_pins(&pins, part);
    snprintf(where, sizeof where, " in position %.40s of %.40s", note->b, part->id);
    bp_build_unknown(circuit, &note->place, "pin", name, where, &pins);
    bp_names_free(&pins);
    bp_building_of(circuit)->drafts[part->index].broken = true;
    return BP_NONE;
}

static void resolve_position(bp_circuit *circuit, bp_part *part, const bp_build_note *note) {
    size_t index = 0;
    while (index < part->n_positions && strcmp(part->positions[index].name, note->b) != 0)
        index++;
    if (index == part->n_positions || note->n_list == 0)
        return;
    bp_position *position = &part->positions[index];
    if (position->pairs) /* a position named twice, which has been reported */
        return;
    position->pairs = bp_build_got(circuit, bp_zeroed(note->n_list / 2, sizeof *position->pairs));
    for (size_t i = 0; i + 1 < note->n_list && position->pairs; i += 2) {
        size_t a = position_pin(circuit, part, note, note->list[i]);
        size_t b = position_pin(circuit, part, note, note->list[i + 1]);
        if (a == BP_NONE || b == BP_NONE)
            continue;
        if (a == b)
            bp_build_mistake(circuit, &note->place, "position %s of %s joins pin %s to itself",
                             note->b, part->id, note->list[i]);
        position->pairs[position->n_pairs][0] = a;
        position->pairs[position->n_pairs][1] = b;
        position->n_pairs++;
    }
}

static void make_pins(bp_circuit *circuit, bp_part *part) {
    bp_building *b = bp_building_of(circuit);
    const bp_kind *kind = part->kind;
    for (size_t i = 0; kind->pins && kind->pins[i].name; i++)
        add_pin(part, kind->pins[i].name, kind->pins[i].sort, kind->pins[i].optional,
                kind->pins[i].words);
    if (kind->make_pins && !b->drafts[part->index].broken)
        kind->make_pins(part, b->report);
    for (size_t i = 0; part->n_positions > 0 && i < b->n_notes && !b->no_memory; i++)
        if (b->notes[i].sort == BP_NOTE_POSITION && strcmp(b->notes[i].a, part->id) == 0)
            resolve_position(circuit, part, &b->notes[i]);
}

static void check_required(bp_circuit *circuit, bp_part *part) {
    bp_draft *draft = &bp_building_of(circuit)->drafts[part->index];
    const bp_param_decl *params = part->kind->params;
    for (size_t i = 0; params && params[i].key; i++) {
        if (!params[i].required || part->given[i])
            continue;
        bp_build_mistake(circuit, &draft->place, "%s %s has no %s (%s)", part->kind->words,
                         part->id, params[i].key, params[i].words);
        draft->broken = true;
    }
    if (part->kind->has_positions && part->n_positions == 0 && !part->kind->settings &&
        !draft->broken) {
        bp_build_mistake(circuit, &draft->place,
                         "%s %s has no positions: write, for instance, positions: {released: [], "
                         "pressed: [[1, 2]]}",
                         part->kind->words, part->id);
        draft->broken = true;
    }
}

void bp_resolve_parts(bp_circuit *circuit) {
    bp_building *b = bp_building_of(circuit);
    if (!add_parts(circuit))
        return;
    apply_notes(circuit);
    for (size_t i = 0; i < circuit->n_parts && !b->no_memory; i++) {
        bp_part *part = &circuit->parts[i];
        if (!part->kind)
            continue;
        check_required(circuit, part);
        make_pins(circuit, part);
        if (part->kind->check && !b->drafts[i].broken && !b->no_memory)
            part->kind->check(part, b->report);
    }
}
