/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The wiring drawn: of every circuit of the library, of a horn circuit with a layout for one part,
 * of a textbook circuit without grounds and of a large one that nobody laid out. Nothing lies over
 * anything else, every wire finds its way and is named, and every point has its tag.
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

#include <backprobe/load.h>

#include "extents.h"
#include "render/schematic_private.h"
#include "tests/sweep.h"

static const double page_width = 523, page_height = 700;

static bp_circuit *load_text(const char *text) {
    bp_report *report = bp_report_new();
    bp_circuit *circuit = NULL;
    if (bp_load_text(text, strlen(text), "test", &circuit, report) != BP_OK)
        for (size_t i = 0; i < bp_report_count(report); i++)
            print_error("%zu: %s\n", bp_report_at(report, i)->line, bp_report_at(report, i)->text);
    assert_non_null(circuit);
    bp_report_free(&report);
    return circuit;
}

static bp_circuit *load_library(const char *id) {
    bp_circuit *circuit = NULL;
    assert_int_equal(bp_load(id, &circuit, NULL), BP_OK);
    return circuit;
}

/* A relay-fed horn: one part has a place, the others find theirs. */
static const char horn[] =
    "backprobe: 1\n"
    "id: horn-relay\n"
    "title: Relay-fed horn\n"
    "parts:\n"
    "  BAT: {kind: battery, charge: 90 %}\n"
    "  F4:  {kind: fuse, rating: 15 A}\n"
    "  K2:  {kind: relay, coil: 85 ohm, suppression: {resistor: 680 ohm}}\n"
    "  S1:  {kind: switch, positions: {released: [], pressed: [[1, 2]]}, label: horn button}\n"
    "  H1:  {kind: resistor, resistance: 2.4 ohm, label: horn}\n"
    "  C12: {kind: connector, cavities: 2, label: behind grille}\n"
    "  G0:  {kind: ground, label: battery cable at the body}\n"
    "  G3:  {kind: ground, label: left inner wing}\n"
    "wires:\n"
    "  W1: {from: BAT.+,  to: F4.1,   size: 4 mm2,    length: 0.5 m, colour: RD}\n"
    "  W2: {from: F4.2,   to: K2.30,  size: 1.5 mm2,  length: 1.8 m, colour: RD/YE}\n"
    "  W3: {from: F4.2,   to: K2.86,  size: 0.75 mm2, length: 1.8 m, colour: RD/YE}\n"
    "  W4: {from: K2.85,  to: S1.1,   size: 0.5 mm2,  length: 2.2 m, colour: BN}\n"
    "  W5: {from: S1.2,   to: G3,     size: 0.5 mm2,  length: 1.0 m, colour: BK}\n"
    "  W6: {from: K2.87,  to: C12.a1, size: 1.5 mm2,  length: 1.5 m, colour: GN}\n"
    "  W7: {from: C12.b1, to: H1.1,   size: 1.5 mm2,  length: 0.4 m, colour: GN}\n"
    "  W8: {from: H1.2,   to: G3,     size: 1.5 mm2,  length: 0.3 m, colour: BK}\n"
    "  W9: {from: BAT.-,  to: G0,     size: 25 mm2,   length: 0.4 m, colour: BK}\n"
    "points:\n"
    "  A: {at: K2.30}\n"
    "  B: {at: K2.85}\n"
    "  C: {at: K2.87}\n"
    "  D: {at: H1.1}\n"
    "  E: {at: H1.2}\n"
    "  F: {at: G3/body}\n"
    "layout:\n"
    "  K2: {at: [2, 3]}\n";

/* Two lamps whose ground pins go to the same wire: what is joined is said at the end. */
static const char joined[] = "backprobe: 1\n"
                             "id: joined\n"
                             "title: Two lamps on one ground wire\n"
                             "parts:\n"
                             "  BAT: {kind: battery, charge: 90 %}\n"
                             "  H1: {kind: lamp, power: 21 W}\n"
                             "  H2: {kind: lamp, power: 21 W}\n"
                             "  G0: {kind: ground}\n"
                             "  G1: {kind: ground}\n"
                             "wires:\n"
                             "  W1: {from: BAT.+, to: H1.1}\n"
                             "  W2: {from: BAT.+, to: H2.1}\n"
                             "  W3: {from: H2.2, to: G1}\n"
                             "  W4: {from: BAT.-, to: G0}\n"
                             "points:\n"
                             "  A: {at: H1.2}\n"
                             "  B: {at: H2.1}\n";

/* Kuphaldt, Lessons in Electric Circuits, vol. I, "Component failure analysis": no ground at all.
 */
static const char textbook[] = "backprobe: 1\n"
                               "id: series\n"
                               "title: Three resistors in series\n"
                               "parts:\n"
                               "  V1: {kind: source, emf: 9 V}\n"
                               "  R1: {kind: resistor, resistance: 100 ohm}\n"
                               "  R2: {kind: resistor, resistance: 300 ohm}\n"
                               "  R3: {kind: resistor, resistance: 50 ohm}\n"
                               "wires:\n"
                               "  W1: {from: V1.+, to: R1.1}\n"
                               "  W2: {from: R1.2, to: R2.1}\n"
                               "  W3: {from: R2.2, to: R3.1}\n"
                               "  W4: {from: R3.2, to: V1.-}\n"
                               "points:\n"
                               "  A: {at: R1.2}\n"
                               "  B: {at: R2.2}\n";

/* Six lamps behind six switches, fuses and plugs: thirty-odd parts, nobody laid them out. */
static bp_circuit *lamps(size_t n) {
    bp_report *report = bp_report_new();
    bp_circuit *c = bp_circuit_new("lamps", report);
    bp_circuit_part(c, "BAT", "battery");
    bp_circuit_part(c, "J0", "splice");
    bp_circuit_part(c, "G0", "ground");
    bp_circuit_part(c, "G1", "ground");
    bp_circuit_wire(c, "W0", "BAT.+", "J0");
    bp_circuit_wire(c, "WG", "BAT.-", "G0");
    for (size_t i = 1; i <= n; i++) {
        char id[5][16], pin[8][64];
        static const char *const kinds[] = {"fuse", "switch", "connector", "lamp"};
        static const char letters[] = "FSCH";
        for (size_t k = 0; k < 4; k++) {
            snprintf(id[k], sizeof id[k], "%c%zu", letters[k], i);
            bp_circuit_part(c, id[k], kinds[k]);
            snprintf(pin[2 * k], sizeof pin[0], k == 2 ? "%s.a1" : "%s.1", id[k]);
            snprintf(pin[2 * k + 1], sizeof pin[0], k == 2 ? "%s.b1" : "%s.2", id[k]);
        }
        bp_circuit_set(c, id[0], "rating", "10 A");
        bp_circuit_set(c, id[2], "cavities", "1");
        bp_circuit_set(c, id[3], "power", "21 W");
        bp_circuit_position(c, id[1], "off", NULL, 0);
        bp_circuit_position(c, id[1], "on", (const char *const[]){"1", "2"}, 1);
        const char *const from[] = {"J0", pin[1], pin[3], pin[5], pin[7]};
        const char *const to[] = {pin[0], pin[2], pin[4], pin[6], "G1"};
        for (size_t k = 0; k < 5; k++) {
            snprintf(id[4], sizeof id[4], "W%zu", 10 * i + k);
            bp_circuit_wire(c, id[4], from[k], to[k]);
            bp_circuit_set(c, id[4], "colour", "GN/YE");
            bp_circuit_set(c, id[4], "size", "1.5 mm2");
            bp_circuit_set(c, id[4], "length", "2 m");
        }
        snprintf(id[4], sizeof id[4], "P%zu", i);
        bp_circuit_point(c, id[4], pin[6]);
    }
    assert_int_equal(bp_circuit_finish(c), BP_OK);
    bp_report_free(&report);
    return c;
}

/* Readings of the usual width on all points, some out of range. */
static bp_tag *made_tags(const bp_circuit *circuit, int lines) {
    bp_tag *tags = calloc(circuit->n_points + 1, sizeof *tags);
    assert_non_null(tags);
    for (size_t i = 0; i < circuit->n_points; i++)
        tags[i] =
            (bp_tag){"12.43 V", lines > 1 ? "11.06 V" : NULL, lines > 1 ? (int)(i % 3) - 1 : 0};
    return tags;
}

static bp_schematic *draw(const bp_circuit *circuit, bp_canvas *canvas, int lines,
                          const bp_fault_case *faults) {
    bp_schematic *s = bp_schematic_new(circuit, canvas, page_width, page_height, lines, false);
    assert_non_null(s);
    bp_tag *tags = made_tags(circuit, lines);
    bp_schematic_draw(s, canvas, 36, 60, &(bp_schematic_view){NULL, tags, faults});
    free(tags);
    return s;
}

static void check_drawn(const bp_circuit *circuit, int lines, const bp_fault_case *faults,
                        const char *what) {
    bp_canvas *canvas = bp_canvas_new(NULL, BP_PAPER_A4, "schematic", NULL);
    bp_schematic *s = draw(circuit, canvas, lines, faults);
    assert_int_equal(bp_extents_faults(canvas, what), 0);
    assert_int_equal(s->lost, 0);
    if (s->unlabelled)
        fail_msg("%s, %d readings: %zu wires without a name", what, lines, s->unlabelled);
    assert_int_equal(s->plan.n_flags, circuit->n_points);
    bp_box size = bp_schematic_size(s);
    assert_true(size.w <= page_width + 0.01 && size.h <= page_height + 0.01);
    assert_true(size.w > 50 && size.h > 50);
    bp_schematic_free(&s);
    bp_canvas_free(&canvas);
}

static const char *const library[] = {"fuel-pump", "wiper", "cooling-fans", "ignition-coil"};
enum { N_LIBRARY = sizeof library / sizeof library[0] };

static void test_library_healthy(void **state) {
    (void)state;
    for (size_t i = 0; i < N_LIBRARY; i += SWEEP_CIRCUITS) {
        bp_circuit *circuit = load_library(library[i]);
        check_drawn(circuit, 1, NULL, library[i]);
        check_drawn(circuit, 2, NULL, library[i]);
        bp_circuit_free(&circuit);
    }
}

/* Every connection of every circuit is drawn: parts of several heights in one housing, too. */
static void test_library_is_joined(void **state) {
    (void)state;
    bp_listing *list = NULL;
    size_t n = 0;
    bp_report *report = bp_report_new();
    assert_int_equal(bp_list_circuits(&list, &n, report), BP_OK);
    assert_true(n >= N_LIBRARY);
    for (size_t i = 0; i < n; i += SWEEP_CIRCUITS) {
        bp_circuit *circuit = NULL;
        assert_int_equal(bp_load_file(list[i].path, &circuit, report), BP_OK);
        bp_canvas *measure = bp_canvas_new(NULL, BP_PAPER_A4, "measure", NULL);
        bp_schematic *s = bp_schematic_new(circuit, measure, page_width, page_height, 1, false);
        assert_non_null(s);
        if (s->lost)
            fail_msg("%s: %zu connections are not drawn", list[i].path, s->lost);
        bp_schematic_free(&s);
        bp_canvas_free(&measure);
        bp_circuit_free(&circuit);
    }
    bp_listing_free(&list, n);
    bp_report_free(&report);
}

/* Every twelfth fault of each circuit, each marked and named on the drawing. */
static void test_library_faults(void **state) {
    (void)state;
    for (size_t i = 0; i < N_LIBRARY; i += SWEEP_CIRCUITS) {
        bp_circuit *circuit = load_library(library[i]);
        bp_canvas *measure = bp_canvas_new(NULL, BP_PAPER_A4, "measure", NULL);
        bp_schematic *s = bp_schematic_new(circuit, measure, page_width, page_height, 2, false);
        bp_tag *tags = made_tags(circuit, 2);
        bp_fault_row *rows;
        size_t n;
        assert_int_equal(bp_fault_list(circuit, &rows, &n), BP_OK);
        for (size_t k = 0; k < n; k += 12 * SWEEP_STEP) {
            bp_fault_case one = {.fault = {rows[k].fault}, .n = 1};
            char what[160];
            bp_fault_write(circuit, &one, what, sizeof what);
            bp_canvas *canvas = bp_canvas_new(NULL, BP_PAPER_A4, "faults", NULL);
            bp_schematic_draw(s, canvas, 36, 60, &(bp_schematic_view){NULL, tags, NULL});
            size_t healthy = bp_ledger_count(canvas);
            bp_schematic_draw(s, canvas, 36, 60, &(bp_schematic_view){NULL, tags, &one});
            /* The second drawing has its words besides. */
            if (bp_ledger_count(canvas) <= 2 * healthy)
                fail_msg("%s: no words for %s", library[i], what);
            bp_canvas_free(&canvas);
            canvas = bp_canvas_new(NULL, BP_PAPER_A4, "faults", NULL);
            bp_schematic_draw(s, canvas, 36, 60, &(bp_schematic_view){NULL, tags, &one});
            assert_int_equal(bp_extents_faults(canvas, what), 0);
            bp_canvas_free(&canvas);
        }
        free(rows);
        free(tags);
        bp_schematic_free(&s);
        bp_canvas_free(&measure);
        bp_circuit_free(&circuit);
    }
}

static bool lies_inside(bp_box inner, bp_box outer) {
    const double rounding = 0.01; /* points */
    return inner.x >= outer.x - rounding && inner.y >= outer.y - rounding &&
           inner.x + inner.w <= outer.x + outer.w + rounding &&
           inner.y + inner.h <= outer.y + outer.h + rounding;
}

/* Draws one fault; all ink stays inside the size that the schematic says it takes. */
static void check_inside(const bp_schematic *s, const bp_tag *tags, const bp_fault_case *fault,
                         const char *what) {
    const double x = 36, y = 60;
    bp_box size = bp_schematic_size(s), room = {x, y, size.w, size.h};
    bp_canvas *canvas = bp_canvas_new(NULL, BP_PAPER_A4, "inside", NULL);
    bp_schematic_draw(s, canvas, x, y, &(bp_schematic_view){NULL, tags, fault});
    bp_box ink = bp_canvas_inked(canvas, 0);
    assert_true(ink.w > 0);
    if (!lies_inside(ink, room))
        fail_msg("%s: ink from (%.2f, %.2f) to (%.2f, %.2f) of %.2f x %.2f", what, ink.x - x,
                 ink.y - y, ink.x + ink.w - x, ink.y + ink.h - y, size.w, size.h);
    for (size_t i = 0; i < bp_ledger_count(canvas); i++) {
        const bp_ledger_entry *entry = bp_ledger_at(canvas, i);
        if (!lies_inside(entry->box, room))
            fail_msg("%s: \"%s\" lies outside the drawing", what, entry->label);
    }
    bp_canvas_free(&canvas);
}

/* Every fault of every wire and ground, at the widths of both papers. */
static void test_faults_stay_inside(void **state) {
    (void)state;
    static const double rooms[][2] = {{523, 700}, {540, 700}};
    for (size_t i = 0; i < 2 * N_LIBRARY; i += SWEEP_CIRCUITS) {
        const double *room = rooms[i % 2];
        bp_circuit *circuit = load_library(library[i / 2]);
        bp_canvas *measure = bp_canvas_new(NULL, BP_PAPER_A4, "measure", NULL);
        bp_schematic *s = bp_schematic_new(circuit, measure, room[0], room[1], 2, false);
        assert_non_null(s);
        bp_tag *tags = made_tags(circuit, 2);
        bp_fault_row *rows;
        size_t n, drawn = 0;
        assert_int_equal(bp_fault_list(circuit, &rows, &n), BP_OK);
        for (size_t k = 0; k < n; k++) {
            const bp_kind *kind = circuit->parts[rows[k].fault.part].kind;
            if (kind != &bp_kind_wire && kind != &bp_kind_ground)
                continue;
            bp_fault_case one = {.fault = {rows[k].fault}, .n = 1};
            char what[160];
            bp_fault_write(circuit, &one, what, sizeof what);
            check_inside(s, tags, &one, what);
            drawn++;
        }
        assert_true(drawn > 0);
        free(rows);
        free(tags);
        bp_schematic_free(&s);
        bp_canvas_free(&measure);
        bp_circuit_free(&circuit);
    }
}

static double block_y(const bp_schematic *s, const char *id) {
    size_t part = bp_part_find(s->plan.circuit, id);
    for (size_t b = 0; b < s->plan.n_blocks; b++)
        if (s->plan.blocks[b].part == part)
            return s->plan.blocks[b].y;
    fail_msg("%s is not drawn", id);
    return 0;
}

/* Feed above, ground below, and the relay in the row that the layout gives it. */
static void test_horn_reads_from_feed_to_ground(void **state) {
    (void)state;
    bp_circuit *circuit = load_text(horn);
    check_drawn(circuit, 1, NULL, "horn");
    check_drawn(circuit, 2, NULL, "horn");
    bp_canvas *canvas = bp_canvas_new(NULL, BP_PAPER_A4, "horn", NULL);
    bp_schematic *s = draw(circuit, canvas, 2, NULL);
    static const char *const down[] = {"F4", "K2", "C12", "H1", "G3"};
    for (size_t i = 0; i + 1 < sizeof down / sizeof down[0]; i++)
        assert_true(block_y(s, down[i]) < block_y(s, down[i + 1]));
    assert_true(s->plan.rail_y < block_y(s, "F4"));
    assert_true(block_y(s, "K2") < block_y(s, "S1") && block_y(s, "S1") < block_y(s, "G3"));
    bp_schematic_free(&s);
    bp_canvas_free(&canvas);
    bp_circuit_free(&circuit);
}

/* Two pins that `joins` makes one have one place on the drawing for their point's tag. */
static void test_point_on_joined_pins(void **state) {
    (void)state;
    static const char *const ends[] = {
        "joins: [H1.2, H2.2]\n",
    };
    for (size_t i = 0; i < sizeof ends / sizeof ends[0]; i++) {
        char text[1200];
        snprintf(text, sizeof text, "%s%s", joined, ends[i]);
        bp_circuit *circuit = load_text(text);
        check_drawn(circuit, 1, NULL, "joined"); /* as many tags as points */
        check_drawn(circuit, 2, NULL, "joined");
        bp_circuit_free(&circuit);
    }
}

static void test_textbook_circuit(void **state) {
    (void)state;
    bp_circuit *circuit = load_text(textbook);
    check_drawn(circuit, 1, NULL, "textbook");
    bp_circuit_free(&circuit);
}

/* Nobody laid it out; more of them than the page is wide are shrunk, not dropped. */
static void test_large_circuits(void **state) {
    (void)state;
    static const size_t sizes[] = {1, 4, 7};
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        bp_circuit *circuit = lamps(sizes[i]);
        check_drawn(circuit, 2, NULL, "lamps");
        bp_circuit_free(&circuit);
    }
}

/* Rows and columns of a layout: three parts in a row of their own, in the order of the columns. */
static void test_layout_is_obeyed(void **state) {
    (void)state;
    bp_report *report = bp_report_new();
    bp_circuit *c = bp_circuit_new("placed", report);
    bp_circuit_part(c, "V1", "source");
    bp_circuit_set(c, "V1", "emf", "12 V");
    static const char *const ids[] = {"R1", "R2", "R3"};
    for (size_t i = 0; i < 3; i++) {
        char from[16], to[16], wire[16];
        bp_circuit_part(c, ids[i], "resistor");
        bp_circuit_set(c, ids[i], "resistance", "10 ohm");
        snprintf(from, sizeof from, "%s.1", ids[i]);
        snprintf(to, sizeof to, "%s.2", ids[i]);
        snprintf(wire, sizeof wire, "A%zu", i);
        bp_circuit_wire(c, wire, "V1.+", from);
        snprintf(wire, sizeof wire, "B%zu", i);
        bp_circuit_wire(c, wire, to, "V1.-");
    }
    bp_circuit_place(c, "R1", 3, 2, 0);
    bp_circuit_place(c, "R2", 1, 2, 0);
    bp_circuit_place(c, "R3", 2, 1, 90);
    assert_int_equal(bp_circuit_finish(c), BP_OK);
    bp_report_free(&report);
    bp_canvas *canvas = bp_canvas_new(NULL, BP_PAPER_A4, "placed", NULL);
    bp_schematic *s = draw(c, canvas, 1, NULL);
    assert_int_equal(bp_extents_faults(canvas, "placed"), 0);
    assert_true(block_y(s, "R1") == block_y(s, "R2"));
    assert_true(block_y(s, "R3") < block_y(s, "R1"));
    const bp_plan *plan = &s->plan;
    double x[3] = {0};
    int turn = 0;
    for (size_t b = 0; b < plan->n_blocks; b++)
        for (size_t i = 0; i < 3; i++)
            if (strcmp(bp_block_part(plan, b)->id, ids[i]) == 0) {
                x[i] = plan->blocks[b].x;
                turn = i == 2 ? plan->blocks[b].turn : turn;
            }
    assert_true(x[1] < x[0]);
    assert_int_equal(turn, 90);
    bp_schematic_free(&s);
    bp_canvas_free(&canvas);
    bp_circuit_free(&c);
}

/* The same circuit is drawn the same way every time, to the last entry. */
static void test_drawing_is_repeatable(void **state) {
    (void)state;
    bp_circuit *circuit = load_library("cooling-fans");
    bp_canvas *canvas[2];
    for (int i = 0; i < 2; i++) {
        canvas[i] = bp_canvas_new(NULL, BP_PAPER_A4, "twice", NULL);
        bp_schematic *s = draw(circuit, canvas[i], 2, NULL);
        bp_schematic_free(&s);
    }
    size_t n = bp_ledger_count(canvas[0]);
    assert_int_equal(n, bp_ledger_count(canvas[1]));
    assert_true(n > 100);
    for (size_t i = 0; i < n; i++) {
        const bp_ledger_entry *a = bp_ledger_at(canvas[0], i), *b = bp_ledger_at(canvas[1], i);
        assert_true(a->box.x == b->box.x && a->box.y == b->box.y && a->box.w == b->box.w &&
                    a->box.h == b->box.h);
        assert_string_equal(a->label, b->label);
    }
    bp_canvas_free(&canvas[0]);
    bp_canvas_free(&canvas[1]);
    bp_circuit_free(&circuit);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_library_healthy),
        cmocka_unit_test(test_library_is_joined),
        cmocka_unit_test(test_library_faults),
        cmocka_unit_test(test_faults_stay_inside),
        cmocka_unit_test(test_horn_reads_from_feed_to_ground),
        cmocka_unit_test(test_point_on_joined_pins),
        cmocka_unit_test(test_textbook_circuit),
        cmocka_unit_test(test_large_circuits),
        cmocka_unit_test(test_layout_is_obeyed),
        cmocka_unit_test(test_drawing_is_repeatable),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
