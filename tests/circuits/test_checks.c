/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * One damage to a good file at a time: the mistake is found, in its line, in words that say what to
 * do, and nothing else is reported because of it.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <stdlib.h>
#include <string.h>

#include "tests/circuits/files.h"

typedef struct damage {
    const char *find, *by; /* in data/horn.yaml */
    const char *says;      /* part of the message */
    size_t line;           /* of the message; 0: the line of the damage */
} damage;

static size_t line_of(const char *text, const char *at) {
    size_t line = 1;
    for (const char *p = text; p < at; p++)
        line += *p == '\n';
    return line;
}

static void expect(const char *good, const damage *d, bp_severity severity) {
    char *text = files_replaced(good, d->find, d->by);
    size_t line = d->line ? d->line : line_of(good, strstr(good, d->find));
    bp_report *report = bp_report_new();
    bp_circuit *circuit;
    bp_status status = bp_load_text(text, strlen(text), "horn.yaml", &circuit, report);
    const bp_message *m = bp_report_at(report, 0);
    if (status != (severity == BP_MISTAKE ? BP_ERR_INPUT : BP_OK) || bp_report_count(report) != 1 ||
        !strstr(m->text, d->says) || m->line != line || m->column == 0 || m->severity != severity)
        fail_msg("\"%s\" for \"%s\": status %d, expected \"%s\" in line %zu, got\n%s", d->by,
                 d->find, (int)status, d->says, line, files_messages(report));
    assert_true((circuit == NULL) == (status != BP_OK));
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    free(text);
}

static void expect_all(const damage *rows, size_t n, bp_severity severity) {
    char *good = files_read("data/horn.yaml");
    for (size_t i = 0; i < n; i++)
        expect(good, &rows[i], severity);
    free(good);
}

#define ALL(rows, severity) expect_all(rows, sizeof(rows) / sizeof *(rows), severity)

static void mistakes_of_the_frame(void **state) {
    (void)state;
    static const damage rows[] = {
        {"backprobe: 1", "backprobe: 2", "format 1", 0},
        {"backprobe: 1\n", "", "no line backprobe: 1", 2},
        {"id: horn\n", "", "has no id", 2},
        {"id: horn", "id: ../horn", "cannot be the id of a circuit", 0},
        {"id: horn", "id: [horn]", "expected one value", 0},
        {"points:", "point:", "did you mean \"points\"?", 0},
        {"layout:", "colour-scheme:", "unknown key \"colour-scheme\": expected backprobe", 0},
        {"title: Relay-fed horn", "title: {a: b}", "expected one value", 0},
        {"title: Relay-fed horn", "title: ''", "title is empty", 0},
        {"scenario:", "title:", "\"title\" is there twice in the file: first in line 4", 0},
        {"cautions: [moving-parts,", "cautions: [moving-part,", "did you mean \"moving-parts\"?",
         0},
        {"title: Relay", "reference: BAT.x\ntitle: Relay", "unknown pin \"x\" of battery BAT", 0},
        {"title: Relay", "joins: [K2.87a]\ntitle: Relay", "a single pin", 0},
        {"title: Relay", "joins: [K2.87a, K2.87a]\ntitle: Relay", "twice", 0},
        {"title: Relay", "joins: [K2.87a, H9.1]\ntitle: Relay", "unknown part \"H9\" in joins", 0},
        {"title: Relay", "joins: none\ntitle: Relay", "is not a list", 0},
    };
    ALL(rows, BP_MISTAKE);
}

#define WAVE(body) "title: Relay", "waveforms: {w: {" body "}}\ntitle: Relay"

static void mistakes_of_waveforms(void **state) {
    (void)state;
    static const damage rows[] = {
        {WAVE("traces: [K2.87]"), "waveform w has no state", 0},
        {WAVE("state: presed, traces: [K2.87]"), "did you mean \"pressed\"?", 0},
        {WAVE("state: pressed"), "waveform w has no traces", 0},
        {WAVE("state: pressed, traces: [K2.88]"), "unknown pin \"88\" of relay K2", 0},
        {WAVE("state: pressed, traces: [clamp K2]"), "a clamp goes around a wire", 0},
        {WAVE("state: pressed, traces: [K2.87 BAT.- H1.1]"), "expected a pin, two pins", 0},
        {WAVE("state: pressed, traces: [K2.87], to: 5"), "no unit", 0},
        {WAVE("state: pressed, traces: [K2.87], from: 2 s"), "ends before it begins", 0},
        {WAVE("state: pressed, traces: [K2.87], til: 2 s"), "unknown key \"til\" in waveform w", 0},
        {WAVE("state: pressed, traces: K2.88"), "unknown pin \"88\" of relay K2", 0},
    };
    ALL(rows, BP_MISTAKE);
}

static void mistakes_of_parts(void **state) {
    (void)state;
    static const damage rows[] = {
        {"kind: relay", "kind: rely", "did you mean \"relay\"?", 0},
        {"kind: relay", "kind: wire", "under wires", 0},
        {"kind: relay, ", "", "has no kind", 0},
        {"  K2:  {kind: relay, coil: 85 ohm, suppression: {resistor: 680 ohm}}", "  K2: relay",
         "part K2 has no kind: expected", 0},
        {"coil: 85", "coyl: 85", "did you mean \"coil\"?", 0},
        {"coil: 85 ohm", "coil: 85", "no unit", 0},
        {"coil: 85 ohm", "coil: 85 V", "is in volt, not ohm", 0},
        {"coil: 85 ohm", "coil: -85 ohm", "which cannot be: expected", 0},
        {"coil: 85 ohm", "coil: nan ohm", "not a number", 0},
        {"coil: 85 ohm", "coil: 1e999 ohm", "too large", 0},
        {"coil: 85 ohm", "coil: [85 ohm]", "expected one value", 0},
        {"coil: 85 ohm", "coil: 85 ohm, coil: 90 ohm", "there twice in K2", 0},
        {"{resistor: 680 ohm}", "{resistr: 680 ohm}", "did you mean \"suppression.resistor\"?", 0},
        {"{resistor: 680 ohm}", "{resistor: 680 ohm, resistor: 1 ohm}", "there twice", 0},
        {"charge: 90 %", "charge: 190 %", "expected 0 % to 100 %", 0},
        {"charge: 90 %", "charge: 0.9", "no unit: expected, for instance, 90 %", 0},
        {"rating: 15 A", "label: main", "fuse F4 has no rating", 0},
        {"cavities: 2", "cavities: 2.5", "not a whole number", 0},
        {"cavities: 2", "cavities: 0", "which cannot be", 0},
        {"cavities: 2, ", "", "connector C12 has no cavities", 0},
        {"  G3:  {kind: ground", "  G3:  {kind: ground, on: roof", "expected body or engine", 0},
        {"label: left inner wing", "label: \"a\\eb\"", "cannot be shown", 0},
        {"label: left inner wing", "label: \"a\\0b\"", "zero byte", 0},
        {"label: left inner wing", "price: cheap", "not a number", 0},
        {"label: left inner wing", "access: -3 min", "which cannot be", 0},
        {"label: left inner wing", "in: \"a b\"", "not a name for what G3 sits in", 0},
        {"released: [], pressed: [[1, 2]]", "released: [], pressed: [[1, 2], 3]", "is not a list",
         0},
        {"released: [], pressed: [[1, 2]]", "released: [], pressed: [[1, 2], [1]]", "single pin",
         0},
        {"released: [], pressed: [[1, 2]]", "released: [], pressed: [[1, 2], [1, 1]]",
         "joins pin 1 to itself", 0},
        {"positions: {released: [], pressed: [[1, 2]]}, ", "", "has no positions", 0},
        {"kind: fuse, ", "kind: fuse, positions: {a: []}, ", "has no positions", 0},
        {"  F4:  {", "  F-4: {kind: ground}\n  F4:  {", "\"F-4\" cannot be an id", 0},
        {"  F4:  {", "  supply: {kind: ground}\n  F4:  {", "it is a word of the format", 0},
        {"  F4:  {", "  \"F\\n4\": {kind: ground}\n  F4:  {", "\"F\\x0a4\" cannot be an id", 0},
        {"  F4:  {", "  BAT: {kind: ground}\n  F4:  {", "\"BAT\" is there twice in parts", 0},
    };
    ALL(rows, BP_MISTAKE);
}

static void mistakes_of_wires(void **state) {
    (void)state;
    static const damage rows[] = {
        {"to: K2.30", "to: K2.31", "unknown pin \"31\" of relay K2 in to of wire W2", 0},
        {"to: K2.30", "to: K3.30", "unknown part \"K3\"", 0},
        {"to: K2.30", "to: BTA.+", "did you mean \"BAT\"?", 0},
        {"to: K2.30", "to: K2", "names K2 without a pin: write, for instance, K2.", 0},
        {"to: K2.30", "to: K2/30", "a part's own terminal", 0},
        {"to: K2.30", "to: A", "names the test point A: name the pin itself", 0},
        {"to: K2.30", "to: W3", "names the wire W3", 0},
        {"to: K2.30", "to: F4.2", "goes from F4.2 to the same pin", 0},
        {"to: K2.30, ", "", "wire W2 has no to", 0},
        {"from: F4.2,   to: K2.30", "to: K2.30", "wire W2 has no from", 0},
        {"to: K2.30", "too: K2.30, to: K2.30", "did you mean \"to\"?", 0},
        {"size: 4 mm2", "size: 4 mm", "is in metre, not cross-section", 0},
        {"size: 4 mm2", "size: 41 AWG", "4/0 AWG to 40 AWG", 0},
        {"colour: RD/YE, loom: left}\n  W3", "colour: RED, loom: left}\n  W3", "IEC 60757", 0},
        {"  W8:", "  H1:", "id H1 is there twice: first in line 12", 0},
        {"length: 0.5 m", "length: \"0,5 m\"", "full stop", 0},
    };
    ALL(rows, BP_MISTAKE);
}

static void mistakes_of_states_and_points(void **state) {
    (void)state;
    static const damage rows[] = {
        {"S1: pressed", "S1: presed", "did you mean \"pressed\"?", 0},
        {"S1: pressed", "S9: pressed", "unknown part or key \"S9\" in state pressed", 0},
        {"S1: pressed", "suply: rest", "did you mean \"supply\"?", 0},
        {"S1: pressed", "H1: on", "a lamp has no settings", 0},
        {"S1: pressed", "supply: chargin", "did you mean \"charging\"?", 0},
        {"S1: pressed", "supply: 200 V", "which cannot be: expected 0 V to 60 V", 0},
        {"S1: pressed", "supply: cranking fast", "not a number", 0},
        {"S1: pressed", "speed: 800", "no unit", 0},
        {"S1: pressed", "lasts: 0 s", "which cannot be", 0},
        {"from: released", "from: relesed", "did you mean \"released\"?", 0},
        {"from: released", "from: pressed", "entered from pressed", 0},
        {"released: {}", "released: {from: pressed}", "state released is entered from pressed", 0},
        {"  released: {}", "  re leased: {}\n  released: {}", "cannot be the name of a state", 0},
        {"  released: {}", "  released: [a]", "is not a mapping", 0},
        {"A: {at: K2.30", "A: {at: K2.3O", "unknown pin \"3O\"", 0},
        {"A: {at: K2.30, ", "A: {", "has no at", 0},
        {"A: {at: K2.30", "A: {att: K2.85, at: K2.30", "did you mean \"at\"?", 0},
        {"  A: {", "  K2: {", "id K2 is there twice: first in line 10", 0},
        {"  A: {", "  A.1: {", "cannot be the id of a point", 0},
        {"reach: back-probe, note", "reach: backprobe, note", "did you mean \"back-probe\"?", 0},
        {"reach: back-probe, note", "reach: fuse-tab, note", "H1 is a lamp", 0},
        {"access: 3 min}\n  B", "access: 3}\n  B", "no unit", 0},
    };
    ALL(rows, BP_MISTAKE);
}

static void mistakes_of_faults_and_layout(void **state) {
    (void)state;
    static const damage rows[] = {
        {"  W7:      {", "  W77:     {", "unknown part \"W77\"", 0},
        {"W7:open:", "W7:opn:", "did you mean \"open\"?", 0},
        {"{weight: 4}", "{weight: -4}", "expected 0 (never) to 1000", 0},
        {"{weight: 4}", "{wait: 4}", "unknown key \"wait\" in fault W7", 0},
        {"{weight: 4}", "{how-bad: 3 ohm}", "name one failure", 0},
        {"when: tugged", "when: tuged", "did you mean \"tugged\"?", 0},
        {"how-bad: 0.4 ohm", "how-bad: 0.4 V", "is in volt, not ohm", 0},
        {"how-bad: 0.4 ohm", "how-bad: 1 Mohm", "expected 50 m", 0},
        {"G3:resistance:", "G3:resistance=1ohm:", "write how-bad", 0},
        {"G3:resistance:", "C12.7:open:", "expected 1 to 2", 0},
        {"K2: {at: [2, 3]}", "K9: {at: [2, 3]}", "unknown part \"K9\"", 0},
        {"K2: {at: [2, 3]}", "K2: {at: [2]}", "expected at: [x, y]", 0},
        {"K2: {at: [2, 3]}", "K2: {at: [2, b]}", "expected a number", 0},
        {"K2: {at: [2, 3]}", "K2: {at: [2, 3], turn: 45}", "expected 0, 90, 180 or 270", 0},
        {"K2: {at: [2, 3]}", "K2: {at: [2, 3], trun: 90}", "did you mean \"turn\"?", 0},
        {"K2: {at: [2, 3]}", "K2: {at: [2, 1e9]}", "cells away", 0},
    };
    ALL(rows, BP_MISTAKE);
}

static void what_hangs_in_the_air_is_a_mistake(void **state) {
    (void)state;
    static const damage rows[] = {
        {"  W3: {from: F4.2,   to: K2.86,  size: 0.75 mm2, length: 1.8 m, colour: RD/YE, loom: "
         "left}\n",
         "", "no wire goes to pin 86 of relay K2", 10},
        {"  F4:  {", "  H2: {kind: lamp, power: 5 W}\n  F4:  {", "any pin of lamp H2", 0},
        {"  F4:  {", "  G9: {kind: ground}\n  F4:  {", "no wire goes to ground G9", 0},
    };
    ALL(rows, BP_MISTAKE);
    /* Nothing feeds this one. */
    static const char text[] =
        "backprobe: 1\nid: x\nparts:\n  R1: {kind: resistor, resistance: 1 ohm}\n"
        "  R2: {kind: resistor, resistance: 1 ohm}\nwires:\n"
        "  W1: {from: R1.1, to: R2.1}\n  W2: {from: R1.2, to: R2.2}\n";
    bp_report *report = bp_report_new();
    bp_circuit *circuit;
    assert_int_equal(bp_load_text(text, strlen(text), "x", &circuit, report), BP_ERR_INPUT);
    assert_int_equal(bp_report_count(report), 1);
    assert_non_null(strstr(bp_report_at(report, 0)->text, "no feed"));
    bp_report_free(&report);
}

/* A switch may short a supply in one of its positions (a quick-discharge switch): that is a fault
 * to predict. */
static void a_supply_shorted_by_wires_is_a_mistake(void **state) {
    (void)state;
    static const damage rows[] = {
        {"  W9:", "  W10: {from: F4.2, to: G3}\n  W9:", "BAT.+ and BAT.- are joined by wires", 8},
        {"  W9:", "  W10: {from: C12.a2, to: BAT.+}\n  W11: {from: C12.b2, to: BAT.-}\n  W9:",
         "BAT.+ and BAT.- are joined by wires", 8},
    };
    ALL(rows, BP_MISTAKE);
    char *good = files_read("data/horn.yaml");
    char *text =
        files_replaced(good, "to: S1.1", "to: S1.1, place: cabin}\n  W10: {from: F4.2, to: S1.1");
    bp_report *report = bp_report_new();
    bp_circuit *circuit;
    assert_int_equal(bp_load_text(text, strlen(text), "x", &circuit, report), BP_OK);
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    free(text);
    free(good);
}

static void dead_ends_are_warned_of(void **state) {
    (void)state;
    static const damage half = {
        "  W9:", "  W10: {from: K2.87, to: C12.a2}\n  W9:", "none leaves from C12.b2", 13};
    char *good = files_read("data/horn.yaml");
    expect(good, &half, BP_WARNING);
    char *spliced = files_replaced(good, "  K2:  {", "  J1: {kind: splice}\n  K2:  {");
    const damage one = {
        "  W9:", "  W10: {from: K2.87, to: J1}\n  W9:", "only one wire goes to splice J1", 10};
    expect(spliced, &one, BP_WARNING);
    free(spliced);
    free(good);
}

/* One pass shows everything, in the order of the file. */
static void all_mistakes_come_in_one_pass(void **state) {
    (void)state;
    char *text = files_read("bad/many-mistakes.yaml");
    bp_report *report = bp_report_new();
    bp_circuit *circuit;
    assert_int_equal(bp_load_text(text, strlen(text), "many", &circuit, report), BP_ERR_INPUT);
    static const struct {
        size_t line;
        const char *says;
    } rows[] = {{4, "did you mean \"title\"?"},
                {6, "did you mean \"battery\"?"},
                {7, "no unit"},
                {8, "did you mean \"coil\"?"},
                {9, "fuse F1 has no rating"},
                {12, "unknown pin \"3\" of lamp H1"},
                {13, "unknown part \"K9\""},
                {16, "did you mean \"pressed\"?"},
                {18, "unknown part \"Z1\""},
                {20, "did you mean \"wet\"?"}};
    size_t at = 0;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        const bp_message *m = bp_report_at(report, at++);
        if (!m || m->line != rows[i].line || !strstr(m->text, rows[i].says))
            fail_msg("expected \"%s\" in line %zu, got\n%s", rows[i].says, rows[i].line,
                     files_messages(report));
    }
    assert_int_equal(bp_report_count(report), at);
    bp_report_free(&report);
    free(text);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mistakes_of_the_frame),
        cmocka_unit_test(mistakes_of_waveforms),
        cmocka_unit_test(mistakes_of_parts),
        cmocka_unit_test(mistakes_of_wires),
        cmocka_unit_test(mistakes_of_states_and_points),
        cmocka_unit_test(mistakes_of_faults_and_layout),
        cmocka_unit_test(what_hangs_in_the_air_is_a_mistake),
        cmocka_unit_test(a_supply_shorted_by_wires_is_a_mistake),
        cmocka_unit_test(dead_ends_are_warned_of),
        cmocka_unit_test(all_mistakes_come_in_one_pass),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
