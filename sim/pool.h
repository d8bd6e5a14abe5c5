/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A handful of worker processes. One that dies or takes too long is replaced; its job comes back
 * without a reply and the others go on.
 */
#ifndef BP_SIM_POOL_H
#define BP_SIM_POOL_H

#include <sys/types.h>

#include <backprobe/report.h>

#include "sim/task.h"

typedef struct bp_pool bp_pool;

/* What the pool is to do; both functions are called in the caller's process. */
typedef struct bp_jobs {
    size_t n;
    void *data;
    /* Writes job i; false: it is left out (take is not called for it). */
    bool (*make)(void *data, size_t i, bp_bytes *request);
    /* The reply, or NULL and why there is none. False: the reply is nonsense, so the worker is
     * replaced. */
    bool (*take)(void *data, size_t i, bp_bytes *reply, const char *why);
    /* NULL, or what the caller has to do besides: called when every worker that can be busy is. */
    void (*meanwhile)(void *data);
} bp_jobs;

/* workers 0 = one per processor. One worker is started at once, to see whether the solver does. */
bp_pool *bp_pool_new(const bp_circuit *circuit, size_t workers, bp_report *report);
void bp_pool_free(bp_pool **pool);

/* BP_OK when every job had its turn, with or without a reply; BP_ERR_SOLVER when no worker can be
 * started any more. */
bp_status bp_pool_run(bp_pool *pool, const bp_jobs *jobs);

/* Starts the workers that are not running yet; best before the caller fills its memory, since each
 * is a copy of it. Those that do not start are tried again when there is work. */
void bp_pool_start(bp_pool *pool);

/* Longest time for one job on a machine with nothing else to do, s. */
void bp_pool_set_limit(bp_pool *pool, double seconds);
#define BP_JOB_SECONDS 30.0

const char *bp_pool_solver(const bp_pool *pool);
size_t bp_pool_n_workers(const bp_pool *pool);
/* For tests and the benchmark: process of a worker, 0 when it is not running. */
pid_t bp_pool_worker(const bp_pool *pool, size_t i);

#endif
