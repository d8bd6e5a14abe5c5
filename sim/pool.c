/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/pool.h"

#include <errno.h>
#include <math.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "sim/worker.h"

enum { MOST_WORKERS = 64 };

typedef struct worker {
    pid_t pid; /* 0: not running */
    int fd;
    bool busy;
    size_t job;
    double since; /* when its job began or it was last looked at */
    double began; /* processor time that it had used when its job began, s */
    double used;  /* and when it was last looked at */
    bp_bytes in;  /* what came of the reply: its length first */
} worker;

struct bp_pool {
    const bp_circuit *circuit;
    size_t n;
    worker *worker;
    double limit;
    char solver[32];
};

static double now(void) {
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* NAN when the process is gone. */
static double processor_time(pid_t pid) {
    clockid_t clock;
    struct timespec t;
    if (clock_getcpuclockid(pid, &clock) != 0 || clock_gettime(clock, &t) != 0)
        return NAN;
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void stop(worker *w) {
    if (w->pid > 0) {
        close(w->fd);
        kill(w->pid, SIGKILL);
        while (waitpid(w->pid, NULL, 0) < 0 && errno == EINTR) {
        }
    }
    bp_bytes_clear(&w->in);
    *w = (worker){.fd = -1};
}

/* In the child: the sockets of the others are not its business, and would keep them from seeing
 * their end. */
static _Noreturn void be_worker(const bp_pool *pool, int fd) {
    for (size_t i = 0; i < pool->n; i++)
        if (pool->worker[i].pid > 0)
            close(pool->worker[i].fd);
    bp_worker_main(pool->circuit, fd);
}

static bool hear_hello(bp_pool *pool, worker *w) {
    struct pollfd p = {.fd = w->fd, .events = POLLIN};
    bp_bytes message = {0};
    bool good = poll(&p, 1, (int)(1000 * pool->limit)) == 1 && bp_receive(w->fd, &message) &&
                message.size == sizeof(bp_hello);
    if (good) {
        memcpy(pool->solver, message.data, sizeof pool->solver);
        pool->solver[sizeof pool->solver - 1] = '\0';
        good = pool->solver[0] != '\0';
    }
    bp_bytes_clear(&message);
    return good;
}

static bool start(bp_pool *pool, worker *w) {
    int pair[2];
    if (socketpair(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0, pair) != 0)
        return false;
    const pid_t pid = fork();
    if (pid == 0) {
        close(pair[0]);
        be_worker(pool, pair[1]);
    }
    close(pair[1]);
    if (pid < 0) {
        close(pair[0]);
        return false;
    }
    *w = (worker){.pid = pid, .fd = pair[0]};
    if (hear_hello(pool, w))
        return true;
    stop(w);
    return false;
}

bp_pool *bp_pool_new(const bp_circuit *circuit, size_t workers, bp_report *report) {
    const long processors = sysconf(_SC_NPROCESSORS_ONLN);
    bp_pool *pool = calloc(1, sizeof *pool);
    if (!pool)
        return NULL;
    pool->circuit = circuit;
    pool->limit = BP_JOB_SECONDS;
    pool->n = workers ? workers : processors > 0 ? (size_t)processors : 1;
    pool->n = pool->n > MOST_WORKERS ? MOST_WORKERS : pool->n;
    pool->worker = calloc(pool->n, sizeof *pool->worker);
    if (pool->worker && start(pool, &pool->worker[0]))
        return pool;
    bp_report_add(
        report, BP_MISTAKE, NULL, 0, 0,
        "the solver (ngspice, shared library) does not start; install libngspice0, and see "
        "`backprobe doctor`");
    bp_pool_free(&pool);
    return NULL;
}

void bp_pool_free(bp_pool **pool) {
    if (!pool || !*pool)
        return;
    for (size_t i = 0; (*pool)->worker && i < (*pool)->n; i++)
        stop(&(*pool)->worker[i]);
    free((*pool)->worker);
    free(*pool);
    *pool = NULL;
}

void bp_pool_start(bp_pool *pool) {
    for (size_t i = 0; i < pool->n; i++)
        if (pool->worker[i].pid == 0)
            start(pool, &pool->worker[i]);
}

void bp_pool_set_limit(bp_pool *pool, double seconds) { pool->limit = seconds; }
const char *bp_pool_solver(const bp_pool *pool) { return pool->solver; }
size_t bp_pool_n_workers(const bp_pool *pool) { return pool->n; }
pid_t bp_pool_worker(const bp_pool *pool, size_t i) { return pool->worker[i].pid; }

/* Gives the next job to an idle worker. False: there was a job but no worker to be had. */
static bool feed(bp_pool *pool, worker *w, const bp_jobs *jobs, size_t *next) {
    while (*next < jobs->n) {
        bp_bytes request = {0};
        const size_t job = *next;
        if (!jobs->make(jobs->data, job, &request)) {
            bp_bytes_clear(&request);
            (*next)++;
            continue;
        }
        const bool there = w->pid > 0 || start(pool, w);
        /* A worker that died while idle is found out here. */
        const bool sent = there && (bp_send(w->fd, &request) ||
                                    (stop(w), start(pool, w) && bp_send(w->fd, &request)));
        bp_bytes_clear(&request);
        if (!sent) {
            stop(w);
            return false;
        }
        (*next)++;
        w->busy = true;
        w->job = job;
        w->since = now();
        w->began = w->used = processor_time(w->pid);
        return true;
    }
    return true;
}

static void lose(worker *w, const bp_jobs *jobs, const char *why) {
    const size_t job = w->job;
    const bool busy = w->busy;
    stop(w);
    if (busy)
        jobs->take(jobs->data, job, NULL, why);
}

/* Takes what has come. A reply that is whole goes to its job. */
static void listen_to(worker *w, const bp_jobs *jobs) {
    unsigned char chunk[65536];
    const ssize_t got = recv(w->fd, chunk, sizeof chunk, MSG_DONTWAIT);
    if (got < 0 && (errno == EAGAIN || errno == EINTR))
        return;
    if (got <= 0) {
        lose(w, jobs, "the solver's process died; it was replaced");
        return;
    }
    bp_bytes_add(&w->in, chunk, (size_t)got);
    size_t size = 0;
    if (w->in.size >= sizeof size)
        memcpy(&size, w->in.data, sizeof size);
    if (w->in.failed || size > BP_MOST_BYTES) {
        lose(w, jobs, "the solver's process sent nonsense; it was replaced");
        return;
    }
    if (w->in.size < sizeof size || w->in.size < sizeof size + size)
        return;
    w->in.at = sizeof size;
    w->busy = false;
    if (jobs->take(jobs->data, w->job, &w->in, NULL))
        w->in.size = w->in.at = 0;
    else
        stop(w);
}

static size_t count_busy(const bp_pool *pool) {
    size_t busy = 0;
    for (size_t i = 0; i < pool->n; i++)
        busy += pool->worker[i].busy;
    return busy;
}

/* To be asked when the limit has passed since the last look. On a busy machine a good worker may
 * wait long for its turn, so what it used counts: one that runs in circles uses a processor all the
 * time, one that hangs uses none. */
static bool is_stuck(const bp_pool *pool, worker *w) {
    const double used = processor_time(w->pid);
    const bool works = used - w->used > 1e-3 && used - w->began < pool->limit / 2;
    w->since = now();
    w->used = used;
    return !works;
}

/* Waits until a busy worker has something to say or its time is over. */
static void wait_for_any(bp_pool *pool, const bp_jobs *jobs) {
    struct pollfd p[MOST_WORKERS];
    double first = INFINITY;
    for (size_t i = 0; i < pool->n; i++) {
        const worker *w = &pool->worker[i];
        p[i] = (struct pollfd){.fd = w->busy ? w->fd : -1, .events = POLLIN};
        if (w->busy && w->since + pool->limit < first)
            first = w->since + pool->limit;
    }
    const double left = first - now();
    const int ms = left <= 0 ? 0 : left > 60 ? 60000 : (int)(1000 * left) + 1;
    if (poll(p, pool->n, ms) < 0)
        return; /* interrupted: the caller comes again */
    for (size_t i = 0; i < pool->n; i++) {
        worker *w = &pool->worker[i];
        if (w->busy && p[i].revents)
            listen_to(w, jobs);
        else if (w->busy && now() > w->since + pool->limit && is_stuck(pool, w))
            lose(w, jobs, "the solver took too long; its process was replaced");
    }
}

bp_status bp_pool_run(bp_pool *pool, const bp_jobs *jobs) {
    size_t next = 0;
    bool workers_left = true;
    do {
        for (size_t i = 0; i < pool->n && next < jobs->n && workers_left; i++)
            if (!pool->worker[i].busy)
                workers_left = feed(pool, &pool->worker[i], jobs, &next);
        if (jobs->meanwhile)
            jobs->meanwhile(jobs->data);
        if (count_busy(pool) > 0) {
            wait_for_any(pool, jobs);
            workers_left = true;
        }
    } while (count_busy(pool) > 0 || (next < jobs->n && workers_left));
    if (jobs->meanwhile)
        jobs->meanwhile(jobs->data);
    return next < jobs->n ? BP_ERR_SOLVER : BP_OK;
}
