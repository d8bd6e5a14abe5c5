/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A three-phase machine and its bridge of diodes, for sim/models/alternator.c: what it gives on the
 * average, and phase by phase over time. Both come from the same numbers.
 *
 * On the average. Behind its reactance a machine that feeds a battery through diodes has phase
 * currents that are nearly sines, and each phase sees a voltage that jumps to and fro in step with
 * its own current. So the fundamental of that voltage, 2/pi of the bridge's voltage, is in phase
 * with the current, and emf^2 = (2/pi V + R I)^2 + (w L I)^2 is solved for I; the direct current is
 * 3/pi I. (A bridge with a constant-voltage load; without R it is the closed form I = 3/pi
 * sqrt(emf^2 - (2/pi V)^2) / (w L).) It is exact while all phases conduct all the time, and gives
 * a tenth too late a start of the output.
 */
#ifndef BP_SIM_GENERATOR_H
#define BP_SIM_GENERATOR_H

#include "sim/model.h"

/* Junction of a press-fit diode for some 35 A: 0.8 V at 1 A, 1.0 V at 30 A with its series
 * resistance (data-sheet typical, from memory). */
#define BP_GENERATOR_SATURATION 5e-8 /* A */
#define BP_GENERATOR_EMISSION 1.85
#define BP_GENERATOR_SERIES_OHM 2e-3

/* What one of those drops while the machine works, V. */
#define BP_GENERATOR_DROP 0.95

typedef struct bp_generator {
    double emf;   /* peak V of a phase for each electrical rad/s and ampere of a small field */
    double knee;  /* A of field at which the iron saturates */
    double ohm;   /* of a phase */
    double henry; /* of a phase */
} bp_generator;

/* From what is rated: `amps` at `volts` and the electrical speed `at`, rad/s, with the field
 * current `field`; at the speed `cuts_in` the lines' peak just reaches the volts. ohm: a phase. */
bp_generator bp_generator_of(double amps, double volts, double at, double cuts_in, double field,
                             double ohm);

/* Peak volts of a phase at this electrical speed and field, the remanence included. */
double bp_generator_emf(const bp_generator *g, double omega, double field);

/* What machine and bridge make of the whole, on the average. */
typedef struct bp_bridge {
    double emf;    /* share of it */
    double direct; /* direct current for each peak ampere of a phase */
} bp_bridge;
extern const bp_bridge bp_bridge_whole;
/* Two phases in series on four diodes: (sqrt(3)/2 emf)^2 = (2/pi V + R I)^2 + (w L I)^2, direct
 * current 2/pi I, by the same reasoning. */
extern const bp_bridge bp_bridge_single_phase;

/* A node of 1 ohm to node 0, and the same with a law that drives a current into it: its volts are
 * what the law says. */
size_t bp_unit_node(bp_builder *b);
size_t bp_driven_node(bp_builder *b, const bp_law *law, const size_t (*control)[2]);

/* What decides the current: nothing, the lamp alone feeds the field; the regulator; full field, the
 * machine being too weak for the regulator; nothing, since the regulator wants no field. */
typedef enum bp_regime { BP_UNFED, BP_REGULATED, BP_FULL_FIELD, BP_FIELD_OFF } bp_regime;

/* How it turns and what is left of it. */
typedef struct bp_turning {
    double omega;    /* electrical rad/s; 0: it stands */
    double residual; /* field amperes that its remanence stands for */
    bp_bridge left;  /* by its faults */
    bp_regime regime;
    double field_siemens;     /* of the field circuit; next to 0: open */
    bool transistor_open;     /* of the regulator: it never gives the field anything */
    double volts, band, amps; /* what its regulator holds at half of so many amperes a phase, and
                                 between none and all of them */
} bp_turning;

/* Below this at D+ a machine does not hold its field, V. */
#define BP_GENERATOR_ALIVE 6.0

/* The average. What decides is not left to the solver: on the way from the field by way of D+ back
 * to the field Newton's method runs in circles. So each regime is solved as if it held, and
 * bp_generator_next says whether it does. A machine with field is solved as if D+ were
 * BP_GENERATOR_ALIVE at least; that counts only where it is. */
typedef struct bp_generator_nodes {
    size_t housing, bus, exciter; /* of the machine; the bus is before the positive diodes */
    size_t seen;                  /* volts that the regulator goes by, over node 0 */
    size_t field, full;           /* out: nodes whose volts are the field current in amperes, and
                                     what it would be at full duty */
} bp_generator_nodes;
enum { BP_GENERATOR_MEAN_VALUES = 23 };
/* The field's node is made, with 1 ohm to node 0; in_time it is only led by the average until the
 * run's start is over, and the direct current is cut off then. */
void bp_generator_mean(bp_builder *b, bp_generator_nodes *n, bool in_time);
void bp_generator_mean_values(double *value, const bp_generator *g, const bp_turning *t);

/* Before the exciter diodes what remanence alone gives behind one diode of the bridge, V. */
double bp_generator_remanence(const bp_generator *g, const bp_turning *t);
/* The field current of a solution, A; slot: the first of the average's. */
double bp_generator_field(const bp_view *view, size_t slot);
/* The regime that follows from a solution with t->regime other than BP_UNFED; `seen` as above. */
bp_regime bp_generator_next(const bp_view *view, size_t slot, const bp_turning *t, double seen);

/* The phases over time, each between the star point and its terminal. */
enum { BP_GENERATOR_PHASE_VALUES = 7 };
void bp_generator_phase(bp_builder *b, size_t star, size_t terminal, size_t field, int which);
void bp_generator_phase_values(double *value, const bp_generator *g, const bp_turning *t,
                               bool open);

#endif
