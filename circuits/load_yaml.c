/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Walks the YAML document and makes the building calls. What the words mean is not this file's
 * business: it only knows the shape of a circuit file, and where each word stands.
 */
#include "circuits/load_yaml.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/circuit.h"
#include "circuits/text.h"
#include "circuits/yaml_walk.h"

typedef bp_yaml loader;

#define MISTAKE BP_YAML_MISTAKE

static void stand_at(loader *l, const yaml_node_t *node) {
    bp_circuit_at(l->building, l->file, node->start_mark.line + 1, node->start_mark.column + 1);
}

/* The value of an entry as text, for a building call that follows; NULL when it has none. */
static const char *value_text(loader *l, const char *whose, const yaml_node_t *key_node,
                              const char *key, const yaml_node_t *value) {
    char what[2 * BP_YAML_LONGEST_KEY + 16];
    snprintf(what, sizeof what, "%s of %s", key, whose);
    const char *text = bp_yaml_scalar(l, value, what, BP_YAML_LONGEST_VALUE);
    stand_at(l, key_node);
    return text;
}

/* Adds the pairs that a group of joined pins makes: each pin with the next. */
static void add_pairs(loader *l, const char ***pairs, size_t *n_pairs, const char *const *pins,
                      size_t n) {
    const char **more = realloc(*pairs, 2 * (*n_pairs + n - 1) * sizeof *more);
    if (!more) {
        l->no_memory = true;
        return;
    }
    *pairs = more;
    for (size_t i = 0; i + 1 < n; i++) {
        more[2 * *n_pairs] = pins[i];
        more[2 * *n_pairs + 1] = pins[i + 1];
        (*n_pairs)++;
    }
}

/* One position: a list of lists of pins that are joined, [[1, 2], [3, 4, 5]]. */
static void load_position(loader *l, const char *part, const yaml_node_t *key_node,
                          const char *position, yaml_node_t *value) {
    char what[2 * BP_YAML_LONGEST_KEY + 40];
    snprintf(what, sizeof what, "position %s of %s", position, part);
    stand_at(l, key_node);
    if (value->type != YAML_SEQUENCE_NODE) {
        MISTAKE(l, value, "%s is not a list of joined pins: expected, for instance, [[1, 2]]",
                what);
        return;
    }
    const char **pairs = NULL;
    size_t n_pairs = 0;
    const yaml_node_item_t *start = value->data.sequence.items.start;
    const yaml_node_item_t *end = value->data.sequence.items.top;
    /* [1, 2] is short for [[1, 2]]. */
    bool single =
        start < end && yaml_document_get_node(l->document, *start)->type == YAML_SCALAR_NODE;
    for (const yaml_node_item_t *item = start; item < end; item = single ? end : item + 1) {
        const yaml_node_t *group = single ? value : yaml_document_get_node(l->document, *item);
        size_t n = 0;
        const char **pins = bp_yaml_texts(l, group, what, &n);
        if (pins && n < 2)
            MISTAKE(l, group, "%s joins a single pin: expected two or more, as in [1, 2]", what);
        if (pins && n >= 2)
            add_pairs(l, &pairs, &n_pairs, pins, n);
        free(pins);
    }
    bp_circuit_position(l->building, part, position, pairs, n_pairs);
    free(pairs);
}

/* A parameter of a part or wire; nested mappings make dotted keys. */
static void load_param(loader *l, const char *part, const yaml_node_t *key_node, const char *key,
                       yaml_node_t *value) {
    if (value->type == YAML_MAPPING_NODE && strcmp(key, "positions") != 0) {
        for (const yaml_node_pair_t *p = value->data.mapping.pairs.start;
             p < value->data.mapping.pairs.top; p++) {
            char dotted[2 * BP_YAML_LONGEST_KEY + 2];
            const yaml_node_t *inner_node = yaml_document_get_node(l->document, p->key);
            const char *inner = bp_yaml_scalar(l, inner_node, "a key", BP_YAML_LONGEST_KEY);
            size_t line = inner ? bp_yaml_earlier(l, value, p) : 0;
            if (line > 0)
                MISTAKE(l, inner_node, "\"%s\" is there twice in %s of %s: first in line %zu",
                        inner, key, part, line);
            if (!inner || line > 0)
                continue;
            if (strlen(key) + strlen(inner) > BP_YAML_LONGEST_KEY) {
                MISTAKE(l, inner_node, "a key is nested too deeply");
                continue;
            }
            snprintf(dotted, sizeof dotted, "%s.%s", key, inner);
            load_param(l, part, inner_node, dotted, yaml_document_get_node(l->document, p->value));
        }
        return;
    }
    if (strcmp(key, "positions") == 0) {
        bp_yaml_each(l, value, part, load_position);
        return;
    }
    const char *text = value_text(l, part, key_node, key, value);
    if (text)
        bp_circuit_set(l->building, part, key, text);
}

static void load_part_key(loader *l, const char *part, const yaml_node_t *key_node, const char *key,
                          yaml_node_t *value) {
    if (strcmp(key, "kind") != 0)
        load_param(l, part, key_node, key, value);
}

static void load_part(loader *l, const char *whose, const yaml_node_t *key_node, const char *id,
                      yaml_node_t *value) {
    (void)whose;
    yaml_node_t *kind = bp_yaml_find(l, value, "kind");
    const char *text = kind ? bp_yaml_scalar(l, kind, "kind", BP_YAML_LONGEST_VALUE) : NULL;
    stand_at(l, key_node);
    bp_circuit_part(l->building, id, text);
    if (value->type == YAML_MAPPING_NODE) /* else it is reported as a part without a kind */
        bp_yaml_each(l, value, id, load_part_key);
}

static void load_wire(loader *l, const char *whose, const yaml_node_t *key_node, const char *id,
                      yaml_node_t *value) {
    (void)whose;
    stand_at(l, key_node);
    bp_circuit_wire(l->building, id, NULL, NULL);
    if (value->type == YAML_MAPPING_NODE) /* else it is reported as a wire without ends */
        bp_yaml_each(l, value, id, load_param);
}

static void load_state_key(loader *l, const char *state, const yaml_node_t *key_node,
                           const char *key, yaml_node_t *value) {
    const char *text = value_text(l, state, key_node, key, value);
    if (text)
        bp_circuit_state_set(l->building, state, key, text);
}

static void load_state(loader *l, const char *whose, const yaml_node_t *key_node, const char *id,
                       yaml_node_t *value) {
    (void)whose;
    stand_at(l, key_node);
    bp_circuit_state(l->building, id);
    bp_yaml_each(l, value, id, load_state_key);
}

static void load_point_key(loader *l, const char *point, const yaml_node_t *key_node,
                           const char *key, yaml_node_t *value) {
    const char *text = value_text(l, point, key_node, key, value);
    if (text)
        bp_circuit_point_set(l->building, point, key, text);
}

static void load_point(loader *l, const char *whose, const yaml_node_t *key_node, const char *id,
                       yaml_node_t *value) {
    (void)whose;
    stand_at(l, key_node);
    bp_circuit_point(l->building, id, NULL);
    bp_yaml_each(l, value, id, load_point_key);
}

static void load_waveform_key(loader *l, const char *waveform, const yaml_node_t *key_node,
                              const char *key, yaml_node_t *value) {
    size_t n = 0;
    const bool traces = strcmp(key, "traces") == 0;
    if (!traces || value->type == YAML_SCALAR_NODE) { /* one trace needs no list */
        const char *text = value_text(l, waveform, key_node, key, value);
        if (text)
            bp_circuit_waveform_set(l->building, waveform, traces ? "trace" : key, text);
        return;
    }
    const char **all = bp_yaml_texts(l, value, "traces", &n);
    stand_at(l, value);
    for (size_t i = 0; all && i < n; i++)
        bp_circuit_waveform_set(l->building, waveform, "trace", all[i]);
    free(all);
}

static void load_waveform(loader *l, const char *whose, const yaml_node_t *key_node, const char *id,
                          yaml_node_t *value) {
    (void)whose;
    stand_at(l, key_node);
    bp_circuit_waveform(l->building, id);
    bp_yaml_each(l, value, id, load_waveform_key);
}

static void load_fault_key(loader *l, const char *fault, const yaml_node_t *key_node,
                           const char *key, yaml_node_t *value) {
    const char *text = value_text(l, fault, key_node, key, value);
    if (text)
        bp_circuit_fault_set(l->building, fault, key, text);
}

static void load_fault(loader *l, const char *whose, const yaml_node_t *key_node, const char *fault,
                       yaml_node_t *value) {
    (void)whose;
    (void)key_node;
    bp_yaml_each(l, value, fault, load_fault_key);
}

static bool number(loader *l, const yaml_node_t *node, const char *what, double *value) {
    const char *text = bp_yaml_scalar(l, node, what, BP_YAML_LONGEST_VALUE);
    if (text && bp_number_length(text) == strlen(text) &&
        bp_number_read(text, strlen(text), 0, value))
        return true;
    if (text)
        MISTAKE(l, node, "%s is \"%.40s\": expected a number", what, text);
    return false;
}

static void check_place_key(loader *l, const char *part, const yaml_node_t *key_node,
                            const char *key, yaml_node_t *value) {
    static const char *const keys[] = {"at", "turn"};
    (void)value;
    if (strcmp(key, keys[0]) == 0 || strcmp(key, keys[1]) == 0)
        return;
    const char *near = bp_near_miss(key, keys, 2);
    MISTAKE(l, key_node, "unknown key \"%s\" in the place of %s: expected at or turn%s%s%s", key,
            part, near ? "; did you mean \"" : "", near ? near : "", near ? "\"?" : "");
}

/* K2: {at: [2, 3], turn: 90} */
static void load_place(loader *l, const char *whose, const yaml_node_t *key_node, const char *part,
                       yaml_node_t *value) {
    (void)whose;
    double x = 0, y = 0, turn = 0;
    bp_yaml_each(l, value, part, check_place_key);
    const yaml_node_t *at = bp_yaml_find(l, value, "at"), *turned = bp_yaml_find(l, value, "turn");
    bool list = at && at->type == YAML_SEQUENCE_NODE;
    const yaml_node_item_t *items = list ? at->data.sequence.items.start : NULL;
    if (!list || at->data.sequence.items.top - items != 2) {
        MISTAKE(l, at ? at : key_node, "the place of %s is not known: expected at: [x, y]", part);
        return;
    }
    if (!number(l, yaml_document_get_node(l->document, items[0]), "x", &x) ||
        !number(l, yaml_document_get_node(l->document, items[1]), "y", &y) ||
        (turned && !number(l, turned, "turn", &turn)))
        return;
    stand_at(l, key_node);
    /* Any number that is no whole turn is handed on as one that is refused. */
    bool whole = turn == 0 || turn == 90 || turn == 180 || turn == 270;
    bp_circuit_place(l->building, part, x, y, whole ? (int)turn : -1);
}

/* joins: [A1.2, E2.2], or several such lists in a list. */
static void load_join(loader *l, const yaml_node_t *node) {
    size_t n = 0;
    const char **pins = bp_yaml_texts(l, node, "joins", &n);
    stand_at(l, node);
    if (pins && n < 2)
        MISTAKE(l, node, "joins names a single pin: expected two or more, as in [A1.2, E2.2]");
    for (size_t i = 0; pins && i + 1 < n; i++)
        bp_circuit_join(l->building, pins[i], pins[i + 1]);
    free(pins);
}

static void load_joins(loader *l, const yaml_node_t *node) {
    if (bp_yaml_is_empty(node))
        return;
    const yaml_node_item_t *start = NULL, *end = NULL;
    if (node->type == YAML_SEQUENCE_NODE) {
        start = node->data.sequence.items.start;
        end = node->data.sequence.items.top;
    }
    if (start == end || yaml_document_get_node(l->document, *start)->type != YAML_SEQUENCE_NODE) {
        load_join(l, node);
        return;
    }
    for (const yaml_node_item_t *item = start; item < end; item++)
        load_join(l, yaml_document_get_node(l->document, *item));
}

/* A text, or a list of them, under one key of the circuit. */
static void load_texts(loader *l, const char *key, yaml_node_t *node, bool list) {
    size_t n = 0;
    if (bp_yaml_is_empty(node) && list)
        return;
    if (node->type == YAML_SCALAR_NODE || !list) {
        const char *text = bp_yaml_scalar(l, node, key, BP_YAML_LONGEST_VALUE);
        stand_at(l, node);
        if (text)
            bp_circuit_text(l->building, key, text);
        return;
    }
    const char **all = bp_yaml_texts(l, node, key, &n);
    for (size_t i = 0; all && i < n; i++) {
        stand_at(l, yaml_document_get_node(l->document, node->data.sequence.items.start[i]));
        bp_circuit_text(l->building, key, all[i]);
    }
    free(all);
}

static const struct {
    const char *name;
    bp_yaml_entry entry; /* sections of entries */
    const char *text;    /* key of bp_circuit_text */
    bool list;
} sections[] = {
    {"backprobe", NULL, NULL, false},          {"id", NULL, NULL, false},
    {"title", NULL, "title", false},           {"scenario", NULL, "scenario", false},
    {"reference", NULL, "reference", false},   {"cautions", NULL, "caution", true},
    {"elsewhere", NULL, "elsewhere", true},    {"parts", load_part, NULL, false},
    {"wires", load_wire, NULL, false},         {"joins", NULL, NULL, true},
    {"states", load_state, NULL, false},       {"points", load_point, NULL, false},
    {"faults", load_fault, NULL, false},       {"layout", load_place, NULL, false},
    {"waveforms", load_waveform, NULL, false},
};
enum { N_SECTIONS = sizeof sections / sizeof *sections };

static void unknown_section(loader *l, const yaml_node_t *key_node, const char *key) {
    const char *names[N_SECTIONS];
    for (size_t i = 0; i < N_SECTIONS; i++)
        names[i] = sections[i].name;
    const char *near = bp_near_miss(key, names, N_SECTIONS);
    if (near)
        MISTAKE(l, key_node, "unknown key \"%s\"; did you mean \"%s\"?", key, near);
    else
        MISTAKE(l, key_node,
                "unknown key \"%s\": expected backprobe, id, title, scenario, cautions, elsewhere, "
                "reference, parts, wires, joins, states, points, waveforms, faults or layout",
                key);
}

static void load_section(loader *l, const char *whose, const yaml_node_t *key_node, const char *key,
                         yaml_node_t *value) {
    (void)whose;
    for (size_t i = 0; i < N_SECTIONS; i++) {
        if (strcmp(sections[i].name, key) != 0)
            continue;
        if (sections[i].entry)
            bp_yaml_each(l, value, key, sections[i].entry);
        else if (sections[i].text)
            load_texts(l, sections[i].text, value, sections[i].list);
        else if (sections[i].list)
            load_joins(l, value);
        return;
    }
    unknown_section(l, key_node, key);
}

/* The format version and the circuit's id, which have to be there before anything else. Returns the
 * id, or a stand-in. */
static const char *read_head(loader *l, yaml_node_t *root) {
    const yaml_node_t *version = bp_yaml_find(l, root, "backprobe"),
                      *id = bp_yaml_find(l, root, "id");
    const char *number =
        version ? bp_yaml_scalar(l, version, "backprobe", BP_YAML_LONGEST_VALUE) : NULL;
    if (!version)
        MISTAKE(l, root, "this is no circuit file: it has no line backprobe: 1");
    else if (number && strcmp(number, "1") != 0)
        MISTAKE(l, version, "backprobe is \"%.40s\": this program reads circuit files of format 1",
                number);
    const char *name = id ? bp_yaml_scalar(l, id, "id", BP_YAML_LONGEST_VALUE) : NULL;
    if (!id)
        MISTAKE(l, root, "the circuit has no id: expected, for instance, id: horn-relay");
    if (name && bp_text_is_id(name, true))
        return name;
    if (name)
        MISTAKE(l, id,
                "\"%.60s\" cannot be the id of a circuit: expected letters, digits, _ and -, "
                "beginning with a letter, at most 40 of them",
                name);
    return "circuit";
}

bp_status bp_load_document(yaml_document_t *document, const char *file, bp_circuit **circuit,
                           bp_report *report) {
    loader l = {.document = document, .file = file, .report = report};
    yaml_node_t *root = yaml_document_get_root_node(document);
    if (!root || root->type != YAML_MAPPING_NODE) {
        bp_report_add(report, BP_MISTAKE, file, root ? root->start_mark.line + 1 : 1, 1,
                      "this is no circuit file: expected backprobe: 1, id, parts, wires ...");
        return BP_ERR_INPUT;
    }
    *circuit = l.building = bp_circuit_new(read_head(&l, root), report);
    if (!l.building)
        return BP_ERR_MEMORY;
    stand_at(&l, root);
    bp_yaml_each(&l, root, "the file", load_section);
    stand_at(&l, root);
    return l.no_memory ? BP_ERR_MEMORY : BP_OK;
}
