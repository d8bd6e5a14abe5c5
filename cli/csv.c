/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/csv.h"

void bp_csv_head(const bp_screen *out, const char *const *titles, size_t n) {
    for (size_t i = 0; i < n; i++)
        bp_csv_text(out, titles[i], i + 1 < n ? ',' : '\n');
}

void bp_csv_text(const bp_screen *out, const char *text, char then) {
    char *clean = bp_clean_utf8(text ? text : "");
    bool quoted = strpbrk(clean, ",\"") != NULL;
    if (quoted)
        fputc('"', out->file);
    for (const char *s = clean; *s; s++) {
        if (*s == '"')
            fputc('"', out->file);
        fputc(*s, out->file);
    }
    if (quoted)
        fputc('"', out->file);
    fputc(then, out->file);
    free(clean);
}

void bp_csv_number(const bp_screen *out, double value, char then) {
    if (isfinite(value))
        fprintf(out->file, "%.9g", value);
    fputc(then, out->file);
}
