/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Tables on the terminal: cells are added row by row, widths follow from what is in them, columns
 * that may wrap give way when the terminal is too narrow. A column that stays empty is left out.
 */
#ifndef BP_CLI_COLUMNS_H
#define BP_CLI_COLUMNS_H

#include "cli/screen.h"

typedef enum bp_cell_align { BP_CELL_LEFT, BP_CELL_RIGHT } bp_cell_align;

typedef struct bp_columns bp_columns;

/* The terminal must outlive the table. Never NULL. */
bp_columns *bp_columns_new(const bp_screen *screen, size_t n);
void bp_columns_free(bp_columns **columns);

/* Title, alignment, and whether the column may be broken into several lines. */
void bp_columns_head(bp_columns *columns, size_t column, const char *title, bp_cell_align align,
                     bool wraps);

/* The next cell, from left to right, then in the next row. Any text is safe: it is cleaned here. */
void bp_columns_cell(bp_columns *columns, bp_tone tone, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The narrowest it can be while columns that may wrap keep `least` display columns (or less, where
 * they need less). */
size_t bp_columns_least(bp_columns *columns, size_t least);

/* Writes the table; an unfinished last row is filled with empty cells. Without any title no head is
 * written, without any cell nothing. */
void bp_columns_print(bp_columns *columns);

#endif
