/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tests/circuits/files.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

char *files_read(const char *name) {
    char path[1024];
    const char *source = getenv("BACKPROBE_SOURCE");
    snprintf(path, sizeof path, "%s/tests/circuits/%s", source ? source : ".", name);
    FILE *file = fopen(path, "rb");
    if (!file)
        fail_msg("%s cannot be read", path);
    char *text = calloc(1, 100000);
    assert_non_null(text);
    size_t size = fread(text, 1, 99999, file);
    (void)fclose(file);
    assert_true(size > 0 && size < 99999);
    return text;
}

char *files_replaced(const char *text, const char *find, const char *by) {
    const char *at = strstr(text, find);
    if (!at)
        fail_msg("\"%s\" is not in the text", find);
    size_t size = strlen(text) + strlen(by) + 1;
    char *out = malloc(size);
    assert_non_null(out);
    snprintf(out, size, "%.*s%s%s", (int)(at - text), text, by, at + strlen(find));
    return out;
}

bp_circuit *files_horn(bp_report **report) {
    char *text = files_read("data/horn.yaml");
    bp_circuit *circuit;
    *report = bp_report_new();
    bp_status status = bp_load_text(text, strlen(text), "horn.yaml", &circuit, *report);
    free(text);
    if (status != BP_OK)
        fail_msg("%s", files_messages(*report));
    return circuit;
}

const char *files_messages(const bp_report *report) {
    static char text[20000];
    size_t used = 0;
    text[0] = '\0';
    for (size_t i = 0; i < bp_report_count(report) && used < sizeof text; i++) {
        const bp_message *m = bp_report_at(report, i);
        used += (size_t)snprintf(text + used, sizeof text - used, "%s:%zu:%zu: %s: %s\n",
                                 m->file ? m->file : "-", m->line, m->column,
                                 m->severity == BP_MISTAKE ? "mistake" : "warning", m->text);
    }
    return text;
}
