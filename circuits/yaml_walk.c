/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/yaml_walk.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/yaml_guard.h"

/* The text of a scalar; NULL, reported, when the node is something else. `what` names it for
 * people. */
const char *bp_yaml_scalar(bp_yaml *l, const yaml_node_t *node, const char *what, size_t longest) {
    if (node->type != YAML_SCALAR_NODE) {
        BP_YAML_MISTAKE(l, node, "%s is a list or a mapping: expected one value", what);
        return NULL;
    }
    const char *text = (const char *)node->data.scalar.value;
    if (strlen(text) != node->data.scalar.length) {
        BP_YAML_MISTAKE(l, node, "%s holds a zero byte", what);
        return NULL;
    }
    if (node->data.scalar.length > longest) {
        BP_YAML_MISTAKE(l, node, "%s is longer than %zu bytes: \"%.40s...\"", what, longest, text);
        return NULL;
    }
    return text;
}

/* True for a node that holds nothing: `states:` with no value. */
bool bp_yaml_is_empty(const yaml_node_t *node) {
    return node->type == YAML_SCALAR_NODE && node->data.scalar.length == 0 &&
           node->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
}

/* The line of an earlier entry with the same key, or 0. */
size_t bp_yaml_earlier(bp_yaml *l, const yaml_node_t *mapping, const yaml_node_pair_t *pair) {
    const yaml_node_t *key = yaml_document_get_node(l->document, pair->key);
    for (const yaml_node_pair_t *p = mapping->data.mapping.pairs.start; p < pair; p++) {
        const yaml_node_t *other = yaml_document_get_node(l->document, p->key);
        if (other->type == YAML_SCALAR_NODE &&
            other->data.scalar.length == key->data.scalar.length &&
            memcmp(other->data.scalar.value, key->data.scalar.value, key->data.scalar.length) == 0)
            return other->start_mark.line + 1;
    }
    return 0;
}

void bp_yaml_each(bp_yaml *l, yaml_node_t *node, const char *whose, bp_yaml_entry entry) {
    if (bp_yaml_is_empty(node))
        return;
    if (node->type != YAML_MAPPING_NODE) {
        BP_YAML_MISTAKE(l, node, "%s is not a mapping: expected key: value entries", whose);
        return;
    }
    const yaml_node_pair_t *start = node->data.mapping.pairs.start;
    const yaml_node_pair_t *end = node->data.mapping.pairs.top;
    if (end - start > BP_YAML_MOST_ENTRIES) {
        BP_YAML_MISTAKE(l, node, "%s has more than %d entries", whose, BP_YAML_MOST_ENTRIES);
        return;
    }
    for (const yaml_node_pair_t *pair = start; pair < end; pair++) {
        const yaml_node_t *key_node = yaml_document_get_node(l->document, pair->key);
        const char *key = bp_yaml_scalar(l, key_node, "a key", BP_YAML_LONGEST_KEY);
        size_t line = key ? bp_yaml_earlier(l, node, pair) : 0;
        if (line > 0)
            BP_YAML_MISTAKE(l, key_node, "\"%s\" is there twice in %s: first in line %zu", key,
                            whose, line);
        else if (key)
            entry(l, whose, key_node, key, yaml_document_get_node(l->document, pair->value));
    }
}

/* The value of an entry of a mapping, or NULL. */
yaml_node_t *bp_yaml_find(bp_yaml *l, const yaml_node_t *node, const char *key) {
    if (node->type != YAML_MAPPING_NODE)
        return NULL;
    for (const yaml_node_pair_t *p = node->data.mapping.pairs.start;
         p < node->data.mapping.pairs.top; p++) {
        const yaml_node_t *k = yaml_document_get_node(l->document, p->key);
        if (k->type == YAML_SCALAR_NODE && strcmp((const char *)k->data.scalar.value, key) == 0)
            return yaml_document_get_node(l->document, p->value);
    }
    return NULL;
}

/* A list of texts in the document; n goes to *n. NULL when it is none or memory is out. Owned by
 * the caller. */
const char **bp_yaml_texts(bp_yaml *l, const yaml_node_t *node, const char *what, size_t *n) {
    if (node->type != YAML_SEQUENCE_NODE) {
        BP_YAML_MISTAKE(l, node, "%s is not a list: expected [..., ...]", what);
        return NULL;
    }
    const yaml_node_item_t *start = node->data.sequence.items.start;
    size_t count = (size_t)(node->data.sequence.items.top - start);
    if (count > BP_YAML_MOST_ENTRIES) {
        BP_YAML_MISTAKE(l, node, "%s has more than %d entries", what, BP_YAML_MOST_ENTRIES);
        return NULL;
    }
    const char **list = calloc(count ? count : 1, sizeof *list);
    *n = 0;
    l->no_memory = l->no_memory || !list;
    for (size_t i = 0; i < count && list; i++) {
        const char *text = bp_yaml_scalar(l, yaml_document_get_node(l->document, start[i]), what,
                                          BP_YAML_LONGEST_VALUE);
        if (text)
            list[(*n)++] = text;
    }
    return list;
}

bp_status bp_yaml_parse(const char *text, size_t size, const char *name, yaml_document_t *document,
                        bp_report *report) {
    yaml_parser_t parser;
    bp_status status = bp_yaml_guard(text, size, name, report);
    if (status != BP_OK)
        return status;
    if (!yaml_parser_initialize(&parser))
        return BP_ERR_MEMORY;
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)text, size);
    if (!yaml_parser_load(&parser, document))
        status = bp_yaml_problem(&parser, name, report);
    yaml_parser_delete(&parser);
    return status;
}

static bp_status file_mistake(const char *path, bp_report *report) {
    if (errno == ENOMEM)
        return BP_ERR_MEMORY;
    bp_report_add(report, BP_MISTAKE, path, 0, 0, "the file cannot be read: %s", strerror(errno));
    return BP_ERR_FILE;
}

bp_status bp_yaml_read(const char *path, char **text, size_t *size, bp_report *report) {
    *text = NULL;
    FILE *file = fopen(path, "rb");
    if (!file)
        return file_mistake(path, report);
    /* One byte more than is taken, so that too large a file is seen without reading all of it. */
    const size_t room = (size_t)BP_YAML_MOST_BYTES + 1;
    *text = malloc(room);
    errno = 0;
    *size = *text ? fread(*text, 1, room, file) : 0;
    bp_status status = BP_OK;
    if (!*text)
        status = BP_ERR_MEMORY;
    else if (ferror(file))
        status = file_mistake(path, report);
    (void)fclose(file); /* it was only read */
    if (status != BP_OK) {
        free(*text);
        *text = NULL;
    }
    return status;
}
