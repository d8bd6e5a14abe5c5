/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * "state horn, red D, 0.02 V" as one more reading in a case file. Only the new line is written;
 * everything else in the file stays as somebody typed it.
 */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "diagnose/casefile_parts.h"
#include "diagnose/replace_file.h"

/* Words that begin a piece of the line, and the key of the file that they stand for. */
static const struct {
    const char *word, *key;
} pieces[] = {
    {"state", "state"},
    {"red", "red"},
    {"black", "black"},
    {"at", "at"},
    {"with", "instrument"},
    {"observe", "observe"},
    {"says", "says"},
    {"present", "present"},
    {"value", "value"},
    {"after", "after"},
    {"instrument", "instrument"},
};
enum { N_PIECES = sizeof pieces / sizeof *pieces, MOST_PIECES = 24 };

typedef struct line {
    char *text;                   /* cut into pieces; owned */
    const char *key[MOST_PIECES]; /* NULL: a bare value */
    const char *word[MOST_PIECES];
    size_t n;
} line;

static char *trim(char *text) {
    while (*text == ' ' || *text == '\t')
        text++;
    for (size_t n = strlen(text); n > 0 && strchr(" \t\r\n", text[n - 1]); n--)
        text[n - 1] = '\0';
    return text;
}

static void take_piece(line *l, char *piece) {
    piece = trim(piece);
    char *rest = piece + strcspn(piece, " \t");
    l->key[l->n] = NULL;
    l->word[l->n] = piece;
    for (size_t i = 0; i < N_PIECES && *rest; i++)
        if (strncmp(pieces[i].word, piece, (size_t)(rest - piece)) == 0 &&
            strlen(pieces[i].word) == (size_t)(rest - piece)) {
            l->key[l->n] = pieces[i].key;
            l->word[l->n] = trim(rest);
        }
    l->n++;
}

static bool cut(const char *text, line *l) {
    *l = (line){.text = strdup(text)};
    char *next = l->text;
    while (next && l->n < MOST_PIECES) {
        char *piece = next, *comma = strchr(piece, ',');
        next = comma ? comma + 1 : NULL;
        if (comma)
            *comma = '\0';
        take_piece(l, piece);
    }
    return l->text && !next;
}

/* A text in double quotes, so that nothing in it means anything to YAML. */
static void quote(FILE *f, const char *text) {
    fputc('"', f);
    for (; *text; text++) {
        if (*text == '"' || *text == '\\')
            fputc('\\', f);
        fputc(*text, f);
    }
    fputc('"', f);
}

/* Plain where it is plain: the file is read by people. */
static void put(FILE *f, const char *text) {
    const bool plain =
        text[0] && strspn(text, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                "0123456789_.+/ -") == strlen(text);
    if (plain && text[0] != '-' && text[0] != ' ')
        fputs(text, f);
    else
        quote(f, text);
}

static bool is_observation(const line *l) {
    for (size_t i = 0; i < l->n; i++)
        if (l->key[i] && strcmp(l->key[i], "observe") == 0)
            return true;
    return false;
}

static void put_after(FILE *f, const line *l, const char **separator) {
    bool any = false;
    for (size_t i = 0; i < l->n; i++) {
        if (!l->key[i] || strcmp(l->key[i], "after") != 0)
            continue;
        fprintf(f, "%s", any ? ", " : *separator);
        if (!any)
            fputs("after: [", f);
        put(f, l->word[i]);
        any = true;
        *separator = ", ";
    }
    if (any)
        fputc(']', f);
}

/* "{state: horn, red: D, value: 0.02 V}"; owned by the caller. */
static char *entry_of(const line *l) {
    char *text = NULL;
    size_t size = 0;
    FILE *f = open_memstream(&text, &size);
    if (!f)
        return NULL;
    const char *separator = "{", *bare = is_observation(l) ? "says" : "value";
    put_after(f, l, &separator);
    for (size_t i = 0; i < l->n; i++) {
        const char *key = l->key[i] ? l->key[i] : bare;
        if (strcmp(key, "after") == 0 || (!l->key[i] && !l->word[i][0]))
            continue;
        fprintf(f, "%s%s: ", separator, key);
        put(f, l->word[i]);
        separator = ", ";
    }
    fputs(strcmp(separator, "{") == 0 ? "{}" : "}", f);
    return fclose(f) == 0 ? text : NULL;
}

/* Bytes before line number `n` (from 0) of the text. */
static size_t line_start(const char *text, size_t size, size_t n) {
    size_t at = 0;
    for (; n > 0 && at < size; n--) {
        const char *end = memchr(text + at, '\n', size - at);
        at = end ? (size_t)(end - text) + 1 : size;
    }
    return at;
}

/* Bytes before a place that libyaml gives in characters. */
static size_t byte_of(const char *text, size_t size, size_t index) {
    size_t at = 0;
    while (at < size && (index > 0 || (text[at] & 0xc0) == 0x80)) {
        at++;
        while (at < size && (text[at] & 0xc0) == 0x80)
            at++;
        index--;
    }
    return at;
}

/* Where the entry goes and what stands around it. */
typedef struct place {
    size_t at;
    char before[80], after[4];
} place;

static place at_end(const char *text, size_t size) {
    place p = {.at = size};
    snprintf(p.before, sizeof p.before, "%sreadings:\n  - ",
             size > 0 && text[size - 1] != '\n' ? "\n" : "");
    strcpy(p.after, "\n");
    return p;
}

/* After the last item of a list with dashes: behind the line on which it ends. */
static place after_items(const char *text, size_t size, const yaml_node_t *list,
                         const yaml_node_t *last) {
    const bool flow =
        last->type == YAML_MAPPING_NODE && last->data.mapping.style == YAML_FLOW_MAPPING_STYLE;
    size_t row = last->end_mark.line;
    if (!flow && last->end_mark.column == 0 && row > 0)
        row--; /* the end is where the next thing begins */
    size_t at = line_start(text, size, row + 1);
    /* Empty lines and comments between it and what follows stay behind it. */
    while (!flow && at > 0) {
        const size_t own = line_start(text, size, row);
        const size_t blank = strspn(text + own, " \t\r");
        if (row <= last->start_mark.line || (text[own + blank] != '\n' && text[own + blank] != '#'))
            break;
        at = own;
        row--;
    }
    place p = {.at = at};
    snprintf(p.before, sizeof p.before, "%s%*s- ", at > 0 && text[at - 1] != '\n' ? "\n" : "",
             (int)(list->start_mark.column < 40 ? list->start_mark.column : 40), "");
    strcpy(p.after, "\n");
    return p;
}

static place find_place(yaml_document_t *document, const char *text, size_t size) {
    bp_yaml l = {.document = document};
    const yaml_node_t *root = yaml_document_get_root_node(document);
    yaml_node_t *list = root ? bp_yaml_find(&l, root, "readings") : NULL;
    if (!list)
        return at_end(text, size);
    if (list->type != YAML_SEQUENCE_NODE) { /* readings: with nothing behind it */
        place p = {.at = line_start(text, size, list->start_mark.line + 1)};
        snprintf(p.before, sizeof p.before, "%s  - ",
                 p.at > 0 && text[p.at - 1] != '\n' ? "\n" : "");
        snprintf(p.after, sizeof p.after, "\n");
        return p;
    }
    const yaml_node_item_t *start = list->data.sequence.items.start;
    const yaml_node_item_t *top = list->data.sequence.items.top;
    if (list->data.sequence.style == YAML_FLOW_SEQUENCE_STYLE) {
        place p = {.at = byte_of(text, size, list->end_mark.index) - 1};
        snprintf(p.before, sizeof p.before, "%s", start < top ? ", " : "");
        return p;
    }
    return after_items(text, size, list, yaml_document_get_node(document, top[-1]));
}

static bp_status replace(const char *path, const char *old, size_t old_size, const char *now,
                         size_t now_size, bp_report *report) {
    struct stat facts;
    char *backup = NULL;
    const mode_t mode = stat(path, &facts) == 0 ? facts.st_mode & 07777 : 0644;
    if (asprintf(&backup, "%s.bak", path) < 0)
        return BP_ERR_MEMORY;
    const bool kept = bp_replace_file(backup, old, old_size, mode, true);
    const bool good = kept && bp_replace_file(path, now, now_size, mode, true);
    if (!good)
        bp_report_add(report, BP_MISTAKE, kept ? path : backup, 0, 0,
                      "the file cannot be written: %s; the case file is as it was",
                      strerror(errno));
    free(backup);
    return good ? BP_OK : BP_ERR_FILE;
}

/* The whole text with the entry in it; owned by the caller. */
static char *insert(const char *text, size_t size, const char *entry, bp_report *report,
                    const char *path, size_t *now_size) {
    yaml_document_t document;
    char *now = NULL;
    if (bp_yaml_parse(text, size, path, &document, report) != BP_OK)
        return NULL;
    const place p = find_place(&document, text, size);
    yaml_document_delete(&document);
    FILE *f = open_memstream(&now, now_size);
    if (!f)
        return NULL;
    fwrite(text, 1, p.at, f);
    fprintf(f, "%s%s%s", p.before, entry, p.after);
    fwrite(text + p.at, 1, size - p.at, f);
    return fclose(f) == 0 ? now : NULL;
}

/* Is the whole case still good? What is wrong is the new reading's, whose place in a file that is
 * not written would tell nobody anything. */
static bp_status check(const char *now, size_t size, const char *path, const char *entry,
                       bp_report *report) {
    bp_report *aside = bp_report_new();
    bp_casefile *file = NULL;
    if (!aside)
        return BP_ERR_MEMORY;
    const bp_status status = bp_casefile_text(now, size, path, &file, aside);
    for (size_t i = 0; status != BP_OK && i < bp_report_count(aside); i++) {
        const bp_message *m = bp_report_at(aside, i);
        if (m->severity == BP_MISTAKE)
            bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "%s (in %s)", m->text, entry);
    }
    bp_casefile_free(&file);
    bp_report_free(&aside);
    return status;
}

static bp_status add(const char *path, const char *text, size_t size, const char *words,
                     bp_report *report) {
    line l;
    bp_casefile *before = NULL;
    bp_status status = bp_casefile_text(text, size, path, &before, report);
    bp_casefile_free(&before);
    if (status != BP_OK)
        return status;
    char *entry = NULL, *now = NULL;
    size_t now_size = 0;
    if (!cut(words, &l)) {
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0,
                      "\"%.60s...\" has too many pieces: expected, for instance, \"state horn, red "
                      "D, 0.02 V\"",
                      words);
        status = BP_ERR_INPUT;
    } else if (!(entry = entry_of(&l)) ||
               !(now = insert(text, size, entry, report, path, &now_size)))
        status = BP_ERR_MEMORY;
    else
        status = check(now, now_size, path, entry, report);
    if (status == BP_OK)
        status = replace(path, text, size, now, now_size, report);
    free(l.text);
    free(entry);
    free(now);
    return status;
}

bp_status bp_casefile_add(const char *path, const char *words, bp_report *report) {
    char *text = NULL;
    size_t size = 0;
    bp_status status = bp_yaml_read(path, &text, &size, report);
    if (status == BP_OK)
        status = add(path, text, size, words, report);
    free(text);
    return status;
}
