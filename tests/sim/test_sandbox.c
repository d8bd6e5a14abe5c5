/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a worker cannot do, and what it does not read. Each check runs in a process of its own that
 * ends with a number.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "sim/sandbox.h"
#include "sim/session.h"
#include "tests/sim/asked.h"

/* Runs `body` in a child; its exit status. */
static int in_child(int (*body)(void)) {
    const pid_t pid = fork();
    assert_true(pid >= 0);
    if (pid == 0)
        _exit(body());
    int status = 0;
    assert_int_equal(waitpid(pid, &status, 0), pid);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

enum { ALL_FORBIDDEN = 42 };

static int try_everything(void) {
    if (!bp_sandbox_enter() || !bp_sandbox_shut())
        return 1;
    if (open("/etc/passwd", O_RDONLY) >= 0 || errno != EPERM)
        return 2;
    if (open("/tmp/backprobe-planted", O_WRONLY | O_CREAT, 0600) >= 0)
        return 3;
    if (fork() >= 0)
        return 4;
    char *const nothing[] = {NULL};
    execve("/bin/true", nothing, nothing);
    if (errno != EPERM)
        return 5;
    if (socket(AF_INET, SOCK_STREAM, 0) >= 0 || socket(AF_UNIX, SOCK_STREAM, 0) >= 0)
        return 6;
    if (kill(getppid(), 0) == 0)
        return 7;
    if (mmap(NULL, 4096, PROT_READ | PROT_EXEC, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0) != MAP_FAILED)
        return 8;
    void *memory = malloc(1 << 20);
    if (!memory)
        return 9;
    free(memory);
    return ALL_FORBIDDEN;
}

static void a_shut_worker_can_do_nothing(void **state) {
    (void)state;
    assert_int_equal(in_child(try_everything), ALL_FORBIDDEN);
}

static int look_around(void) {
    setenv("SPICE_SCRIPTS", "/tmp", 1);
    setenv("HOME", "/tmp", 1);
    setenv("SECRET", "x", 1);
    if (!bp_sandbox_enter())
        return 1;
    if (getenv("SECRET") || strcmp(getenv("HOME"), "/dev/null") != 0 ||
        strcmp(getenv("SPICE_SCRIPTS"), "/dev/null") != 0 ||
        strcmp(getenv("SPICE_LIB_DIR"), "/dev/null") != 0)
        return 2;
    if (creat(".spiceinit", 0600) >= 0)
        return 3;
    return ALL_FORBIDDEN;
}

static void its_surroundings_are_empty(void **state) {
    (void)state;
    assert_int_equal(in_child(look_around), ALL_FORBIDDEN);
}

/* A start-up file that leaves a mark when it is run. */
static void plant(const char *folder, const char *name, const char *mark) {
    char path[600];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    fprintf(f, "* start-up file\nshell touch %s\n", mark);
    fclose(f);
}

static char folder[] = "/tmp/bp-test-startup-XXXXXX";
static char mark[sizeof folder + 16];

static void plant_all(void) {
    char scripts[sizeof folder + 16];
    snprintf(mark, sizeof mark, "%s/ran", folder);
    snprintf(scripts, sizeof scripts, "%s/scripts", folder);
    assert_int_equal(mkdir(scripts, 0700), 0);
    plant(folder, ".spiceinit", mark);
    plant(folder, "spinit", mark);
    plant(scripts, "spinit", mark);
    assert_int_equal(chdir(folder), 0);
    setenv("HOME", folder, 1);
    setenv("SPICE_SCRIPTS", folder, 1);
    setenv("SPICE_LIB_DIR", folder, 1);
}

static int start_bare(void) { return bp_session_new() ? 0 : 1; }

/* The files are such that the solver alone would run them, and a lab does not. */
static void no_start_up_file_is_read(void **state) {
    (void)state;
    assert_non_null(mkdtemp(folder));
    plant_all();
    in_child(start_bare);
    assert_int_equal(access(mark, F_OK), 0); /* the trap works */
    assert_int_equal(unlink(mark), 0);
    desk d;
    desk_set(&d, "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: 1 kohm}",
             "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: B.-}", NULL);
    desk_near(desk_volts(&d, NULL, NULL, "R1.1", NULL), 12, 1e-3, "it solves");
    assert_int_equal(access(mark, F_OK), -1);
    desk_clear(&d);
    assert_int_equal(chdir("/"), 0);
    static const char *const names[] = {".spiceinit", "spinit", "scripts/spinit"};
    char path[600];
    for (size_t i = 0; i < 3; i++) {
        snprintf(path, sizeof path, "%s/%s", folder, names[i]);
        assert_int_equal(unlink(path), 0);
    }
    snprintf(path, sizeof path, "%s/scripts", folder);
    assert_int_equal(rmdir(path), 0);
    assert_int_equal(rmdir(folder), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_shut_worker_can_do_nothing),
        cmocka_unit_test(its_surroundings_are_empty),
        cmocka_unit_test(no_start_up_file_is_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
