/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the program prints as JSON is valid (RFC 8259, read by jansson), and its keys are those of
 * docs/json.md: every key that is printed is described, every key that is described is printed by
 * some command here.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_KEYS = 200, LONGEST = 120 };

typedef struct key {
    char path[LONGEST];
    bool printed;
} key;

typedef struct section {
    key keys[MOST_KEYS];
    size_t n;
    int undescribed;
} section;

static const char *need(const char *name) {
    const char *value = getenv(name);
    if (!value)
        fail_msg("%s is not set: run the tests with ctest", name);
    return value;
}

/* The keys of "## NAME" in docs/json.md: the first words in backticks of each table row. */
static void read_section(section *s, const char *name) {
    char path[4096], line[1024], title[64];
    snprintf(path, sizeof path, "%s/docs/json.md", need("BACKPROBE_SOURCE"));
    snprintf(title, sizeof title, "## %s\n", name);
    FILE *f = fopen(path, "r");
    assert_non_null(f);
    bool inside = false;
    *s = (section){.n = 0};
    while (fgets(line, sizeof line, f)) {
        if (strncmp(line, "## ", 3) == 0)
            inside = strcmp(line, title) == 0;
        const char *end = strncmp(line, "| `", 3) == 0 ? strchr(line + 3, '`') : NULL;
        if (!inside || !end)
            continue;
        assert_true(s->n < MOST_KEYS && (size_t)(end - line) < LONGEST);
        snprintf(s->keys[s->n++].path, LONGEST, "%.*s", (int)(end - line - 3), line + 3);
    }
    fclose(f);
    assert_true(s->n > 0);
}

static bool is_described_below(const section *s, const char *path) {
    for (size_t i = 0; i < s->n; i++)
        if (strncmp(s->keys[i].path, path, strlen(path)) == 0)
            return true;
    return false;
}

static void note_leaf(section *s, const char *path) {
    for (size_t i = 0; i < s->n; i++)
        if (strcmp(s->keys[i].path, path) == 0) {
            s->keys[i].printed = true;
            return;
        }
    print_error("not described in docs/json.md: %s\n", path);
    s->undescribed++;
}

/* Notes the path of every value that is neither object nor list. Keys of the user's own making are
 * written as '*'. */
static void walk(section *s, json_t *value, const char *path) {
    char deeper[2 * LONGEST];
    if (json_is_array(value)) {
        snprintf(deeper, sizeof deeper, "%s[]", path);
        for (size_t i = 0; i < json_array_size(value); i++)
            walk(s, json_array_get(value, i), deeper);
    } else if (json_is_object(value)) {
        snprintf(deeper, sizeof deeper, "%s.*", path);
        bool any = is_described_below(s, deeper);
        const char *name;
        json_t *member;
        json_object_foreach(value, name, member) {
            snprintf(deeper, sizeof deeper, "%s%s%s", path, *path ? "." : "", any ? "*" : name);
            walk(s, member, deeper);
        }
    } else {
        note_leaf(s, path);
    }
}

/* Runs the program with these arguments; its output must be one JSON document. */
static json_t *run(const char *arguments) {
    char command[8192];
    snprintf(command, sizeof command, "cd '%s/tests/cli/fixtures' && '%s' %s",
             need("BACKPROBE_SOURCE"), need("BACKPROBE"), arguments);
    FILE *f = popen(command, "r");
    assert_non_null(f);
    json_error_t error;
    json_t *document = json_loadf(f, 0, &error);
    if (!document)
        fail_msg("%s: %s in line %d", arguments, error.text, error.line);
    pclose(f);
    return document;
}

static void compare(const char *name, const char *const *commands) {
    static section s;
    read_section(&s, name);
    for (size_t i = 0; commands[i]; i++) {
        json_t *document = run(commands[i]);
        walk(&s, document, "");
        json_decref(document);
    }
    int missing = 0;
    for (size_t i = 0; i < s.n; i++)
        if (!s.keys[i].printed) {
            print_error("described in docs/json.md, never printed: %s\n", s.keys[i].path);
            missing++;
        }
    assert_int_equal(s.undescribed, 0);
    assert_int_equal(missing, 0);
}

#define COMPARE(name, ...)                                                                         \
    static void test_##name(void **state) {                                                        \
        (void)state;                                                                               \
        static const char *const commands[] = {__VA_ARGS__, NULL};                                 \
        compare(#name, commands);                                                                  \
    }

COMPARE(circuits, "circuits --json")
COMPARE(show, "show fuel-pump --json", "show divider.yaml --json")
COMPARE(check, "check mistakes.yaml divider.yaml --json")
COMPARE(faults, "faults fuel-pump --quick --json", "faults divider.yaml --json")
/* A healthy circuit, one that buzzes, an overloaded fuse, a blown one, an ammeter, an action. */
COMPARE(predict, "predict divider.yaml --json", "predict buzzer.yaml --json",
        "predict overload.yaml --json",
        "predict fuel-pump --state prime --fault W15:short-to-ground --json",
        "predict fuel-pump --state running --json",
        "predict overload.yaml --instrument amps --at F1 --json",
        "predict overload.yaml --min-max --json")
/* A run of which nobody notices anything without an instrument, and one that is heard. */
COMPARE(scope, "scope ignition-distributor --fault T1:primary-shorted-turns --json",
        "scope starting --waveform dip --json")
COMPARE(table, "table divider.yaml --json")
/* Readings that one fault explains but for one of them, and readings that only two faults explain.
 */
COMPARE(match, "match lamp-case.yaml --json --file ''",
        "match two-faults-case.yaml --json --file ''", "match pulsing-case.yaml --json --file ''")
COMPARE(next, "next lamp-begun-case.yaml --json --tests 20 --file ''")
COMPARE(doctor, "doctor --json")

/* A book with an entry that counts and one that was struck out. */
static void test_repairs(void **state) {
    (void)state;
    char folder[] = "/tmp/bp-repairs-XXXXXX", command[8192], list[200];
    assert_non_null(mkdtemp(folder));
    snprintf(
        command, sizeof command,
        "cd '%s/tests/cli/fixtures' && b=%s/book && for i in 1 2; do '%s' repairs add "
        "divider.yaml --fault R1:open --case 'job 1' --state on --red A --before '0 V' --after "
        "'9 V' --gone --cause heat --file $b; done && '%s' repairs strike 2 --why 'came back' "
        "--file $b",
        need("BACKPROBE_SOURCE"), folder, need("BACKPROBE"), need("BACKPROBE"));
    assert_int_equal(system(command), 0);
    snprintf(list, sizeof list, "repairs list --json --file %s/book", folder);
    compare("repairs", (const char *const[]){list, NULL});
    snprintf(command, sizeof command, "rm -r %s", folder);
    assert_int_equal(system(command), 0);
}

/* 12 V over 1 kohm and 3 kohm with a 10 Mohm meter on the middle: 8.99933 V by Ohm's law. */
static void test_value(void **state) {
    (void)state;
    json_t *document = run("predict divider.yaml --state on --red A --json"), *readings;
    assert_int_equal(json_array_size(document), 1);
    readings = json_object_get(json_array_get(document, 0), "readings");
    assert_int_equal(json_array_size(readings), 1);
    json_t *reading = json_array_get(readings, 0);
    double value = json_number_value(json_object_get(reading, "value"));
    assert_true(value > 8.99933 - 1e-4 && value < 8.99933 + 1e-4);
    assert_string_equal(json_string_value(json_object_get(reading, "unit")), "V");
    assert_string_equal(json_string_value(json_object_get(reading, "display")), "9.00 V");
    assert_string_equal(json_string_value(json_object_get(reading, "status")), "ok");
    assert_string_equal(json_string_value(json_object_get(reading, "point")), "A");
    assert_true(json_number_value(json_object_get(reading, "low")) < value);
    assert_true(json_number_value(json_object_get(reading, "high")) > value);
    json_decref(document);
}

/* `value` is null unless `status` is ok (design of the document). */
static void test_no_value(void **state) {
    (void)state;
    json_t *document = run("predict buzzer.yaml --json");
    json_t *readings = json_object_get(json_array_get(document, 0), "readings");
    json_t *reading = json_array_get(readings, 0);
    assert_string_equal(json_string_value(json_object_get(reading, "status")), "unsteady");
    assert_true(json_is_null(json_object_get(reading, "value")));
    double low = json_number_value(json_object_get(reading, "low"));
    double high = json_number_value(json_object_get(reading, "high"));
    assert_true(low < 1 && high > 11); /* nothing, and the whole battery */
    json_decref(document);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_circuits), cmocka_unit_test(test_show),
        cmocka_unit_test(test_check),    cmocka_unit_test(test_faults),
        cmocka_unit_test(test_predict),  cmocka_unit_test(test_table),
        cmocka_unit_test(test_doctor),   cmocka_unit_test(test_value),
        cmocka_unit_test(test_no_value), cmocka_unit_test(test_repairs),
        cmocka_unit_test(test_match),    cmocka_unit_test(test_next),
        cmocka_unit_test(test_scope),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
