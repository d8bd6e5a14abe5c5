/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Walking a YAML document of a stranger: every mistake in one pass, each with its place.
 */
#ifndef BP_CIRCUITS_YAML_WALK_H
#define BP_CIRCUITS_YAML_WALK_H

#include <stdbool.h>
#include <yaml.h>

#include <backprobe/report.h>

/* Longest key and longest value in bytes; most entries in one mapping. */
enum { BP_YAML_LONGEST_KEY = 100, BP_YAML_LONGEST_VALUE = 2000, BP_YAML_MOST_ENTRIES = 4000 };

typedef struct bp_yaml {
    yaml_document_t *document;
    const char *file; /* for messages */
    bp_report *report;
    void *building; /* what the document becomes */
    bool no_memory;
} bp_yaml;

#define BP_YAML_MISTAKE(l, node, ...)                                                              \
    bp_report_add((l)->report, BP_MISTAKE, (l)->file, (node)->start_mark.line + 1,                 \
                  (node)->start_mark.column + 1, __VA_ARGS__)

/* What is done with one entry of a mapping; `whose` is what the mapping belongs to. */
typedef void (*bp_yaml_entry)(bp_yaml *l, const char *whose, const yaml_node_t *key_node,
                              const char *key, yaml_node_t *value);

/* The whole file; *text is owned by the caller. BP_OK, BP_ERR_FILE (reported), BP_ERR_MEMORY. */
bp_status bp_yaml_read(const char *path, char **text, size_t *size, bp_report *report);

/* The document of a text after it passed bp_yaml_guard; delete it with yaml_document_delete. */
bp_status bp_yaml_parse(const char *text, size_t size, const char *name, yaml_document_t *document,
                        bp_report *report);

/* The text of a scalar; NULL, reported, when the node is something else. `what` names it for
 * people. */
const char *bp_yaml_scalar(bp_yaml *l, const yaml_node_t *node, const char *what, size_t longest);

/* True for a node that holds nothing: `states:` with no value. */
bool bp_yaml_is_empty(const yaml_node_t *node);

/* The line of an earlier entry with the same key, or 0. */
size_t bp_yaml_earlier(bp_yaml *l, const yaml_node_t *mapping, const yaml_node_pair_t *pair);

/* Every entry of a mapping; what is there twice or no mapping is reported. */
void bp_yaml_each(bp_yaml *l, yaml_node_t *node, const char *whose, bp_yaml_entry entry);

/* The value of an entry of a mapping, or NULL. */
yaml_node_t *bp_yaml_find(bp_yaml *l, const yaml_node_t *node, const char *key);

/* A list of texts in the document; n goes to *n. NULL when it is none or memory is out. Owned by
 * the caller. */
const char **bp_yaml_texts(bp_yaml *l, const yaml_node_t *node, const char *what, size_t *n);

#endif
