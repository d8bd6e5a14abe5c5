/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an oscilloscope shows: one run over time of one case. Probes between pairs of points or
 * faces, a clamp around a wire; out come sampled traces on one common time axis, the features that
 * the trade reads, what happened when, and what people notice.
 *
 *     bp_scope_trace traces[] = {{.red = "T1.1"}, {.clamp = "W12"}};
 *     bp_scope_question q = BP_SCOPE_QUESTION_INIT;
 *     q.state = "idle";  q.faults = "T1:secondary-breaks-down";
 *     q.traces = traces;  q.n_traces = 2;
 *     bp_scope_run *s = bp_lab_scope(lab, &q, report);        // NULL: see the report
 *     if (s->why) ...                                     // the run has no result: plot nothing
 *     else ... s->time[i], s->traces[0].value[i], i < s->n ...
 *     bp_scope_run_free(&s);
 *
 * Time 0 is the instant at which the state is entered from the state it is entered `from`, settled
 * (a switch is pressed, a module is told to start). What goes on for ever (sparks, pulses, a
 * turning rotor) is in step with time 0 too: the first dwell, the first pulse begins there. Time
 * before 0 shows the state before.
 *
 * A healthy trace behind a faulted one is two questions (bp_lab_scope_many); their time axes
 * differ.
 */
#ifndef BACKPROBE_SCOPE_H
#define BACKPROBE_SCOPE_H

#include <backprobe/predict.h>

#ifdef __cplusplus
extern "C" {
#endif

/* What is shown: a voltage (red over black; black NULL = the circuit's reference), or the current
 * through a wire (clamp: the wire's id, positive from its `from` end to its `to` end; red NULL). A
 * probe loads low voltage as 10 Mohm does; on high-voltage pins it is a pick-up that loads nothing.
 */
typedef struct bp_scope_trace {
    const char *red, *black;
    const char *clamp;
} bp_scope_trace;

typedef struct bp_scope_question {
    const char *state;  /* NULL: the state of the circuit's first waveform, else the last state */
    const char *faults; /* as in bp_question */
    const char *const *after; /* actions, as in bp_question */
    size_t n_after;
    const bp_scope_trace *traces; /* NULL: those that the circuit's file names for the state */
    size_t n_traces;
    double from, to; /* window in s; NAN = the circuit's for this state, else 0 to 100 ms */
    double fineness; /* 1; 2 halves every step that the run may take (tests) */
    double ambient, engine, supply; /* as in bp_question */
    bool lasting; /* the state has lasted for long: nothing is switched at time 0 */
} bp_scope_question;

#define BP_SCOPE_QUESTION_INIT                                                                     \
    { NULL, NULL, NULL, 0, NULL, 0, NAN, NAN, 1, NAN, NAN, NAN, false }

/* Something measured on a trace or known of a part: "dwell" 3.2 ms, "clamp" 380 V. `id` is stable
 * (kebab-case), `words` are for people. */
typedef struct bp_feature {
    const char *id;
    const char *words; /* "dwell", "current at switch-off" */
    double value;      /* in `unit`; always finite */
    bp_unit unit;
    size_t trace;     /* index of the trace on which it is seen, or BP_SCOPE_NO_TRACE */
    const char *part; /* whose it is, or NULL */
    double at, until; /* s: where on the time axis it stands; until = at for a point, NAN both: the
                         whole window */
} bp_feature;
#define BP_SCOPE_NO_TRACE ((size_t)-1)

/* What happened at an instant of the run, inside the window: a driver switched, a gap was jumped, a
 * relay moved, a fuse opened. */
typedef struct bp_scope_event {
    double time;       /* s */
    const char *part;  /* id */
    const char *id;    /* "on", "off", "spark", "spark-ends", "in", "out", "opens" ... */
    const char *words; /* "A1 switches off" */
    double value;      /* in `unit`, NAN when there is none: breakdown volts ... */
    bp_unit unit;
} bp_scope_event;

typedef struct bp_scope_shown {
    const char *name;                /* for a legend: "T1.1 (W12 GN)", "clamp on W12 (GN)" */
    const char *red, *black, *clamp; /* black: the reference's name where none was asked for */
    bp_unit unit;                    /* V or A */
    const double *value;             /* n of the run, in `unit` */
} bp_scope_shown;

typedef struct bp_scope_run {
    const char *circuit, *state;
    const char *faults; /* canonical, "healthy" when there is none */
    double from, to;    /* the window, s */
    size_t n;           /* samples; 0 with `why` */
    const double *time; /* s, strictly rising, within the window, both ends of it among them; steps
                           are uneven: short where much happens */
    const bp_scope_shown *traces; /* as asked, in that order */
    size_t n_traces;
    const bp_feature *features;
    size_t n_features;
    const bp_scope_event *events; /* by time */
    size_t n_events;
    const bp_notice
        *notices; /* what people notice over the run: "parks", "overshoots and creeps" */
    size_t n_notices;
    const char *why; /* NULL, or why there is no result: then n is 0 and nothing may be plotted */
} bp_scope_run;

/* One run. NULL: the question itself is wrong (see the report). A run that the solver does not
 * finish, or that explodes, comes back with `why`. Free with bp_scope_run_free. */
bp_scope_run *bp_lab_scope(bp_lab *lab, const bp_scope_question *question, bp_report *report);
void bp_scope_run_free(bp_scope_run **scope);

/* Many runs spread over the workers; scopes[i] belongs to questions[i] (NULL where the question was
 * wrong). progress may be NULL. */
bp_status bp_lab_scope_many(bp_lab *lab, const bp_scope_question *questions, size_t n,
                            bp_scope_run **scopes,
                            void (*progress)(void *data, size_t done, size_t of), void *data,
                            bp_report *report);

/* The first feature of this id on this trace (BP_SCOPE_NO_TRACE: on any), or NULL. */
const bp_feature *bp_scope_feature(const bp_scope_run *scope, size_t trace, const char *id);

/* The same feature in another run (NULL: none): of the same trace or part. NULL: it is not there.
 */
const bp_feature *bp_scope_same(const bp_scope_run *scope, const bp_feature *feature);

/* The value of a trace at an instant, straight between samples; NAN outside the window. */
double bp_scope_value(const bp_scope_run *scope, size_t trace, double time);

/* Waveforms that a circuit's file names: how many, and for one of them its id, label (or NULL),
 * state and window. Strings belong to the circuit. */
typedef struct bp_waveform_info {
    const char *id, *label, *state;
    double from, to; /* s */
    size_t n_traces;
} bp_waveform_info;
size_t bp_circuit_n_waveforms(const bp_circuit *circuit);
bp_waveform_info bp_circuit_waveform_info(const bp_circuit *circuit, size_t index);
/* Trace t of it as a question takes it. Strings belong to the circuit. */
bp_scope_trace bp_circuit_waveform_trace(const bp_circuit *circuit, size_t index, size_t t);

#ifdef __cplusplus
}
#endif
#endif
