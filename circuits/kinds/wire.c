/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Wire: a run of copper between two pins.
 */
#include <math.h>
#include <string.h>

#include "circuits/circuit.h"
#include "circuits/kinds/wire.h"

static const char *const places[] = {"cabin", "engine", NULL};

static const bp_param_decl params[] = {
    [BP_WIRE_SIZE] =
        {.key = "size",
         .type = BP_PARAM_QUANTITY,
         .unit = BP_UNIT_AREA,
         .def = BP_UNSET,
         .lo = 0.01e-6,
         .hi = 500e-6,
         .tol = 0.06,
         .tol_sort = BP_TOL_RELATIVE,
         .words = "copper cross-section, mm2 or AWG; without it the wire is an ideal conductor",
         .source =
             "resistance by IACS copper, 1.7241e-8 ohm m and 0.00393/K at 20 °C (NBS Handbook "
             "100); spread: ISO 6722-1 allows stranded cable up to 11 % more (from memory)"},
    [BP_WIRE_LENGTH] = {.key = "length",
                        .type = BP_PARAM_QUANTITY,
                        .unit = BP_UNIT_METRE,
                        .def = BP_UNSET,
                        .lo = 1e-3,
                        .hi = 1e5,
                        .tol = 0.05,
                        .tol_sort = BP_TOL_RELATIVE,
                        .words = "length; without it the wire is an ideal conductor",
                        .source = "spread of a harness run as built: common practice"},
    [BP_WIRE_COLOUR] = {.key = "colour",
                        .type = BP_PARAM_TEXT,
                        .words = "colour by IEC 60757, two joined by '/': RD, GN/YE",
                        .source = "IEC 60757"},
    [BP_WIRE_LOOM] = {.key = "loom",
                      .type = BP_PARAM_TEXT,
                      .words =
                          "the loom it runs in; wires of one loom can chafe through to each other",
                      .source = "as the circuit states"},
    [BP_WIRE_PLACE] = {.key = "place",
                       .type = BP_PARAM_WORD,
                       .def = BP_WIRE_IN_CABIN,
                       .choices = places,
                       .words = "where it runs and which temperature it takes: cabin or engine",
                       .source = "common practice"},
    {0}};

/* What modes of one place cannot set in two ways at once. */
enum { CONDUCTOR = 1 };

static const bp_mode_decl modes[] = {
    [BP_WIRE_OPEN] = {.id = "open",
                      .sets = CONDUCTOR,
                      .words = "%s open",
                      .scope = BP_SCOPE_PART,
                      .weight = 1.0,
                      .intermittent = true},
    [BP_WIRE_RESISTANCE] = {.id = "resistance",
                            .sets = CONDUCTOR,
                            .words = "%s high resistance",
                            .scope = BP_SCOPE_PART,
                            .scale = BP_SCALE_LOG,
                            .unit = BP_UNIT_OHM,
                            .lo = 0.05,
                            .hi = 1000.0,
                            .typical = 1.0,
                            .weight = 1.0,
                            .intermittent = true},
    [BP_WIRE_SHORT_TO_GROUND] = {.id = "short-to-ground",
                                 .words = "%s shorted to ground",
                                 .scope = BP_SCOPE_PART,
                                 .scale = BP_SCALE_LOG,
                                 .unit = BP_UNIT_OHM,
                                 .lo = 0.005,
                                 .hi = 1000.0,
                                 .typical = 0.02,
                                 .weight = 0.6,
                                 .intermittent = true},
    [BP_WIRE_SHORT_TO_FEED] = {.id = "short-to-feed",
                               .words = "%s shorted to battery feed",
                               .scope = BP_SCOPE_PART,
                               .scale = BP_SCALE_LOG,
                               .unit = BP_UNIT_OHM,
                               .lo = 0.005,
                               .hi = 1000.0,
                               .typical = 0.02,
                               .weight = 0.2,
                               .intermittent = true},
    [BP_WIRE_SHORT_TO] = {.id = "short-to",
                          .words = "%s shorted to",
                          .scope = BP_SCOPE_PART,
                          .partner = BP_PARTNER_WIRE,
                          .scale = BP_SCALE_LOG,
                          .unit = BP_UNIT_OHM,
                          .lo = 0.005,
                          .hi = 10e3,
                          .typical = 0.05,
                          .weight = 0.2,
                          .intermittent = true},
    {0}};

/* IEC 60757 letters for single colours. */
static const char *const colours[] = {"BK", "BN", "RD", "OG", "YE", "GN", "BU",
                                      "VT", "GY", "WH", "PK", "TQ", NULL};

static const char *colour_at(const char *text) {
    for (size_t i = 0; colours[i]; i++)
        if (strncmp(text, colours[i], 2) == 0)
            return colours[i];
    return NULL;
}

static bool colour_is_good(const char *text) {
    if (!colour_at(text))
        return false;
    return text[2] == '\0' || (text[2] == '/' && colour_at(text + 3) && text[5] == '\0');
}

static void check(const bp_part *part, bp_report *report) {
    const char *colour = part->text[BP_WIRE_COLOUR];
    if (colour && !colour_is_good(colour))
        bp_part_mistake(part, report,
                        "colour \"%s\" is not in IEC 60757: write one of BK BN RD OG YE GN BU VT "
                        "GY WH PK TQ, or two of them joined by '/', like RD/YE",
                        colour);
}

/* A cable of so much copper carries what its copper is good for, and more: battery, starter,
 * alternator. Thinner wires carry some amperes, at which tens of milliohms are the least that
 * matters. */
static const double cable_size = 10e-6;

/* Continuous current of stranded copper at 30 degC: 19 A at 1 mm2, with the power 0.6 of the size
 * (within a tenth of DIN VDE 0298-4 from 0.5 to 50 mm2, from memory). */
static double rated_amps(double size) { return 19 * pow(size / 1e-6, 0.6); }

/* At that current a connection may drop 0.1 V, and somebody complains when about 1 V is missing: on
 * the way to a starter half a volt is the most that is let pass (both common practice). To one
 * figure, since nobody knows it better. */
void bp_fit_to_cable(bp_mode_decl *resistance, double size) {
    if (!(size >= cable_size)) /* an ideal wire has no size */
        return;
    const double ohm = 0.1 / rated_amps(size);
    const double figure = pow(10, floor(log10(ohm)));
    resistance->lo = floor(ohm / figure + 0.5) * figure;
    resistance->typical = 10 * resistance->lo;
}

static void fit_modes(const bp_part *part, bp_mode_decl *mode) {
    bp_fit_to_cable(&mode[BP_WIRE_RESISTANCE], part->param[BP_WIRE_SIZE]);
}

const bp_kind bp_kind_wire = {
    .id = "wire",
    .words = "wire",
    .note = "A run of copper between two pins. Its resistance comes from cross-section, length and "
            "temperature; it chafes through in its middle. Without size and length it is an ideal "
            "conductor.",
    .params = params,
    .modes = modes,
    .passive = true,
    .access = 5,
    .fit = 20,
    .price = 5,
    .check = check,
    .fit_modes = fit_modes,
};
