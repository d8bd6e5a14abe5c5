/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The cache of atlases: damaged, cut short, full, used by two at once, gone. Whatever happens to
 * it, the answer is the same, and only time is lost.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <backprobe/load.h>

#include "circuits/kinds/wire.h"
#include "diagnose/atlas_parts.h"
#include "tests/diagnose/bench_circuit.h"

static char folder[64];

static int set_up(void **state) {
    (void)state;
    strcpy(folder, "/tmp/bp-cache-XXXXXX");
    return mkdtemp(folder) ? 0 : -1;
}

static int tear_down(void **state) {
    (void)state;
    char command[128];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

/* A number that is the same for equal atlases: every cell of every test. */
static double sum_of(const bp_atlas *a) {
    double sum = 0;
    for (size_t r = 0; r < bp_atlas_n_rows(a); r++)
        for (size_t t = 0; t < bp_atlas_n_tests(a); t++) {
            const bp_cell cell = bp_atlas_cell(a, r, t);
            sum += (double)cell.sort + (isnan(cell.value) ? 0 : cell.value);
        }
    return sum;
}

static double opened(const char *cache) {
    bench b;
    bench_open(&b, bench_load, cache);
    const double sum = sum_of(b.atlas);
    bench_close(&b);
    return sum;
}

/* The only file of the folder into path; how many there are. */
static int files(char path[400]) {
    int n = 0;
    DIR *entries = opendir(folder);
    assert_non_null(entries);
    for (struct dirent *e; (e = readdir(entries));)
        if (e->d_name[0] != '.') {
            snprintf(path, 400, "%s/%.255s", folder, e->d_name);
            n++;
        }
    closedir(entries);
    return n;
}

static void test_read_again(void **state) {
    (void)state;
    char path[400];
    const double fresh = opened(NULL), written = opened(folder);
    assert_int_equal(files(path), 1);
    struct stat before, after;
    assert_int_equal(stat(path, &before), 0);
    const double again = opened(folder);
    assert_int_equal(stat(path, &after), 0);
    assert_true(before.st_ino == after.st_ino); /* read, not written anew */
    assert_true(fresh == written && written == again);
}

/* A byte that was changed anywhere, and every length that a torn write may leave. */
static void test_torn(void **state) {
    (void)state;
    char path[400];
    const double whole = opened(folder);
    assert_int_equal(files(path), 1);
    struct stat facts;
    assert_int_equal(stat(path, &facts), 0);
    static const double places[] = {0, 0.00001, 0.001, 0.3, 0.99, 0.9999999};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        FILE *f = fopen(path, "r+b");
        assert_non_null(f);
        const long at = (long)(places[i] * (double)(facts.st_size - 1));
        fseek(f, at, SEEK_SET);
        const int c = fgetc(f);
        fseek(f, at, SEEK_SET);
        fputc(c ^ 0x40, f);
        fclose(f);
        assert_true(opened(folder) == whole);
        assert_int_equal(truncate(path, (off_t)(places[i] * (double)facts.st_size)), 0);
        assert_true(opened(folder) == whole);
    }
}

/* Two programs that find no cache both write one; a third finds a whole one. */
static void test_two_at_once(void **state) {
    (void)state;
    char path[400];
    pid_t child[2];
    for (int i = 0; i < 2; i++) {
        child[i] = fork();
        assert_true(child[i] >= 0);
        if (child[i] == 0) {
            bench b;
            bench_open(&b, bench_load, folder);
            _exit(bp_atlas_n_rows(b.atlas) > 1 ? 0 : 1);
        }
    }
    for (int i = 0; i < 2; i++) {
        int status = 1;
        assert_true(waitpid(child[i], &status, 0) == child[i]);
        assert_int_equal(status, 0);
    }
    assert_int_equal(files(path), 1);
    assert_true(opened(folder) == opened(NULL));
}

/* No room for more than a few thousand bytes: the atlas is there all the same, no half file stays.
 */
static void test_full(void **state) {
    (void)state;
    char path[400];
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        const struct rlimit limit = {4096, 4096};
        setrlimit(RLIMIT_FSIZE, &limit);
        bench b;
        bench_open(&b, bench_load, folder);
        _exit(bp_atlas_n_rows(b.atlas) > 1 ? 0 : 1);
    }
    int status = 1;
    assert_true(waitpid(child, &status, 0) == child);
    assert_int_equal(status, 0);
    assert_int_equal(files(path), 0);
}

/* A folder that cannot be: a file is in its place. */
static void test_no_folder(void **state) {
    (void)state;
    char path[400];
    snprintf(path, sizeof path, "%s/file", folder);
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    fclose(f);
    strcat(path, "/cache");
    assert_true(opened(path) == opened(NULL));
}

/* Tests beyond the core are kept too. */
static void test_column(void **state) {
    (void)state;
    char path[400];
    double value[2];
    for (int i = 0; i < 2; i++) {
        bench b;
        bench_open(&b, bench_load, folder);
        bp_test t = BP_TEST_INIT;
        t.state = bp_state_find(b.circuit, "off");
        t.instrument = BP_OHMS;
        t.red = bp_face_find(b.circuit, "RL.1");
        t.black = bp_face_find(b.circuit, "RL.2");
        const size_t test = bp_atlas_test_add(b.atlas, &t);
        assert_true((bp_atlas_cell(b.atlas, 1, test).sort == BP_CELL_MISSING) == (i == 0));
        assert_int_equal(bp_atlas_want(b.atlas, &test, 1, NULL, 0, b.report), BP_OK);
        value[i] = bp_atlas_cell(b.atlas, 1, test).value;
        bench_close(&b);
    }
    assert_int_equal(files(path), 2);
    assert_true(value[0] == value[1] || (isnan(value[0]) && isnan(value[1])));
}

/* The same circuit with another range of a cable's resistance is another atlas. */
static void test_ranges_are_in_the_key(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_circuit *c;
    assert_int_equal(bp_load("starting", &c, report), BP_OK);
    unsigned char before[16], again[16], after[16];
    bp_fingerprint(c, 20, 20, before);
    bp_fingerprint(c, 20, 20, again);
    assert_memory_equal(before, again, 16);
    size_t fitted = 0; /* wires and grounds: their resistance has the same number */
    for (size_t i = 0; i < c->n_parts; i++) {
        if (!c->parts[i].modes)
            continue;
        fitted++;
        double *const figure[] = {&c->parts[i].modes[BP_WIRE_RESISTANCE].lo,
                                  &c->parts[i].modes[BP_WIRE_RESISTANCE].hi,
                                  &c->parts[i].modes[BP_WIRE_RESISTANCE].typical};
        for (size_t k = 0; k < 3; k++) {
            const double kept = *figure[k];
            *figure[k] = 0.7 * kept;
            bp_fingerprint(c, 20, 20, after);
            assert_memory_not_equal(before, after, 16);
            *figure[k] = kept;
        }
    }
    assert_true(fitted > 0);
    bp_circuit_free(&c);
    bp_report_free(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(test_read_again, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_torn, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_two_at_once, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_full, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_no_folder, set_up, tear_down),
        cmocka_unit_test_setup_teardown(test_column, set_up, tear_down),
        cmocka_unit_test(test_ranges_are_in_the_key),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
