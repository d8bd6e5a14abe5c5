/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/yaml_guard.h"

#include <stdbool.h>
#include <string.h>

#include "circuits/text.h"

/* A circuit file needs 5 levels. Events: one for each value, bracket and brace; a
 * vehicle circuit has hundreds. */
enum { MOST_LEVELS = 12, MOST_EVENTS = 50000 };

static bp_status check_encoding(const char *text, size_t size, const char *name,
                                bp_report *report) {
    size_t line = 1, column = 1;
    if (size >= 2 && (memcmp(text, "\xff\xfe", 2) == 0 || memcmp(text, "\xfe\xff", 2) == 0)) {
        bp_report_add(report, BP_MISTAKE, name, 1, 1,
                      "the file is in UTF-16: save it as UTF-8 and try again");
        return BP_ERR_INPUT;
    }
    for (size_t i = 0; i < size;) {
        size_t width = bp_text_width(text + i, size - i);
        unsigned char c = (unsigned char)text[i];
        if (width == 0) {
            bp_report_add(report, BP_MISTAKE, name, line, column,
                          "the byte 0x%02x is not valid here: save the file as UTF-8", c);
            return BP_ERR_INPUT;
        }
        if (!bp_text_shows(text + i, width) && c != '\n' && c != '\r' && c != '\t') {
            bp_report_add(report, BP_MISTAKE, name, line, column,
                          width == 1 ? "there is a control character (0x%02x): take it out"
                                     : "there is a character that cannot be shown (it begins with "
                                       "byte 0x%02x): take it out",
                          c);
            return BP_ERR_INPUT;
        }
        bool end = c == '\n' || (c == '\r' && !(i + 1 < size && text[i + 1] == '\n'));
        line += end;
        column = end ? 1 : column + 1;
        i += width;
    }
    return BP_OK;
}

bp_status bp_yaml_problem(const yaml_parser_t *parser, const char *name, bp_report *report) {
    /* libyaml 0.2.5 does not always say so when memory is out. */
    if (parser->error == YAML_MEMORY_ERROR || parser->error == YAML_NO_ERROR)
        return BP_ERR_MEMORY;
    const yaml_mark_t *mark = &parser->problem_mark;
    const char *problem = parser->problem ? parser->problem : "it cannot be read";
    /* What never ends is best shown where it begins. */
    if (parser->context && strstr(problem, "end of stream"))
        mark = &parser->context_mark;
    if (parser->context)
        bp_report_add(report, BP_MISTAKE, name, mark->line + 1, mark->column + 1,
                      "this is not YAML: %s (%s from line %zu); look for a bracket, brace or quote "
                      "left open, a tab, or a wrong indent",
                      problem, parser->context, parser->context_mark.line + 1);
    else
        bp_report_add(report, BP_MISTAKE, name, mark->line + 1, mark->column + 1,
                      "this is not YAML: %s; look for a bracket, brace or quote left open, a tab, "
                      "or a wrong indent",
                      problem);
    return BP_ERR_INPUT;
}

/* What of YAML a circuit file has no use for; NULL when the event is fine. */
static const char *refusal(const yaml_event_t *event) {
    const yaml_char_t *anchor = NULL, *tag = NULL;
    switch (event->type) {
    case YAML_ALIAS_EVENT:
        return "an alias (*) is not taken: write the value out";
    case YAML_SCALAR_EVENT:
        anchor = event->data.scalar.anchor;
        tag = event->data.scalar.tag;
        break;
    case YAML_SEQUENCE_START_EVENT:
        anchor = event->data.sequence_start.anchor;
        tag = event->data.sequence_start.tag;
        break;
    case YAML_MAPPING_START_EVENT:
        anchor = event->data.mapping_start.anchor;
        tag = event->data.mapping_start.tag;
        break;
    default:
        break;
    }
    return anchor ? "an anchor (&) is not taken: write the value out where it is needed"
           : tag  ? "a tag (!) is not taken: write the plain value"
                  : NULL;
}

typedef struct tally {
    size_t levels, events, documents;
} tally;

/* Counts the event; what is wrong with it, or NULL. */
static const char *count(tally *t, const yaml_event_t *event) {
    t->events++;
    if (event->type == YAML_SEQUENCE_START_EVENT || event->type == YAML_MAPPING_START_EVENT)
        t->levels++;
    if (event->type == YAML_SEQUENCE_END_EVENT || event->type == YAML_MAPPING_END_EVENT)
        t->levels--;
    if (event->type == YAML_DOCUMENT_START_EVENT)
        t->documents++;
    if (t->levels > MOST_LEVELS)
        return "brackets or indents are nested too deeply for a circuit file";
    if (t->events > MOST_EVENTS)
        return "the file has too many entries for a circuit file";
    if (t->documents > 1)
        return "a second document begins (---): one file holds one circuit";
    return refusal(event);
}

static bp_status check_events(const char *text, size_t size, const char *name, bp_report *report) {
    yaml_parser_t parser;
    tally t = {0};
    bp_status status = BP_OK;
    bool more = true;
    if (!yaml_parser_initialize(&parser))
        return BP_ERR_MEMORY;
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)text, size);
    while (more && status == BP_OK) {
        yaml_event_t event;
        if (!yaml_parser_parse(&parser, &event)) {
            status = bp_yaml_problem(&parser, name, report);
            break;
        }
        const char *wrong = count(&t, &event);
        if (wrong) {
            bp_report_add(report, BP_MISTAKE, name, event.start_mark.line + 1,
                          event.start_mark.column + 1, "%s", wrong);
            status = BP_ERR_INPUT;
        }
        more = event.type != YAML_STREAM_END_EVENT;
        yaml_event_delete(&event);
    }
    yaml_parser_delete(&parser);
    if (status == BP_OK && t.documents == 0) {
        bp_report_add(report, BP_MISTAKE, name, 1, 1, "the file is empty: no circuit is in it");
        return BP_ERR_INPUT;
    }
    return status;
}

bp_status bp_yaml_guard(const char *text, size_t size, const char *name, bp_report *report) {
    if (size > BP_YAML_MOST_BYTES) {
        bp_report_add(report, BP_MISTAKE, name, 1, 1,
                      "the file is larger than 1 MB: a circuit file has some thousands of bytes");
        return BP_ERR_INPUT;
    }
    bp_status status = check_encoding(text, size, name, report);
    return status == BP_OK ? check_events(text, size, name, report) : status;
}
