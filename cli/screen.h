/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a terminal can show: how wide it is, whether it knows UTF-8, whether bold and faint are
 * welcome; and the one door through which texts of strangers' files reach it.
 */
#ifndef BP_CLI_SCREEN_H
#define BP_CLI_SCREEN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

typedef struct bp_screen {
    FILE *file;
    size_t width;     /* columns; 80 when it is not a terminal */
    bool utf8;        /* the locale's characters are UTF-8; else everything is put into ASCII */
    bool tones;       /* bold and faint: a screen, and NO_COLOR is not set */
    bool is_terminal; /* else a file or a pipe */
} bp_screen;

typedef enum bp_tone { BP_TONE_PLAIN, BP_TONE_STRONG, BP_TONE_FAINT } bp_tone;

bp_screen bp_screen_of(FILE *file);

/* Returns its argument, or ends the program with a message and status 3 when that is NULL: memory
 * is out. */
void *bp_must(void *memory);

/* A formatted string, owned by the caller. */
char *bp_format(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* A copy that is safe to print: control characters (newlines too), marks that turn the direction of
 * writing and bytes that are no UTF-8 become visible escapes; without UTF-8, what has an ASCII
 * spelling gets it ("85 ohm"). Owned by the caller. */
char *bp_screen_clean(const bp_screen *screen, const char *text);

/* The same for a file that is UTF-8 whatever the locale is (CSV). */
char *bp_clean_utf8(const char *text);

/* Display columns of a cleaned text. */
size_t bp_text_columns(const char *clean);

/* Bytes of the longest beginning of `clean` that fits `width` columns, broken at a space where
 * there is one. At least one character. *next is set to where the rest begins. */
size_t bp_text_fit(const char *clean, size_t width, const char **next);

/* Writes a cleaned text in a tone; blanks that tied words together become plain ones. */
void bp_screen_put(const bp_screen *screen, bp_tone tone, const char *clean, size_t bytes);

/* Cleans, wraps at the terminal's width and writes one paragraph; each line but the first is
 * indented by `hanging` columns, the first by `indent`. */
void bp_screen_paragraph(const bp_screen *screen, bp_tone tone, size_t indent, size_t hanging,
                         const char *format, ...) __attribute__((format(printf, 5, 6)));

/* An empty line. */
void bp_screen_gap(const bp_screen *screen);

#endif
