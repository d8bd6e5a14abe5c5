/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Which test is worth making now, how to make it, and what each reading would mean; and what
 * testing costs against replacing by guess.
 *
 *     bp_next_options options = BP_NEXT_OPTIONS_INIT;
 *     bp_next *n = bp_next_new(file, &options, report);     // NULL: see the report
 *     bp_next_test_at(n, 0)->title ...                      // the best one
 *     bp_next_free(&n);
 */
#ifndef BACKPROBE_NEXT_H
#define BACKPROBE_NEXT_H

#include <backprobe/match.h>

#ifdef __cplusplus
extern "C" {
#endif

/* What is at hand besides eyes, ears and hands: bit, name, words. */
#define BP_TOOL_LIST(X)                                                                            \
    X(BP_TOOL_METER, 1, "meter", "a meter for volts, ohms, amps and diodes")                       \
    X(BP_TOOL_CLAMP, 2, "clamp", "a clamp for amps")                                               \
    X(BP_TOOL_LAMP, 4, "lamp", "a test lamp with a 12 V bulb")                                     \
    X(BP_TOOL_LED, 8, "led-lamp", "a test lamp with light-emitting diodes")

typedef enum bp_tool {
#define X(code, bit, name, words) code = bit,
    BP_TOOL_LIST(X)
#undef X
} bp_tool;

/* "meter,lamp" as bits of bp_tool; "" is none. False: there is no such tool; `why` (size bytes)
 * tells. */
bool bp_tools_parse(const char *text, unsigned *tools, char *why, size_t size);

/* One line of how a test is made: "Red lead", "on D: relay socket, by a breakout lead". */
typedef struct bp_next_step {
    const char *what, *how;
} bp_next_step;

/* One way a test can turn out. Strings belong to the bp_next. */
typedef struct bp_next_outcome {
    const char *display; /* "12.1 to 12.4 V", "about 0 V", "OL", "off" */
    double low, high;    /* of a number, in the test's unit; NAN for all others */
    double probability;
    /* What it leaves: what is at least a twentieth as probable as the likeliest, as fault ids
     * without how bad ("G3:resistance"), "healthy" (this circuit is good), "absent" (the trouble is
     * not there), "other" (something not in the list); the most probable first. */
    const char *const *leaves;
    size_t n_leaves;
    size_t n_suspects; /* how many suspects these are (see bp_next_n_suspects) */
    const char *means; /* for people: "leaves 2: W18 or C5.1" */
} bp_next_outcome;

typedef struct bp_next_test {
    const char *title; /* "Volts from D to the battery's -, engine idling" */
    const char *const *after;
    size_t n_after;
    const char *state;
    const char *observe; /* part that is watched, no instrument; else NULL */
    bp_instrument instrument;
    const char *red, *black; /* as a case file writes them; black NULL: the reference; both NULL
                                when there are no leads */
    const char *red_point, *black_point; /* the points that the leads are on, or NULL */
    const char *at;                      /* part whose place an ammeter takes, or NULL */
    bp_unit unit;                        /* of the reading; BP_UNIT_NONE: a word */
    double bits;                         /* expected drop in entropy of the suspects */
    double minutes;                      /* to make it now, after the last reading of the case */
    const char *first;               /* why it comes before the others whatever it tells; NULL */
    const bp_next_outcome *outcomes; /* numbers from low to high, then the rest */
    size_t n_outcomes;
    const bp_next_step *steps;
    size_t n_steps;
} bp_next_test;

/* A node of the plan: a test with what follows each of its outcomes, or what to do. */
typedef struct bp_plan_node bp_plan_node;
struct bp_plan_node {
    double probability;              /* of coming here at all */
    const bp_next_test *test;        /* NULL: the end of the branch */
    const bp_plan_node *const *then; /* by outcome of `test`; NULL where it cannot turn out so */
    const char *says;      /* at the end: "replace K1: contact open", "look elsewhere" ... */
    size_t n_suspects;     /* how many suspects are left here */
    double minutes, money; /* expected from here to the confirmed fix */
};

/* What a way to the confirmed fix costs on average. */
typedef struct bp_plan_cost {
    double minutes, money; /* money: parts */
    double total;          /* money with the minutes at the rate; NAN without a rate */
} bp_plan_cost;

typedef struct bp_test_plan {
    const bp_plan_node *root;
    bp_plan_cost cost;   /* of the plan */
    bp_plan_cost likely; /* of replacing in the order of likelihood, checking after each */
    bp_plan_cost cheap;  /* of replacing what is cheapest first */
    double unsolved;     /* probability that neither way ends in a fix: "other", "healthy" ... */
} bp_test_plan;

typedef struct bp_next_options {
    bp_match_options match;
    unsigned tools; /* bits of bp_tool */
    size_t most;    /* tests listed at most */
    bool plan;      /* work out the plan */
    double rate;    /* money per hour; NAN: minutes alone decide */
} bp_next_options;

#define BP_NEXT_OPTIONS_INIT                                                                       \
    { BP_MATCH_OPTIONS_INIT, ~0u, 5, false, NAN }

typedef struct bp_next bp_next;

/* The file is kept (not owned). NULL: as bp_match_new. */
bp_next *bp_next_new(const bp_casefile *file, const bp_next_options *options, bp_report *report);
void bp_next_free(bp_next **next);

/* The best first. None: no test that can be made with these tools would change the answer. */
size_t bp_next_n_tests(const bp_next *next);
const bp_next_test *bp_next_test_at(const bp_next *next, size_t i);

/* How many suspects there are now, each at least a twentieth as probable as the likeliest; faults
 * that no test here can tell apart count once. */
size_t bp_next_n_suspects(const bp_next *next);
/* One sentence when there is nothing left to test: what it is, or what cannot be told apart; NULL
 * while there are tests. */
const char *bp_next_end(const bp_next *next);
/* Most likely this circuit is good: look elsewhere. */
bool bp_next_is_good(const bp_next *next);
/* NULL unless it was asked for. */
const bp_test_plan *bp_next_plan(const bp_next *next);

#ifdef __cplusplus
}
#endif
#endif
