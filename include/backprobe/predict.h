/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a meter shows. A lab holds a checked circuit and its worker processes; questions go in,
 * answers come out.
 *
 *     bp_lab *lab = bp_lab_new(circuit, 0, report);
 *     bp_question q = BP_QUESTION_INIT;
 *     q.state = "pressed";  q.faults = "G3:resistance=1.5ohm";
 *     bp_answer *a = bp_lab_ask(lab, &q, report);      // NULL: see the report
 *     ... a->states[0].readings[i].display ...
 *     bp_answer_free(&a);  bp_lab_free(&lab);
 */
#ifndef BACKPROBE_PREDICT_H
#define BACKPROBE_PREDICT_H

#include <math.h>
#include <stdint.h>

#include <backprobe/circuit.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Instruments: code, name on the command line, words for people. */
#define BP_INSTRUMENT_LIST(X)                                                                      \
    X(BP_VOLTS, "volts", "voltmeter, DC")                                                          \
    X(BP_VOLTS_LOADED, "volts-loaded", "voltmeter, DC, low input resistance")                      \
    X(BP_MILLIVOLTS, "millivolts", "voltmeter, DC, millivolt range")                               \
    X(BP_OHMS, "ohms", "ohmmeter")                                                                 \
    X(BP_AMPS, "amps", "ammeter in line")                                                          \
    X(BP_AMPS_CLAMP, "amps-clamp", "clamp around a wire")                                          \
    X(BP_DIODE_TEST, "diode", "diode test")                                                        \
    X(BP_TEST_LAMP, "test-lamp", "test lamp, 12 V bulb")                                           \
    X(BP_LED_LAMP, "led-lamp", "test lamp with light-emitting diodes")                             \
    X(BP_SPARK, "spark", "spark tester: longest gap jumped in open air")                           \
    X(BP_VOLTS_AC, "volts-ac", "voltmeter, AC, true RMS")                                          \
    X(BP_DUTY, "duty", "share of time high")                                                       \
    X(BP_HERTZ, "hertz", "frequency counter")

typedef enum bp_instrument {
#define X(code, name, words) code,
    BP_INSTRUMENT_LIST(X)
#undef X
        BP_N_INSTRUMENTS
} bp_instrument;

const char *bp_instrument_name(bp_instrument instrument);
/* By name; returns false when there is none of that name. */
bool bp_instrument_find(const char *name, bp_instrument *instrument);

typedef enum bp_reading_status {
    BP_READING_OK,
    BP_READING_OVER,     /* the display shows OL */
    BP_READING_UNSTEADY, /* a relay chatters ("unsteady"), a flasher works ("swings"): low and high
                            are the extremes */
    BP_READING_NONE      /* no result; why tells */
} bp_reading_status;

/* One end of what a meter held: what its display kept, and where that was. */
typedef struct bp_held {
    double value; /* in the reading's unit; NAN with "OL" */
    char display[24];
    const char *state, *phase; /* where it was read; as in bp_state_answer */
    double at; /* s after the state was entered, while it ran; NAN: as the state settles */
} bp_held;

/* One reading. Strings belong to the answer. */
typedef struct bp_reading {
    const char *point;       /* point id, or NULL for a free pair */
    const char *red, *black; /* where the leads are: "K2.30", "BAT.-" */
    const char *at; /* part whose place an ammeter takes ("F4"), wire that a clamp is around ("W6"),
                       or NULL */
    bp_instrument instrument;
    double value; /* in `unit`; NAN unless BP_READING_OK */
    bp_unit unit;
    char
        display[24]; /* as the meter shows it: "12.41 V", "OL"; for a lamp "off", "dim", "bright" */
    double low, high; /* central 95 % over tolerances and meter; NAN when not asked for; extremes
                         when unsteady */
    bp_reading_status status;
    const char *why; /* BP_READING_NONE or a remark; else NULL */
    bool unloaded;   /* taken with its plug or socket open */
    /* NULL unless asked for and the status is BP_READING_OK: by toleranced quantity of the circuit
     * (bp_answer.n_moves of them), by how much the value changes when that quantity alone lies one
     * standard deviation higher, contacts and fuses as they stand. */
    const double *moves;
    bool firm; /* the meter's own load does not show: two firm readings to one black lead differ by
                  what a meter between their places would show */
    /* What the meter held over the states through which this one is entered, itself included; NULL
     * unless bp_question.min_max was set and there was a value. */
    const bp_held *minimum, *maximum;
} bp_reading;

/* What people notice by themselves, without an instrument: bit, name, words. */
#define BP_SENSE_LIST(X)                                                                           \
    X(BP_HEARD, 1, "heard")                                                                        \
    X(BP_FELT, 2, "felt")                                                                          \
    X(BP_SEEN, 4, "seen")

typedef enum bp_sense {
#define X(code, bit, name) code = bit,
    BP_SENSE_LIST(X)
#undef X
} bp_sense;

typedef struct bp_notice { /* what a part does */
    const char *part;      /* id; what an action added is called as in "Lamp for F4" */
    const char *says;      /* "normal", "weak", "off", ... */
    const char *words;     /* "M1 runs at 84 % of its speed" */
    double value;          /* NAN when there is none */
    bp_unit unit;
    unsigned senses; /* bits of bp_sense by which people notice it; 0: it takes an instrument */
} bp_notice;

/* What a hand feels: a place that is warmer than what surrounds it, by the power that the solution
 * turns into heat there. Only what is clearly warm is listed. */
typedef struct bp_warmth {
    const char *part;  /* "K2", "W6", "C12" */
    const char *place; /* the part, or the pin where it is: "H1.1", "C12.1" */
    const char *says;  /* "warm", "hot" */
    const char *words; /* "H1.1 is hot: 3.2 W in its contact" */
    double watts;
    double kelvin; /* about how much warmer than its surroundings after some minutes, or when a
                      shorter state ends */
} bp_warmth;

typedef struct bp_state_answer {
    const char *state;
    const char *phase; /* NULL; or "before F4 opens" / "after F4 opened" when a slow fuse splits the
                          state in two */
    double supply_volts; /* at the battery posts; NAN when there is no battery or source */
    bp_reading *readings;
    size_t n_readings;
    bp_notice *notices;
    size_t n_notices;
    bp_warmth *warm;
    size_t n_warm;
    const char **blown; /* parts found blown */
    size_t n_blown;
    const char **chatter; /* parts that find no rest */
    size_t n_chatter;
    const char *
        *remarks; /* sentences: fuse overloaded, fuse opens in minutes, wire overheats ... */
    size_t n_remarks;
    const char
        *why; /* the state could not be solved: every reading is BP_READING_NONE; else NULL */
    uint64_t condition; /* how relays, fuses and thermal switches stand: equal numbers, equal
                           positions */
} bp_state_answer;

typedef struct bp_answer {
    const char *circuit;
    const char *faults; /* canonical, "healthy" when there is none */
    bp_state_answer *states;
    size_t n_states;
    size_t n_moves; /* toleranced quantities; 0 when moves were not asked for */
} bp_answer;

typedef struct bp_pair {
    const char *red, *black; /* points or faces; black NULL = reference */
} bp_pair;

typedef struct bp_question {
    const char *state;        /* NULL: all */
    const char *faults;       /* "W7:open+G3:resistance=1ohm"; NULL: healthy */
    const char *const *after; /* actions in order: "pull F4", "unplug C12" */
    size_t n_after;
    bp_instrument instrument;
    const bp_pair *pairs; /* NULL: every point to the reference */
    size_t n_pairs;
    const char *at; /* with BP_AMPS: the part to take out and bridge with the meter ("F4"), or NULL.
                       With BP_AMPS_CLAMP, which has no leads: the wire it is around, NULL: each */
    bool ranges;    /* work out low and high */
    bool moves;     /* work out the readings' moves; of instruments that read steady states */
    bool min_max;   /* fill in minimum and maximum: all states of the chain are read, those asked
                       for are answered */
    bool bare;      /* readings alone: nothing of what people notice, no warmth, no remarks */
    bool peak;      /* with min_max: the meter's peak mode, which holds what lasts 1 ms; else what
                       lasts 100 ms */
    bool means; /* of voltmeters and clamps: where something pulses, the mean over a run, which is
                   what such a meter shows; else what stands between two pulses */
    uint64_t draw; /* 0: every part as its data say. Else one vehicle of many: every toleranced
                      quantity is drawn from its spread, the same vehicle for the same number */
    double ambient, engine; /* degC; NAN = as the state says, else 20 degC */
    double supply;          /* open-circuit V of the battery instead of the circuit's own; NAN */
} bp_question;

#define BP_QUESTION_INIT                                                                           \
    {                                                                                              \
        NULL, NULL, NULL, 0, BP_VOLTS, NULL, 0, NULL, false, false, false, false, false, false, 0, \
            NAN, NAN, NAN                                                                          \
    }

typedef struct bp_lab bp_lab;

/* workers 0 = one per processor. The circuit is kept (not owned) and must outlive the lab. Workers
 * start when first needed. NULL: no memory, or the solver does not start (report says why and how
 * to mend it). */
bp_lab *bp_lab_new(const bp_circuit *circuit, size_t workers, bp_report *report);
void bp_lab_free(bp_lab **lab);
/* The circuit it was made for. */
const bp_circuit *bp_lab_circuit(const bp_lab *lab);

/* One question. NULL: the question itself is wrong (unknown state, pin, fault, refused action: see
 * the report). A case whose solve fails comes back as an answer whose readings have no result. */
bp_answer *bp_lab_ask(bp_lab *lab, const bp_question *question, bp_report *report);
void bp_answer_free(bp_answer **answer);

/* Many questions spread over the workers; answers[i] belongs to questions[i] (NULL where the
 * question was wrong). progress may be NULL; it is called in the caller's process now and then. */
bp_status bp_lab_ask_many(bp_lab *lab, const bp_question *questions, size_t n, bp_answer **answers,
                          void (*progress)(void *data, size_t done, size_t of), void *data,
                          bp_report *report);

/* Name and version of the solver in use, e.g. "ngspice-39"; static after the first worker has
 * started. */
const char *bp_lab_solver(const bp_lab *lab);

#ifdef __cplusplus
}
#endif
#endif
