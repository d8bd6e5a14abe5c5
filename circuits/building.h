/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A circuit while it is being built. Every building call is noted with its place in the file;
 * bp_circuit_finish then resolves the notes in the order parts, wires, pins, states, points,
 * faults, so that names may be used before they exist. Nothing outside the files that resolve and
 * check includes this.
 */
#ifndef BP_CIRCUITS_BUILDING_H
#define BP_CIRCUITS_BUILDING_H

#include "circuits/circuit.h"

typedef enum bp_note_sort {
    BP_NOTE_TEXT,         /* a: key, b: text */
    BP_NOTE_PART,         /* a: id, b: kind */
    BP_NOTE_SET,          /* a: part, b: key, c: value */
    BP_NOTE_POSITION,     /* a: part, b: position, list: 2 n pins */
    BP_NOTE_WIRE,         /* a: id */
    BP_NOTE_JOIN,         /* a, b: pins */
    BP_NOTE_STATE,        /* a: id */
    BP_NOTE_STATE_SET,    /* a: state, b: key, c: value */
    BP_NOTE_POINT,        /* a: id */
    BP_NOTE_POINT_SET,    /* a: point, b: key, c: value */
    BP_NOTE_WAVEFORM,     /* a: id */
    BP_NOTE_WAVEFORM_SET, /* a: waveform, b: key, c: value */
    BP_NOTE_FAULT_SET,    /* a: fault, b: key or NULL, c: value */
    BP_NOTE_PLACE         /* a: part, x, y, turn */
} bp_note_sort;

typedef struct bp_note_place {
    const char *file; /* owned by bp_building.files */
    size_t line, column;
} bp_note_place;

typedef struct bp_build_note {
    bp_note_sort sort;
    bp_note_place place;
    char *a, *b, *c;
    char **list;
    size_t n_list;
    double x, y;
    int turn;
} bp_build_note;

/* What is known of a part only while it is built. */
typedef struct bp_draft {
    bool broken; /* something is wrong with it: what follows from that is not reported again */
    bp_note_place place;
    bp_note_place end_place[2]; /* wires: where its ends are named */
    char *end[2];               /* wires: names of the pins it ends on; owned by the notes */
    size_t face[2];             /* wires: the faces of these pins, or BP_NONE */
} bp_draft;

typedef struct bp_building {
    bp_report *report;
    bp_note_place at;
    char **files;
    size_t n_files;
    bp_build_note *notes;
    size_t n_notes;
    bp_draft *drafts;                           /* one a part */
    bp_note_place *state_places, *point_places; /* one a state, one a written point */
    size_t n_drafts;
    size_t n_mistakes;
    bool no_memory;
} bp_building;

/* Most of each in one circuit: far beyond any vehicle circuit, and a bound on the work a hostile
 * file can ask for. */
enum {
    BP_MOST_PARTS = 2000,
    BP_MOST_STATES = 200,
    BP_MOST_POINTS = 2000,
    BP_MOST_RULES = 2000,
    BP_MOST_PINS = 300 /* of one part */
};

/* After so many mistakes no more near misses are looked for; nobody reads on, and a hostile file
 * could ask for millions. */
enum { BP_MOST_HINTS = 200 };

bp_building *bp_building_of(const bp_circuit *circuit);
void bp_building_free(bp_building **building);

/* Notes a mistake or warning at a place. */
void bp_build_mistake(bp_circuit *circuit, const bp_note_place *place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
void bp_build_warning(bp_circuit *circuit, const bp_note_place *place, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* The beginning of the file, for what is wrong with the circuit as a whole. */
bp_note_place bp_build_start(const bp_circuit *circuit);

/* Marks that memory ran out, when `pointer` is NULL; returns pointer. */
void *bp_build_got(bp_circuit *circuit, void *pointer);
/* A copy of a text; NULL and marked when memory is out. */
char *bp_build_copy(bp_circuit *circuit, const char *text);

/* Names for messages. Start from {0}; free with bp_names_free. When memory is out a name is left
 * out. */
typedef struct bp_names {
    const char **name;
    size_t n;
    bool no_memory; /* a name was left out */
} bp_names;

void bp_names_add(bp_names *names, const char *name); /* NULL is left out */
void bp_names_free(bp_names *names);
/* "a, b, c", the first dozen of them, into text; "none" when there are none. Returns text. */
const char *bp_names_list(const bp_names *names, char *text, size_t size);
/* "; did you mean \"x\"?", or "" when nothing is near. Returns text. */
const char *bp_names_hint(const bp_names *names, const char *word, char *text, size_t size);

/* The names that a part's pins and settings have, those of all parts, and of all wires if wanted.
 */
void bp_names_of_pins(bp_names *names, const bp_part *part);
void bp_names_of_settings(bp_names *names, const bp_part *part);
void bp_names_of_parts(bp_names *names, const bp_circuit *circuit, bool wires);

/* A mistake about a name that is not there: "unknown WHAT "word"", the choices when there are few,
 * and a near miss. `what` and `where` as in: unknown WHAT "word" WHERE. */
void bp_build_unknown(bp_circuit *circuit, const bp_note_place *place, const char *what,
                      const char *word, const char *where, const bp_names *choices);

/* A one-line copy of a text that can be shown and is at most `most` bytes long; NULL, reported,
 * otherwise. */
char *bp_build_sentence(bp_circuit *circuit, const bp_note_place *place, const char *what,
                        const char *text, size_t most);

/* The steps of bp_circuit_finish, in this order. Each notes its mistakes and goes on. */
void bp_resolve_texts(bp_circuit *circuit);
void bp_resolve_parts(
    bp_circuit *circuit); /* parts and wires, their parameters, positions and pins */
void bp_resolve_faces(bp_circuit *circuit); /* faces, joined pins, ends of wires */
void bp_resolve_nodes(bp_circuit *circuit); /* nodes, reference, feed, metal of body and engine */
void bp_resolve_modes(bp_circuit *circuit); /* ranges that follow from a part's data and wires */
void bp_resolve_states(bp_circuit *circuit);
void bp_resolve_points(bp_circuit *circuit);
void bp_resolve_waveforms(bp_circuit *circuit);
void bp_resolve_rules(bp_circuit *circuit);
void bp_check_circuit(bp_circuit *circuit); /* what can only be seen of the whole */

/* Part of bp_resolve_parts: one parameter or position. */
void bp_resolve_param(bp_circuit *circuit, bp_part *part, const bp_build_note *note);

/* A face named by a file: as bp_face_find, but without points; reports what is wrong with the name
 * and returns BP_NONE. harness_only: "/" faces are refused (ends of wires). Nothing is reported
 * about parts that are broken anyway. */
size_t bp_resolve_face(bp_circuit *circuit, const bp_note_place *place, const char *name,
                       bool harness_only, const char *whose);

#endif
