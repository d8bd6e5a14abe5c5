/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * From a circuit file to the model, and the same model by building calls.
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

#include "circuits/cautions.h"
#include "tests/circuits/files.h"

static const bp_part *part(const bp_circuit *c, const char *id) {
    size_t index = bp_part_find(c, id);
    if (index == BP_NONE)
        fail_msg("no part %s", id);
    return &c->parts[index];
}

static double param(const bp_circuit *c, const char *id, const char *key) {
    const bp_part *p = part(c, id);
    int index = bp_kind_param(p->kind, key);
    assert_true(index >= 0);
    return p->param[index];
}

static size_t node(const bp_circuit *c, const char *face) {
    size_t index = bp_face_find(c, face);
    if (index == BP_NONE)
        fail_msg("no face %s", face);
    return bp_face_node(c, index);
}

static void texts_and_parts_are_read(void **state) {
    (void)state;
    bp_report *report;
    bp_circuit *c = files_horn(&report);
    assert_int_equal(bp_report_count(report), 0);
    assert_string_equal(bp_circuit_id(c), "horn");
    assert_string_equal(bp_circuit_title(c), "Relay-fed horn");
    assert_non_null(strstr(c->scenario, "Box van"));
    assert_string_equal(c->file, "horn.yaml");
    assert_int_equal(c->n_parts, 8 + 9);
    assert_true(param(c, "BAT", "charge") == 0.9);
    assert_true(param(c, "K2", "coil") == 85);
    assert_true(param(c, "K2", "suppression.resistor") == 680);
    assert_string_equal(part(c, "S1")->label, "horn button");
    assert_int_equal(part(c, "K2")->line, 10);
    assert_int_equal(part(c, "K2")->column, 3);
    assert_true(part(c, "K2")->placed);
    assert_true(part(c, "K2")->x == 2 && part(c, "K2")->y == 3 && part(c, "K2")->turn == 0);
    assert_false(part(c, "H1")->placed);
    assert_true(fabs(param(c, "W4", "length") - 7 * 0.3048) < 1e-12);
    assert_string_equal(part(c, "W2")->text[bp_kind_param(&bp_kind_wire, "colour")], "RD/YE");
    /* What the file does not say is the kind's. */
    const bp_part *fuse = part(c, "F4");
    assert_true(fuse->given[bp_kind_param(fuse->kind, "rating")]);
    assert_true(fuse->access == fuse->kind->access && fuse->price == fuse->kind->price);
    bp_circuit_free(&c);
    bp_report_free(&report);
}

static void faces_and_nodes_follow_the_pins(void **state) {
    (void)state;
    bp_report *report;
    bp_circuit *c = files_horn(&report);
    /* A plug pin has two faces, an ideal one has one. */
    assert_int_not_equal(node(c, "K2.30"), node(c, "K2/30"));
    assert_int_not_equal(node(c, "C12.a1"), node(c, "C12.b1"));
    assert_int_equal(bp_face_find(c, "C12.a1"), bp_face_find(c, "C12/a1"));
    /* Wires end on harness faces. */
    const bp_part *w2 = part(c, "W2");
    assert_int_equal(w2->pins[0].harness, bp_face_find(c, "F4.2"));
    assert_int_equal(w2->pins[1].own, bp_face_find(c, "K2.30"));
    assert_int_equal(part(c, "F4")->pins[1].n_wires, 2);
    assert_int_equal(part(c, "G3")->pins[0].n_wires, 2);
    /* All grounds of the body are one piece of metal, by any spelling; their eyelets are not. */
    assert_int_equal(node(c, "G0/body"), node(c, "G3/body"));
    assert_int_equal(node(c, "G0/engine"), node(c, "G3/body"));
    assert_int_not_equal(node(c, "G0"), node(c, "G3"));
    assert_int_equal(c->body, node(c, "G3/body"));
    assert_int_equal(c->engine, BP_NONE);
    assert_false(c->ideal_bond);
    assert_int_equal(c->reference, bp_face_find(c, "BAT.-"));
    assert_int_equal(c->feed, bp_face_find(c, "BAT.+"));
    static const char *const names[] = {"K2.30", "K2/30", "G3", "G3/body", "C12.b2", "BAT.-"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        char text[40];
        bp_face_name(c, bp_face_find(c, names[i]), text, sizeof text);
        assert_string_equal(text, names[i]);
    }
    static const char *const none[] = {"K2", "K2.31", "Z9", "", "K2.", "BAT", "/30", "W2.3"};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        if (bp_face_find(c, none[i]) != BP_NONE)
            fail_msg("\"%s\" is taken for a face", none[i]);
    bp_circuit_free(&c);
    bp_report_free(&report);
}

/* Each node is there exactly once, from 0 on. */
static void nodes_are_numbered_without_gaps(void **state) {
    (void)state;
    bp_report *report;
    bp_circuit *c = files_horn(&report);
    for (size_t n = 0; n < c->n_nodes; n++) {
        bool found = false;
        for (size_t i = 0; i < c->n_faces; i++)
            found = found || c->faces[i].node == n;
        assert_true(found);
    }
    for (size_t i = 0; i < c->n_faces; i++)
        assert_true(c->faces[i].node < c->n_nodes);
    bp_circuit_free(&c);
    bp_report_free(&report);
}

static void states_and_points_are_read(void **state) {
    (void)state;
    bp_report *report;
    bp_circuit *c = files_horn(&report);
    assert_int_equal(c->n_states, 2);
    const bp_state *pressed = &c->states[bp_state_find(c, "pressed")];
    assert_int_equal(pressed->from, bp_state_find(c, "released"));
    assert_int_equal(pressed->n_settings, 1);
    assert_string_equal(bp_part_setting_name(part(c, "S1"), pressed->settings[0].setting),
                        "pressed");
    assert_int_equal(pressed->supply, BP_SUPPLY_REST);
    assert_true(isnan(pressed->speed) && isnan(pressed->lasts) && isnan(pressed->ambient));
    const bp_point *d = &c->points[bp_point_find(c, "D")];
    assert_int_equal(d->face, bp_face_find(c, "H1.1"));
    assert_int_equal(bp_face_find(c, "D"), d->face);
    assert_true(d->access == 4);
    assert_string_equal(d->note, "back of the horn plug");
    assert_false(d->automatic);
    assert_string_equal(bp_reach_name(c->points[bp_point_find(c, "A")].reach), "breakout-lead");
    /* Every fuse has its two tabs, which are its own metal. */
    assert_int_equal(c->n_points, 5 + 2);
    const bp_point *tab = &c->points[bp_point_find(c, "F4/2")];
    assert_true(tab->automatic && tab->reach == BP_FUSE_TAB);
    assert_true(c->faces[tab->face].part_side);
    bp_circuit_free(&c);
    bp_report_free(&report);
}

static bool has_caution(const bp_circuit *c, const char *text) {
    for (size_t i = 0; i < c->n_cautions; i++)
        if (strcmp(c->cautions[i], text) == 0)
            return true;
    return false;
}

/* Those of the file, those that parts call for, and those that every sheet carries, each once. */
static void cautions_are_completed(void **state) {
    (void)state;
    bp_report *report;
    bp_circuit *c = files_horn(&report);
    static const char *const wanted[] = {
        "moving-parts", "The horn is loud enough to hurt at arm's length.",
        "battery",      "fuse-size",
        "airbag",       "high-voltage",
        "probing",      "meter-amps",
        "first-source"};
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++)
        if (!has_caution(c, wanted[i]))
            fail_msg("no caution %s", wanted[i]);
    assert_false(has_caution(c, "ignition-voltage"));
    for (size_t i = 0; i < c->n_cautions; i++) {
        assert_true(strchr(c->cautions[i], ' ') || bp_caution_text(c->cautions[i]));
        for (size_t k = 0; k < i; k++)
            assert_string_not_equal(c->cautions[i], c->cautions[k]);
    }
    assert_null(bp_caution_text("moving"));
    bp_circuit_free(&c);
    bp_report_free(&report);
}

static bp_circuit *loaded(const char *text, bp_report **report) {
    bp_circuit *circuit;
    *report = bp_report_new();
    if (bp_load_text(text, strlen(text), "test.yaml", &circuit, *report) != BP_OK)
        fail_msg("%s", files_messages(*report));
    return circuit;
}

/* A circuit out of a textbook: no grounds, no states, the bottom of the source is 0 V. */
static void a_textbook_circuit_needs_little(void **state) {
    (void)state;
    bp_report *report;
    bp_circuit *c = loaded("backprobe: 1\n"
                           "id: divider\n"
                           "parts:\n"
                           "  E1: {kind: source, emf: 45 V}\n"
                           "  R1: {kind: resistor, resistance: 5 kohm}\n"
                           "  R2: {kind: resistor, resistance: 10 kohm}\n"
                           "  J1: {kind: splice}\n"
                           "wires:\n"
                           "  W1: {from: E1.+, to: R1.1}\n"
                           "  W2: {from: R1.2, to: J1}\n"
                           "  W3: {from: J1, to: R2.1}\n"
                           "  W4: {from: R2.2, to: E1.-}\n",
                           &report);
    assert_int_equal(bp_report_count(report), 0);
    assert_int_equal(c->n_states, 1);
    assert_string_equal(c->states[0].id, "on");
    assert_int_equal(c->reference, bp_face_find(c, "E1.-"));
    assert_int_equal(c->body, BP_NONE);
    assert_int_equal(c->n_nodes, 7); /* six pins of ideal parts and the joint */
    assert_true(isnan(param(c, "W1", "size")) && isnan(param(c, "W1", "length")));
    char text[20];
    bp_face_name(c, bp_face_find(c, "J1"), text, sizeof text);
    assert_string_equal(text, "J1");
    assert_string_equal(bp_circuit_title(c), "divider");
    bp_circuit_free(&c);
    bp_report_free(&report);
}

static const char two_grounds[] = "backprobe: 1\n"
                                  "id: bonds\n"
                                  "parts:\n"
                                  "  BAT: {kind: battery}\n"
                                  "  H1: {kind: lamp, power: 5 W}\n"
                                  "  G1: {kind: ground}\n"
                                  "  G2: {kind: ground, on: engine}\n"
                                  "  G4: {kind: ground}\n"
                                  "wires:\n"
                                  "  W1: {from: BAT.+, to: H1.1}\n"
                                  "  W2: {from: H1.2, to: G1}\n"
                                  "  W3: {from: BAT.-, to: G2}\n"
                                  "  W4: {from: G2, to: G4}\n";

/* Battery cable to the engine and strap from there to the body: everything hangs together. */
static void a_strap_ties_the_engine_to_the_body(void **state) {
    (void)state;
    bp_report *report;
    bp_circuit *c = loaded(two_grounds, &report);
    assert_int_equal(bp_report_count(report), 0);
    assert_false(c->ideal_bond);
    assert_int_not_equal(c->engine, c->body);
    assert_int_equal(c->engine, node(c, "G2/engine"));
    bp_circuit_free(&c);
    bp_report_free(&report);
}

static void a_missing_bond_is_taken_for_granted_with_a_warning(void **state) {
    (void)state;
    bp_report *report;
    char *text = files_replaced(two_grounds, "from: G2, to: G4", "from: G1, to: G4");
    bp_circuit *c = loaded(text, &report);
    free(text);
    assert_true(c->ideal_bond);
    assert_int_equal(c->body, node(c, "BAT.-"));
    assert_int_equal(bp_report_count_of(report, BP_WARNING), 1);
    assert_non_null(strstr(files_messages(report), "no wire ties BAT.- to the body"));
    bp_circuit_free(&c);
    bp_report_free(&report);

    /* The other way round: the body is tied, the engine floats. */
    text = files_replaced(two_grounds, "from: BAT.-, to: G2}\n  W4: {from: G2, to: G4",
                          "from: BAT.-, to: G4}\n  W4: {from: G2, to: H1.2");
    char *floating = files_replaced(text, "to: H1.2}\n", "to: G2}\n");
    free(text);
    text = files_replaced(floating, "  W4: {from: G2, to: G2}\n", "");
    free(floating);
    floating = files_replaced(text, "to: G1}",
                              "to: G1}\n  W5: {from: BAT.+, to: H2.1}\n"
                              "  W6: {from: H2.2, to: G2}");
    free(text);
    text = files_replaced(floating, "  G1:", "  H2: {kind: lamp, power: 5 W}\n  G1:");
    free(floating);
    c = loaded(text, &report);
    free(text);
    assert_false(c->ideal_bond);
    assert_int_equal(bp_report_count_of(report, BP_WARNING), 1);
    assert_non_null(strstr(files_messages(report), "nothing ties the engine metal of ground G2"));
    bp_circuit_free(&c);
    bp_report_free(&report);
}

/* Two parts in one plug: their common pin is one contact, and a wire to either goes to both. */
static void joined_pins_share_one_contact(void **state) {
    (void)state;
    bp_report *report;
    bp_circuit *c = loaded("backprobe: 1\n"
                           "id: joined\n"
                           "parts:\n"
                           "  BAT: {kind: battery}\n"
                           "  H1: {kind: lamp, power: 5 W, in: A1}\n"
                           "  H2: {kind: lamp, power: 21 W, in: A1}\n"
                           "wires:\n"
                           "  W1: {from: BAT.+, to: H1.1}\n"
                           "  W2: {from: BAT.+, to: H2.1}\n"
                           "  W3: {from: H1.2, to: BAT.-}\n"
                           "joins: [H1.2, H2.2]\n",
                           &report);
    assert_int_equal(bp_report_count(report), 0);
    assert_int_equal(bp_face_find(c, "H1.2"), bp_face_find(c, "H2.2"));
    assert_int_equal(bp_face_find(c, "H1/2"), bp_face_find(c, "H2/2"));
    assert_int_not_equal(node(c, "H2.2"), node(c, "H2/2"));
    assert_int_equal(part(c, "H1")->pins[1].sort, BP_PIN_PLUG);
    assert_int_equal(part(c, "H2")->pins[1].sort, BP_PIN_IDEAL);
    assert_int_equal(part(c, "H2")->pins[1].n_wires, 1);
    assert_string_equal(part(c, "H2")->unit, "A1");
    bp_circuit_free(&c);
    bp_report_free(&report);
}

static void supplies_are_read(void **state) {
    (void)state;
    bp_report *report;
    char *text = files_read("data/horn.yaml");
    char *changed =
        files_replaced(text, "  pressed:  {S1: pressed, from: released}\n",
                       "  a: {supply: charging, speed: 800 rpm, engine: 203 degF, lasts: 2 s}\n"
                       "  b: {supply: cranking}\n"
                       "  c: {supply: cranking 150 A, ambient: -10 degC}\n"
                       "  d: {supply: 12.2 V, label: run down}\n");
    bp_circuit *c = loaded(changed, &report);
    const bp_state *s = &c->states[1];
    assert_true(s[0].supply == BP_SUPPLY_CHARGING && s[0].speed == 800 && s[0].lasts == 2);
    assert_true(fabs(s[0].engine - 95) < 1e-9);
    assert_true(s[1].supply == BP_SUPPLY_CRANKING && s[1].supply_value == 180);
    assert_true(s[2].supply_value == 150 && s[2].ambient == -10);
    assert_true(s[3].supply == BP_SUPPLY_VOLTS && s[3].supply_value == 12.2);
    assert_string_equal(s[3].label, "run down");
    bp_circuit_free(&c);
    bp_report_free(&report);
    free(changed);
    free(text);
}

/* The building calls make the same model; order does not matter, and texts need not outlive the
 * call. */
static void building_calls_make_the_same_model(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_circuit *c = bp_circuit_new("lamp", report);
    char pin[] = "H1.1";
    bp_circuit_wire(c, "W1", "BAT.+", pin);
    pin[0] = 'X';
    bp_circuit_set(c, "W1", "size", "1.5 mm2");
    bp_circuit_set(c, "W1", "length", "2 m");
    bp_circuit_point(c, "A", "H1.1");
    bp_circuit_state_set(c, "lit", "S1", "on");
    bp_circuit_state(c, "lit");
    bp_circuit_wire(c, "W2", "H1.2", "S1.1");
    bp_circuit_wire(c, "W3", "S1.2", "BAT.-");
    bp_circuit_set(c, "H1", "power", "21 W");
    bp_circuit_part(c, "H1", "lamp");
    bp_circuit_part(c, "BAT", "battery");
    bp_circuit_part(c, "S1", "switch");
    static const char *const pairs[] = {"1", "2"};
    bp_circuit_position(c, "S1", "off", NULL, 0);
    bp_circuit_position(c, "S1", "on", pairs, 1);
    if (bp_circuit_finish(c) != BP_OK)
        fail_msg("%s", files_messages(report));
    assert_int_equal(bp_report_count(report), 0);
    assert_true(param(c, "W1", "size") == 1.5e-6);
    assert_int_equal(c->states[0].settings[0].setting, 1);
    assert_int_equal(part(c, "S1")->positions[1].n_pairs, 1);
    /* A finished circuit never changes. */
    size_t n = c->n_parts;
    bp_circuit_part(c, "H2", "lamp");
    bp_circuit_at(c, "late.yaml", 1, 1);
    assert_int_equal(bp_circuit_finish(c), BP_ERR_USAGE);
    assert_int_equal(c->n_parts, n);
    bp_circuit_free(&c);
    assert_null(c);
    bp_circuit_free(&c);
    bp_report_free(&report);
}

static void wires_know_their_neighbours(void **state) {
    (void)state;
    bp_report *report;
    bp_circuit *c = files_horn(&report);
    size_t w2 = bp_part_find(c, "W2"), w3 = bp_part_find(c, "W3"), w6 = bp_part_find(c, "W6");
    assert_true(bp_wires_are_neighbours(c, w2, w3) && bp_wires_are_neighbours(c, w3, w2));
    assert_false(bp_wires_are_neighbours(c, w2, w2));
    assert_false(bp_wires_are_neighbours(c, w2, w6));
    assert_false(bp_wires_are_neighbours(c, w2, bp_part_find(c, "K2")));
    bp_circuit_free(&c);
    bp_report_free(&report);
    /* Side by side in a connector, on the same half only. */
    char *text = files_read("data/horn.yaml");
    char *changed = files_replaced(text, "W9: {",
                                   "W10: {from: K2.87, to: C12.a2}\n"
                                   "  W11: {from: C12.b2, to: H1.1}\n  W9: {");
    c = loaded(changed, &report);
    w6 = bp_part_find(c, "W6");
    assert_true(bp_wires_are_neighbours(c, w6, bp_part_find(c, "W10")));
    assert_false(bp_wires_are_neighbours(c, w6, bp_part_find(c, "W11")));
    assert_true(bp_wires_are_neighbours(c, bp_part_find(c, "W7"), bp_part_find(c, "W11")));
    bp_circuit_free(&c);
    bp_report_free(&report);
    free(changed);
    free(text);
}

/* The page about the format: its example is a good circuit, and it names all there is. */
static void the_page_about_the_format_is_right(void **state) {
    (void)state;
    char *page = files_read("../../docs/circuit-file.md");
    char *start = strstr(page, "```yaml\n") + strlen("```yaml\n");
    char *end = strstr(start, "```");
    bp_report *report = bp_report_new();
    bp_circuit *c;
    if (bp_load_text(start, (size_t)(end - start), "page", &c, report) != BP_OK ||
        bp_report_count(report) > 0)
        fail_msg("%s", files_messages(report));
    bp_circuit_free(&c);
    bp_report_free(&report);
    char word[80];
    for (size_t i = 0; i < BP_N_KINDS; i++) {
        const bp_kind *kind = bp_kinds[i];
        /* Parts have a table, wires a section. */
        snprintf(word, sizeof word, kind == &bp_kind_wire ? "A `%s` goes" : "| `%s` |", kind->id);
        if (!strstr(page, word))
            fail_msg("kind %s is not on the page", word);
        const char *row = strstr(page, word), *row_end = strchr(row, '\n');
        for (const bp_param_decl *p = kind->params; p && p->key; p++) {
            snprintf(word, sizeof word, p->required ? "**`%s`**" : "`%s`", p->key);
            const char *at = strstr(row, word);
            if (!at || (at > row_end && kind != &bp_kind_wire))
                fail_msg("%s of %s is not on the page", word, kind->id);
        }
        for (size_t k = 0; kind->settings && kind->settings[k]; k++) {
            const char *at = strstr(row, kind->settings[k]);
            if (!at || at > row_end)
                fail_msg("%s of %s is not on the page", kind->settings[k], kind->id);
        }
    }
    for (const bp_caution *caution = bp_cautions; caution->key; caution++) {
        snprintf(word, sizeof word, "`%s`", caution->key);
        if (!strstr(page, word))
            fail_msg("caution %s is not on the page", word);
    }
    free(page);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(texts_and_parts_are_read),
        cmocka_unit_test(faces_and_nodes_follow_the_pins),
        cmocka_unit_test(nodes_are_numbered_without_gaps),
        cmocka_unit_test(states_and_points_are_read),
        cmocka_unit_test(cautions_are_completed),
        cmocka_unit_test(a_textbook_circuit_needs_little),
        cmocka_unit_test(a_strap_ties_the_engine_to_the_body),
        cmocka_unit_test(a_missing_bond_is_taken_for_granted_with_a_warning),
        cmocka_unit_test(joined_pins_share_one_contact),
        cmocka_unit_test(supplies_are_read),
        cmocka_unit_test(building_calls_make_the_same_model),
        cmocka_unit_test(wires_know_their_neighbours),
        cmocka_unit_test(the_page_about_the_format_is_right),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
