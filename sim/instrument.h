/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Instruments: what each adds to the deck, how it is connected, how it reads, and what its display
 * makes of the value. One file each in sim/instruments/; every one loads the circuit as the real
 * one does.
 */
#ifndef BP_SIM_INSTRUMENT_H
#define BP_SIM_INSTRUMENT_H

#include <backprobe/scope.h>

#include "sim/session.h"

/* What is this small beside an instrument's own accuracy does not matter. */
#define BP_SLIGHT 0.02

/* Why there is no reading; %s stands for the value that goes with it, written with its unit. */
#define BP_WHY_LIST(X)                                                                             \
    X(BP_WHY_NOT, BP_UNIT_NONE, "")                                                                \
    X(BP_WHY_UNSOLVED, BP_UNIT_NONE, "the circuit could not be solved with the meter here")        \
    X(BP_WHY_LIVE, BP_UNIT_VOLT,                                                                   \
      "%s already stands between the leads: an ohmmeter needs a dead circuit")                     \
    X(BP_WHY_LIVE_DIODE, BP_UNIT_VOLT,                                                             \
      "%s already stands between the leads: a diode test needs a dead circuit")                    \
    X(BP_WHY_METER_FUSE, BP_UNIT_AMPERE, "%s would flow: the meter's 10 A fuse blows")

typedef enum bp_why {
#define X(code, unit, text) code,
    BP_WHY_LIST(X)
#undef X
        BP_N_WHYS
} bp_why;

/* A reading as the worker sends it: numbers only. */
typedef struct bp_raw {
    bp_reading_status status;
    bp_why why;
    double why_value;
    double value;     /* in the instrument's unit */
    double low, high; /* ranges (without the meter's own part), or extremes when unsteady; NAN */
    bool firm;        /* the meter's own load does not show in it */
    double loaded;    /* V between the leads while an instrument that draws current is there; NAN */
} bp_raw;

#define BP_RAW_INIT                                                                                \
    { .why_value = NAN, .value = NAN, .low = NAN, .high = NAN, .loaded = NAN }
/* No reading, and why. */
bp_raw bp_raw_none(bp_why why, double why_value);

/* The circuit on the bench: a loaded deck with its values and the voltages of the last solve. */
typedef struct bp_rig {
    const bp_deck *deck;
    bp_session *session;
    double *values;
    double *volts;
} bp_rig;

typedef struct bp_instrument_def {
    bp_unit unit;
    bool light; /* a voltmeter: every pair is a site (bp_build_site), and `count` is there */
    bool draws; /* a voltmeter that draws milliamperes on purpose */
    bool apart; /* it does not touch the circuit: all pairs are read off one solution. Its pairs are
                   wires and no faces, see bp_plan */
    bool from_start; /* connected before the state's chain begins: it is part of the circuit, as an
                        ammeter is */
    void (*elements)(bp_builder *b, const bp_plan *plan);
    /* Values of the meter's elements with its leads on this pair, BP_NONE: on none. */
    void (*connect)(const bp_deck *deck, size_t pair, double *values);
    /* Reads with the leads on the pair and the rig solved like that. Instruments that sweep need
     * only their volts. */
    bp_raw (*read)(bp_rig *rig, size_t pair);
    /* With the rig as the read left it: a change of every voltage by less than this, V, changes
     * what it shows by nothing that matters (BP_SLIGHT of its accuracy). NULL: a voltmeter, whose
     * own volts tell. */
    double (*slight)(const bp_rig *rig, double value);
    /* One count of the display where it shows this value. */
    double (*count)(double value);
    /* What the display shows of a value, and half the width of the meter's own 95 % interval. */
    void (*show)(double value, char *text, size_t size);
    double (*accuracy)(double value);
    /* An instrument that reads what only exists in time (sim/timed.c): its value off one trace of a
     * run (NAN: it shows none), and how long that run is, s, at the engine's speed (NAN: it
     * stands). Then there is nothing that it adds to a steady deck. NULL: it reads a steady state.
     */
    double (*over_time)(const bp_scope_run *run, size_t trace);
    double (*window)(double speed);
    /* What to say where it pulls down a voltage as low as a reference's; NULL: nothing. */
    const char *caution;
} bp_instrument_def;

/* By bp_instrument. */
extern const bp_instrument_def *const bp_instruments[BP_N_INSTRUMENTS];

extern const bp_instrument_def bp_meter_volts, bp_meter_volts_loaded, bp_meter_millivolts,
    bp_meter_ohms, bp_meter_amps, bp_meter_clamp, bp_meter_diode, bp_meter_lamp, bp_meter_led_lamp,
    bp_meter_spark, bp_meter_volts_ac, bp_meter_duty, bp_meter_hertz;

/* How long a meter looks at what does not stand still before it shows a number, s, at the engine's
 * speed (NAN: it stands). */
double bp_measuring_time(double speed);

/* Longest gap between needle points that so many volts jump in open air, m. */
double bp_spark_gap(double peak_volts);

/* Why a reading over time has no result: the run is missing. */
extern const char bp_why_no_run[];

/* The run in which the state's loaded readings can be taken over time, one trace each, in their
 * order; `traces` has room for all of them. Its window is the caller's to set. */
bp_scope_question bp_run_of_readings(const bp_question *question, const bp_state_answer *state,
                                     bp_scope_trace *traces);

/* What a meter that needs time shows of a trace; run NULL or without a result: nothing, and why. */
void bp_read_run(bp_reading *reading, bp_instrument instrument, const bp_scope_run *run,
                 size_t trace);

/* The sentence of a why with its value; never more than `size` bytes. */
void bp_why_write(bp_why why, double value, char *text, size_t size);

/* Deck nodes of a pair's leads. */
size_t bp_meter_red(const bp_deck *deck, size_t pair);
size_t bp_meter_black(const bp_deck *deck, size_t pair);

/* Two leads that can be put on any pair: a resistor from the meter's own terminal to each pair's
 * faces, open but for one pair. They take the next 2 * n_pairs values from `first`. */
void bp_leads_build(bp_builder *b, const bp_plan *plan, size_t red, size_t black);
void bp_leads_connect(const bp_deck *deck, size_t first, size_t pair, double ohm, double *values);

/* The smallest range of a 6000-count display that holds the value: the weight of one count there.
 * `lowest` is one count of the lowest range, `ranges` how many there are, each ten times the one
 * before. */
double bp_count_of(double value, double lowest, int ranges);
/* "12.41 V", "1.203 kΩ": the value rounded to one count, with prefix `scale` (1, 1e3, 1e-3 ...) and
 * its letter. */
void bp_show_counts(double value, double count, bp_unit unit, char *text, size_t size);

/* "off", "dim", "bright" of a test lamp. */
void bp_show_light(double value, double off_below, double bright_from, char *text, size_t size);

/* A reading beside the good one at the same place, sim/mark.c: +1 above its good range, -1 below, 0
 * inside or not to be told. "OL" lies above every value. NULL is taken for either. */
int bp_reading_mark(const bp_reading *good, const bp_reading *fault);

#endif
