/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "circuits/kinds/wire.h"
#include "cli/columns.h"
#include "cli/describe.h"
#include "cli/show.h"
#include "render/sheet_facts.h"
#include "sim/model.h"

bool bp_show_param(const bp_part *part, size_t param, bool us_units, char *text, size_t size) {
    const bp_param_decl *decl = &part->kind->params[param];
    double value = part->param[param];
    if (decl->type == BP_PARAM_TEXT) {
        if (part->text[param])
            snprintf(text, size, "%s", part->text[param]);
        return part->text[param] != NULL;
    }
    if (isnan(value))
        return false;
    if (decl->type == BP_PARAM_WORD)
        snprintf(text, size, "%s", decl->choices[(size_t)value]);
    else if (decl->type == BP_PARAM_COUNT)
        snprintf(text, size, "%.0f", value);
    else
        bp_describe_value(value, decl->unit, us_units, text, size);
    return true;
}

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
        out, BP_TONE_PLAIN, 0, 0, "0 V is %s%s.", reference,
        circuit->ideal_bond ? ", taken as one with the body: no wire ties them in the file" : "");
}

static void heading(const bp_screen *out, const char *words) {
    bp_screen_gap(out);
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "%s", words);
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
        bp_columns_cell(table, BP_TONE_PLAIN, "%s%s%s%s", part->label ? part->label : "",
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
    double ohms = bp_wire_ohms(wire);
    bp_quantity_format(ohms, BP_UNIT_OHM, 2, text, sizeof text);
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", isnan(ohms) ? "ideal" : text);
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
        char name[96], where[400];
        bp_face_name(circuit, point->face, name, sizeof name);
        bp_point_words(circuit, point, where, sizeof where);
        bp_columns_cell(table, BP_TONE_STRONG, "%s", point->id);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", point->automatic ? "" : name);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", where);
        bp_columns_cell(table, BP_TONE_PLAIN, "%s", bp_reach_words(point->reach));
        bp_columns_cell(table, BP_TONE_PLAIN, "%.3g min", point->access);
    }
    heading(out, "Test points");
    bp_columns_print(table);
    bp_columns_free(&table);
}

static void value_row(bp_columns *table, const bp_part *part, size_t param, bool us_units) {
    const bp_param_decl *decl = &part->kind->params[param];
    char value[128], spread[48] = "";
    if (!bp_show_param(part, param, us_units, value, sizeof value))
        return;
    if (decl->tol_sort == BP_TOL_RELATIVE)
        snprintf(spread, sizeof spread, "± %.3g %%", 100 * decl->tol);
    else if (decl->tol_sort == BP_TOL_ABSOLUTE) {
        char by[40];
        bp_quantity_format(decl->tol, decl->unit, 2, by, sizeof by);
        snprintf(spread, sizeof spread, "± %s", by);
    }
    bp_columns_cell(table, BP_TONE_STRONG, "%s", part->id);
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", decl->key);
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", value);
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", spread);
    bp_columns_cell(table, BP_TONE_FAINT, "%s%s", part->given[param] ? "the file; spread: " : "",
                    decl->source ? decl->source : "");
}

static void show_values(const bp_screen *out, const bp_circuit *circuit, bool us_units) {
    bp_columns *table = bp_columns_new(out, 5);
    bp_columns_head(table, 0, "part", BP_CELL_LEFT, false);
    bp_columns_head(table, 1, "value of", BP_CELL_LEFT, false);
    bp_columns_head(table, 2, "", BP_CELL_RIGHT, false);
    bp_columns_head(table, 3, "spread", BP_CELL_RIGHT, false);
    bp_columns_head(table, 4, "from", BP_CELL_LEFT, true);
    for (size_t i = 0; i < circuit->n_parts; i++)
        for (size_t k = 0; circuit->parts[i].kind->params && circuit->parts[i].kind->params[k].key;
             k++)
            value_row(table, &circuit->parts[i], k, us_units);
    heading(out, "Values: 95 % of good parts lie within the spread");
    bp_columns_print(table);
    bp_columns_free(&table);
}

void bp_show_text(const bp_screen *out, const bp_circuit *circuit, bool us_units, bool values) {
    show_title(out, circuit);
    show_parts(out, circuit, us_units);
    show_wires(out, circuit, us_units);
    show_states(out, circuit, us_units);
    show_points(out, circuit);
    if (values)
        show_values(out, circuit, us_units);
}
