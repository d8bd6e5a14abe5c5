/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "circuits/cautions.h"
#include "circuits/explain.h"
#include "circuits/kinds/wire.h"
#include "cli/columns.h"
#include "cli/describe.h"
#include "cli/show.h"
#include "render/sheet_facts.h"
#include "sim/model.h"

static bool is_wire(const bp_part *part) { return part->kind == &bp_kind_wire; }

/* What the file says of a part: "rating 15 A, suppression resistor 680 Ω". Owned by the caller. */
static char *given_values(const bp_part *part, bool us_units) {
    char *words = NULL, text[128];
    size_t size;
    FILE *f = bp_must(open_memstream(&words, &size));
    for (size_t i = 0; part->kind->params && part->kind->params[i].key; i++) {
        if (!part->given[i] || !bp_show_param(part, i, us_units, text, sizeof text))
            continue;
        fputs(ftell(f) > 0 ? ", " : "", f);
        for (const char *s = part->kind->params[i].key; *s; s++)
            fputc(*s == '.' ? ' ' : *s, f); /* nested keys are dotted */
        fprintf(f, " %s", text);
    }
    for (size_t i = 0; i < part->n_positions; i++)
        fprintf(f, "%s%s", ftell(f) > 0 ? (i == 0 ? ", " : " / ") : "", part->positions[i].name);
    if (fclose(f) != 0)
        bp_must(NULL);
    return bp_must(words);
}

static void show_title(const bp_screen *out, const bp_circuit *circuit) {
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s",
                        circuit->title ? circuit->title : circuit->id);
    if (circuit->scenario)
        bp_screen_paragraph(out, BP_TONE_PLAIN, 0, 0, "%s", circuit->scenario);
    char reference[96];
    bp_face_name(circuit, circuit->reference, reference, sizeof reference);
    bp_screen_paragraph(
        out, BP_TONE_PLAIN, 0, 0, "The black lead is on %s unless told otherwise%s.", reference,
        circuit->ideal_bond ? "; the body is taken as one with it, because no wire ties them" : "");
}

static void heading(const bp_screen *out, const char *words) {
    bp_screen_gap(out);
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s", words);
}

/* Parts that are loads, each in a paragraph: from feed to ground. */
static void show_explanation(const bp_screen *out, const bp_circuit *circuit) {
    bp_explanation all;
    if (bp_explain(circuit, &all) != BP_OK)
        bp_must(NULL);
    bool *named = bp_must(calloc(circuit->n_parts + 1, sizeof *named));
    for (size_t i = 0; i < all.n; i++) {
        char *words = bp_must(bp_explained_words(circuit, &all.item[i], named));
        if (i == 0)
            heading(out, "How it works");
        bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 4, "%s", words);
        free(words);
    }
    free(named);
    bp_explanation_clear(&all);
}

/* The label where it says more than the kind. */
static const char *own_label(const bp_part *part) {
    return part->label && strcmp(part->label, part->kind->words) != 0 ? part->label : "";
}

static void show_parts(const bp_screen *out, const bp_circuit *circuit, bool us_units) {
    bp_columns *table = bp_columns_new(out, 4);
    bp_columns_head(table, 0, "part", BP_CELL_LEFT, false);
    bp_columns_head(table, 1, "kind", BP_CELL_LEFT, false);
    bp_columns_head(table, 2, "what it is called", BP_CELL_LEFT, true);
    bp_columns_head(table, 3, "values", BP_CELL_LEFT, true);
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        if (is_wire(part))
            continue;
        char *values = given_values(part, us_units);
        bp_columns_cell(table, BP_TONE_STRONG, "%s", part->id);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", part->kind->words);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s%s%s%s", own_label(part),
                        part->unit ? " (in " : "", part->unit ? part->unit : "",
                        part->unit ? ")" : "");
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", values);
        free(values);
    }
    heading(out, "Parts");
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void wire_cells(bp_columns *table, const bp_part *wire, bool us_units) {
    static const size_t params[] = {BP_WIRE_SIZE, BP_WIRE_LENGTH, BP_WIRE_COLOUR};
    char text[96];
    for (size_t i = 0; i < 3; i++)
        bp_columns_cell(table, BP_TONE_PLAIN, "%s",
                        bp_show_param(wire, params[i], us_units, text, sizeof text) ? text : "");
    /* In milliohms all along, so that the column compares at a glance. */
    double ohms = bp_wire_ohms(wire);
    bp_quantity_format(ohms * 1e3, BP_UNIT_NONE, 3, text, sizeof text);
    bp_columns_cell(table, BP_TONE_PLAIN, isnan(ohms) ? "ideal" : "%s mΩ", text);
}

static void show_wires(const bp_screen *out, const bp_circuit *circuit, bool us_units) {
    static const char *const titles[] = {"wire",   "from",   "to",        "size",
                                         "length", "colour", "resistance"};
    bp_columns *table = bp_columns_new(out, 7);
    for (size_t i = 0; i < 7; i++)
        bp_columns_head(table, i, titles[i],
                        i == 3 || i == 4 || i == 6 ? BP_CELL_RIGHT : BP_CELL_LEFT, false);
    size_t n = 0;
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *wire = &circuit->parts[i];
        if (!is_wire(wire))
            continue;
        bp_columns_cell(table, BP_TONE_STRONG, "%s", wire->id);
        for (size_t end = 0; end < 2; end++) {
            char name[96];
            bp_face_name(circuit, wire->pins[end].harness, name, sizeof name);
            bp_columns_cell(table, BP_TONE_PLAIN, "%s", name);
        }
        wire_cells(table, wire, us_units);
        n++;
    }
    if (n > 0) {
        heading(out, "Wires");
        bp_columns_print(table);
    }
    bp_columns_free(&table);
}

static void show_states(const bp_screen *out, const bp_circuit *circuit, bool us_units) {
    bp_columns *table = bp_columns_new(out, 4);
    bp_columns_head(table, 0, "state", BP_CELL_LEFT, false);
    bp_columns_head(table, 1, "in words", BP_CELL_LEFT, true);
    bp_columns_head(table, 2, "entered from", BP_CELL_LEFT, false);
    bp_columns_head(table, 3, "what is set", BP_CELL_LEFT, true);
    for (size_t i = 0; i < circuit->n_states; i++) {
        const bp_state *state = &circuit->states[i];
        char *settings = bp_describe_settings(circuit, state, us_units);
        bp_columns_cell(table, BP_TONE_STRONG, "%s", state->id);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", state->label ? state->label : "");
        bp_columns_cell(table, BP_TONE_PLAIN, "%s",
                        state->from == BP_NONE ? "" : circuit->states[state->from].id);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", *settings ? settings : "everything released");
        free(settings);
    }
    heading(out, "States");
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void show_points(const bp_screen *out, const bp_circuit *circuit) {
    static const char *const titles[] = {"point", "at", "where", "reached by", "takes"};
    bp_columns *table = bp_columns_new(out, 5);
    for (size_t i = 0; i < 5; i++)
        bp_columns_head(table, i, titles[i], i == 4 ? BP_CELL_RIGHT : BP_CELL_LEFT,
                        i == 2 || i == 3);
    for (size_t i = 0; i < circuit->n_points; i++) {
        const bp_point *point = &circuit->points[i];
        char name[96], where[400], reach[64];
        bp_face_name(circuit, point->face, name, sizeof name);
        bp_point_words(circuit, point, where, sizeof where);
        bp_reach_words(point, reach, sizeof reach);
        bp_columns_cell(table, BP_TONE_STRONG, "%s", point->id);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", point->automatic ? "" : name);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", where);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", reach);
        bp_columns_cell(table, BP_TONE_PLAIN, "%.3g min", point->access);
    }
    heading(out, "Test points");
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void show_cautions(const bp_screen *out, const bp_circuit *circuit) {
    heading(out, "Cautions");
    for (size_t i = 0; i < circuit->n_cautions; i++) {
        const char *text = bp_caution_text(circuit->cautions[i]);
        bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 4, "%s", text ? text : circuit->cautions[i]);
    }
}

void bp_show_text(const bp_screen *out, const bp_circuit *circuit, bool us_units, bool values) {
    show_title(out, circuit);
    show_explanation(out, circuit);
    show_parts(out, circuit, us_units);
    show_wires(out, circuit, us_units);
    show_states(out, circuit, us_units);
    show_points(out, circuit);
    show_cautions(out, circuit);
    if (values)
        bp_show_values(out, circuit, us_units);
}
