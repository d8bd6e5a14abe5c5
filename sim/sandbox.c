/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/sandbox.h"

#include <errno.h>
#include <fcntl.h>
#include <seccomp.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <unistd.h>

/* A directory that no file can ever be in, since it is not one. */
#define NOWHERE "/dev/null"

static bool empty_environment(void) {
    /* Left unset, home would come from the list of users. */
    return clearenv() == 0 && setenv("TZ", "UTC0", 1) == 0 && setenv("LC_ALL", "C", 1) == 0 &&
           setenv("HOME", NOWHERE, 1) == 0 && setenv("SPICE_LIB_DIR", NOWHERE, 1) == 0 &&
           setenv("SPICE_SCRIPTS", NOWHERE, 1) == 0;
}

/* Nobody can put a file into a directory that is deleted. Where no directory can be made, the
 * process's own folder of the proc file system takes no files either. */
static bool empty_directory(void) {
    char name[] = P_tmpdir "/backprobe-XXXXXX";
    if (!mkdtemp(name))
        return chdir("/proc/self") == 0;
    const bool there = chdir(name) == 0;
    return rmdir(name) == 0 && there;
}

static bool silent_streams(void) {
    const int null = open("/dev/null", O_RDWR);
    if (null < 0)
        return false;
    for (int fd = 0; fd <= 2; fd++)
        if (dup2(null, fd) < 0)
            return false;
    if (null > 2)
        close(null);
    return true;
}

bool bp_sandbox_enter(void) {
    const struct rlimit none = {0, 0};
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    setrlimit(RLIMIT_CORE, &none);
    return empty_environment() && empty_directory() && silent_streams();
}

/* Calls that the solver, the C library and the sanitizers need for arithmetic, memory and the way
 * to the parent. Opening a file, starting a process or thread, and new sockets are not among them.
 */
static const int allowed[] = {
    SCMP_SYS(read),         SCMP_SYS(write),          SCMP_SYS(readv),
    SCMP_SYS(writev),       SCMP_SYS(recvfrom),       SCMP_SYS(sendto),
    SCMP_SYS(brk),          SCMP_SYS(munmap),         SCMP_SYS(mremap),
    SCMP_SYS(madvise),      SCMP_SYS(futex),          SCMP_SYS(clock_gettime),
    SCMP_SYS(gettimeofday), SCMP_SYS(time),           SCMP_SYS(times),
    SCMP_SYS(getrusage),    SCMP_SYS(getpid),         SCMP_SYS(gettid),
    SCMP_SYS(rt_sigaction), SCMP_SYS(rt_sigprocmask), SCMP_SYS(rt_sigreturn),
    SCMP_SYS(sigaltstack),  SCMP_SYS(nanosleep),      SCMP_SYS(clock_nanosleep),
    SCMP_SYS(pause),        SCMP_SYS(close),          SCMP_SYS(lseek),
    SCMP_SYS(fstat),        SCMP_SYS(sched_yield),    SCMP_SYS(restart_syscall),
    SCMP_SYS(exit),         SCMP_SYS(exit_group),     SCMP_SYS(sysinfo)};

bool bp_sandbox_shut(void) {
    /* A forbidden call fails as if there were no right to it; the solver copes with that, and the
     * parent sees a result or none. */
    scmp_filter_ctx filter = seccomp_init(SCMP_ACT_ERRNO(EPERM));
    if (!filter)
        return false;
    int bad = 0;
    for (size_t i = 0; i < sizeof allowed / sizeof *allowed; i++)
        bad |= seccomp_rule_add(filter, SCMP_ACT_ALLOW, allowed[i], 0);
    /* Memory, but none that can be run. */
    bad |= seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(mmap), 1,
                            SCMP_A2(SCMP_CMP_MASKED_EQ, 4 /* PROT_EXEC */, 0));
    bad |= seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(mprotect), 1,
                            SCMP_A2(SCMP_CMP_MASKED_EQ, 4 /* PROT_EXEC */, 0));
    /* A crash may end this process with its own signal, and no other process. */
    bad |= seccomp_rule_add(filter, SCMP_ACT_ALLOW, SCMP_SYS(tgkill), 1,
                            SCMP_A0(SCMP_CMP_EQ, (scmp_datum_t)getpid()));
    bad |= seccomp_load(filter);
    seccomp_release(filter);
    return bad == 0;
}
