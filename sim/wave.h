/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a part kind behaves in time. A run over time solves the same circuit with the same faults and
 * actions; a model without a wave block behaves at every instant as it does in steady state. A
 * model with one (bp_model.wave) adds what only exists in time: inductance, capacitance, coupled
 * windings, inertia, a cam, a pulse, a gap that breaks down.
 *
 * What happens in a run, and what is asked of whom:
 *
 *  1. The state that the asked one is entered `from` is settled in steady state: relays and fuses
 *     stand where that ends.
 *  2. The deck in time is built: each part by wave->elements, else by its steady elements. The
 *     solver's own operating point, with the settings of the state before, is the start of the run:
 *     what is inductive carries its steady current, what is capacitive its steady voltage. Where a
 *     part asks for a run-up, it begins that much before time 0.
 *  3. At time 0 the settings become those of the asked state. (Surroundings - supply, speed,
 *     temperatures - are the asked state's from the start.)
 *  4. After every step that the solver accepted:
 *       - a part with positions is asked by model->next, as in steady state (unless
 *         wave->own_positions): a wish that stands for as long as its `seconds` is carried out, so
 *         relays take their milliseconds and a fuse melts by its curve (what a lasting part has
 *         suffered is not forgotten; another's wish that goes away begins anew);
 *       - then wave->instant sees the part: voltages, time, its own memory. It may change its
 *         memory, ask to be seen at an exact time, ask for short steps, and tell what happened.
 *     Where something changed, the part's values are made anew and the solver is led from the old
 *     ones to the new ones within bp_wave_model.ramp seconds, never by a jump.
 *  5. At the end wave->behave says what people noticed over the run.
 *
 * Only values that can change are steered while the solver runs ("live", which costs it some time
 * each); the rest are plain elements. Live are: values that differ between the part's positions,
 * values that differ between the settings before and after time 0, and those for which a model
 * calls bp_build_live. Changing any other value in a run is a mistake that ends the run. An
 * inductance, capacitance or coupling cannot be live.
 */
#ifndef BP_SIM_WAVE_H
#define BP_SIM_WAVE_H

#include "sim/deck.h"
#include "sim/model.h"

/* What wave->instant sees and may do. Valid during the call only. */
typedef struct bp_moment {
    bp_view view;   /* values and volts of this instant; position; the setting in force now */
    double time;    /* s; before 0 the state before is in force */
    double before;  /* time of the instant seen before; equal to time in the first call */
    double *memory; /* wave->n_memory numbers of this part, all 0 at first; view.memory is the same,
                       which is how wave->values reads them */
    struct bp_run *run;
} bp_moment;

/* Something that a part can tell of an instant. A value that goes with it, and the time since
 * another one, are features of the run: "current at switch-off", "dwell". */
typedef struct bp_wave_tell {
    const char *id;                     /* "off" */
    const char *words;                  /* with %s for the part's name: "%s switches off" */
    bp_unit unit;                       /* of its value, BP_UNIT_NONE: it has none */
    const char *value_id, *value_words; /* the value as a feature; NULL: none */
    const char *since;                  /* id of another one; NULL: no time is taken */
    const char *span_id, *span_words;   /* the time since then as a feature */
} bp_wave_tell;

typedef struct bp_wave_model {
    /* Instead of the model's own; NULL: the same as in steady state. Both or neither. */
    void (*elements)(bp_builder *b, const bp_part *part);
    void (*values)(const bp_view *view, double *value);
    size_t n_memory;
    /* Once, before the operating point: fills the memory from setting, position and faults (volts
     * are NULL). NULL: stays 0. */
    void (*begin)(bp_moment *m);
    /* After every accepted step, first at the start of the run. True: something changed that
     * `values` depends on. NULL: nothing to see. */
    bool (*instant)(bp_moment *m);
    const bp_wave_tell *tells; /* ended by id NULL; NULL: tells nothing */
    bool own_positions;        /* model->next is not asked in a run */
    double ramp;               /* s; how long a change of values takes, 0 = BP_WAVE_RAMP */
    bool hums;                 /* all that it does by itself repeats within BP_WAVE_HUM seconds */
    double run_up; /* s; so long before time 0 the run begins at the latest, for what has to find
                      its rhythm first; 0: it needs none */
    /* What people noticed over the run, at its end. NULL: nothing, since a steady `behave` of a
     * passing instant would mislead. */
    void (*behave)(const bp_moment *m, bp_behaviour *out);
    const char *const *says; /* NULL-ended ids that behave may use */
} bp_wave_model;

/* What repeats that often is over many times while a meter measures, s. */
#define BP_WAVE_HUM 10e-3

/* Contacts part and meet within microseconds: common practice. */
#define BP_WAVE_RAMP 5e-6

/* For `instant`. */

/* See this part again at exactly this time (later than now). */
void bp_moment_wake(bp_moment *m, double time);
/* Until then, and until the next instant, no step longer than this, s. */
void bp_moment_fine(bp_moment *m, double longest);
/* Tells what happened now: one of wave->tells by index. value NAN: none. What parts with positions
 * do (a relay that moves, a fuse that opens) is told without being asked. */
void bp_moment_tell(bp_moment *m, size_t which, double value);
/* The same of an instant that is past: a peak is known as one only when it is over. */
void bp_moment_tell_of(bp_moment *m, size_t which, double value, double time);

/* Elements that only exist in time, for wave->elements. One value each: H, F, and the share of
 * coupling 0 < k < 1 between two inductors of the same part, given by their slots (dots at plus).
 */
size_t bp_build_inductor(bp_builder *b, size_t plus, size_t minus);
size_t bp_build_capacitor(bp_builder *b, size_t plus, size_t minus);
size_t bp_build_coupling(bp_builder *b, size_t inductor, size_t other);
/* This slot of the part (resistor, source or law parameter) may change during a run. */
void bp_build_live(bp_builder *b, size_t slot);

#endif
