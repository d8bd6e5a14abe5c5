/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/worker.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "sim/bench.h"
#include "sim/sandbox.h"
#include "sim/wave_run.h"

static bool send_all(int fd, const void *data, size_t size) {
    const unsigned char *at = data;
    while (size > 0) {
        const ssize_t sent = send(fd, at, size, MSG_NOSIGNAL);
        if (sent < 0 && errno == EINTR)
            continue;
        if (sent <= 0)
            return false;
        at += sent;
        size -= (size_t)sent;
    }
    return true;
}

static bool receive_all(int fd, void *data, size_t size) {
    unsigned char *at = data;
    while (size > 0) {
        const ssize_t got = recv(fd, at, size, 0);
        if (got < 0 && errno == EINTR)
            continue;
        if (got <= 0)
            return false;
        at += got;
        size -= (size_t)got;
    }
    return true;
}

bool bp_send(int fd, const bp_bytes *message) {
    return !message->failed && send_all(fd, &message->size, sizeof message->size) &&
           send_all(fd, message->data, message->size);
}

bool bp_receive(int fd, bp_bytes *message) {
    size_t size;
    if (!receive_all(fd, &size, sizeof size) || size > BP_MOST_BYTES)
        return false;
    unsigned char *data = malloc(size + 1);
    if (!data || !receive_all(fd, data, size)) {
        free(data);
        return false;
    }
    bp_bytes_clear(message);
    *message = (bp_bytes){.data = data, .size = size, .room = size + 1};
    return true;
}

static bool say_hello(int fd, const bp_session *session) {
    bp_hello hello = {{0}};
    if (session)
        snprintf(hello.solver, sizeof hello.solver, "%s", bp_session_version());
    const bp_bytes message = {.data = (unsigned char *)&hello, .size = sizeof hello};
    return bp_send(fd, &message) && session;
}

static void have_mishap(bp_mishap mishap, int fd) {
    unsigned char babble[] = "no result at all";
    const bp_bytes message = {.data = babble, .size = sizeof babble};
    if (mishap == BP_MISHAP_DIES)
        abort();
    if (mishap == BP_MISHAP_HANGS)
        for (;;)
            pause();
    if (mishap == BP_MISHAP_BABBLES)
        bp_send(fd, &message);
}

static void answer(bp_bench *bench, const bp_task *task, bp_bytes *reply) {
    if (task->in_time) {
        bp_wave_result result;
        bp_run_wave(bench, task, &result);
        bp_wave_result_write(&result, bench->circuit, reply);
        bp_wave_result_clear(&result);
        return;
    }
    bp_result result;
    bp_run_task(bench, task, &result);
    bp_result_write(&result, bench->deck, reply);
    bp_result_clear(&result);
}

/* One task. False: the process is of no more use. */
static bool serve(bp_bench *bench, int fd, bp_bytes *request) {
    bp_task task;
    if (!bp_task_read(&task, bench->circuit, request))
        return false;
    bool good = true;
    if (task.mishap != BP_MISHAP_NONE)
        have_mishap(task.mishap, fd);
    else {
        bp_bytes reply = {0};
        answer(bench, &task, &reply);
        good = bp_send(fd, &reply) && !bp_session_lost(bench->rig.session);
        bp_bytes_clear(&reply);
    }
    bp_task_clear(&task);
    return good;
}

_Noreturn void bp_worker_main(const bp_circuit *circuit, int fd) {
    bp_bench bench = {.circuit = circuit};
    bp_bytes request = {0};
    if (!bp_sandbox_enter())
        _exit(1);
    bench.rig.session = bp_session_new();
    if (!bp_sandbox_shut() || !say_hello(fd, bench.rig.session))
        _exit(1);
    while (bp_receive(fd, &request) && serve(&bench, fd, &request)) {
    }
    /* No tidying up: the exit handlers belong to the process that this one was forked from. */
    _exit(0);
}
