/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Case files: what is read, every mistake in one pass and at its place, files of strangers, and
 * readings that are added.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <backprobe/casefile.h>

#include "tests/circuits/files.h"

static char folder[64];

static int set_up(void **state) {
    (void)state;
    char *horn = files_read("data/horn.yaml"), path[128];
    strcpy(folder, "/tmp/bp-case-XXXXXX");
    if (!mkdtemp(folder))
        return -1;
    snprintf(path, sizeof path, "%s/horn.yaml", folder);
    FILE *f = fopen(path, "w");
    const bool good = f && fputs(horn, f) >= 0 && fclose(f) == 0;
    free(horn);
    return good ? 0 : -1;
}

static int tear_down(void **state) {
    (void)state;
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

static bp_status load(const char *text, bp_casefile **file, bp_report *report) {
    char name[128];
    snprintf(name, sizeof name, "%s/case.yaml", folder);
    return bp_casefile_text(text, strlen(text), name, file, report);
}

#define HEAD "case: 1\ncircuit: ./horn.yaml\n"

static void test_whole(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_casefile *file = NULL;
    if (load(HEAD "complaint: Horn quit all at once\n"
                  "onset: sudden\n"
                  "replaced: [H1]\n"
                  "by: other\n"
                  "battery: {rest: 12.5 V}\n"
                  "ambient: 68 degF\n"
                  "readings:\n"
                  "  - {state: pressed, red: BAT.+, value: 12.3 V}\n"
                  "  - {state: pressed, red: D, black: E, value: 20 mV, present: yes}\n"
                  "  - {state: pressed, observe: H1, says: dark}\n"
                  "  - {after: [unplug C12], state: pressed, red: C12.a1, value: 12.40 V}\n"
                  "  - {state: released, red: D, instrument: test-lamp, value: \"off\"}\n"
                  "  - {state: pressed, red: D, value: OL}\n",
             &file, report) != BP_OK)
        fail_msg("%s", files_messages(report));
    double digit;
    assert_int_equal(bp_casefile_onset(file), BP_ONSET_SUDDEN);
    assert_true(bp_casefile_by_other(file));
    assert_int_equal(bp_casefile_n_replaced(file), 1);
    assert_true(bp_casefile_rest_volts(file, &digit) == 12.5 && fabs(digit - 0.05) < 1e-12);
    assert_true(fabs(bp_casefile_ambient(file) - 20) < 1e-9);
    assert_int_equal(bp_casefile_n_readings(file), 6);
    const bp_case_reading *r = bp_casefile_reading(file, 1);
    /* 20 mV: half of the last digit is half a millivolt. */
    assert_true(fabs(r->value - 0.02) < 1e-15 && fabs(r->digit - 0.5e-3) < 1e-15);
    assert_int_equal(r->present, BP_PRESENT_YES);
    r = bp_casefile_reading(file, 2);
    assert_string_equal(r->word, "off");
    assert_int_equal(r->present, BP_PRESENT_YES);
    r = bp_casefile_reading(file, 3);
    assert_true(fabs(r->digit - 0.005) < 1e-15);
    assert_int_equal(r->n_after, 1);
    assert_int_equal(bp_casefile_reading(file, 4)->sort, BP_SEEN_WORD);
    assert_int_equal(bp_casefile_reading(file, 5)->sort, BP_SEEN_OVER);
    bp_casefile_free(&file);
    bp_report_free(&report);
}

/* A line, and a word that must be in the message about it. */
typedef struct wrong {
    const char *line, *word;
} wrong;

static void test_every_mistake(void **state) {
    (void)state;
    static const wrong lines[] = {
        {"onset: suden\n", "sudden"},
        {"by: me\n", "self or other"},
        {"replaced: [H9]\n", "H9"},
        {"battery: {rest: 125 V}\n", "0 to 60 V"},
        {"battery: {now: 12 V}\n", "rest"},
        {"ambient: 20\n", "unit"},
        {"engine: 900 degC\n", "250"},
        {"redings: []\n", "readings"},
        {"readings: {a: b}\n", "list"},
        {"readings: [{state: pressd, red: D, value: 1 V}]\n", "pressed"},
        {"readings: [{state: pressed, red: Q9, value: 1 V}]\n", "Q9"},
        {"readings: [{state: pressed, red: D, value: 1}]\n", "unit"},
        {"readings: [{state: pressed, red: D, value: 1 ohm}]\n", "V"},
        {"readings: [{state: pressed, red: D, value: 1200 V}]\n", "600"},
        {"readings: [{state: pressed, red: D, instrument: millivolts, value: 12 V}]\n",
         "millivolts"},
        {"readings: [{state: pressed, red: D, instrument: ohms, value: -3 ohm}]\n", "below 0"},
        {"readings: [{state: pressed, red: K2.30, instrument: ohms, value: 3 ohm}]\n",
         "dead circuit"},
        {"readings: [{state: pressed, red: D, instrument: volt, value: 3 V}]\n", "volts"},
        {"readings: [{state: pressed, red: D, instrument: test-lamp, value: 3 V}]\n", "bright"},
        {"readings: [{state: pressed, value: 3 V}]\n", "red"},
        {"readings: [{red: D, value: 3 V}]\n", "state"},
        {"readings: [{state: pressed, red: D}]\n", "value"},
        {"readings: [{state: pressed, observe: H1}]\n", "says"},
        {"readings: [{state: pressed, observe: H1, says: shiny}]\n", "normal"},
        {"readings: [{state: pressed, observe: W1, says: open}]\n", "overheats"},
        {"readings: [{state: pressed, observe: G0, says: open}]\n", "nothing is seen"},
        {"readings: [{state: pressed, observe: H1, says: off, red: D}]\n", "no leads"},
        {"readings: [{state: pressed, red: D, value: 3 V, present: maybe}]\n", "yes, no"},
        {"readings: [{state: pressed, red: D, value: 3 V, after: [unplug C19]}]\n", "C12"},
        {"readings: [{state: pressed, red: D, value: 3 V, after: [kick C12]}]\n", "kick"},
        {"readings: [{state: pressed, red: D, value: 3 V, colour: RD}]\n", "colour"},
        {"readings: [12 V]\n", "{state"},
    };
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        char text[400];
        bp_report *report = bp_report_new();
        bp_casefile *file = NULL;
        snprintf(text, sizeof text, HEAD "%s", lines[i].line);
        assert_int_equal(load(text, &file, report), BP_ERR_INPUT);
        assert_null(file);
        bool found = false;
        for (size_t k = 0; k < bp_report_count(report); k++) {
            const bp_message *m = bp_report_at(report, k);
            found = found || (m->line == 3 && strstr(m->text, lines[i].word));
        }
        if (!found)
            fail_msg("%s: %s", lines[i].line, files_messages(report));
        bp_report_free(&report);
    }
}

/* All of them at once, in the order of the file. */
static void test_one_pass(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_casefile *file = NULL;
    assert_int_equal(load(HEAD "onset: suden\n"
                               "by: me\n"
                               "readings:\n"
                               "  - {state: pressd, red: D, value: 1 V}\n"
                               "  - {state: pressed, red: D, value: 1}\n",
                          &file, report),
                     BP_ERR_INPUT);
    assert_int_equal(bp_report_count_of(report, BP_MISTAKE), 4);
    for (size_t i = 1; i < bp_report_count(report); i++)
        assert_true(bp_report_at(report, i)->line >= bp_report_at(report, i - 1)->line);
    bp_report_free(&report);
}

/* What strangers send: nothing of it is taken, and each is told why. */
static void test_hostile(void **state) {
    (void)state;
    static const char *const texts[] = {
        "",
        "\n",
        "case: 1\n",
        "case: 2\ncircuit: ./horn.yaml\n",
        "circuit: ./horn.yaml\n",
        "[1, 2]\n",
        "case: 1\ncircuit: [a]\n",
        "case: 1\ncircuit: /etc/passwd/x\n",
        "case: 1\ncircuit: ./horn.yaml\nreadings: &a [*a]\n",
        "case: 1\ncircuit: ./horn.yaml\nreadings: !!python/object {}\n",
        "case: 1\ncircuit: ./horn.yaml\nreadings: [[[[[[[[[[[[[[[[]]]]]]]]]]]]]]]]\n",
        "case: 1\ncircuit: ./horn.yaml\ncomplaint: \"\\x00\"\n",
        "case: 1\ncircuit: ./horn.yaml\ncomplaint: \x1b[31m\n",
        "case: 1\ncircuit: ./horn.yaml\ncase: 1\n",
        "case: 1\ncircuit: ./horn.yaml\n---\ncase: 1\n",
        "case: 1\ncircuit: ./horn.yaml\nreadings: [{state: pressed, red: D, value: 1e999 V}]\n",
        "case: 1\ncircuit: ./horn.yaml\nreadings: [{state: pressed, red: D, value: nan V}]\n",
        "\xff\xfe",
    };
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        bp_report *report = bp_report_new();
        bp_casefile *file = NULL;
        const bp_status status = load(texts[i], &file, report);
        if (status == BP_OK || file || bp_report_count_of(report, BP_MISTAKE) == 0)
            fail_msg("text %zu: %s", i, bp_status_text(status));
        bp_report_free(&report);
    }
}

/* More readings than anybody takes. */
static void test_many(void **state) {
    (void)state;
    char *text = NULL;
    size_t size = 0;
    FILE *f = open_memstream(&text, &size);
    fputs(HEAD "readings:\n", f);
    for (int i = 0; i < 1000; i++)
        fputs("  - {state: pressed, red: D, value: 1 V}\n", f);
    fclose(f);
    bp_report *report = bp_report_new();
    bp_casefile *file = NULL;
    assert_int_equal(load(text, &file, report), BP_ERR_INPUT);
    assert_null(file);
    free(text);
    bp_report_free(&report);
}

static char *slurp(const char *path) {
    static char text[4000];
    FILE *f = fopen(path, "r");
    if (!f)
        return NULL;
    text[fread(text, 1, sizeof text - 1, f)] = '\0';
    fclose(f);
    return text;
}

static void put(const char *path, const char *text) {
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    fputs(text, f);
    assert_int_equal(fclose(f), 0);
}

/* Files in every shape that readings may have, before and after. */
static void test_add(void **state) {
    (void)state;
    static const char *const shapes[][2] = {
        {HEAD, HEAD "readings:\n  - {state: pressed, red: D, value: 0.02 V}\n"},
        {HEAD "readings:\n", HEAD "readings:\n  - {state: pressed, red: D, value: 0.02 V}\n"},
        {HEAD "readings: []\n", HEAD "readings: [{state: pressed, red: D, value: 0.02 V}]\n"},
        {HEAD "readings: [{state: pressed, red: E, value: 1 V}] # one\nby: self\n",
         HEAD "readings: [{state: pressed, red: E, value: 1 V}, {state: pressed, red: D, value: "
              "0.02 V}] # one\nby: self\n"},
        {HEAD "readings:\n    - {state: pressed, red: E, value: 1 V} # first\n\n# on\nby: self\n",
         HEAD "readings:\n    - {state: pressed, red: E, value: 1 V} # first\n"
              "    - {state: pressed, red: D, value: 0.02 V}\n\n# on\nby: self\n"},
        {HEAD "readings:\n- state: pressed\n  red: E\n  value: 1 V\n\nby: self\n",
         HEAD "readings:\n- state: pressed\n  red: E\n  value: 1 V\n"
              "- {state: pressed, red: D, value: 0.02 V}\n\nby: self\n"},
        {HEAD "complaint: tönt nicht – \u2014\nreadings: [{state: pressed, red: E, value: 1 V}]",
         HEAD "complaint: tönt nicht – \u2014\nreadings: [{state: pressed, red: E, value: 1 V}, "
              "{state: pressed, red: D, value: 0.02 V}]"},
    };
    char path[128], backup[160];
    snprintf(path, sizeof path, "%s/case.yaml", folder);
    snprintf(backup, sizeof backup, "%s.bak", path);
    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++) {
        bp_report *report = bp_report_new();
        put(path, shapes[i][0]);
        if (bp_casefile_add(path, "state pressed, red D, 0.02 V", report) != BP_OK)
            fail_msg("shape %zu: %s", i, files_messages(report));
        assert_string_equal(slurp(path), shapes[i][1]);
        assert_string_equal(slurp(backup), shapes[i][0]);
        bp_report_free(&report);
    }
}

/* Everything that can be said in one line. */
static void test_add_all_sorts(void **state) {
    (void)state;
    static const char *const lines[] = {
        "after unplug C12, state pressed, red C12.a1, 12.4 V",
        "state pressed, observe H1, off",
        "state released, red D, black E, 0.02 V, present no",
        "state pressed, with test-lamp, red D, dim",
        "state pressed, red D, OL",
        "value 1.20 V, red K2/30, state pressed",
    };
    char path[128];
    snprintf(path, sizeof path, "%s/case.yaml", folder);
    put(path, HEAD);
    bp_report *report = bp_report_new();
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        if (bp_casefile_add(path, lines[i], report) != BP_OK)
            fail_msg("%s: %s", lines[i], files_messages(report));
    bp_casefile *file = NULL;
    assert_int_equal(bp_casefile_load(path, &file, report), BP_OK);
    assert_int_equal(bp_casefile_n_readings(file), 6);
    assert_string_equal(bp_casefile_reading(file, 0)->after[0], "unplug C12");
    assert_string_equal(bp_casefile_reading(file, 1)->word, "off");
    assert_int_equal(bp_casefile_reading(file, 2)->present, BP_PRESENT_NO);
    bp_casefile_free(&file);
    bp_report_free(&report);
}

/* A wrong one leaves the file as it was; so does a folder that cannot be written. */
static void test_add_wrong(void **state) {
    (void)state;
    static const char *const lines[] = {"",
                                        "state pressed, red D",
                                        "state horn, red D, 1 V",
                                        "state pressed, red D, 1 V, 2 V",
                                        "state pressed, red D, 1 V}\nby: other",
                                        "red: D"};
    char path[128], backup[160];
    snprintf(path, sizeof path, "%s/case.yaml", folder);
    snprintf(backup, sizeof backup, "%s.bak", path);
    put(path, HEAD);
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        bp_report *report = bp_report_new();
        assert_int_not_equal(bp_casefile_add(path, lines[i], report), BP_OK);
        assert_true(bp_report_count_of(report, BP_MISTAKE) > 0);
        assert_string_equal(slurp(path), HEAD);
        assert_null(slurp(backup));
        bp_report_free(&report);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_whole),
        cmocka_unit_test(test_every_mistake),
        cmocka_unit_test(test_one_pass),
        cmocka_unit_test(test_hostile),
        cmocka_unit_test(test_many),
        cmocka_unit_test(test_add),
        cmocka_unit_test(test_add_all_sorts),
        cmocka_unit_test_setup_teardown(test_add_wrong, set_up, tear_down),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
