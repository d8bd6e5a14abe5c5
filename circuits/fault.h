/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fault cases: parsed, written, enumerated.  PART[.SUB]:MODE[=PARTNER][,SEVERITY][@WHEN]
 */
#ifndef BP_CIRCUITS_FAULT_H
#define BP_CIRCUITS_FAULT_H

#include "circuits/circuit.h"

/* When a fault is there. */
typedef enum bp_when_sort {
    BP_ALWAYS,
    BP_TUGGED,
    BP_HEATED,
    BP_COOLED,
    BP_WET,
    BP_ENGINE_ABOVE,
    BP_ENGINE_BELOW
} bp_when_sort;

typedef struct bp_fault {
    size_t part;
    size_t sub;     /* pin index (BP_SCOPE_PIN), cavity index from 0 (BP_SCOPE_CAVITY), BP_NONE */
    int mode;       /* index in bp_fault_mode's table: kind->modes, or the shared pin modes for
                       BP_SCOPE_PIN */
    size_t partner; /* part (wire) or BP_NONE */
    size_t partner_sub; /* cavity or BP_NONE */
    double severity;    /* in the mode's unit; NAN when the mode has none */
    bp_when_sort when;
    double when_value; /* degC for the engine conditions */
} bp_fault;

/* Several faults at once; n = 0 is healthy. */
typedef struct bp_fault_case {
    bp_fault fault[4];
    size_t n;
} bp_fault_case;

/* The declaration behind a fault. Never NULL for a fault of this circuit. */
const bp_mode_decl *bp_fault_mode(const bp_circuit *circuit, const bp_fault *fault);

/* The modes of every plug pin (open, resistance, spread), ended by id NULL. Bolted pins have
 * modes under the same numbers and names, with words and ranges of their own. */
extern const bp_mode_decl bp_pin_modes[];
enum { BP_PIN_OPEN, BP_PIN_RESISTANCE, BP_PIN_SPREAD };

/* "W7:open+G3:resistance=1.5ohm", "healthy". On failure BP_ERR_INPUT and the reason, with a near
 * miss, in why. */
bp_status bp_fault_parse(const bp_circuit *circuit, const char *text, bp_fault_case *out, char *why,
                         size_t size);

/* Do two faults say two things of one, so that they cannot be there at once: open and welded, or 1
 * ohm and 2 ohm? Under different conditions each has its own time. */
bool bp_fault_contradict(const bp_circuit *circuit, const bp_fault *a, const bp_fault *b);

/* Canonical text (as bp_fault_parse reads), and the sentence for people: "W7 (GN 1.5 mm²) open
 * between C12 and H1". */
int bp_fault_write(const bp_circuit *circuit, const bp_fault_case *faults, char *text, size_t size);
int bp_fault_words(const bp_circuit *circuit, const bp_fault_case *faults, char *text, size_t size);
/* The same with gauges and degrees Fahrenheit where us_units says so. */
int bp_fault_words_in(bool us_units, const bp_circuit *circuit, const bp_fault_case *faults,
                      char *text, size_t size);

/* One row of the automatic fault list. severity of `fault` is the typical value. */
typedef struct bp_fault_row {
    bp_fault fault;
    double weight;    /* prior weight after the file's rules */
    const char *note; /* the file's, or NULL */
} bp_fault_row;

/* Every single fault of the circuit, each symmetric pair once; *rows is owned by the caller (free).
 */
bp_status bp_fault_list(const bp_circuit *circuit, bp_fault_row **rows, size_t *n);

/* Severities worth solving for a mode: n values over its range on its scale, the typical one among
 * them; written to grid; returns how many (1, with NAN, when the mode has no severity). */
enum { BP_FAULT_MOST_GRID = 16 };
size_t bp_fault_grid(const bp_circuit *circuit, const bp_fault *fault, double *grid);

#endif
