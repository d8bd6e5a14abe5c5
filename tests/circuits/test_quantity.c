/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Numbers with units: read, refused, written.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <locale.h>
#include <math.h>
#include <string.h>

#include <backprobe/quantity.h>

static double parsed(const char *text, bp_unit unit) {
    char why[300] = "";
    double value;
    if (bp_quantity_parse(text, unit, &value, why, sizeof why) != BP_OK)
        fail_msg("\"%s\": %s", text, why);
    return value;
}

/* The value is exactly the double that a person means, not one that came out of a multiplication.
 */
static void values_are_read_exactly(void **state) {
    (void)state;
    static const struct {
        const char *text;
        bp_unit unit;
        double value;
    } rows[] = {
        {"12.6 V", BP_UNIT_VOLT, 12.6},
        {"12.6V", BP_UNIT_VOLT, 12.6},
        {"  85 ohm ", BP_UNIT_OHM, 85},
        {"0.5ohm", BP_UNIT_OHM, 0.5},
        {"4.7 k\u03a9", BP_UNIT_OHM, 4700},
        {"4.7 k\u2126", BP_UNIT_OHM, 4700},
        {"1 Mohm", BP_UNIT_OHM, 1e6},
        {"1 mohm", BP_UNIT_OHM, 1e-3},
        {"25 uF", BP_UNIT_FARAD, 25e-6},
        {"25 \u00b5F", BP_UNIT_FARAD, 25e-6},
        {"25 \u03bcF", BP_UNIT_FARAD, 25e-6},
        {"6.5 mH", BP_UNIT_HENRY, 6.5e-3},
        {"470 pF", BP_UNIT_FARAD, 470e-12},
        {"2.5 mm2", BP_UNIT_AREA, 2.5e-6},
        {"2.5 mm\u00b2", BP_UNIT_AREA, 2.5e-6},
        {"30 cm", BP_UNIT_METRE, 0.3},
        {"7 mm", BP_UNIT_METRE, 7e-3},
        {"90 %", BP_UNIT_FRACTION, 0.9},
        {"800 rev/min", BP_UNIT_RPM, 800},
        {"800 rpm", BP_UNIT_RPM, 800},
        {"2 s", BP_UNIT_SECOND, 2},
        {"20 ms", BP_UNIT_SECOND, 0.02},
        {"3 min", BP_UNIT_SECOND, 180},
        {"2 h", BP_UNIT_SECOND, 7200},
        {"70 Ah", BP_UNIT_AMPERE_HOUR, 70},
        {"70 A h", BP_UNIT_AMPERE_HOUR, 70},
        {"-18 degC", BP_UNIT_CELSIUS, -18},
        {"95 \u00b0C", BP_UNIT_CELSIUS, 95},
        {"1.5e3 W", BP_UNIT_WATT, 1500},
        {"+.5 A", BP_UNIT_AMPERE, 0.5},
        {"4", BP_UNIT_NONE, 4},
        {"1.25", BP_UNIT_NONE, 1.25},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (parsed(rows[i].text, rows[i].unit) != rows[i].value)
            fail_msg("%s is read as %.17g", rows[i].text, parsed(rows[i].text, rows[i].unit));
}

/* ISO 80000-3: 1 ft = 0.3048 m, 1 in = 25.4 mm exactly. Fixed points of the temperature scales:
 * water freezes at 32 degF and boils at 212 degF, -40 is the same on both, 0 degC is 273.15 K. */
static void other_units_are_converted(void **state) {
    (void)state;
    assert_true(fabs(parsed("4 ft", BP_UNIT_METRE) - 1.2192) < 1e-15);
    assert_true(fabs(parsed("10 in", BP_UNIT_METRE) - 0.254) < 1e-15);
    assert_true(fabs(parsed("32 degF", BP_UNIT_CELSIUS)) < 1e-12);
    assert_true(fabs(parsed("212 degF", BP_UNIT_CELSIUS) - 100) < 1e-12);
    assert_true(fabs(parsed("-40 \u00b0F", BP_UNIT_CELSIUS) + 40) < 1e-12);
    assert_true(fabs(parsed("203 degF", BP_UNIT_CELSIUS) - 95) < 1e-12);
    assert_true(fabs(parsed("273.15 K", BP_UNIT_CELSIUS)) < 1e-12);
}

/* Ohm per 1000 ft at 20 degC of NBS Handbook 100, Copper Wire Tables (1966), with its 1.7241e-8 ohm
 * m: the area is what turns the one into the other. The table has five figures. */
static void wire_gauges_have_the_areas_of_the_copper_wire_tables(void **state) {
    (void)state;
    static const struct {
        const char *text;
        double ohm_per_1000_ft;
    } rows[] = {{"10 AWG", 0.9988}, {"12 AWG", 1.5882}, {"14 AWG", 2.5254},
                {"16 AWG", 4.0155}, {"18 AWG", 6.3849}, {"20 AWG", 10.152}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double ohm = 1.7241e-8 * 304.8 / parsed(rows[i].text, BP_UNIT_AREA);
        if (fabs(ohm / rows[i].ohm_per_1000_ft - 1) > 5e-4)
            fail_msg("%s has %.5g ohm a 1000 ft", rows[i].text, ohm);
    }
    /* ASTM B258 fixes two diameters: 4/0 is 0.4600 in, 36 is 0.0050 in (from memory). */
    const double inch = 0.0254, quarter_turn = acos(-1) / 4;
    assert_true(fabs(parsed("4/0 AWG", BP_UNIT_AREA) / (quarter_turn * 0.46 * 0.46 * inch * inch) -
                     1) < 1e-12);
    assert_true(fabs(parsed("36AWG", BP_UNIT_AREA) / (quarter_turn * 0.005 * 0.005 * inch * inch) -
                     1) < 1e-12);
    assert_true(parsed("1/0 AWG", BP_UNIT_AREA) == parsed("0 AWG", BP_UNIT_AREA));
}

static void what_is_no_value_is_refused_with_a_reason(void **state) {
    (void)state;
    static const struct {
        const char *text;
        bp_unit unit;
        const char *why;
    } rows[] = {
        {"nan", BP_UNIT_OHM, "not a number"},
        {"inf", BP_UNIT_OHM, "not a number"},
        {"nan ohm", BP_UNIT_OHM, "not a number"},
        {"0x10 ohm", BP_UNIT_OHM, "unknown unit"},
        {"1e999 V", BP_UNIT_VOLT, "too large"},
        {"1e-999 V", BP_UNIT_VOLT, "too small"},
        {"1e308 kV", BP_UNIT_VOLT, "too large"},
        {"", BP_UNIT_VOLT, "no value"},
        {"12", BP_UNIT_VOLT, "no unit"},
        {"12,6 V", BP_UNIT_VOLT, "full stop"},
        {"12 A", BP_UNIT_VOLT, "in ampere"},
        {"V", BP_UNIT_VOLT, "not a number"},
        {"1..2 V", BP_UNIT_VOLT, "unknown unit"},
        {"--1 V", BP_UNIT_VOLT, "not a number"},
        {"12 v", BP_UNIT_VOLT, "unknown unit"},
        {"1 KOhm", BP_UNIT_OHM, "unknown unit"},
        {"1 kAWG", BP_UNIT_AREA, "unknown unit"},
        {"41 AWG", BP_UNIT_AREA, "wire gauge"},
        {"5/0 AWG", BP_UNIT_AREA, "unknown unit"},
        {"18.5 AWG", BP_UNIT_AREA, "wire gauge"},
        {"5 V", BP_UNIT_NONE, "bare number"},
        {"0.9", BP_UNIT_FRACTION, "no unit"},
        {"1 m%", BP_UNIT_FRACTION, "unknown unit"},
        {"5 cV", BP_UNIT_VOLT, "unknown unit"},
        {"5 V;quit", BP_UNIT_VOLT, "unknown unit"},
        {"5 kmin", BP_UNIT_SECOND, "unknown unit"},
        {"1e1 2 V", BP_UNIT_VOLT, "unknown unit"},
        {"`1` V", BP_UNIT_VOLT, "not a number"},
        {"1e+ V", BP_UNIT_VOLT, "unknown unit"},
        {".", BP_UNIT_NONE, "not a number"},
        {"11111111111111111111111111111111111111111111111111111111111111111 V", BP_UNIT_VOLT,
         "too long"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char why[300] = "";
        double value = 42;
        bp_status status = bp_quantity_parse(rows[i].text, rows[i].unit, &value, why, sizeof why);
        if (status != BP_ERR_INPUT || !strstr(why, rows[i].why))
            fail_msg("\"%s\" gives %d, %g, \"%s\"", rows[i].text, (int)status, value, why);
        assert_true(value == 42 || strstr(why, "too "));
    }
}

static void values_are_written_as_a_person_would(void **state) {
    (void)state;
    static const struct {
        double value;
        bp_unit unit;
        int digits;
        const char *text;
    } rows[] = {
        {12.6, BP_UNIT_VOLT, 4, "12.6 V"},          {12.614, BP_UNIT_VOLT, 4, "12.61 V"},
        {0.0213, BP_UNIT_VOLT, 3, "21.3 mV"},       {0, BP_UNIT_VOLT, 3, "0 V"},
        {85, BP_UNIT_OHM, 3, "85 \u03a9"},          {0.4, BP_UNIT_OHM, 3, "0.4 \u03a9"},
        {10e6, BP_UNIT_OHM, 3, "10 M\u03a9"},       {1e12, BP_UNIT_OHM, 3, "1000 G\u03a9"},
        {999.96, BP_UNIT_OHM, 4, "1 k\u03a9"},      {0.09999, BP_UNIT_OHM, 3, "0.1 \u03a9"},
        {2.5e-6, BP_UNIT_AREA, 3, "2.5 mm\u00b2"},  {0.9, BP_UNIT_FRACTION, 2, "90 %"},
        {25e-6, BP_UNIT_FARAD, 3, "25 \u00b5F"},    {6.5e-3, BP_UNIT_HENRY, 3, "6.5 mH"},
        {1.8, BP_UNIT_METRE, 3, "1.8 m"},           {0.02, BP_UNIT_METRE, 3, "20 mm"},
        {95, BP_UNIT_CELSIUS, 3, "95 \u00b0C"},     {-17.5, BP_UNIT_CELSIUS, 3, "-17.5 \u00b0C"},
        {800, BP_UNIT_RPM, 3, "800 rev/min"},       {1.25, BP_UNIT_NONE, 3, "1.25"},
        {123456, BP_UNIT_RPM, 3, "123000 rev/min"}, {0.02, BP_UNIT_SECOND, 3, "20 ms"},
        {NAN, BP_UNIT_OHM, 3, "unknown"},           {INFINITY, BP_UNIT_OHM, 3, "unlimited"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[64];
        int length =
            bp_quantity_format(rows[i].value, rows[i].unit, rows[i].digits, text, sizeof text);
        assert_string_equal(text, rows[i].text);
        assert_int_equal(length, (int)strlen(text));
    }
    char small[5];
    assert_int_equal(bp_quantity_format(12.6, BP_UNIT_VOLT, 4, small, sizeof small), 6);
    assert_string_equal(small, "12.6");
}

/* The last digits of a measured value count: three significant ones, whatever they are. */
static void measured_values_keep_their_zeros(void **state) {
    (void)state;
    static const struct {
        double value;
        bp_unit unit;
        const char *text;
    } rows[] = {
        {5, BP_UNIT_VOLT, "5.00 V"},        {12.5, BP_UNIT_VOLT, "12.5 V"},
        {-8.9, BP_UNIT_VOLT, "-8.90 V"},    {380, BP_UNIT_VOLT, "380 V"},
        {0, BP_UNIT_AMPERE, "0 A"},         {0.14, BP_UNIT_AMPERE, "0.140 A"},
        {0.003, BP_UNIT_SECOND, "3.00 ms"}, {0.4, BP_UNIT_FRACTION, "40.0 %"},
        {72, BP_UNIT_HERTZ, "72.0 Hz"},     {1234, BP_UNIT_VOLT, "1.23 kV"},
        {NAN, BP_UNIT_VOLT, "unknown"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[64];
        const int length = bp_quantity_measured(rows[i].value, rows[i].unit, 3, text, sizeof text);
        assert_string_equal(text, rows[i].text);
        assert_int_equal(length, (int)strlen(text));
    }
}

/* Whatever is written is read back as the same double. */
static void written_values_read_back(void **state) {
    (void)state;
    static const double mantissas[] = {1, 2.5, 1.0 / 3, 7.77, 9.999999999999, 0.1 + 0.2};
    for (int unit = BP_UNIT_NONE; unit <= BP_UNIT_AMPERE_HOUR; unit++)
        for (int exponent = -14; exponent <= 14; exponent++)
            for (size_t i = 0; i < sizeof mantissas / sizeof *mantissas; i++) {
                double value = mantissas[i] * pow(10, exponent) * (i % 2 ? -1 : 1);
                char text[400];
                bp_quantity_write(value, (bp_unit)unit, text, sizeof text);
                if (parsed(text, (bp_unit)unit) != value)
                    fail_msg("%.17g is written \"%s\"", value, text);
            }
    char text[64];
    bp_quantity_write(85, BP_UNIT_OHM, text, sizeof text);
    assert_string_equal(text, "85 ohm");
    bp_quantity_write(2.5e-6, BP_UNIT_AREA, text, sizeof text);
    assert_string_equal(text, "2.5 mm2");
    bp_quantity_write(47e-6, BP_UNIT_FARAD, text, sizeof text);
    assert_string_equal(text, "47 uF");
}

/* A locale with a decimal comma changes nothing. */
static void the_locale_does_not_matter(void **state) {
    (void)state;
    static const char *const names[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "de_DE.utf8", "nl_NL.UTF-8"};
    const char *found = NULL;
    for (size_t i = 0; i < sizeof names / sizeof *names && !found; i++)
        found = setlocale(LC_NUMERIC, names[i]);
    if (!found)
        skip(); /* this machine has none */
    char text[40];
    double value = parsed("12.6 V", BP_UNIT_VOLT);
    bp_quantity_format(12.6, BP_UNIT_VOLT, 3, text, sizeof text);
    setlocale(LC_NUMERIC, "C");
    assert_true(value == 12.6);
    assert_string_equal(text, "12.6 V");
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_are_read_exactly),
        cmocka_unit_test(other_units_are_converted),
        cmocka_unit_test(wire_gauges_have_the_areas_of_the_copper_wire_tables),
        cmocka_unit_test(what_is_no_value_is_refused_with_a_reason),
        cmocka_unit_test(values_are_written_as_a_person_would),
        cmocka_unit_test(measured_values_keep_their_zeros),
        cmocka_unit_test(written_values_read_back),
        cmocka_unit_test(the_locale_does_not_matter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
