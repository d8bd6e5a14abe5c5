/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Fault cases: read, written, told to people, listed.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/fault.h"
#include "tests/circuits/files.h"

static bp_circuit *circuit;
static bp_report *report;

static int set_up(void **state) {
    (void)state;
    circuit = files_horn(&report);
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    bp_circuit_free(&circuit);
    bp_report_free(&report);
    return 0;
}

static bp_fault_case parsed(const char *text) {
    bp_fault_case faults;
    char why[600];
    if (bp_fault_parse(circuit, text, &faults, why, sizeof why) != BP_OK)
        fail_msg("%s: %s", text, why);
    return faults;
}

static void cases_have_one_canonical_form(void **state) {
    (void)state;
    static const struct {
        const char *text, *canonical;
    } rows[] = {
        {"healthy", "healthy"},
        {"W7:open", "W7:open"},
        {" W7 : open ", "W7:open"},
        {"G3:resistance=1.5ohm", "G3:resistance=1.5ohm"},
        {"G3:resistance,1.5 \u03a9", "G3:resistance=1.5ohm"},
        {"G3:resistance", "G3:resistance"},
        {"G3:resistance=1 ohm", "G3:resistance"}, /* its typical value */
        {"G3:resistance=1000 mohm", "G3:resistance"},
        {"W6:short-to=W2,0.5ohm", "W2:short-to=W6,0.5ohm"},
        {"W2:short-to=W6,0.5ohm", "W2:short-to=W6,0.5ohm"},
        {"C12.1:open", "C12.1:open"},
        {"C12.2:bridge-to=1", "C12.1:bridge-to=C12.2"},
        {"C12.1:crossed-with=C12.2", "C12.1:crossed-with=C12.2"},
        {"F4:blown", "F4:blown"},
        {"BAT:charge=35%", "BAT:charge=35%"},
        {"BAT.+:resistance=0.2 ohm", "BAT.+:resistance=0.2ohm"},
        {"K2.87:spread=1e+2ohm", "K2.87:spread=100ohm"},
        {"W7:open@tugged", "W7:open@tugged"},
        {"K2:coil-open@engine>80degC", "K2:coil-open@engine>80degC"},
        {"K2:coil-open @ engine < 41 degF", "K2:coil-open@engine<5degC"},
        {"W7:open+G3:resistance=1.5ohm", "G3:resistance=1.5ohm+W7:open"},
        {"BAT.+:open+BAT.-:open + W7:open", "BAT.+:open+BAT.-:open+W7:open"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bp_fault_case faults = parsed(rows[i].text);
        char text[200];
        int length = bp_fault_write(circuit, &faults, text, sizeof text);
        assert_string_equal(text, rows[i].canonical);
        assert_int_equal(length, (int)strlen(text));
    }
}

static void what_is_no_fault_is_refused_with_a_reason(void **state) {
    (void)state;
    static const struct {
        const char *text, *why;
    } rows[] = {
        {"", "no part is named"},
        {"W7", "expected W7:FAILURE, one of open"},
        {"W7:", "without its failure"},
        {"W7:opn", "did you mean \"open\"?"},
        {"W77:open", "unknown part \"W77\""},
        {"K2:contact-opne", "did you mean \"contact-open\"?"},
        {"K2.99:open", "unknown pin of relay K2 \"99\""},
        {"K2.30:burnt", "unknown failure of a pin of relay K2"},
        {"C12:open", "fails pin by pin"},
        {"C12.3:open", "expected 1 to 2"},
        {"C12.0:open", "expected 1 to 2"},
        {"C12.a1:open", "expected 1 to 2"},
        {"C12.1:bridge-to=1", "not next to each other"},
        {"C12.1:bridge-to=K2.30", "a pin of the same connector"},
        {"C12.1:bridge-to", "needs to know to what"},
        {"G3.body:open", "no failures of its own"},
        {"W7:short-to", "needs to know to what: write short-to=WIRE"},
        {"W7:short-to=W7", "shorted to itself"},
        {"W7:short-to=K2", "K2 is a relay"},
        {"W7:short-to=W2,0 ohm", "cannot be \"0 ohm\""},
        {"W7:open=1ohm", "takes no value"},
        {"G3:resistance=1V", "is in volt"},
        {"G3:resistance=nan", "not a number"},
        {"G3:resistance=1Mohm", "cannot be"},
        {"W7:open@tuged", "did you mean \"tugged\"?"},
        {"W7:open@engine>80", "no unit"},
        {"W7:open+W7:open", "twice"},
        {"W7:resistance=1ohm+W7:resistance=2ohm", "twice"},
        {"W7:open+W7:resistance=1ohm", "W7:open and W7:resistance contradict each other"},
        {"K2:contact-open+K2:contact-welded", "contradict each other"},
        {"K2:stuck-in+F4:blown+K2:stuck-out", "K2:stuck-out and K2:stuck-in contradict"},
        {"C12.1:open+C12.1:spread", "contradict each other"},
        {"W7:open@wet+W7:resistance=1ohm@wet", "contradict each other"},
        {"W7:open+", "no part is named"},
        {"W7:open+W6:open+W5:open+W4:open+W3:open", "more than 4"},
        {"H1.1:open;`id`", "unknown failure"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bp_fault_case faults;
        char why[600] = "";
        bp_status status = bp_fault_parse(circuit, rows[i].text, &faults, why, sizeof why);
        if (status != BP_ERR_INPUT || !strstr(why, rows[i].why))
            fail_msg("\"%s\": %d, \"%s\"", rows[i].text, (int)status, why);
    }
    char longest[1000];
    memset(longest, 'W', sizeof longest);
    longest[sizeof longest - 1] = '\0';
    bp_fault_case faults;
    char why[60];
    assert_int_equal(bp_fault_parse(circuit, longest, &faults, why, sizeof why), BP_ERR_INPUT);
}

/* What may well come together stays allowed: a chafed wire that broke, a contact burnt and welded,
 * an armature stuck in whose contact does not make, other pins, other times. */
static void what_comes_together_is_allowed(void **state) {
    (void)state;
    static const char *const rows[] = {
        "W7:open+W7:short-to-ground",     "K2:contact-resistance+K2:contact-welded",
        "K2:contact-open+K2:stuck-in",    "K2:coil-open+K2:contact-welded",
        "C12.1:open+C12.2:resistance",    "C12.1:open+C12.1:bridge-to=2",
        "C12.1:resistance+C12.1:spread",  "K2.30:open+K2:contact-open",
        "W7:open@wet+W7:resistance=1ohm", "W7:open@engine>80degC+W7:resistance=1ohm@engine<5degC",
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bp_fault_case faults;
        char why[600] = "";
        if (bp_fault_parse(circuit, rows[i], &faults, why, sizeof why) != BP_OK)
            fail_msg("\"%s\": %s", rows[i], why);
    }
}

/* A bit that only one mode of a kind has contradicts nothing: it was written beside another. */
static void what_modes_set_is_shared(void **state) {
    (void)state;
    for (size_t k = 0; k < BP_N_KINDS; k++)
        for (const bp_mode_decl *m = bp_kinds[k]->modes; m && m->id; m++) {
            unsigned others = 0;
            for (const bp_mode_decl *x = bp_kinds[k]->modes; x->id; x++)
                others |= x == m ? 0 : x->sets;
            if (m->sets & ~others)
                fail_msg("%s: %s sets what no other mode does", bp_kinds[k]->id, m->id);
        }
}

static void people_get_a_sentence(void **state) {
    (void)state;
    static const struct {
        const char *text, *words;
    } rows[] = {
        {"healthy", "no fault"},
        {"W7:open", "W7 (GN 1.5 mm\u00b2) open, C12 to H1"},
        {"F4:blown", "F4 blown"},
        {"G3:open", "ground G3 (left inner wing) open"},
        {"C12.1:open", "pin 1 of C12 (behind grille) open: terminal backed out or broken"},
        {"W2:short-to=W6,0.5ohm",
         "W2 (RD/YE 1.5 mm\u00b2) shorted to W6 (GN 1.5 mm\u00b2), 0.5 \u03a9, F4 to K2"},
        {"C12.1:crossed-with=2", "pin 1 of C12 (behind grille) crossed with pin 2"},
        {"W7:open@engine>80degC",
         "W7 (GN 1.5 mm\u00b2) open, C12 to H1, only with the engine above "
         "80 \u00b0C"},
        {"W7:open@wet+F4:blown",
         "F4 blown and W7 (GN 1.5 mm\u00b2) open, C12 to H1, only when wet"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bp_fault_case faults = parsed(rows[i].text);
        char text[300], small[10];
        int length = bp_fault_words(circuit, &faults, text, sizeof text);
        assert_string_equal(text, rows[i].words);
        assert_int_equal(bp_fault_words(circuit, &faults, small, sizeof small), length);
        assert_true(strlen(small) <= 9 && strncmp(small, text, strlen(small)) == 0);
    }
}

/* 1.5 mm2 is no gauge of its own: 16 AWG has 1.31 mm2, 15 AWG 1.65 mm2 (ASTM B258), and 80 degC are
 * 176 degF. W4 is written in gauges. */
static void gauges_and_fahrenheit_where_asked(void **state) {
    (void)state;
    char text[300];
    bp_fault_case faults = parsed("W7:open@engine>80degC");
    bp_fault_words_in(true, circuit, &faults, text, sizeof text);
    assert_string_equal(text,
                        "W7 (GN \u2248 16 AWG) open, C12 to H1, only with the engine above 176 "
                        "\u00b0F");
    faults = parsed("W4:open");
    bp_fault_words_in(true, circuit, &faults, text, sizeof text);
    assert_string_equal(text, "W4 (BN 20 AWG) open, K2 to S1");
}

static const bp_fault_row *row_of(const bp_fault_row *rows, size_t n, const char *wanted) {
    for (size_t i = 0; i < n; i++) {
        bp_fault_case one = {{rows[i].fault}, 1};
        char text[200];
        bp_fault_write(circuit, &one, text, sizeof text);
        if (strcmp(text, wanted) == 0)
            return &rows[i];
    }
    return NULL;
}

/* Each row reads back as itself, is told in words, and is there once. */
static void every_listed_fault_reads_back(void **state) {
    (void)state;
    bp_fault_row *rows;
    size_t n;
    assert_int_equal(bp_fault_list(circuit, &rows, &n), BP_OK);
    assert_true(n > 50);
    for (size_t i = 0; i < n; i++) {
        bp_fault_case one = {{rows[i].fault}, 1};
        char text[200], words[300];
        bp_fault_write(circuit, &one, text, sizeof text);
        bp_fault_case back = parsed(text);
        char again[200];
        bp_fault_write(circuit, &back, again, sizeof again);
        assert_string_equal(text, again);
        assert_ptr_equal(row_of(rows, n, text), &rows[i]);
        bp_fault_words(circuit, &one, words, sizeof words);
        assert_null(strchr(words, '%') ? strstr(words, "%s") : NULL);
        assert_true(rows[i].weight >= 0);
    }
    free(rows);
}

static void the_list_holds_what_each_part_can_do(void **state) {
    (void)state;
    bp_fault_row *rows;
    size_t n;
    assert_int_equal(bp_fault_list(circuit, &rows, &n), BP_OK);
    static const char *const there[] = {
        "W1:open",          "W1:resistance",           "W1:short-to-ground", "W1:short-to-feed",
        "W2:short-to=W3",   "C12.2:resistance",        "C12.1:spread",       "C12.1:leak-to=C12.2",
        "G3:open",          "G3:resistance=0.4ohm",    "K2.30:open",         "H1.2:spread",
        "BAT.-:resistance", "BAT:weak-cell",           "F4:hairline",        "K2:contact-welded",
        "W7:open@tugged",   "C12.1:crossed-with=C12.2"};
    for (size_t i = 0; i < sizeof there / sizeof *there; i++)
        if (!row_of(rows, n, there[i]))
            fail_msg("%s is not in the list", there[i]);
    static const char *const absent[] = {"W3:short-to=W2", /* the same as W2:short-to=W3 */
                                         "W2:short-to=W6", /* not neighbours */
                                         "W7:open",     /* the file says that it comes and goes */
                                         "K2.87a:open", /* no wire */
                                         "C12.2:leak-to=C12.3"};
    for (size_t i = 0; i < sizeof absent / sizeof *absent; i++)
        assert_null(row_of(rows, n, absent[i]));
    free(rows);
}

static void rules_of_the_file_weigh_and_note(void **state) {
    (void)state;
    bp_fault_row *rows;
    size_t n;
    assert_int_equal(bp_fault_list(circuit, &rows, &n), BP_OK);
    const bp_fault_row *w7 = row_of(rows, n, "W7:open@tugged");
    const bp_fault_row *w6 = row_of(rows, n, "W6:open");
    assert_true(w7->weight == 4 * w6->weight);
    assert_string_equal(w7->note, "chafes on the grille bracket");
    assert_int_equal(w7->fault.when, BP_TUGGED);
    assert_null(w6->note);
    const bp_fault_row *resistance = row_of(rows, n, "W7:resistance");
    assert_true(resistance->weight == 4 * row_of(rows, n, "W6:resistance")->weight);
    assert_int_equal(resistance->fault.when, BP_ALWAYS);
    free(rows);
}

/* Two rules about one fault multiply; a rule about a wire also weighs its shorts to others. */
static void weights_multiply(void **state) {
    (void)state;
    char *text = files_read("data/horn.yaml");
    char *changed = files_replaced(text, "  W7:open: {",
                                   "  W3: {weight: 3}\n"
                                   "  W3:short-to: {weight: 5}\n"
                                   "  C12.1: {weight: 2}\n"
                                   "  C12: {weight: 7}\n"
                                   "  K2.30:open: {weight: 0}\n"
                                   "  W7:open: {");
    bp_report *own = bp_report_new();
    bp_circuit *c;
    if (bp_load_text(changed, strlen(changed), "x", &c, own) != BP_OK)
        fail_msg("%s", files_messages(own));
    bp_circuit *kept = circuit;
    bp_fault_row *plain, *rows;
    size_t n_plain, n;
    assert_int_equal(bp_fault_list(kept, &plain, &n_plain), BP_OK);
    assert_int_equal(bp_fault_list(c, &rows, &n), BP_OK);
    assert_int_equal(n, n_plain);
    static const struct {
        const char *fault;
        double factor;
    } expected[] = {{"W3:open", 3},
                    {"W2:short-to=W3", 15},
                    {"C12.1:open", 14},
                    {"C12.2:open", 7},
                    {"C12.1:leak-to=C12.2", 14},
                    {"K2.30:open", 0},
                    {"K2.85:open", 1},
                    {"W2:open", 1}};
    for (size_t i = 0; i < sizeof expected / sizeof *expected; i++) {
        const bp_fault_row *before = row_of(plain, n_plain, expected[i].fault);
        circuit = c;
        const bp_fault_row *after = row_of(rows, n, expected[i].fault);
        circuit = kept;
        if (!before || !after || fabs(after->weight - expected[i].factor * before->weight) > 1e-12)
            fail_msg("%s: %g, %g", expected[i].fault, before ? before->weight : -1,
                     after ? after->weight : -1);
    }
    free(plain);
    free(rows);
    bp_circuit_free(&c);
    bp_report_free(&own);
    free(changed);
    free(text);
}

/* About 9 values over the range, rising, both ends and the typical value among them, in equal
 * ratios on a log scale. */
static void grids_span_the_range(void **state) {
    (void)state;
    bp_fault_row *rows;
    size_t n;
    assert_int_equal(bp_fault_list(circuit, &rows, &n), BP_OK);
    for (size_t i = 0; i < n; i++) {
        double grid[BP_FAULT_MOST_GRID];
        size_t count = bp_fault_grid(circuit, &rows[i].fault, grid);
        const bp_mode_decl *mode = bp_fault_mode(circuit, &rows[i].fault);
        if (mode->scale == BP_SCALE_NONE) {
            assert_int_equal(count, 1);
            assert_true(isnan(grid[0]));
            continue;
        }
        assert_true(count >= 9 && count <= 16);
        assert_true(grid[0] == mode->lo && grid[count - 1] == mode->hi);
        bool typical = false;
        for (size_t k = 0; k < count; k++) {
            assert_true(k == 0 || grid[k] > grid[k - 1]);
            typical = typical || grid[k] == rows[i].fault.severity;
        }
        assert_true(typical);
    }
    bp_fault_case faults = parsed("G3:resistance=0.06ohm"); /* next to the lower end */
    double grid[BP_FAULT_MOST_GRID];
    size_t count = bp_fault_grid(circuit, &faults.fault[0], grid);
    assert_true(grid[1] == 0.06);
    for (size_t k = 3; k + 1 < count; k++) /* 0.05 to 100 ohm in 8 equal ratios */
        assert_true(fabs(grid[k + 1] / grid[k] - pow(2000, 1.0 / 8)) < 1e-9);
    free(rows);
}

static void a_joined_pin_fails_as_the_one_that_keeps_the_contact(void **state) {
    (void)state;
    static const char text[] = "backprobe: 1\nid: joined\nparts:\n  BAT: {kind: battery}\n"
                               "  H1: {kind: lamp, power: 5 W}\n  H2: {kind: lamp, power: 21 W}\n"
                               "wires:\n  W1: {from: BAT.+, to: H1.1}\n"
                               "  W2: {from: BAT.+, to: H2.1}\n  W3: {from: H1.2, to: BAT.-}\n"
                               "joins: [H1.2, H2.2]\n";
    bp_report *own = bp_report_new();
    bp_circuit *c, *kept = circuit;
    assert_int_equal(bp_load_text(text, strlen(text), "x", &c, own), BP_OK);
    circuit = c;
    bp_fault_case faults = parsed("H2.2:open");
    char written[40];
    bp_fault_write(c, &faults, written, sizeof written);
    assert_string_equal(written, "H1.2:open");
    bp_fault_row *rows;
    size_t n;
    assert_int_equal(bp_fault_list(c, &rows, &n), BP_OK);
    assert_non_null(row_of(rows, n, "H1.2:open"));
    size_t opens = 0;
    for (size_t i = 0; i < n; i++)
        opens += rows[i].fault.sub != BP_NONE && rows[i].fault.mode == BP_PIN_OPEN;
    assert_int_equal(opens, 2 + 3); /* the battery's posts, H1.1, H1.2 with H2.2, H2.1 */
    free(rows);
    circuit = kept;
    bp_circuit_free(&c);
    bp_report_free(&own);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cases_have_one_canonical_form),
        cmocka_unit_test(what_is_no_fault_is_refused_with_a_reason),
        cmocka_unit_test(what_comes_together_is_allowed),
        cmocka_unit_test(what_modes_set_is_shared),
        cmocka_unit_test(people_get_a_sentence),
        cmocka_unit_test(gauges_and_fahrenheit_where_asked),
        cmocka_unit_test(every_listed_fault_reads_back),
        cmocka_unit_test(the_list_holds_what_each_part_can_do),
        cmocka_unit_test(rules_of_the_file_weigh_and_note),
        cmocka_unit_test(weights_multiply),
        cmocka_unit_test(grids_span_the_range),
        cmocka_unit_test(a_joined_pin_fails_as_the_one_that_keeps_the_contact),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
