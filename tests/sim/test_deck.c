/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The deck: nodes, runs of values, contacts, and a text in which nothing of the circuit file is
 * found.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <backprobe/load.h>

#include "circuits/circuit.h"
#include "sim/bench.h"
#include "sim/contact.h"
#include "tests/sim/desk.h"

static void for_each_circuit(void (*check)(const bp_circuit *circuit)) {
    bp_listing *list;
    size_t n;
    bp_report *report = bp_report_new();
    assert_int_equal(bp_list_circuits(&list, &n, report), BP_OK);
    assert_true(n >= 4);
    for (size_t i = 0; i < n; i++) {
        bp_circuit *circuit = NULL;
        assert_int_equal(bp_load_file(list[i].path, &circuit, report), BP_OK);
        check(circuit);
        bp_circuit_free(&circuit);
    }
    bp_listing_free(&list, n);
    bp_report_free(&report);
}

/* Every point to the reference, with voltmeters. */
static bp_deck *deck_of(const bp_circuit *c) {
    bp_plan plan = {.instrument = BP_VOLTS, .n_pairs = c->n_points};
    plan.pair = calloc(c->n_points + 1, sizeof *plan.pair);
    assert_non_null(plan.pair);
    for (size_t i = 0; i < c->n_points; i++) {
        plan.pair[i][0] = c->points[i].face;
        plan.pair[i][1] = c->reference;
    }
    bp_deck *deck = bp_deck_new(c, &plan);
    bp_plan_clear(&plan);
    assert_non_null(deck);
    return deck;
}

static void check_runs(const bp_circuit *c) {
    bp_deck *d = deck_of(c);
    assert_int_equal(bp_deck_node_of_face(d, c->reference), 0);
    size_t values = 0;
    for (size_t i = 0; i < bp_deck_n_elements(d); i++) {
        const bp_element *e = bp_deck_element(d, i);
        assert_true(e->plus < bp_deck_n_nodes(d) && e->minus < bp_deck_n_nodes(d));
        assert_int_equal(e->first_value, values); /* no gaps, no overlaps */
        values += e->n_values;
        for (size_t k = 0; k < e->n_values; k++)
            assert_ptr_equal(bp_deck_element_of_value(d, e->first_value + k), e);
    }
    assert_int_equal(values, bp_deck_n_values(d));
    for (size_t p = 0; p < c->n_parts; p++)
        for (size_t k = 0; k < bp_deck_n_part_values(d, p); k++)
            assert_int_equal(bp_deck_element_of_value(d, bp_deck_first_value(d, p) + k)->part, p);
    assert_int_equal(d->n_sites, c->n_points);
    bp_deck_free(&d);
}

static void runs_of_values_fit_together(void **state) {
    (void)state;
    for_each_circuit(check_runs);
}

/* Between the two faces of each plug and bolted pin lies a contact of its part, and nowhere else.
 */
static void check_contacts(const bp_circuit *c) {
    bp_deck *d = deck_of(c);
    for (size_t p = 0; p < c->n_parts; p++) {
        const bp_part *part = &c->parts[p];
        size_t at = d->contact[p];
        for (size_t pin = 0; pin < part->n_pins; pin++) {
            if (!bp_contact_exists(part, pin))
                continue;
            const bp_element *e = bp_deck_element_of_value(d, at++);
            assert_int_equal(e->part, p);
            assert_int_equal(e->plus, bp_deck_node_of_face(d, part->pins[pin].harness));
            assert_int_equal(e->minus, bp_deck_node_of_face(d, part->pins[pin].own));
            assert_true(e->plus != e->minus);
        }
        assert_int_equal(at, d->contact[p + 1]);
    }
    bp_deck_free(&d);
}

static void every_pin_has_its_contact(void **state) {
    (void)state;
    for_each_circuit(check_contacts);
}

/* The deck's text with all values 1, as one string. Free it. */
static char *text_of(const bp_circuit *c) {
    bp_deck *d = deck_of(c);
    double *values = calloc(bp_deck_n_values(d) + 1, sizeof *values);
    for (size_t i = 0; i < bp_deck_n_values(d); i++)
        values[i] = 1;
    char **lines = bp_deck_lines(d, values);
    assert_non_null(lines);
    char *text = NULL;
    size_t size = 0;
    FILE *f = open_memstream(&text, &size);
    for (size_t i = 0; lines[i]; i++)
        fprintf(f, "%s\n", lines[i]);
    fclose(f);
    bp_deck_lines_free(&lines);
    free(values);
    bp_deck_free(&d);
    return text;
}

/* Lower-case letters, digits and the signs of expressions; no command can be written with these. */
static void check_letters(const bp_circuit *c) {
    char *text = text_of(c);
    for (const char *at = text; *at; at++)
        if (!islower((unsigned char)*at) && !isdigit((unsigned char)*at) &&
            !strchr(" \n.=()+-*/^<>?:,_", *at))
            fail_msg("%s: '%c' in the deck", c->id, *at);
    assert_null(strstr(text, ".control"));
    assert_null(strstr(text, ".include"));
    assert_null(strstr(text, ".lib"));
    free(text);
}

static void the_text_has_plain_letters_only(void **state) {
    (void)state;
    for_each_circuit(check_letters);
}

#define CIRCUIT(source, resistor, words)                                                           \
    "backprobe: 1\nid: x\ntitle: '" words "'\nparts: {" source                                     \
    ": {kind: source, emf: 12 V, label: '" words "'}, " resistor                                   \
    ": {kind: resistor, resistance: 1 kohm, label: '" words "'}}\nwires: {W1: {from: " source      \
    ".+, to: " resistor ".1}, W2: {from: " resistor ".2, to: " source ".-}}\n"

/* Two circuits that differ in every word are one and the same to the solver. */
static void no_word_of_the_file_gets_in(void **state) {
    (void)state;
    static const char plain[] = CIRCUIT("B", "R", "plain");
    static const char hostile[] = CIRCUIT("quit", "shell", ".control`touch x`; quit > y *#");
    bp_report *report = bp_report_new();
    bp_circuit *one = NULL, *two = NULL;
    assert_int_equal(bp_load_text(plain, sizeof plain - 1, "plain", &one, report), BP_OK);
    assert_int_equal(bp_load_text(hostile, sizeof hostile - 1, "hostile", &two, report), BP_OK);
    char *first = text_of(one), *second = text_of(two);
    assert_string_equal(first, second);
    free(first);
    free(second);
    bp_circuit_free(&one);
    bp_circuit_free(&two);
    bp_report_free(&report);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(runs_of_values_fit_together),
        cmocka_unit_test(every_pin_has_its_contact),
        cmocka_unit_test(the_text_has_plain_letters_only),
        cmocka_unit_test(no_word_of_the_file_gets_in),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
