/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Wires against published copper tables, cable standards and circuits worked by hand.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <math.h>
#include <stdio.h>

#include "tests/sim/desk.h"

/* Ohms of one wire, from the drop across it and the current through 1 ohm behind it. */
static double wire_ohm(const char *size, const char *length, const char *place, double engine) {
    desk d;
    char wires[200];
    snprintf(wires, sizeof wires,
             "W1: {from: B.+, to: R.1, size: %s, length: %s%s}, W2: {from: R.2, to: B.-}", size,
             length, place);
    desk_set(&d, "B: {kind: source, emf: 20 V}, R: {kind: resistor, resistance: 1 ohm}", wires,
             NULL);
    d.question.engine = engine;
    double drop = desk_volts(&d, NULL, NULL, "B.+", "R.1");
    double current = desk_volts(&d, NULL, NULL, "R.1", "R.2") / 1;
    desk_clear(&d);
    return drop / current;
}

/* NBS Handbook 100, Copper Wire Tables (1966): ohm per 1000 ft of solid copper at 20 degC. */
static void test_gauges(void **state) {
    (void)state;
    static const struct {
        const char *size;
        double ohm;
    } table[] = {{"10 AWG", 0.9988}, {"12 AWG", 1.5882}, {"14 AWG", 2.5254},
                 {"16 AWG", 4.0155}, {"18 AWG", 6.3849}, {"20 AWG", 10.152}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        desk_near(wire_ohm(table[i].size, "1000 ft", "", NAN), table[i].ohm, 5e-4 * table[i].ohm,
                  table[i].size);
}

/* A wire of good copper lies under the limits of both standards, and no wire can lie far under
 * them: IEC 60228 class 5, plain copper, ohm/km at 20 degC; ISO 6722-1, mohm/m, from memory. */
static void test_cable_standards(void **state) {
    (void)state;
    static const struct {
        const char *size;
        double iec, iso; /* 0: not in the list at hand */
    } table[] = {{"0.35 mm2", 0, 54.4}, {"0.5 mm2", 39.0, 37.1}, {"0.75 mm2", 26.0, 24.7},
                 {"1 mm2", 19.5, 18.5}, {"1.5 mm2", 13.3, 12.7}, {"2.5 mm2", 7.98, 7.60},
                 {"4 mm2", 4.95, 4.71}, {"6 mm2", 3.30, 3.14},   {"10 mm2", 1.91, 1.82},
                 {"16 mm2", 1.21, 1.16}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        double ohm = wire_ohm(table[i].size, "1000 m", "", NAN);
        desk_near(ohm, 0.92 * table[i].iso, 0.08 * table[i].iso, "ISO 6722-1");
        if (table[i].iec > 0)
            desk_near(ohm, 0.90 * table[i].iec, 0.10 * table[i].iec, "IEC 60228 class 5");
    }
}

/* FAA AC 43.13-1B tables 11-7 and 11-8: drops at 20 A. The handbook's ohms per foot are those of
 * stranded tinned aircraft cable, up to a fifth above bare solid copper of that gauge. */
static void test_aircraft_drops(void **state) {
    (void)state;
    static const struct {
        const char *size, *length;
        double drop;
    } table[] = {{"6 AWG", "107 ft", 0.942}, {"4 AWG", "90 ft", 0.504}, {"14 AWG", "100 ft", 6.12}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        desk_near(20 * wire_ohm(table[i].size, table[i].length, "", NAN), 0.9 * table[i].drop,
                  0.1 * table[i].drop, table[i].size);
}

/* 10 m of 1.5 mm2: 17.241e-3 * 10 / 1.5 = 114.94 mohm at 20 degC; by an engine of 100 degC
 * 1 + 0.00393 * 80 = 1.3144 times that (IACS). The cabin's wire does not mind the engine. */
static void test_temperature(void **state) {
    (void)state;
    double cold = wire_ohm("1.5 mm2", "10 m", "", 100);
    desk_near(cold, 0.11494, 1e-5, "in the cabin");
    desk_near(wire_ohm("1.5 mm2", "10 m", ", place: engine", 100) / cold, 1.3144, 1e-3,
              "beside the engine");
}

/* 12 V behind 50 mohm, W1 1.5 m of 1.5 mm2 = 17.241 mohm, load 2 ohm. The other wires are ideal. */
static void feed_circuit(desk *d) {
    desk_set(d,
             "B: {kind: source, emf: 12 V, resistance: 0.05 ohm}, "
             "R: {kind: resistor, resistance: 2 ohm}, G: {kind: ground, resistance: 1e-6 ohm}",
             "W1: {from: B.+, to: R.1, size: 1.5 mm2, length: 1.5 m}, W2: {from: R.2, to: B.-}, "
             "W3: {from: B.-, to: G}",
             NULL);
}

static void test_feed_faults(void **state) {
    (void)state;
    desk d;
    feed_circuit(&d);
    /* 12 * 2 / (0.05 + 0.017241 + 2) = 11.6097 */
    desk_near(desk_volts(&d, NULL, NULL, "R.1", "R.2"), 11.6097, 1e-3, "healthy");
    desk_near(desk_volts(&d, NULL, "W1:open", "R.1", "R.2"), 0, 1e-3, "open");
    desk_near(desk_volts(&d, NULL, "W1:open", "B.+", "R.2"), 12, 1e-3, "open, before it");
    /* 12 * 2 / 3.067241 = 7.8246 */
    desk_near(desk_volts(&d, NULL, "W1:resistance=1ohm", "R.1", "R.2"), 7.8246, 1e-3, "1 ohm");
    /* Shorted in its middle by 20 mohm: 0.02 beside 0.0086205 + 2 is 0.0198028; in all
     * 0.05 + 0.0086205 + 0.0198028 = 0.0784233, so 153.016 A; 12 - 7.6508 = 4.3492 before the wire
     * and 153.016 * 0.0198028 * 2 / 2.0086205 = 3.0172 behind it. */
    const char *fault = "W1:short-to-ground=20mohm";
    double current;
    desk_near(desk_volts(&d, NULL, fault, "B.+", "B.-"), 4.3492, 2e-3, "shorted, before");
    desk_near(desk_volts(&d, NULL, fault, "R.1", "B.-"), 3.0172, 2e-3, "shorted, behind");
    assert_string_equal(desk_says(&d, NULL, fault, "W1", &current), "overheats");
    desk_near(current, 153.016, 0.1, "current in the shorted wire");
    assert_string_equal(desk_says(&d, NULL, NULL, "W1", NULL), "");
    desk_clear(&d);
}

/* A switch on the ground side: released, the load floats at the feed; a short to feed on its wire
 * changes nothing until the switch is pressed, and then shorts the supply: 12 V behind 50 mohm,
 * 20 mohm in the short, half of 17.241 mohm on, 10 mohm in the switch and its pins. */
static void test_short_to_feed(void **state) {
    (void)state;
    desk d;
    desk_set(&d,
             "B: {kind: source, emf: 12 V, resistance: 0.05 ohm}, "
             "R: {kind: resistor, resistance: 2 ohm}, S: {kind: switch, resistance: 10 mohm, "
             "positions: {released: [], pressed: [[1, 2]]}}",
             "W1: {from: B.+, to: R.1}, W2: {from: R.2, to: S.1, size: 1.5 mm2, length: 1.5 m}, "
             "W3: {from: S.2, to: B.-}",
             "released: {}, pressed: {S: pressed}");
    const char *fault = "W2:short-to-feed=20mohm";
    desk_near(desk_volts(&d, "released", fault, "R.2", "B.-"), 12, 2e-3, "released");
    desk_near(desk_volts(&d, "released", NULL, "R.2", "B.-"), 12, 2e-3, "released, healthy");
    double load = desk_volts(&d, "pressed", fault, "R.1", "R.2");
    double supply = desk_volts(&d, "pressed", fault, "B.+", "B.-");
    /* The load and its short carry the same volts: 20 of the 70 mohm before the middle. */
    desk_near(load / (12 - supply), 20.0 / 50.0, 0.01, "what is left for the load");
    /* Nearly all goes past the load: 12 / (0.05 + 0.02 + 0.0086 + 0.01 and two pins). */
    assert_true((12 - supply) / 0.05 > 110);
    assert_string_equal(desk_says(&d, "pressed", fault, "W2", NULL), "overheats");
    desk_clear(&d);
}

/* W1 and W3 chafe together by 50 mohm in their middles. Half a wire is 8.6205 mohm, each load 2
 * ohm, the source ideal. R1's way is 2.0086205, R2's 2.0586205 ohm, together 1.016657; with the
 * first half 1.0252775 ohm and 11.7041 A: 11.8991 V in the middle of W1, 11.8991 * 2 / 2.0586205 =
 * 11.5602 V at the load that should be off. In one loom it is in the list of faults; any other two
 * wires can be shorted just the same. */
static void test_short_to_another(void **state) {
    (void)state;
    static const char *const looms[] = {", loom: L1", ""};
    for (size_t i = 0; i < 2; i++) {
        desk d;
        char wires[600];
        snprintf(wires, sizeof wires,
                 "W1: {from: B.+, to: R1.1, size: 1.5 mm2, length: 1.5 m%s}, "
                 "W2: {from: B.+, to: S.1}, "
                 "W3: {from: S.2, to: R2.1, size: 1.5 mm2, length: 1.5 m%s}, "
                 "W4: {from: R1.2, to: B.-}, W5: {from: R2.2, to: B.-}",
                 looms[i], looms[i]);
        desk_set(&d,
                 "B: {kind: source, emf: 12 V}, R1: {kind: resistor, resistance: 2 ohm}, "
                 "R2: {kind: resistor, resistance: 2 ohm}, "
                 "S: {kind: switch, positions: {released: [], pressed: [[1, 2]]}}",
                 wires, NULL);
        desk_near(desk_volts(&d, NULL, NULL, "R2.1", NULL), 0, 1e-3, "healthy");
        desk_near(desk_volts(&d, NULL, "W1:short-to=W3,50mohm", "R2.1", NULL), 11.5602, 1e-3,
                  "short to the other wire");
        desk_near(desk_volts(&d, NULL, "W3:short-to=W1,50mohm", "R2.1", NULL), 11.5602, 1e-3,
                  "named the other way round");
        desk_clear(&d);
    }
}

/* Wires without size and length have no resistance, and the same faults. 12 V behind 50 mohm,
 * W1 sized as before, W2 ideal: 12 * 2 / 3.067241 = 7.8246. A short to ground of W2, which is at
 * ground, does nothing but that a faulty ideal wire counts as 1 mohm: 12 * 2 / 2.068241 = 11.6041.
 */
static void test_ideal(void **state) {
    (void)state;
    desk d;
    feed_circuit(&d);
    desk_near(desk_volts(&d, NULL, "W2:resistance=1ohm", "R.1", "R.2"), 7.8246, 5e-3, "1 ohm");
    desk_near(desk_volts(&d, NULL, "W2:resistance=1ohm", "R.2", "B.-"), 7.8246 / 2, 5e-3,
              "its drop");
    desk_near(desk_volts(&d, NULL, "W2:open", "R.2", "B.-"), 12, 1e-3, "open");
    desk_near(desk_volts(&d, NULL, "W2:short-to-ground=20mohm", "R.1", "R.2"), 11.6041, 1e-3,
              "short of a ground wire");
    desk_clear(&d);
}

/* 1.5 mm2 in free air carries 24 A at 30 degC for 40 K (DIN VDE 0298-4, from memory): from 20 degC
 * to the 100 degC of its insulation 24 * sqrt(80 / 40) = 33.9 A. */
static void test_overheating(void **state) {
    (void)state;
    static const struct {
        const char *load, *says;
    } table[] = {{"0.4 ohm", ""}, {"0.3 ohm", "overheats"}};
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        desk d;
        char parts[200];
        snprintf(parts, sizeof parts,
                 "B: {kind: source, emf: 12 V}, R: {kind: resistor, resistance: %s}",
                 table[i].load);
        desk_set(&d, parts,
                 "W1: {from: B.+, to: R.1, size: 1.5 mm2, length: 0.1 m}, W2: {from: R.2, to: B.-}",
                 NULL);
        assert_string_equal(desk_says(&d, NULL, NULL, "W1", NULL), table[i].says);
        desk_clear(&d);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_gauges),           cmocka_unit_test(test_cable_standards),
        cmocka_unit_test(test_aircraft_drops),   cmocka_unit_test(test_temperature),
        cmocka_unit_test(test_feed_faults),      cmocka_unit_test(test_short_to_feed),
        cmocka_unit_test(test_short_to_another), cmocka_unit_test(test_ideal),
        cmocka_unit_test(test_overheating)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
