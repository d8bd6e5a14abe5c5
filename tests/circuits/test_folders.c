/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Circuits found by id: the library, the user's own folder, near misses, listing; files that cannot
 * be read.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "circuits/folders.h"
#include "tests/circuits/files.h"

static char folder[] = "/tmp/bp-folders-XXXXXX";
static char library[60], data[60], own[100];

static void write_file(const char *where, const char *name, const char *text) {
    char path[500];
    snprintf(path, sizeof path, "%s/%s", where, name);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

static char *named(const char *id) {
    char line[60];
    snprintf(line, sizeof line, "id: %s\n", id);
    char *good = files_read("data/horn.yaml");
    char *text = files_replaced(good, "id: horn\n", line);
    free(good);
    return text;
}

static int set_up(void **state) {
    (void)state;
    assert_non_null(mkdtemp(folder));
    snprintf(library, sizeof library, "%s/library", folder);
    snprintf(data, sizeof data, "%s/data", folder);
    snprintf(own, sizeof own, "%s/backprobe", data);
    mkdir(library, 0700);
    mkdir(data, 0700);
    mkdir(own, 0700);
    snprintf(own, sizeof own, "%s/backprobe/circuits", data);
    mkdir(own, 0700);
    setenv("BACKPROBE_LIBRARY", library, 1);
    setenv("XDG_DATA_HOME", data, 1);
    char *pump = named("pump"), *horn = named("horn");
    char *mine = files_replaced(horn, "title: Relay-fed horn", "title: My own horn");
    write_file(library, "pump.yaml", pump);
    write_file(library, "horn.yaml", horn);
    write_file(library, "notes.txt", "no circuit");
    write_file(own, "horn.yaml", mine);
    write_file(own, "broken.yaml", "backprobe: 1\nid: broken\n");
    write_file(own, "misnamed.yaml", horn);
    write_file(own, ".hidden.yaml", horn);
    free(pump);
    free(horn);
    free(mine);
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    char command[300];
    snprintf(command, sizeof command, "rm -r %s", folder);
    return system(command);
}

static void the_user_comes_before_the_library(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_circuit *circuit;
    assert_int_equal(bp_load("horn", &circuit, report), BP_OK);
    assert_string_equal(bp_circuit_title(circuit), "My own horn");
    bp_circuit_free(&circuit);
    assert_int_equal(bp_load("pump", &circuit, report), BP_OK);
    bp_circuit_free(&circuit);
    char path[300];
    snprintf(path, sizeof path, "%s/horn.yaml", library);
    assert_int_equal(bp_load(path, &circuit, report), BP_OK);
    assert_string_equal(bp_circuit_title(circuit), "Relay-fed horn");
    assert_string_equal(circuit->file, path);
    bp_circuit_free(&circuit);
    assert_int_equal(bp_report_count(report), 0);
    bp_report_free(&report);
}

static void what_is_not_there_is_named(void **state) {
    (void)state;
    static const struct {
        const char *name, *says;
    } rows[] = {{"pmup", "did you mean \"pump\"?"},
                {"wiper", "there is no circuit \"wiper\" in "},
                {"", "there is no circuit \"\""},
                {"..", "there is no circuit \"..\""},
                {"./none.yaml", "cannot be read: No such file"},
                {"none.yaml", "cannot be read: No such file"},
                {"/", "cannot be read: Is a directory"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bp_report *report = bp_report_new();
        bp_circuit *circuit;
        assert_int_equal(bp_load(rows[i].name, &circuit, report), BP_ERR_FILE);
        assert_null(circuit);
        if (!strstr(files_messages(report), rows[i].says))
            fail_msg("%s: %s", rows[i].name, files_messages(report));
        bp_report_free(&report);
    }
}

/* What never ends is not read to its end. */
static void a_file_without_end_is_refused(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_circuit *circuit;
    assert_int_equal(bp_load_file("/dev/zero", &circuit, report), BP_ERR_INPUT);
    assert_non_null(strstr(files_messages(report), "larger than 1 MB"));
    assert_int_equal(bp_report_at(report, 0)->line, 1);
    bp_report_free(&report);
}

static void circuits_are_listed_by_id(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_listing *list;
    size_t n;
    assert_int_equal(bp_list_circuits(&list, &n, report), BP_OK);
    assert_int_equal(n, 3);
    assert_string_equal(list[0].id, "horn");
    assert_true(list[0].own);
    assert_string_equal(list[0].title, "My own horn");
    assert_string_equal(list[1].id, "misnamed");
    assert_string_equal(list[2].id, "pump");
    assert_false(list[2].own);
    assert_true(strncmp(list[2].path, library, strlen(library)) == 0);
    bp_listing_free(&list, n);
    assert_null(list);
    /* Two warnings: one file does not load, one has another id than its name. */
    assert_int_equal(bp_report_count(report), 2);
    assert_int_equal(bp_report_count_of(report, BP_WARNING), 2);
    const char *messages = files_messages(report);
    assert_non_null(strstr(messages, "broken.yaml:1:1: warning: left out: there is no feed"));
    assert_non_null(strstr(messages, "has the id horn"));
    bp_report_free(&report);
}

static void folders_follow_the_environment(void **state) {
    (void)state;
    char *path = bp_user_folder();
    assert_string_equal(path, own);
    free(path);
    setenv("XDG_DATA_HOME", "relative/path", 1); /* to be ignored, says the XDG specification */
    setenv("HOME", "/home/nobody", 1);
    path = bp_user_folder();
    assert_string_equal(path, "/home/nobody/.local/share/backprobe/circuits");
    free(path);
    unsetenv("XDG_DATA_HOME");
    unsetenv("HOME");
    assert_null(bp_user_folder());
    path = bp_library_folder();
    assert_string_equal(path, library);
    free(path);
    /* No folder at all is an empty library, not an error. */
    setenv("BACKPROBE_LIBRARY", "/nowhere", 1);
    bp_listing *list;
    size_t n;
    assert_int_equal(bp_list_circuits(&list, &n, NULL), BP_OK);
    assert_int_equal(n, 0);
    bp_listing_free(&list, n);
    setenv("BACKPROBE_LIBRARY", library, 1);
    setenv("XDG_DATA_HOME", data, 1);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_user_comes_before_the_library),
        cmocka_unit_test(what_is_not_there_is_named),
        cmocka_unit_test(a_file_without_end_is_refused),
        cmocka_unit_test(circuits_are_listed_by_id),
        cmocka_unit_test(folders_follow_the_environment),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
