/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of an atlas, for the files that make it up.
 *
 * The core: in every row and state, volts at every place (points, battery posts, metal) to the
 * reference, and what every part says. What a row's good parts do to it is not kept for each row:
 * rows that read alike in a state share one set of moves ("kin"). Volts between two places follow
 * from the core wherever the meter's load does not show at either; everything else is a column of
 * its own.
 */
#ifndef BP_DIAGNOSE_ATLAS_PARTS_H
#define BP_DIAGNOSE_ATLAS_PARTS_H

#include "diagnose/atlas.h"
#include "sim/store.h"

/* Where a lead can be in the core. */
typedef struct bp_place {
    size_t face;
    size_t point; /* a point that has to be got at in a way of its own, or BP_NONE */
    bool open;    /* its plug or socket is open for it: nothing but the point itself means it */
} bp_place;

enum { BP_CELL_FIRM = 0x80 }; /* on a cell's sort: the meter's load does not show */

/* What one case shows in the core. All arrays are parts of one piece of memory. */
typedef struct bp_look {
    double *volts;       /* by state, place */
    double *supply;      /* by state */
    uint64_t *condition; /* by state */
    unsigned char *sort; /* by state, place: bp_cell_sort, with BP_CELL_FIRM */
    unsigned char *says; /* by state, part: index in the atlas's words */
    bool borrowed;       /* the memory is the cache's file's */
    bool slow;           /* while it is made: a fuse that opens within minutes stands close to one
                            that holds */
} bp_look;

/* Sets of moves: each n values by quantity. */
typedef struct bp_kins {
    float *moves;
    size_t n, width; /* how many sets; values in one */
} bp_kins;

/* Sets of moves of all places in one state. Most quantities move a place by nothing worth keeping:
 * only the others are there. */
typedef struct bp_kin_sets {
    size_t n, n_moves;
    unsigned *first;          /* by set, place, and one more: its first move */
    unsigned short *quantity; /* by move: of spread */
    float *move;              /* by move */
    float *volts;             /* by set, place: what was read there */
    bool borrowed;            /* the memory is the cache's file's */
} bp_kin_sets;

/* What pulses make of the good circuit, in states in which something does. */
typedef struct bp_pulses {
    double *shift;        /* by state, place: the mean without what is between two pulses, V */
    unsigned char *works; /* by state, part: what it does is not what it does between two pulses */
} bp_pulses;

/* What a test that does not follow from the core shows in one row. */
typedef struct bp_column_row {
    double value;
    double alone; /* standard deviation of what pulses make of it; else 0 */
    uint64_t condition;
    unsigned row;
    unsigned kin;       /* set of moves and one, 0: none */
    unsigned char sort; /* bp_cell_sort */
    unsigned char says; /* index in the atlas's words */
} bp_column_row;

/* A test that does not follow from the core: the rows that were wanted. */
typedef struct bp_column {
    unsigned *at; /* by row: its place among `rows` and one; 0: not computed */
    bp_column_row *rows;
    size_t n, room;
    bp_kins kins;  /* width: n_spreads */
    double spread; /* standard deviation of good parts' readings relative to the value, where moves
                      are not worked out; else 0 */
    bool changed;  /* since it was read from the cache */
} bp_column;

typedef struct bp_column_home {
    bp_test test;
    size_t red, black; /* places when it follows from the core, else BP_NONE; black BP_NONE with
                          red: the reference */
    bp_column *column; /* else NULL; owned */
    bool still;        /* see bp_atlas_stands_still */
} bp_column_home;

struct bp_atlas {
    const bp_circuit *circuit;
    bp_lab *lab;
    bp_atlas_options options;
    char *folder; /* of the cache, or NULL */
    unsigned char key[16];
    unsigned char *file; /* what was read of the cache, with the looks in it; NULL */
    bp_store store;      /* texts of tests */

    bp_fault_row *fault;
    size_t n_faults;
    size_t *first_row, *n_of; /* by fault */
    bp_spread *spread;
    size_t n_spreads;

    bp_place *place;
    size_t n_places;
    size_t supply_place;   /* the battery's or source's post +; BP_NONE */
    const char *word[256]; /* what parts say: static texts or in the store; 0 is "" */
    size_t n_words;

    bp_atlas_row *row;
    size_t n_rows;
    double *scale; /* by row: where its severity lies on its mode's scale */
    bp_look *look; /* by row */
    unsigned *kin; /* by row, state: set of moves and one, 0: none */
    bp_kin_sets kins;
    bp_pulses pulses;

    bp_column_home *test;
    size_t n_tests, room_tests;
};

/* One case on its way into the atlas. */
typedef struct bp_draft {
    size_t fault; /* BP_NONE: healthy */
    double severity;
    double share;
    uint64_t draw; /* vehicle; 0: as the data say */
    bp_look look;  /* volts NULL until solved */
} bp_draft;

/* atlas.c: bp_lab_ask_many by the atlas's lab. */
bp_status bp_atlas_ask(bp_atlas *atlas, const bp_question *questions, size_t n, bp_answer **answers,
                       bp_report *report);

/* atlas_look.c */
bool bp_look_new(const bp_atlas *atlas, bp_look *look);
/* Puts a look over bp_look_bytes of memory that is aligned for double. */
void bp_look_lay(const bp_atlas *atlas, unsigned char *memory, bp_look *look);
void bp_look_free(bp_look *look);
/* A multiple of a double's size. */
size_t bp_look_bytes(const bp_atlas *atlas);
/* One number for how everything stands in all states. */
uint64_t bp_look_condition(const bp_atlas *atlas, const bp_look *look);
/* A battery or a source. */
bool bp_is_supply(const bp_part *part);
/* The places that the core reads. */
bool bp_atlas_find_places(bp_atlas *atlas);
/* The index of a word that parts say, added when it is new; 0 when there is no room left. */
size_t bp_atlas_word(bp_atlas *atlas, const char *word);
/* The leads of the core, as the lab takes them; owned by the caller, texts in the store. NULL: no
 * memory. */
bp_pair *bp_atlas_core_pairs(bp_atlas *atlas);
/* Solves the cases that have no look yet. `report` tells why it is not BP_OK. A case without any
 * solution keeps none. */
bp_status bp_atlas_solve(bp_atlas *atlas, bp_draft *draft, size_t n, bp_report *report);
/* Text of a fault at a severity. */
void bp_atlas_fault_text(const bp_atlas *atlas, size_t fault, double severity, char *text,
                         size_t size);

/* atlas_rows.c: all rows with their looks. */
bp_status bp_atlas_make_rows(bp_atlas *atlas, bp_report *report);
/* Where a severity lies on its mode's scale. */
double bp_atlas_scale(const bp_atlas *atlas, size_t fault, double severity);
/* Fills in first_row, n_of, scale and every row's `next`. */
bool bp_atlas_link_rows(bp_atlas *atlas);

/* atlas_noticed.c: fills in what is noticed of every row; they must be linked. False: no memory. */
bool bp_atlas_find_noticed(bp_atlas *atlas);

/* atlas_kin.c: moves of every row. */
bp_status bp_atlas_make_kins(bp_atlas *atlas, bp_report *report);
/* Room for n sets and n_moves moves; false: no memory. */
bool bp_kin_sets_make(const bp_atlas *atlas, size_t n, size_t n_moves, bp_kin_sets *sets);
void bp_kin_sets_clear(bp_kin_sets *sets);
/* Adds the moves of a place by quantity, times `sign`: those of its kin (0: none) fitted to what
 * this look shows in the state. */
void bp_atlas_kin_moves(const bp_atlas *atlas, unsigned kin, const bp_look *look, size_t state,
                        size_t place, double sign, double *moves);
/* atlas_humps.c: rows for the settled conditions into which the spread of good parts takes a case.
 */
bp_status bp_atlas_make_humps(bp_atlas *atlas, bp_report *report);

/* atlas_calm.c: what pulses make of the good circuit; its row and its moves must be there. */
bp_status bp_atlas_find_pulses(bp_atlas *atlas, bp_report *report);
bool bp_pulses_new(const bp_atlas *atlas, bp_pulses *pulses); /* zeros; false: no memory */
void bp_pulses_clear(bp_pulses *pulses);
/* See bp_atlas_stands_still; the places must have been found. */
bool bp_test_stands_still(const bp_atlas *atlas, const bp_column_home *home);
/* Is what this test shows a mean, off a run? */
bool bp_is_mean(const bp_column_home *home);

/* atlas_cache.c */
void bp_atlas_cache_open(bp_atlas *atlas);
bool bp_atlas_cache_read(bp_atlas *atlas); /* true: rows, looks and kins are there */
void bp_atlas_cache_write(const bp_atlas *atlas);
bool bp_column_cache_read(bp_atlas *atlas, bp_column_home *home);
void bp_column_cache_write(bp_atlas *atlas, bp_column_home *home);

/* fingerprint.c: 16 bytes that differ when anything differs that a prediction depends on. */
void bp_fingerprint(const bp_circuit *circuit, double ambient, double engine,
                    unsigned char key[16]);

/* atlas_tests.c: the tests that the core holds. */
bool bp_atlas_list_tests(bp_atlas *atlas);
/* Do two tests go into one question to the lab? */
bool bp_test_asked_together(const bp_test *x, const bp_test *y);

/* neighbours.c: pairs of places that are points with one stretch between them; owned by the caller.
 * NULL: no memory. */
size_t (*bp_neighbour_places(const bp_atlas *atlas, size_t *n))[2];

/* atlas_columns.c */
bp_column *bp_column_new(size_t n_rows);
void bp_column_free(bp_column **column);
/* The row's place, BP_CELL_MISSING when it is new; NULL: no memory. */
bp_column_row *bp_column_put(bp_column *column, size_t row);
/* NULL: not computed. */
bp_column_row *bp_column_find(const bp_column *column, size_t row);

#endif
