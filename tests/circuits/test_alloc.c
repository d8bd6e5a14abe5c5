/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Memory that runs out: each allocation of a task fails once, in turn, until the task succeeds.
 * Every time the answer is "out of memory", nothing is handed out, and every block is given back.
 *
 * The allocator is replaced by one that counts and fails on demand. Under the sanitizers, which
 * replace it themselves, these tests are skipped: they look for the same leaks in all other tests.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <dlfcn.h>
#include <dlfcn.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/fault.h"
#include "tests/circuits/files.h"

#if !defined(__SANITIZE_ADDRESS__)
#define COUNTING 1
/* What glibc's own allocator is called behind the replaceable names. */
void *__libc_malloc(size_t size);
void *__libc_calloc(size_t n, size_t size);
void *__libc_realloc(void *block, size_t size);
void __libc_free(void *block);
#else
#define COUNTING 0
#endif

static long countdown = -1; /* allocations until one fails; negative: none does */
static long blocks;         /* that have not been given back */

static bool failed_in_libyaml; /* the allocation that failed was asked for by libyaml */

#if COUNTING
static bool fails(const void *caller) {
    if (countdown < 0 || countdown-- > 0)
        return false;
    Dl_info place;
    failed_in_libyaml = dladdr(caller, &place) && strstr(place.dli_fname, "libyaml");
    return true;
}

#define FAILS fails(__builtin_return_address(0))

void *malloc(size_t __size) {
    void *block = FAILS ? NULL : __libc_malloc(__size);
    blocks += block != NULL;
    return block;
}

void *calloc(size_t __nmemb, size_t __size) {
    void *block = FAILS ? NULL : __libc_calloc(__nmemb, __size);
    blocks += block != NULL;
    return block;
}

void *realloc(void *__ptr, size_t __size) {
    if (FAILS)
        return NULL;
    void *block = __libc_realloc(__ptr, __size);
    blocks += block != NULL && __ptr == NULL;
    return block;
}

void free(void *__ptr) {
    blocks -= __ptr != NULL;
    __libc_free(__ptr);
}
#endif

/* A task: BP_OK, or BP_ERR_MEMORY with everything given back. */
typedef bp_status (*task)(const char *text);

static void fail_each_in_turn(task run, const char *file, long least) {
    if (!COUNTING)
        skip();
    char *text = files_read(file);
    bp_status status = BP_ERR_MEMORY;
    long n = 0;
    for (; status != BP_OK; n++) {
        long before = blocks;
        countdown = n;
        status = run(text);
        bool failed = countdown < 0;
        countdown = -1;
        /* libyaml 0.2.5 loses a block when its document cannot grow: that is not ours to free. */
        if (blocks != before && !(failed && failed_in_libyaml))
            fail_msg("%ld blocks are lost when allocation %ld fails", blocks - before, n);
        if (failed && status != BP_ERR_MEMORY)
            fail_msg("status %d when allocation %ld fails", (int)status, n);
    }
    free(text);
    assert_true(n > least); /* the counting allocator was in use */
}

static bp_status load(const char *text) {
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    bp_status status =
        report ? bp_load_text(text, strlen(text), "horn.yaml", &circuit, report) : BP_ERR_MEMORY;
    if ((status == BP_OK) != (circuit != NULL))
        status = BP_ERR_USAGE;
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    return status;
}

static void loading_a_good_file(void **state) {
    (void)state;
    fail_each_in_turn(load, "data/horn.yaml", 500);
}

/* With mistakes, the answer is never that there are none. */
static bp_status load_bad(const char *text) {
    bp_status status = load(text);
    return status == BP_ERR_INPUT ? BP_OK : status == BP_OK ? BP_ERR_USAGE : status;
}

static void loading_a_bad_file(void **state) {
    (void)state;
    fail_each_in_turn(load_bad, "bad/many-mistakes.yaml", 200);
}

static bp_status list_faults(const char *text) {
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    bp_fault_row *rows = NULL;
    size_t n = 0;
    bp_status status =
        report ? bp_load_text(text, strlen(text), "horn.yaml", &circuit, report) : BP_ERR_MEMORY;
    if (status == BP_OK)
        status = bp_fault_list(circuit, &rows, &n);
    if (status == BP_OK && n == 0)
        status = BP_ERR_USAGE;
    free(rows);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    return status;
}

static void listing_faults(void **state) {
    (void)state;
    fail_each_in_turn(list_faults, "data/horn.yaml", 500);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(loading_a_good_file),
        cmocka_unit_test(loading_a_bad_file),
        cmocka_unit_test(listing_faults),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
