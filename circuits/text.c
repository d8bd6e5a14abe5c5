/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "circuits/text.h"

#include <errno.h>
#include <locale.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LONGEST_ID = 40, LONGEST_NUMBER = 60 };

/* Beyond these no number of a circuit means anything, and it could not be written in plain figures.
 */
static const double SMALLEST = 1e-30, LARGEST = 1e30;

size_t bp_text_width(const char *text, size_t size) {
    const unsigned char *p = (const unsigned char *)text;
    if (size == 0)
        return 0;
    if (p[0] < 0x80)
        return 1;
    size_t width = p[0] >= 0xf0 && p[0] <= 0xf4   ? 4
                   : p[0] >= 0xe0 && p[0] <= 0xef ? 3
                   : p[0] >= 0xc2 && p[0] <= 0xdf ? 2
                                                  : 0;
    if (width == 0 || width > size)
        return 0;
    for (size_t i = 1; i < width; i++)
        if ((p[i] & 0xc0) != 0x80)
            return 0;
    /* Overlong forms, surrogates, beyond U+10FFFF. */
    if ((p[0] == 0xe0 && p[1] < 0xa0) || (p[0] == 0xed && p[1] > 0x9f) ||
        (p[0] == 0xf0 && p[1] < 0x90) || (p[0] == 0xf4 && p[1] > 0x8f))
        return 0;
    return width;
}

bool bp_text_shows(const char *text, size_t width) {
    const unsigned char *p = (const unsigned char *)text;
    if (width == 1)
        return p[0] >= 0x20 && p[0] != 0x7f;
    if (width == 2)
        return p[0] != 0xc2 || p[1] >= 0xa0; /* C1 */
    if (width == 3 && p[0] == 0xe2)
        return !(p[1] == 0x80 && p[2] >= 0xa8 && p[2] <= 0xae) && /* U+2028 to U+202E */
               !(p[1] == 0x81 && p[2] >= 0xa6 && p[2] <= 0xa9);   /* U+2066 to U+2069 */
    return true;
}

bool bp_text_is_clean(const char *text) {
    size_t size = strlen(text);
    for (size_t i = 0; i < size;) {
        size_t width = bp_text_width(text + i, size - i);
        if (width == 0 || !bp_text_shows(text + i, width))
            return false;
        i += width;
    }
    return true;
}

void bp_text_one_line(char *text) {
    char *out = text;
    for (const char *p = text; *p; p++) {
        bool blank = *p == ' ' || *p == '\n' || *p == '\r' || *p == '\t';
        if (!blank)
            *out++ = *p;
        else if (out > text && out[-1] != ' ')
            *out++ = ' ';
    }
    if (out > text && out[-1] == ' ')
        out--;
    *out = '\0';
}

static bool is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z'); }

static bool is_digit(char c) { return c >= '0' && c <= '9'; }

bool bp_text_is_id(const char *text, bool hyphens) {
    size_t n = 0;
    if (!is_letter(text[0]))
        return false;
    for (; text[n]; n++)
        if (!is_letter(text[n]) && !is_digit(text[n]) && text[n] != '_' &&
            !(hyphens && text[n] == '-'))
            return false;
    return n <= LONGEST_ID;
}

size_t bp_number_length(const char *text) {
    size_t n = text[0] == '+' || text[0] == '-';
    size_t digits = 0;
    for (; is_digit(text[n]); n++)
        digits++;
    if (text[n] == '.')
        for (n++; is_digit(text[n]); n++)
            digits++;
    if (digits == 0)
        return 0;
    if (text[n] == 'e' || text[n] == 'E') {
        size_t e = n + 1;
        if (text[e] == '+' || text[e] == '-')
            e++;
        if (is_digit(text[e])) {
            while (is_digit(text[e]))
                e++;
            n = e;
        }
    }
    return n;
}

/* The C locale, which needs no memory and is never freed (glibc). */
static locale_t c_locale(void) { return newlocale(LC_ALL_MASK, "C", (locale_t)0); }

bool bp_number_read(const char *text, size_t length, int shift, double *value) {
    if (length == 0 || length > LONGEST_NUMBER || bp_number_length(text) < length)
        return false;
    char number[LONGEST_NUMBER + 16];
    size_t mantissa = strcspn(text, "eE");
    long exponent = 0;
    if (mantissa < length)
        exponent = strtol(text + mantissa + 1, NULL, 10);
    else
        mantissa = length;
    if (exponent > 1000 || exponent < -1000)
        return false;
    snprintf(number, sizeof number, "%.*se%ld", (int)mantissa, text, exponent + shift);
    errno = 0;
    *value = strtod_l(number, NULL, c_locale());
    double size = fabs(*value);
    return errno == 0 && (size == 0 || (size >= SMALLEST && size <= LARGEST));
}

int bp_number_write(double value, int shift, int digits, char *text, size_t room) {
    /* "d.ddde[+-]xx" holds exactly the digits wanted; the decimal point is then set by hand,
     * whatever sign the locale has between the first digit and the others. */
    char raw[64], figures[32];
    size_t n = 0;
    digits = digits < 1 ? 1 : digits > 17 ? 17 : digits;
    snprintf(raw, sizeof raw, "%.*e", digits - 1, fabs(value));
    const char *e = strchr(raw, 'e');
    for (const char *p = raw; p < e; p++)
        if (is_digit(*p))
            figures[n++] = *p;
    long point = strtol(e + 1, NULL, 10) - shift + 1; /* figures before the point */
    while (n > 1 && figures[n - 1] == '0')
        n--;
    if (figures[0] == '0')
        return snprintf(text, room, "0");
    const char *sign = signbit(value) ? "-" : "";
    char zeros[400];
    memset(zeros, '0', sizeof zeros);
    int count = (int)n, before = (int)point;
    if (before <= 0)
        return snprintf(text, room, "%s0.%.*s%.*s", sign, -before, zeros, count, figures);
    if (before >= count)
        return snprintf(text, room, "%s%.*s%.*s", sign, count, figures, before - count, zeros);
    return snprintf(text, room, "%s%.*s.%.*s", sign, before, figures, count - before,
                    figures + before);
}
