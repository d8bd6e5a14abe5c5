/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The values that predictions rest on, each with its spread and its source.
 */
#include "circuits/kinds/wire.h"
#include "cli/columns.h"
#include "cli/describe.h"
#include "cli/show.h"

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
    bool sourced = spread[0] || !part->given[param];
    bp_columns_cell(table, BP_TONE_FAINT, "%s%s%s", part->given[param] ? "file" : "",
                    part->given[param] && sourced ? "; spread: " : "", sourced ? decl->source : "");
}

static bool is_listed(const bp_part *part, size_t param) {
    const bp_param_decl *decl = &part->kind->params[param];
    return part->kind != &bp_kind_wire && decl->type != BP_PARAM_TEXT;
}

/* Wires are all alike, and the list of wires has their sizes: two rows do for them. */
static void wire_row(bp_columns *table, size_t param) {
    const bp_param_decl *decl = &bp_kind_wire.params[param];
    bp_columns_cell(table, BP_TONE_STRONG, "wires");
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", decl->key);
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", "");
    bp_columns_cell(table, BP_TONE_PLAIN, "± %.3g %%", 100 * decl->tol);
    bp_columns_cell(table, BP_TONE_FAINT, "file; %s", decl->source);
}

void bp_show_values(const bp_screen *out, const bp_circuit *circuit, bool us_units) {
    static const char *const titles[] = {"part", "of what", "value", "spread",
                                         "source of value and spread"};
    bp_columns *table = bp_columns_new(out, 5);
    for (size_t i = 0; i < 5; i++)
        bp_columns_head(table, i, titles[i], i == 2 || i == 3 ? BP_CELL_RIGHT : BP_CELL_LEFT,
                        i == 1 || i == 4);
    for (size_t i = 0; i < circuit->n_parts; i++) {
        const bp_part *part = &circuit->parts[i];
        for (size_t k = 0; part->kind->params && part->kind->params[k].key; k++)
            if (is_listed(part, k))
                value_row(table, part, k, us_units);
    }
    wire_row(table, BP_WIRE_SIZE);
    wire_row(table, BP_WIRE_LENGTH);
    bp_screen_gap(out);
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0,
                        "Values: 95 %% of good parts lie within the spread");
    bp_columns_print(table);
    bp_columns_free(&table);
}
