/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a part kind is: pins, parameters with their defaults, tolerances and sources, settings,
 * failure modes. The YAML name of a kind is its C name with '_' written as '-' ("thermal-switch").
 */
#ifndef BP_CIRCUITS_KIND_H
#define BP_CIRCUITS_KIND_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include <backprobe/quantity.h>
#include <backprobe/report.h>

#include "circuits/kinds.h"

struct bp_part;
struct bp_circuit;

/* How the pin meets the harness. */
typedef enum bp_pin_sort {
    BP_PIN_PLUG,   /* a terminal in a plug or socket: harness face and part face, parted by faults,
                      unplugging, pulling */
    BP_PIN_BOLTED, /* post and clamp, ring and stud: two faces as well, not parted by unplugging */
    BP_PIN_EYELET, /* a ground's eyelet and metal: two faces whose contact and faults are the kind's
                      own, so that neither the deck's pin contacts nor the shared pin modes apply */
    BP_PIN_IDEAL /* one node: both faces are the same (textbook kinds, splices, connector halves) */
} bp_pin_sort;

typedef struct bp_pin_decl {
    const char *name; /* DIN 72552 where there is one */
    bp_pin_sort sort;
    bool optional;     /* may be left without a wire without a warning */
    bool high_voltage; /* thousands of volts in use: an oscilloscope takes a pick-up there */
    const char *words; /* "coil, feed side" */
} bp_pin_decl;

typedef enum bp_param_type {
    BP_PARAM_QUANTITY, /* number in part->param[i], unit in `unit` */
    BP_PARAM_COUNT,    /* whole number in part->param[i] */
    BP_PARAM_WORD,     /* one of `choices`: its index is in part->param[i] */
    BP_PARAM_TEXT      /* free text in part->text[i] */
} bp_param_type;

/* How a tolerance is meant: 95 % of good parts lie within +-tol of the value (normal, so tol = 1.96
 * sigma). */
typedef enum bp_tol_sort {
    BP_TOL_NONE,
    BP_TOL_RELATIVE,
    BP_TOL_ABSOLUTE,
    BP_TOL_STATED /* relative, and stated in the file: the value of the next parameter in the table,
                     else tol */
} bp_tol_sort;

#define BP_UNSET NAN /* no default: the parameter is absent unless given; test with isnan */

typedef struct bp_param_decl {
    const char *key; /* dotted when nested: "suppression.resistor" */
    bp_param_type type;
    bp_unit unit;
    double def;    /* default in the unit of bp_unit, or BP_UNSET */
    double lo, hi; /* values outside are mistakes; both 0 = not limited */
    double tol;    /* spread of good parts */
    bp_tol_sort tol_sort;
    bool required;
    const char *const *choices; /* NULL-ended, for BP_PARAM_WORD */
    const char *words;          /* what it is, for people */
    const char *source;         /* where default and tolerance come from */
} bp_param_decl;

/* To what a failure mode belongs. */
typedef enum bp_scope {
    BP_SCOPE_PART,  /* PART:MODE */
    BP_SCOPE_PIN,   /* PART.PIN:MODE, one per plug or bolted pin (the shared modes of
                       circuits/fault.h) */
    BP_SCOPE_CAVITY /* CONNECTOR.N:MODE, one per cavity */
} bp_scope;

/* Whom a mode needs as a partner. */
typedef enum bp_partner {
    BP_PARTNER_NONE,
    BP_PARTNER_WIRE,  /* a neighbour wire: same loom or adjacent cavities of one connector */
    BP_PARTNER_CAVITY /* the adjacent cavity of the same connector */
} bp_partner;

typedef enum bp_scale { BP_SCALE_NONE, BP_SCALE_LINEAR, BP_SCALE_LOG } bp_scale;

typedef struct bp_mode_decl {
    const char *id;    /* "contact-open" */
    const char *words; /* with %s for the part's name: "contact of %s open" */
    bp_scope scope;
    bp_partner partner;
    bp_scale scale; /* BP_SCALE_NONE: the mode has no severity */
    bp_unit unit;
    double lo, hi, typical; /* severity range and the value when none is written */
    double weight;          /* prior weight, 1 = ordinary; source: common practice unless said */
    /* Bits by the table's own names: what the mode says of the part. Two modes of one place that
     * share one contradict each other (a contact that does not make and one that is welded); modes
     * that may well come together (a contact burnt and welded) share none. */
    unsigned sets;
    bool seen_by_eye;
    bool intermittent; /* may come and go by nature (a wire chafing, a joint) */
    /* NULL, or: does this part have the mode at all (a diode mode of a relay without diode)? */
    bool (*applies)(const struct bp_part *part);
    const char *unseen; /* NULL, or why no instrument and no sense can tell it */
} bp_mode_decl;

/* What lies between two pins of a part, for those who follow the current through a circuit. */
typedef enum bp_branch_sort {
    BP_BRANCH_NONE,
    BP_BRANCH_LOAD,         /* takes what it is given: what the circuit is for */
    BP_BRANCH_DROPS,        /* a resistor: in the way of something, or a load itself */
    BP_BRANCH_GUARDS,       /* a fuse */
    BP_BRANCH_SWITCHED,     /* a contact or an output */
    BP_BRANCH_ONE_WAY,      /* from the first pin to the second only */
    BP_BRANCH_SPARK,        /* a gap that the first pin's high voltage jumps to the second */
    BP_BRANCH_SPARK_SOURCE, /* the first pin gives that high voltage */
    BP_BRANCH_SIGNAL, /* the first pin listens to what it is joined to; the second is its ground */
    BP_BRANCH_SIGNAL_SOURCE /* the first pin gives a signal against the second; both the same:
                               against what the part's other ways say */
} bp_branch_sort;

typedef struct bp_branch {
    bp_branch_sort sort;
    size_t from, to; /* pins */
    /* SWITCHED: when it is closed, "while pulled in"; LOAD and SIGNAL: what of the part, "the coil
     * of"; NULL: all of it. */
    const char *words;
} bp_branch;

typedef struct bp_kind {
    const char *id;          /* YAML name, e.g. "thermal-switch" */
    const char *words;       /* "thermal switch" */
    const char *note;        /* one or two sentences: what it is, which physics, which terminals */
    const bp_pin_decl *pins; /* fixed pins, ended by name NULL; NULL when they depend on the part
                                (see make_pins) */
    const bp_param_decl *params; /* ended by key NULL; index in this table = index in part->param */
    const char *const *settings; /* NULL-ended, first is the default; NULL: none, or the part's
                                    positions (has_positions) */
    const char *rhythm;        /* the setting in which it comes and goes by itself, so that a steady
                                  reading is one between two pulses; NULL: none */
    const bp_mode_decl *modes; /* ended by id NULL */
    /* Takes `positions:` (contact table); the first position is "released" by default. Pins that
     * its pairs name and `pins` does not declare are added by the circuit as plug pins, in the
     * order in which they are first named. */
    bool has_positions;
    /* Ways through it, ended by BP_BRANCH_NONE. NULL: what its positions say; else, with two pins,
     * a load. */
    const bp_branch *ways;
    bool passive; /* wires, connectors, splices, grounds: drawn as wiring, not listed as loads */
    double access, fit; /* default minutes; source: common practice */
    double price;       /* default price, bare number; source: common practice */
    /* Pins that depend on parameters or positions: adds them by bp_part_add_pin
     * (circuits/circuit.h). NULL: fixed pins. */
    void (*make_pins)(struct bp_part *part, struct bp_report *report);
    /* Checks beyond ranges (contradicting parameters ...). NULL: none. Reports by bp_part_mistake.
     */
    void (*check)(const struct bp_part *part, struct bp_report *report);
    /* Checks of which pins have wires, once that is known. NULL: none. */
    void (*check_wires)(const struct bp_part *part, struct bp_report *report);
    /* Ranges of severity that follow from the part's own data and wires, into a copy of `modes`
     * that is the part's own. NULL: all parts of the kind share them. */
    void (*fit_modes)(const struct bp_part *part, bp_mode_decl *modes);
} bp_kind;

#define X(name) extern const bp_kind bp_kind_##name;
BP_KIND_LIST(X)
#undef X

enum {
#define X(name) BP_KIND_INDEX_##name,
    BP_KIND_LIST(X)
#undef X
        BP_N_KINDS
};

/* All kinds in the order of the list; bp_kinds[i] for i < BP_N_KINDS. */
extern const bp_kind *const bp_kinds[BP_N_KINDS];

/* By YAML name, or NULL. Index of a kind in the list. */
const bp_kind *bp_kind_find(const char *id);
size_t bp_kind_index(const bp_kind *kind);

/* Index of a parameter or mode by name, or -1. */
int bp_kind_param(const bp_kind *kind, const char *key);
int bp_kind_mode(const bp_kind *kind, const char *id);

#endif
