/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The checked circuit as the floors above read it. Everything here is immutable after
 * bp_circuit_finish and is freed with the circuit; no pointer in it is ever owned by a reader.
 */
#ifndef BP_CIRCUITS_CIRCUIT_H
#define BP_CIRCUITS_CIRCUIT_H

#include <backprobe/circuit.h>

#include "circuits/kind.h"

#define BP_NONE ((size_t)-1) /* no index */

/* An electrical place: one side of a pin. Faces that are joined (wires on one pin, `joins`, ideal
 * pins) share a node. */
typedef struct bp_face {
    size_t part, pin; /* indices */
    bool part_side;   /* false: harness side "K2.30"; true: the part's own terminal "K2/30", a
                         ground's "G3/body" */
    size_t node;      /* 0 .. circuit->n_nodes - 1 */
} bp_face;

typedef struct bp_pin {
    char *name;
    bp_pin_sort sort;
    bool optional;
    const char *words; /* from the declaration, or NULL */
    /* Faces; the same for BP_PIN_IDEAL. Joined pins (`joins`) share the faces, and so the contact,
     * of one of them; the others are BP_PIN_IDEAL with both faces of that one. */
    size_t harness, own;
    size_t n_wires; /* wires that end here, or on a pin joined with this one */
} bp_pin;

typedef struct bp_position {
    char *name;
    size_t n_pairs;
    size_t (*pairs)[2]; /* pin indices joined in this position */
} bp_position;

typedef struct bp_part {
    char *id;
    char *label; /* what people call it, or NULL */
    const bp_kind *kind;
    const struct bp_circuit *circuit;
    size_t index;
    size_t n_pins;
    bp_pin *pins; /* a wire has two pins "1" and "2" whose faces are those of the pins it ends on */
    double *param; /* by index in kind->params: value, or NAN when absent */
    bool *given;   /* written in the file (not a default) */
    char **text;   /* by the same index: BP_PARAM_TEXT values or NULL */
    size_t n_positions;
    bp_position *positions;
    char *unit;          /* `in:`, the housing it shares, or NULL */
    bp_mode_decl *modes; /* the kind's, fitted to this part; NULL: the kind's as they are */
    double access, fit;  /* minutes */
    double price;
    size_t line, column;
    bool placed;
    double x, y; /* grid cells */
    int turn;    /* 0, 90, 180, 270 degrees clockwise */
} bp_part;

typedef enum bp_reach {
    BP_BACK_PROBE,
    BP_FUSE_TAB,
    BP_BREAKOUT_LEAD,
    BP_PLUG_OPEN,
    BP_SOCKET_PART_OUT
} bp_reach;

typedef struct bp_point {
    char *id;
    size_t face;
    bp_reach reach;
    double access;  /* minutes */
    char *note;     /* or NULL */
    bool automatic; /* a fuse's test tab, not written in the file: its own face and its id are
                       "F4/1" */
} bp_point;

typedef enum bp_supply_sort {
    BP_SUPPLY_REST,
    BP_SUPPLY_CHARGING,
    BP_SUPPLY_CRANKING,
    BP_SUPPLY_VOLTS
} bp_supply_sort;

typedef struct bp_setting {
    size_t part;
    int setting; /* index in kind->settings or part->positions */
} bp_setting;

typedef struct bp_state {
    char *id;
    char *label; /* words for people, or NULL */
    size_t from; /* state index or BP_NONE: entered from everything released */
    bp_supply_sort supply;
    double supply_value;    /* V (BP_SUPPLY_VOLTS) or A (BP_SUPPLY_CRANKING) */
    double speed;           /* rev/min, NAN = not set */
    double ambient, engine; /* degC, NAN = not set */
    double lasts;           /* s, NAN = as long as you like */
    size_t n_settings;
    bp_setting *settings; /* what is not named stands at its first setting, whatever `from` sets */
} bp_state;

/* What an oscilloscope is put on: red over black, or a clamp around a wire. */
typedef struct bp_waveform_trace {
    size_t red, black;                        /* faces; BP_NONE with a clamp */
    size_t clamp;                             /* part (a wire) or BP_NONE */
    char *red_name, *black_name, *clamp_name; /* as written, NULL where there is none */
} bp_waveform_trace;

/* A picture over time that the file asks for. */
typedef struct bp_waveform {
    char *id;
    char *label; /* or NULL */
    size_t state;
    double from, to; /* s; state entered at 0 */
    size_t n_traces;
    bp_waveform_trace *traces;
} bp_waveform;

/* What the file says about a fault (or about all modes of a part). */
typedef struct bp_fault_rule {
    size_t part;
    size_t sub;                  /* pin or cavity index, BP_NONE: the part */
    int mode;                    /* index, -1: all modes of it */
    size_t partner, partner_sub; /* BP_NONE: any */
    double weight;               /* multiplies; NAN = not set */
    double how_bad;              /* typical severity instead of the mode's; NAN */
    char *note;
    char *when; /* "tugged", "engine>80degC"..., or NULL */
    size_t line, column;
} bp_fault_rule;

struct bp_circuit {
    char *id, *title, *scenario, *file;
    char **cautions;
    size_t n_cautions;
    char **elsewhere;
    size_t n_elsewhere;
    bp_part *parts; /* wires too (kind wire) */
    size_t n_parts;
    bp_face *faces;
    size_t n_faces;
    size_t n_nodes;
    bp_point *points;
    size_t n_points;
    bp_state *states;
    size_t n_states;
    bp_fault_rule *rules;
    size_t n_rules;
    bp_waveform *waveforms;
    size_t n_waveforms;
    size_t reference; /* face that is 0 V */
    size_t feed;      /* face of the first battery's or source's + pin (short-to-feed goes there) */
    size_t body,
        engine;      /* nodes of the body and engine metal, BP_NONE when there is no such ground */
    bool airbag;     /* the file itself names that caution: nothing is connected to this circuit */
    bool ideal_bond; /* no wire ties battery - to the body: taken as one with the reference */
    void *building;  /* builder's private data; NULL after bp_circuit_finish */
};

/* Lookups; BP_NONE when not there. Face and point names as people write them: "K2.30", "K2/30",
 * "G3", "G3/body", "C12.a1", a point id ("D", "F4.1"), or a part with one pin. */
size_t bp_part_find(const bp_circuit *circuit, const char *id);
size_t bp_pin_find(const bp_part *part, const char *name);
/* The pin that `name` after the sign '.' or '/' means; sign 0: the only pin. A ground's metal
 * answers to "body" and "engine" alike. */
size_t bp_pin_of(const bp_part *part, char sign, const char *name);
size_t bp_state_find(const bp_circuit *circuit, const char *id);
/* Is `before` the state itself, or one through which it is entered? False for BP_NONE. */
bool bp_state_leads_to(const bp_circuit *circuit, size_t before, size_t state);
/* When the longest waveform that the file names of a state ends, s; NAN: it names none. */
double bp_state_waveforms_end(const bp_circuit *circuit, size_t state);
/* Is something in this state that comes and goes by itself, as its kind's `rhythm`? */
bool bp_state_pulses(const bp_circuit *circuit, size_t state);
size_t bp_point_find(const bp_circuit *circuit, const char *id);
size_t bp_face_find(const bp_circuit *circuit, const char *name);

/* "K2.30", "K2/30": written into text, length as snprintf. */
int bp_face_name(const bp_circuit *circuit, size_t face, char *text, size_t size);

size_t bp_face_node(const bp_circuit *circuit, size_t face);

/* "back-probe", "fuse-tab" ...: as files write it. */
const char *bp_reach_name(bp_reach reach);

/* Setting of a part by name; -1 when it has none of that name. And the other way (never NULL for a
 * valid index). */
int bp_part_setting(const bp_part *part, const char *name);
const char *bp_part_setting_name(const bp_part *part, int setting);

/* The closest of n names to `word` (edit distance at most a third of its length), or NULL: for "did
 * you mean". */
const char *bp_near_miss(const char *word, const char *const *names, size_t n);

/* For kind->make_pins and kind->check. */
void bp_part_add_pin(bp_part *part, const char *name, bp_pin_sort sort, bool optional);
void bp_part_mistake(const bp_part *part, bp_report *report, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Neighbours for shorts: wires in one loom, or in adjacent cavities of one connector. True for a !=
 * b neighbours. */
bool bp_wires_are_neighbours(const bp_circuit *circuit, size_t wire, size_t other);

#endif
