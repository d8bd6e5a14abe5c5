/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The worker process: takes tasks from a socket, solves, sends results. Messages are a length and
 * that many bytes.
 */
#ifndef BP_SIM_WORKER_H
#define BP_SIM_WORKER_H

#include "sim/task.h"

/* The longest message either end accepts, bytes. */
#define BP_MOST_BYTES ((size_t)1 << 30)

/* The first message of a worker: the solver's name, or empty when it does not start. */
typedef struct bp_hello {
    char solver[32];
} bp_hello;

/* Runs until the socket closes; never returns. */
_Noreturn void bp_worker_main(const bp_circuit *circuit, int fd);

/* A whole message out of, or into, a blocking socket. False when the other end is gone. */
bool bp_send(int fd, const bp_bytes *message);
bool bp_receive(int fd, bp_bytes *message);

#endif
