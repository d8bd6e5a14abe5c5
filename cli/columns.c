/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "cli/columns.h"

enum { GUTTER = 2, MARGIN = 2, LEAST_WRAPPED = 14 };

typedef struct one_cell {
    char *text; /* cleaned */
    bp_tone tone;
} one_cell;

typedef struct one_column {
    char *title;
    bp_cell_align align;
    bool wraps;
    size_t width;
    bool empty;
} one_column;

struct bp_columns {
    const bp_screen *screen;
    size_t n_columns;
    one_column *column;
    size_t n_cells, room;
    one_cell *cells;
};

bp_columns *bp_columns_new(const bp_screen *screen, size_t n) {
    bp_columns *c = bp_must(calloc(1, sizeof *c));
    c->screen = screen;
    c->n_columns = n;
    c->column = bp_must(calloc(n, sizeof *c->column));
    for (size_t i = 0; i < n; i++)
        bp_columns_head(c, i, "", BP_CELL_LEFT, false);
    return c;
}

void bp_columns_free(bp_columns **columns) {
    bp_columns *c = *columns;
    if (!c)
        return;
    for (size_t i = 0; i < c->n_columns; i++)
        free(c->column[i].title);
    for (size_t i = 0; i < c->n_cells; i++)
        free(c->cells[i].text);
    free(c->column);
    free(c->cells);
    free(c);
    *columns = NULL;
}

void bp_columns_head(bp_columns *columns, size_t column, const char *title, bp_cell_align align,
                     bool wraps) {
    one_column *head = &columns->column[column];
    free(head->title);
    head->title = bp_screen_clean(columns->screen, title);
    head->align = align;
    head->wraps = wraps;
}

void bp_columns_cell(bp_columns *columns, bp_tone tone, const char *format, ...) {
    if (columns->n_cells == columns->room) {
        columns->room = columns->room ? 2 * columns->room : 64;
        columns->cells = bp_must(realloc(columns->cells, columns->room * sizeof *columns->cells));
    }
    char *text = NULL;
    va_list arguments;
    va_start(arguments, format);
    if (vasprintf(&text, format, arguments) < 0)
        text = NULL;
    va_end(arguments);
    one_cell *cell = &columns->cells[columns->n_cells++];
    cell->text = bp_screen_clean(columns->screen, bp_must(text));
    cell->tone = tone;
    free(text);
}

static void measure(bp_columns *c) {
    for (size_t i = 0; i < c->n_columns; i++) {
        c->column[i].width = bp_text_columns(c->column[i].title);
        c->column[i].empty = true;
    }
    for (size_t i = 0; i < c->n_cells; i++) {
        one_column *column = &c->column[i % c->n_columns];
        size_t width = bp_text_columns(c->cells[i].text);
        if (width > column->width)
            column->width = width;
        if (width > 0)
            column->empty = false;
    }
}

static size_t total(const bp_columns *c) {
    size_t sum = MARGIN, n = 0;
    for (size_t i = 0; i < c->n_columns; i++)
        if (!c->column[i].empty) {
            sum += c->column[i].width;
            n++;
        }
    return n ? sum + GUTTER * (n - 1) : sum;
}

size_t bp_columns_least(bp_columns *columns, size_t least) {
    measure(columns);
    for (size_t i = 0; i < columns->n_columns; i++)
        if (columns->column[i].wraps && columns->column[i].width > least)
            columns->column[i].width = least;
    return total(columns);
}

/* Takes one display column after the other from the widest that may wrap, until the table fits. */
static void squeeze(bp_columns *c) {
    while (total(c) > c->screen->width) {
        one_column *widest = NULL;
        for (size_t i = 0; i < c->n_columns; i++) {
            one_column *column = &c->column[i];
            if (column->wraps && !column->empty && column->width > LEAST_WRAPPED &&
                (!widest || column->width > widest->width))
                widest = column;
        }
        if (!widest)
            return;
        widest->width--;
    }
}

static void spaces(const bp_columns *c, size_t n) { fprintf(c->screen->file, "%*s", (int)n, ""); }

/* One printed line of a row: what is left of each cell in `rest` moves on. Blanks are written only
 * before ink. */
static void print_line(const bp_columns *c, const char **rest, const bp_tone *tones) {
    size_t owed = MARGIN;
    for (size_t i = 0; i < c->n_columns; i++) {
        const one_column *column = &c->column[i];
        if (column->empty)
            continue;
        const char *text = rest[i];
        size_t bytes = strlen(text);
        if (column->wraps)
            bytes = *text ? bp_text_fit(text, column->width, &rest[i]) : 0;
        else
            rest[i] = text + bytes;
        char *piece = bp_must(strndup(text, bytes));
        size_t columns = bp_text_columns(piece);
        size_t pad = column->width > columns ? column->width - columns : 0;
        if (column->align == BP_CELL_RIGHT)
            owed += pad;
        if (bytes > 0) {
            spaces(c, owed);
            bp_screen_put(c->screen, tones[i], piece, bytes);
            owed = 0;
        } else {
            owed += columns;
        }
        owed += (column->align == BP_CELL_LEFT ? pad : 0) + GUTTER;
        free(piece);
    }
    fputc('\n', c->screen->file);
}

static void print_row(const bp_columns *c, const char **rest, const bp_tone *tones) {
    bool more;
    do {
        print_line(c, rest, tones);
        more = false;
        for (size_t i = 0; i < c->n_columns; i++)
            more = more || *rest[i];
    } while (more);
}

static void print_head(const bp_columns *c, const char **rest, bp_tone *tones) {
    bool titled = false;
    for (size_t i = 0; i < c->n_columns; i++) {
        rest[i] = c->column[i].empty ? "" : c->column[i].title;
        tones[i] = BP_TONE_STRONG;
        titled = titled || *rest[i];
    }
    if (!titled)
        return;
    print_row(c, rest, tones);
    spaces(c, MARGIN);
    for (size_t i = MARGIN; i < total(c); i++)
        fputs(c->screen->utf8 ? "─" : "-", c->screen->file);
    fputc('\n', c->screen->file);
}

void bp_columns_print(bp_columns *columns) {
    if (columns->n_cells == 0)
        return;
    while (columns->n_cells % columns->n_columns)
        bp_columns_cell(columns, BP_TONE_PLAIN, "%s", "");
    measure(columns);
    squeeze(columns);
    const char **rest = bp_must(calloc(columns->n_columns, sizeof *rest));
    bp_tone *tones = bp_must(calloc(columns->n_columns, sizeof *tones));
    print_head(columns, rest, tones);
    for (size_t row = 0; row < columns->n_cells; row += columns->n_columns) {
        for (size_t i = 0; i < columns->n_columns; i++) {
            rest[i] = columns->cells[row + i].text;
            tones[i] = columns->cells[row + i].tone;
        }
        print_row(columns, rest, tones);
    }
    free(rest);
    free(tones);
}
