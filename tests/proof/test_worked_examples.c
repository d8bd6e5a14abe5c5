/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Worked examples of textbooks, through the whole program: a circuit file in, a meter's reading
 * out. Each row names its source; only numbers are taken from the books.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <string.h>

#include <backprobe/load.h>
#include <backprobe/predict.h>

#define KUPHALDT "T. R. Kuphaldt, Lessons in Electric Circuits, vol. I (DC): "
#define OPENSTAX "OpenStax, University Physics vol. 2, ch. 10: "

typedef struct example {
    const char *source;
    const char *parts, *wires; /* the bodies of `parts:` and `wires:` in flow style */
    const char *faults;        /* NULL: healthy */
    bp_instrument instrument;
    bp_pair pair;
    double value, within;
} example;

/* One loop of a source B and three resistors. */
#define SERIES                                                                                     \
    "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: R2.1}, W3: {from: R2.2, to: R3.1}, W4: "      \
    "{from: R3.2, to: B.-}"
#define FAILURE                                                                                    \
    "B: {kind: source, emf: 9 V}, R1: {kind: resistor, resistance: 100 ohm}, R2: {kind: "          \
    "resistor, resistance: 300 ohm}, "                                                             \
    "R3: {kind: resistor, resistance: 50 ohm}"
#define DIVIDER                                                                                    \
    "B: {kind: source, emf: 45 V}, R1: {kind: resistor, resistance: 5 kohm}, R2: {kind: "          \
    "resistor, resistance: 10 kohm}, "                                                             \
    "R3: {kind: resistor, resistance: 7.5 kohm}"
#define GHOST                                                                                      \
    "B: {kind: source, emf: 24 V}, R1: {kind: resistor, resistance: 250 Mohm}, R2: {kind: "        \
    "resistor, resistance: 250 Mohm}"
#define GHOST_WIRES                                                                                \
    "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: R2.1}, W3: {from: R2.2, to: B.-}"
#define TWO_SOURCES                                                                                \
    "B1: {kind: source, emf: 28 V}, B2: {kind: source, emf: 7 V}, R1: {kind: resistor, "           \
    "resistance: 4 ohm}, "                                                                         \
    "R2: {kind: resistor, resistance: 2 ohm}, R3: {kind: resistor, resistance: 1 ohm}"
#define TWO_SOURCES_WIRES                                                                          \
    "W1: {from: B1.+, to: R1.1}, W2: {from: R1.2, to: R2.1}, W3: {from: R2.2, to: B1.-}, W4: "     \
    "{from: R2.1, to: R3.1}, "                                                                     \
    "W5: {from: R3.2, to: B2.+}, W6: {from: B2.-, to: B1.-}"
#define AMMETER                                                                                    \
    "B: {kind: source, emf: 2 V}, R1: {kind: resistor, resistance: 3 ohm}, R2: {kind: resistor, "  \
    "resistance: 1.5 ohm}, "                                                                       \
    "A: {kind: resistor, resistance: 0.5 ohm}"
#define AMMETER_AT_R1                                                                              \
    "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: A.1}, W3: {from: A.2, to: B.-}, W4: {from: "  \
    "B.+, to: R2.1}, "                                                                             \
    "W5: {from: R2.2, to: B.-}"
#define AMMETER_AT_R2                                                                              \
    "W1: {from: B.+, to: R2.1}, W2: {from: R2.2, to: A.1}, W3: {from: A.2, to: B.-}, W4: {from: "  \
    "B.+, to: R1.1}, "                                                                             \
    "W5: {from: R1.2, to: B.-}"
#define CELL(r, load)                                                                              \
    "B: {kind: source, emf: 12 V, resistance: " r " ohm}, R1: {kind: resistor, resistance: " load  \
    " ohm}"
#define CELL_WIRES "W1: {from: B.+, to: R1.1}, W2: {from: R1.2, to: B.-}"
#define BUS                                                                                        \
    "B: {kind: source, emf: 5 V}, R0: {kind: resistor, resistance: 10 kohm}, R1: {kind: "          \
    "resistor, resistance: 120 ohm}, "                                                             \
    "R2: {kind: resistor, resistance: 120 ohm}"
/* The bus stands by itself: its source feeds only R0. */
#define BUS_WIRES                                                                                  \
    "W0: {from: B.+, to: R0.1}, W1: {from: R0.2, to: B.-}, W2: {from: R1.1, to: R2.1}, W3: "       \
    "{from: R1.2, to: R2.2}"

static const example examples[] = {
    {KUPHALDT "voltmeter impact on measured circuit",
     GHOST,
     GHOST_WIRES,
     NULL,
     BP_VOLTS,
     {"R2.1", "R2.2"},
     0.8889,
     5e-4},
    {KUPHALDT "voltmeter impact, upper resistor by symmetry",
     GHOST,
     GHOST_WIRES,
     NULL,
     BP_VOLTS,
     {"R1.1", "R1.2"},
     0.8889,
     5e-4},
    {KUPHALDT "ammeter impact, 571.43 mA through 0.5 ohm",
     AMMETER,
     AMMETER_AT_R1,
     NULL,
     BP_VOLTS,
     {"A.1", "A.2"},
     0.5 * 0.57143,
     1e-4},
    {KUPHALDT "ammeter impact, 1 A through 0.5 ohm",
     AMMETER,
     AMMETER_AT_R2,
     NULL,
     BP_VOLTS,
     {"A.1", "A.2"},
     0.5,
     1e-4},
    {KUPHALDT "component failure analysis, good",
     FAILURE,
     SERIES,
     NULL,
     BP_VOLTS,
     {"R1.1", "R1.2"},
     2,
     1e-3},
    {KUPHALDT "component failure analysis, good",
     FAILURE,
     SERIES,
     NULL,
     BP_VOLTS,
     {"R2.1", "R2.2"},
     6,
     1e-3},
    {KUPHALDT "component failure analysis, good",
     FAILURE,
     SERIES,
     NULL,
     BP_VOLTS,
     {"R3.1", "R3.2"},
     1,
     1e-3},
    {KUPHALDT "component failure analysis, R2 shorted",
     FAILURE,
     SERIES,
     "R2:short",
     BP_VOLTS,
     {"R1.1", "R1.2"},
     6,
     2e-3},
    {KUPHALDT "component failure analysis, R2 shorted",
     FAILURE,
     SERIES,
     "R2:short",
     BP_VOLTS,
     {"R2.1", "R2.2"},
     0,
     2e-3},
    {KUPHALDT "component failure analysis, R2 shorted",
     FAILURE,
     SERIES,
     "R2:short",
     BP_VOLTS,
     {"R3.1", "R3.2"},
     3,
     2e-3},
    {KUPHALDT "component failure analysis, R2 open",
     FAILURE,
     SERIES,
     "R2:open",
     BP_VOLTS,
     {"R1.1", "R1.2"},
     0,
     1e-3},
    {KUPHALDT "component failure analysis, R2 open",
     FAILURE,
     SERIES,
     "R2:open",
     BP_VOLTS,
     {"R2.1", "R2.2"},
     9,
     1e-3},
    {KUPHALDT "branch current method",
     TWO_SOURCES,
     TWO_SOURCES_WIRES,
     NULL,
     BP_VOLTS,
     {"R1.1", "R1.2"},
     20,
     1e-3},
    {KUPHALDT "branch current method",
     TWO_SOURCES,
     TWO_SOURCES_WIRES,
     NULL,
     BP_VOLTS,
     {"R2.1", "R2.2"},
     8,
     1e-3},
    {KUPHALDT "branch current method",
     TWO_SOURCES,
     TWO_SOURCES_WIRES,
     NULL,
     BP_VOLTS,
     {"R3.1", "R3.2"},
     1,
     1e-3},
    {KUPHALDT "voltage divider circuits",
     DIVIDER,
     SERIES,
     NULL,
     BP_VOLTS,
     {"R1.1", "R1.2"},
     10,
     0.01},
    {KUPHALDT "voltage divider circuits",
     DIVIDER,
     SERIES,
     NULL,
     BP_VOLTS,
     {"R2.1", "R2.2"},
     20,
     0.02},
    {KUPHALDT "voltage divider circuits",
     DIVIDER,
     SERIES,
     NULL,
     BP_VOLTS,
     {"R3.1", "R3.2"},
     15,
     0.015},
    {OPENSTAX "10.00 ohm on 12.00 V behind 0.100 ohm, 1.188 A",
     CELL("0.1", "10"),
     CELL_WIRES,
     NULL,
     BP_VOLTS,
     {"B.+", "B.-"},
     11.88,
     2e-3},
    {OPENSTAX "0.500 ohm, 20.00 A",
     CELL("0.1", "0.5"),
     CELL_WIRES,
     NULL,
     BP_VOLTS,
     {"B.+", "B.-"},
     10,
     1e-3},
    {OPENSTAX "0.500 ohm behind 0.500 ohm, 12.00 A",
     CELL("0.5", "0.5"),
     CELL_WIRES,
     NULL,
     BP_VOLTS,
     {"B.+", "B.-"},
     6,
     1e-3},
    /* The meter's own leads are in an ohms reading: up to 0.3 ohm (common practice). */
    {"ISO 11898-2: 120 ohm at both ends, 60 ohm across an unpowered bus",
     BUS,
     BUS_WIRES,
     NULL,
     BP_OHMS,
     {"R1.1", "R1.2"},
     60.15,
     0.16},
    {"ISO 11898-2: one end gone",
     BUS,
     BUS_WIRES,
     "R2:open",
     BP_OHMS,
     {"R1.1", "R1.2"},
     120.15,
     0.16},
};

static void fail_with(const example *x, bp_report *report) {
    for (size_t i = 0; i < bp_report_count(report); i++)
        print_error("  %s\n", bp_report_at(report, i)->text);
    fail_msg("%s: no answer", x->source);
}

/* The books' values were worked to four digits or so; the meter in the way (10 Mohm) is part of
 * what `within` allows. */
static void check(const example *x) {
    char text[2048];
    int n = snprintf(text, sizeof text,
                     "backprobe: 1\nid: example\ntitle: Worked example\nparts: {%s}\nwires: {%s}\n",
                     x->parts, x->wires);
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    if (bp_load_text(text, (size_t)n, "example", &circuit, report) != BP_OK)
        fail_with(x, report);
    bp_lab *lab = bp_lab_new(circuit, 1, report);
    bp_question question = BP_QUESTION_INIT;
    question.faults = x->faults;
    question.instrument = x->instrument;
    question.pairs = &x->pair;
    question.n_pairs = 1;
    bp_answer *answer = lab ? bp_lab_ask(lab, &question, report) : NULL;
    if (!answer || answer->n_states != 1 || answer->states[0].n_readings != 1)
        fail_with(x, report);
    const bp_reading *reading = &answer->states[0].readings[0];
    if (reading->status != BP_READING_OK || fabs(reading->value - x->value) > x->within)
        fail_msg("%s: red %s, black %s: %.6g instead of %.6g (%s)", x->source, x->pair.red,
                 x->pair.black, reading->value, x->value,
                 reading->why ? reading->why : "a reading");
    bp_answer_free(&answer);
    bp_lab_free(&lab);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
}

static void test_examples(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof examples / sizeof *examples; i++)
        check(&examples[i]);
}

int main(void) {
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_examples)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
