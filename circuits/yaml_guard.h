/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a text must be before it is read as YAML at all. Circuit files come from strangers.
 */
#ifndef BP_CIRCUITS_YAML_GUARD_H
#define BP_CIRCUITS_YAML_GUARD_H

#include <yaml.h>

#include <backprobe/report.h>

enum { BP_YAML_MOST_BYTES = 1000000 };

/* BP_OK when the text is UTF-8 without control characters, at most 1 MB, and one YAML document
 * without anchors, aliases, tags, deep nesting or an absurd number of nodes; else BP_ERR_INPUT with
 * a message that has a line. */
bp_status bp_yaml_guard(const char *text, size_t size, const char *name, bp_report *report);

/* Notes what libyaml says is wrong; BP_ERR_INPUT or BP_ERR_MEMORY. */
bp_status bp_yaml_problem(const yaml_parser_t *parser, const char *name, bp_report *report);

#endif
