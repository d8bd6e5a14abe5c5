/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <langinfo.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>
#include <wchar.h>

#include "circuits/text.h"
#include "cli/screen.h"

enum { NARROWEST = 40, WIDEST = 160, ORDINARY = 80 };

/* Lines longer than WIDEST are hard to follow with the eye, however wide the window is. */
static size_t width_of(int fd) {
    struct winsize size;
    if (ioctl(fd, TIOCGWINSZ, &size) != 0 || size.ws_col == 0)
        return ORDINARY;
    if (size.ws_col < NARROWEST)
        return NARROWEST;
    return size.ws_col > WIDEST ? WIDEST : size.ws_col;
}

bp_screen bp_screen_of(FILE *file) {
    const char *no_colour = getenv("NO_COLOR"), *sort = getenv("TERM");
    bp_screen t = {.file = file, .width = ORDINARY};
    t.is_terminal = isatty(fileno(file)) == 1;
    if (t.is_terminal)
        t.width = width_of(fileno(file));
    t.utf8 = strcmp(nl_langinfo(CODESET), "UTF-8") == 0;
    t.tones = t.is_terminal && !(no_colour && *no_colour) && sort && strcmp(sort, "dumb") != 0;
    return t;
}

void *bp_must(void *memory) {
    if (memory)
        return memory;
    fputs("backprobe: out of memory; close other programs and try again\n", stderr);
    exit(3);
}

char *bp_format(const char *format, ...) {
    char *text = NULL;
    va_list arguments;
    va_start(arguments, format);
    if (vasprintf(&text, format, arguments) < 0)
        text = NULL;
    va_end(arguments);
    return bp_must(text);
}

/* The code of the character of n bytes at `text`; n comes from bp_text_width. */
static uint32_t code_of(const char *text, size_t n) {
    static const unsigned char mask[] = {0, 0x7f, 0x1f, 0x0f, 0x07};
    uint32_t code = (unsigned char)text[0] & mask[n];
    for (size_t i = 1; i < n; i++)
        code = code << 6 | ((unsigned char)text[i] & 0x3f);
    return code;
}

static const char *ascii_for(uint32_t code) {
    static const struct {
        uint32_t code;
        const char *ascii;
    } spelling[] = {
        {0x3a9, "ohm"},    {0x2126, "ohm"},     {0xb0, "deg"},  {0xb2, "2"},   {0xb5, "u"},
        {0x3bc, "u"},      {0xb1, "+-"},        {0xb7, ";"},    {0xd7, "x"},   {0x2013, "to"},
        {0x2014, "-"},     {0x2212, "-"},       {0x2018, "'"},  {0x2019, "'"}, {0x201c, "\""},
        {0x201d, "\""},    {0x2026, "..."},     {0x2192, "->"}, {0x2248, "~"}, {0x2264, "<="},
        {0x2265, ">="},    {0x2500, "-"},       {0xa0, " "},    {0x202f, " "}, {0x25b2, "above"},
        {0x25bc, "below"}, {0x25c6, "differs"}, {0xbd, "1/2"},
    };
    for (size_t i = 0; i < sizeof spelling / sizeof *spelling; i++)
        if (spelling[i].code == code)
            return spelling[i].ascii;
    return "?";
}

static char *clean(const char *text, bool utf8) {
    char *out = NULL;
    size_t size;
    FILE *f = bp_must(open_memstream(&out, &size));
    size_t left = strlen(text);
    while (left > 0) {
        size_t n = bp_text_width(text, left);
        if (n == 0 || !bp_text_shows(text, n)) {
            n = 1;
            if (*text == '\n')
                fputs("\\n", f);
            else
                fprintf(f, "\\x%02X", (unsigned)(unsigned char)*text);
        } else if (utf8 || n == 1) {
            fwrite(text, 1, n, f);
        } else {
            fputs(ascii_for(code_of(text, n)), f);
        }
        text += n;
        left -= n;
    }
    if (fclose(f) != 0)
        bp_must(NULL);
    return bp_must(out);
}

char *bp_screen_clean(const bp_screen *screen, const char *text) {
    return clean(text, screen->utf8);
}

char *bp_clean_utf8(const char *text) { return clean(text, true); }

/* The first character of a cleaned text that is not empty: its bytes, and the columns it takes. */
static size_t step(const char *clean, size_t *columns) {
    size_t n = bp_text_width(clean, strlen(clean));
    int wide = n > 1 ? wcwidth((wchar_t)code_of(clean, n)) : 1;
    *columns = wide < 0 ? 1 : (size_t)wide;
    return n ? n : 1;
}

size_t bp_text_columns(const char *clean) {
    size_t sum = 0, columns;
    while (*clean) {
        clean += step(clean, &columns);
        sum += columns;
    }
    return sum;
}

/* A number and the short word after it, most often its unit, are not torn apart. */
static bool may_break(const char *text, size_t at) {
    if (at == 0 || text[at - 1] < '0' || text[at - 1] > '9')
        return true;
    const char *word = text + at + 1;
    char *first = bp_must(strndup(word, strcspn(word, " ")));
    size_t columns = bp_text_columns(first);
    free(first);
    return columns > 4;
}

size_t bp_text_fit(const char *clean, size_t width, const char **next) {
    size_t used = 0, bytes = 0, space = 0, columns;
    while (clean[bytes]) {
        size_t n = step(clean + bytes, &columns);
        if (used + columns > width && bytes > 0)
            break;
        if (clean[bytes] == ' ' && may_break(clean, bytes))
            space = bytes;
        used += columns;
        bytes += n;
    }
    bool torn = clean[bytes] && (clean[bytes] != ' ' || !may_break(clean, bytes));
    if (torn && space > 0)
        bytes = space;
    *next = clean + bytes;
    while (**next == ' ')
        ++*next;
    return bytes;
}

void bp_screen_put(const bp_screen *screen, bp_tone tone, const char *clean, size_t bytes) {
    static const char *const on[] = {"", "\033[1m", "\033[2m"};
    static const char tie[] =
        "\u00a0"; /* it did its work when lines were broken; a search wants a plain blank */
    bool toned = screen->tones && tone != BP_TONE_PLAIN && bytes > 0;
    if (toned)
        fputs(on[tone], screen->file);
    while (bytes > 0) {
        const char *next = memmem(clean, bytes, tie, sizeof tie - 1);
        size_t n = next ? (size_t)(next - clean) : bytes;
        fwrite(clean, 1, n, screen->file);
        if (next) {
            fputc(' ', screen->file);
            n += sizeof tie - 1;
        }
        clean += n;
        bytes -= n;
    }
    if (toned)
        fputs("\033[0m", screen->file);
}

void bp_screen_paragraph(const bp_screen *screen, bp_tone tone, size_t indent, size_t hanging,
                         const char *format, ...) {
    char *text = NULL;
    va_list arguments;
    va_start(arguments, format);
    if (vasprintf(&text, format, arguments) < 0)
        text = NULL;
    va_end(arguments);
    char *safe = bp_screen_clean(screen, bp_must(text));
    free(text);
    const char *rest = safe;
    do {
        const char *next;
        size_t room = screen->width > indent + 10 ? screen->width - indent : 10;
        size_t bytes = bp_text_fit(rest, room, &next);
        fprintf(screen->file, "%*s", (int)indent, "");
        bp_screen_put(screen, tone, rest, bytes);
        fputc('\n', screen->file);
        rest = next;
        indent = hanging;
    } while (*rest);
    free(safe);
}

void bp_screen_gap(const bp_screen *screen) { fputc('\n', screen->file); }
