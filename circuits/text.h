/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Texts that come from strangers: UTF-8, characters that show, ids, numbers that do not depend on
 * the locale.
 */
#ifndef BP_CIRCUITS_TEXT_H
#define BP_CIRCUITS_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/* Bytes of the UTF-8 character at the start of text; 0 when it is not valid UTF-8 (RFC 3629) or
 * size is 0. */
size_t bp_text_width(const char *text, size_t size);

/* True for a valid character of `width` bytes that can be shown in a line: no control character
 * (C0, DEL, C1), line or paragraph separator, and none that turns the direction of the text around
 * it. */
bool bp_text_shows(const char *text, size_t width);

/* True when the whole text is valid and shows. */
bool bp_text_is_clean(const char *text);

/* Line ends and runs of blanks become one blank each, none at either end; in place. */
void bp_text_one_line(char *text);

/* True for [A-Za-z][A-Za-z0-9_]*, with `hyphens` also -, of at most 40 characters. */
bool bp_text_is_id(const char *text, bool hyphens);

/* The length of the decimal number at the start of text ("-12.6e-3"), 0 when there is none. No
 * "nan", "inf" or hex. */
size_t bp_number_length(const char *text);

/* Reads text as one whole decimal number times 10^shift, rounded once. False when it is none, or
 * neither 0 nor of a size from 1e-30 to 1e30. The decimal sign is the full stop whatever the
 * locale. */
bool bp_number_read(const char *text, size_t length, int shift, double *value);

/* Writes value / 10^shift with `digits` significant digits, without exponent and without trailing
 * zeros; `room` bytes. Returns the length as snprintf does. */
int bp_number_write(double value, int shift, int digits, char *text, size_t room);

#endif
