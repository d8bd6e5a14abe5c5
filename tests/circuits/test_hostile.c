/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Files from people who mean harm, or whose editor did: each ends with a message that has a line,
 * and nothing else happens. How long each takes is measured by the benchmarks; here an alarm only
 * ends what would never end.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include "tests/circuits/files.h"

static void refused(const char *what, const char *text, size_t size, size_t line,
                    const char *says) {
    bp_report *report = bp_report_new();
    bp_circuit *circuit = (bp_circuit *)report; /* has to be overwritten */
    bp_status status = bp_load_text(text, size, "hostile.yaml", &circuit, report);
    const bp_message *m = bp_report_at(report, 0);
    if (status != BP_ERR_INPUT || circuit || !m || m->line == 0 || (line && m->line != line) ||
        !strstr(files_messages(report), says))
        fail_msg("%s: status %d, line %zu expected, \"%s\"\n%.2000s", what, (int)status, line, says,
                 files_messages(report));
    for (size_t i = 0; i < bp_report_count(report); i++) {
        assert_string_equal(bp_report_at(report, i)->file, "hostile.yaml");
        for (const char *p = bp_report_at(report, i)->text; *p; p++)
            assert_true((unsigned char)*p >= 0x20 && *p != 0x7f);
    }
    bp_report_free(&report);
}

#define REFUSED(text, line, says) refused(text, text, sizeof(text) - 1, line, says)

static void bytes_that_are_no_text_are_refused(void **state) {
    (void)state;
    REFUSED("backprobe: 1\nid: a\0b\n", 2, "control character (0x00)");
    REFUSED("backprobe: 1\nid: \x1b[2J\n", 2, "control character (0x1b)");
    REFUSED("backprobe: 1\r\nid: a\x7f\r\n", 2, "control character (0x7f)");
    REFUSED("backprobe: 1\nid: caf\xe9\n", 2, "UTF-8"); /* Latin-1 */
    REFUSED("backprobe: 1\n\nid: \xc0\xaf\n", 3, "UTF-8");
    REFUSED("backprobe: 1\nid: \xf5\x80\x80\x80\n", 2, "UTF-8");
    REFUSED("backprobe: 1\nid: \xe2\x82", 2, "UTF-8"); /* cut off */
    REFUSED("backprobe: 1\nid: a\u202eb\n", 2, "cannot be shown");
    REFUSED("\xff\xfe"
            "b\0a\0",
            1, "UTF-16");
    REFUSED("\xfe\xff\0b\0a", 1, "UTF-16");
    REFUSED("\0\0\xfe\xff", 1, "control character");
}

static void what_is_no_yaml_is_refused(void **state) {
    (void)state;
    REFUSED("", 1, "empty");
    REFUSED("# nothing\n\n", 1, "empty");
    REFUSED("just words", 1, "no circuit file");
    REFUSED("- a\n- b\n", 1, "no circuit file");
    REFUSED("---\n...\n", 2, "no circuit file");
    REFUSED("backprobe: 1\nparts: {a: [}\n", 2, "not YAML");
    REFUSED("backprobe: 1\n\tid: x\n", 2, "not YAML");
    REFUSED("backprobe: 1\nid: \"open\n\n", 2, "not YAML");
    REFUSED("backprobe: 1\nid: x\n---\nbackprobe: 1\n", 3, "second document");
    REFUSED("%YAML 9.9\n---\nbackprobe: 1\n", 1, "not YAML");
}

static void what_yaml_can_do_and_circuits_do_not_need_is_refused(void **state) {
    (void)state;
    REFUSED("backprobe: 1\nid: &a x\ntitle: *a\n", 2, "anchor");
    REFUSED("backprobe: 1\nid: *a\n", 2, "alias");
    REFUSED("backprobe: 1\nid: !!binary aGk=\n", 2, "tag");
    REFUSED("backprobe: 1\nparts: !!python/object:os.system {}\n", 2, "tag");
    REFUSED("backprobe: 1\n<<: {id: x}\n", 0, "unknown key \"<<\"");
    /* Aliases that multiply: nine levels of eight would be 134 million. */
    char text[2000];
    size_t used = (size_t)snprintf(text, sizeof text, "backprobe: 1\na0: &a0 [x]\n");
    for (int i = 1; i < 10; i++)
        used += (size_t)snprintf(text + used, sizeof text - used,
                                 "a%d: &a%d [*a%d, *a%d, *a%d, *a%d, *a%d, *a%d, *a%d, *a%d]\n", i,
                                 i, i - 1, i - 1, i - 1, i - 1, i - 1, i - 1, i - 1, i - 1);
    refused("aliases that multiply", text, used, 2, "anchor");
}

/* `unit` over and over after `start`, up to `size` bytes. Owned by the caller. */
static char *repeated(const char *start, const char *unit, size_t size) {
    char *text = malloc(size + 1);
    assert_non_null(text);
    size_t used = strlen(start), n = strlen(unit);
    memcpy(text, start, used);
    for (; used + n <= size; used += n)
        memcpy(text + used, unit, n);
    text[used] = '\0';
    return text;
}

static void size_and_depth_are_bounded(void **state) {
    (void)state;
    static const struct {
        const char *start, *unit;
        size_t size;
        const char *says;
    } rows[] = {
        {"", "[", 10000000, "larger than 1 MB"},
        {"", "[", 1000000, "nested too deeply"},
        {"", "{", 1000000, "nested too deeply"},
        {"", "{a: ", 1000000, "nested too deeply"},
        {"", "- ", 1000000, "nested too deeply"},
        {"", "? ", 1000000, "nested too deeply"},
        {"", "[]", 1000000, "not YAML"},
        {"a: [", "x,", 1000000, "too many entries"},
        {"a: [", "[],", 1000000, "too many entries"},
        {"", "a: b\n", 1000000, "too many entries"},
        {"a: \"", "x", 1000000, "not YAML"},
        {"a: ", "x ", 1000000, "no line backprobe"},
        {"", "x\n", 1000000, "no circuit file"},
        {"", "a", 1000000, "no circuit file"},
        {"", "a: ", 1000000, "not YAML"},
        {"", "'", 1000000, ""},
        {"", "\"\\n", 1000000, ""},
        {"", "&a ", 1000000, "anchor"},
        {"", "|\n", 1000000, ""},
        {"", "%", 1000000, "not YAML"},
        {"", "---\n", 1000000, "second document"},
        {"", "\n", 999999, "empty"},
        {"", "#", 1000000, "empty"},
        {"", ",", 1000000, "not YAML"},
        {"", ":", 1000000, "not YAML"},
        {"", "!", 1000000, "tag"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char *text = repeated(rows[i].start, rows[i].unit, rows[i].size);
        char what[60];
        snprintf(what, sizeof what, "%s%s...", rows[i].start, rows[i].unit);
        refused(what, text, strlen(text), 0, rows[i].says);
        free(text);
    }
}

/* Large files in the right shape, closed as they should be: all wrong in some way, and a lot of
 * work if it were done without bounds. */
static void large_files_of_the_right_shape_are_bounded(void **state) {
    (void)state;
    static const struct {
        const char *start, *unit, *end;
    } rows[] = {
        {"parts:\n", "  R%zu: {kind: resistor}\n", ""},
        {"parts:\n", "  R%zu: {kind: resistr, label: \"%zu\"}\n", ""},
        {"parts:\n", "  C%zu: {kind: connector, cavities: 128}\n", ""},
        {"parts:\n  R1: {kind: resistor, ", "k%zu: 1, ", "}\n"},
        {"parts:\n  S: {kind: switch, positions: {", "a%zu: [[%zu, 2]], ", "}}\n"},
        {"parts:\n  S: {kind: switch, positions: {a: [", "[%zu, 1], ", "]}}\n"},
        {"wires:\n", "  W%zu: {from: X%zu.1, to: Y%zu.2}\n", ""},
        {"states:\n", "  s%zu: {from: s%zu, S%zu: on}\n", ""},
        {"states:\n  a: {", "S%zu: on, ", "}\n"},
        {"points:\n", "  P%zu: {at: Q%zu.1}\n", ""},
        {"faults:\n", "  P%zu:open: {weight: 2}\n", ""},
        {"layout:\n", "  P%zu: {at: [1, %zu]}\n", ""},
        {"joins: [", "P%zu.1, ", "]\n"},
        {"cautions: [", "c%zu, ", "]\n"},
        {"cautions: [", "mind %zu, ", "]\n"},
        {"elsewhere: [", "look at %zu, ", "]\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        for (size_t most = 1900; most <= 100000; most *= 7) {
            char *text = malloc(1000001);
            assert_non_null(text);
            size_t used = (size_t)sprintf(text, "backprobe: 1\nid: x\n%s", rows[i].start);
            for (size_t k = 1; k < most && used < 999000; k++) {
                const char *p = rows[i].unit;
                for (const char *slot; (slot = strstr(p, "%zu")); p = slot + 3)
                    used += (size_t)sprintf(text + used, "%.*s%zu", (int)(slot - p), p, k);
                used += (size_t)sprintf(text + used, "%s", p);
            }
            used += (size_t)sprintf(text + used, "%s", rows[i].end);
            refused(rows[i].unit, text, used, 0, "");
            free(text);
        }
}

/* What might reach a shell or the solver if anyone were careless is no id, no number and no text of
 * a circuit. */
static void commands_are_no_names_or_values(void **state) {
    (void)state;
    static const struct {
        const char *find, *by, *says;
    } rows[] = {
        {"  H1:  {", "  \"H1\\n.control\\nshell id\\n.endc\": {", "cannot be an id"},
        {"  H1:  {", "  \"`id`\": {", "cannot be an id"},
        {"  H1:  {", "  \"$(id)\": {", "cannot be an id"},
        {"coil: 85 ohm", "coil: \"85 ohm\\n.control\"", "unknown unit"},
        {"coil: 85 ohm", "coil: \"`id` ohm\"", "not a number"},
        {"released: {}", "\"a\\nb\": {}", "cannot be the name of a state"},
        {"size: 4 mm2", "loom: \"a\\u0007\"", "cannot be shown"},
        {"id: horn", "id: \"../../etc/passwd\"", "cannot be the id"},
    };
    char *good = files_read("data/horn.yaml");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char *text = files_replaced(good, rows[i].find, rows[i].by);
        bp_report *report = bp_report_new();
        bp_circuit *circuit;
        assert_int_equal(bp_load_text(text, strlen(text), "h", &circuit, report), BP_ERR_INPUT);
        if (!strstr(files_messages(report), rows[i].says))
            fail_msg("%s: %s", rows[i].by, files_messages(report));
        bp_report_free(&report);
        free(text);
    }
    free(good);
}

/* Windows line ends, a byte order mark, and no line end at all are no mistakes. */
static void harmless_oddities_are_taken(void **state) {
    (void)state;
    char *good = files_read("data/horn.yaml");
    size_t size = strlen(good);
    char *odd = malloc(2 * size + 4);
    assert_non_null(odd);
    size_t used = (size_t)sprintf(odd, "\xef\xbb\xbf");
    for (size_t i = 0; i + 1 < size; i++) {
        if (good[i] == '\n')
            odd[used++] = '\r';
        odd[used++] = good[i];
    }
    bp_report *report = bp_report_new();
    bp_circuit *circuit;
    if (bp_load_text(odd, used, "odd", &circuit, report) != BP_OK)
        fail_msg("%s", files_messages(report));
    assert_int_equal(bp_report_count(report), 0);
    assert_int_equal(circuit->parts[bp_part_find(circuit, "K2")].line, 10);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    free(odd);
    free(good);
}

/* A file cut off at any byte is refused or whole, and never anything else. */
static void files_cut_off_anywhere_are_handled(void **state) {
    (void)state;
    char *good = files_read("data/horn.yaml");
    size_t size = strlen(good);
    for (size_t cut = 0; cut < size; cut += 3) {
        bp_report *report = bp_report_new();
        bp_circuit *circuit;
        bp_status status = bp_load_text(good, cut, "cut", &circuit, report);
        assert_true((status == BP_OK) == (circuit != NULL));
        assert_true(status == BP_OK || bp_report_count_of(report, BP_MISTAKE) > 0);
        bp_circuit_free(&circuit);
        bp_report_free(&report);
    }
    free(good);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bytes_that_are_no_text_are_refused),
        cmocka_unit_test(what_is_no_yaml_is_refused),
        cmocka_unit_test(what_yaml_can_do_and_circuits_do_not_need_is_refused),
        cmocka_unit_test(size_and_depth_are_bounded),
        cmocka_unit_test(large_files_of_the_right_shape_are_bounded),
        cmocka_unit_test(commands_are_no_names_or_values),
        cmocka_unit_test(harmless_oddities_are_taken),
        cmocka_unit_test(files_cut_off_anywhere_are_handled),
    };
#if !defined(__SANITIZE_ADDRESS__)
    /* The sanitizer maps terabytes. */
    const struct rlimit most = {256u << 20, 256u << 20};
    assert_int_equal(setrlimit(RLIMIT_AS, &most), 0);
#endif
    alarm(300);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
