/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/endless.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <ucontext.h>

#include <ngspice/sharedspice.h>

/* The solver's own frames take some tens of kilobytes. */
enum { STACK = 1 << 20 };

struct bp_endless {
    ucontext_t run, caller;
    bool going;
    unsigned long solutions; /* of this run */
    char stack[STACK];
};

bp_endless *bp_endless_new(void) { return calloc(1, sizeof(bp_endless)); }

void bp_endless_free(bp_endless **endless) {
    free(*endless);
    *endless = NULL;
}

/* makecontext hands over nothing but ints: a pointer goes in two halves. */
static void run(unsigned high, unsigned low) {
    bp_endless *e = (bp_endless *)((uintptr_t)high << 32 | low);
    char command[] = "run";
    ngSpice_Command(command);
    e->going = false;
}

static void begin(bp_endless *e) {
    const uintptr_t self = (uintptr_t)e;
    getcontext(&e->run);
    e->run.uc_stack.ss_sp = e->stack;
    e->run.uc_stack.ss_size = sizeof e->stack;
    e->run.uc_link = &e->caller;
    /* The cast is what makecontext asks for. */
    makecontext(&e->run, (void (*)(void))run, 2, (unsigned)(self >> 32), (unsigned)self);
    e->solutions = 0;
    e->going = true;
}

bool bp_endless_next(bp_endless *e) {
    if (!e->going)
        begin(e);
    swapcontext(&e->caller, &e->run);
    return e->going;
}

void bp_endless_arrive(bp_endless *e) {
    if (!e->going)
        return;
    e->solutions++;
    swapcontext(&e->run, &e->caller);
}

/* A breakpoint after one more solution lets the run return in good order. */
void bp_endless_end(bp_endless *e) {
    char stop[64], forget[] = "delete all";
    if (!e->going)
        return;
    snprintf(stop, sizeof stop, "stop after %lu", e->solutions + 1);
    ngSpice_Command(stop);
    for (int i = 0; e->going && i < 3; i++)
        bp_endless_next(e);
    e->going = false;
    ngSpice_Command(forget);
}
