/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Resistor pack: three resistors, and a cut-out that feels how hot they are.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/resistor_pack.h"
#include "sim/settle.h"
#include "sim/winding.h"

enum { STEP_1, STEP_2, STEP_3, CUT_OUT };
enum { WHOLE, CUT };

/* Still air carries an eighth of the heat off that the blower's air does: see `heating`. */
static const double still_air = 8;

/* A body of wire coils warms up within half a minute: from memory. */
static const double time_constant = 30;

/* Below this it is not worth a word, degC. */
static const double warm = 60;

static bool closes_again(const bp_part *part) {
    return part->param[BP_PACK_CUT_OUT] == BP_PACK_DISC;
}

static void elements(bp_builder *b, const bp_part *part) {
    const size_t behind = bp_build_node(b);
    bp_build_resistor(b, bp_build_own(b, part, BP_PACK_PIN_1),
                      bp_build_own(b, part, BP_PACK_PIN_2));
    bp_build_resistor(b, bp_build_own(b, part, BP_PACK_PIN_2),
                      bp_build_own(b, part, BP_PACK_PIN_3));
    bp_build_resistor(b, bp_build_own(b, part, BP_PACK_PIN_3), behind);
    bp_build_resistor(b, behind, bp_build_own(b, part, BP_PACK_PIN_4));
}

static bool is_cut(const bp_view *view) {
    return view->position == CUT || bp_view_has(view, BP_PACK_CUT_OUT_OPEN);
}

static void values(const bp_view *view, double *value) {
    for (int i = 0; i < 3; i++) {
        value[STEP_1 + i] = view->param[BP_PACK_R1 + i];
        if (bp_view_has(view, BP_PACK_STEP_1_SHORT + i))
            value[STEP_1 + i] = BP_METAL_OHM;
        if (bp_view_has(view, BP_PACK_STEP_1_OPEN + i))
            value[STEP_1 + i] = BP_OPEN_OHM;
    }
    value[CUT_OUT] = is_cut(view) ? BP_OPEN_OHM : BP_METAL_OHM;
}

/* Kelvins that it ends up above the air around it. */
static double rise(const bp_view *view) {
    double watts = 0;
    for (size_t i = STEP_1; i <= STEP_3; i++)
        watts += pow(bp_view_current(view, i), 2) * bp_view_value(view, i);
    return watts * view->param[BP_PACK_HEATING] *
           (bp_view_has(view, BP_PACK_NO_AIR) ? still_air : 1);
}

/* Kelvins that it may be. */
static double allowed(const bp_view *view) {
    return fmax(view->param[BP_PACK_SNAPS] - view->around->ambient, 1);
}

static bool overheats(const bp_view *view) {
    return view->param[BP_PACK_CUT_OUT] != BP_PACK_NO_CUT_OUT && rise(view) > allowed(view);
}

/* One time constant, from the temperature around it. */
static double seconds(const bp_view *view) {
    return -time_constant * log1p(-allowed(view) / rise(view));
}

static bp_move next(const bp_view *view) {
    const bool found_open = bp_view_has(view, BP_PACK_CUT_OUT_OPEN);
    if (view->position == CUT) /* no current passes: it cools down */
        return (bp_move){.moves = closes_again(view->part) && !found_open,
                         .position = WHOLE,
                         .seconds = time_constant};
    if (found_open)
        return (bp_move){.moves = true, .position = CUT, .beyond = INFINITY};
    if (!overheats(view))
        return (bp_move){0};
    return (bp_move){.moves = true,
                     .position = CUT,
                     .seconds = seconds(view),
                     .beyond = rise(view) / allowed(view) - 1};
}

static void behave(const bp_view *view, bp_behaviour *out) {
    const double celsius = view->around->ambient + rise(view);
    out->says = "holds";
    if (is_cut(view)) {
        out->says = "cut-out";
        snprintf(out->words, sizeof out->words, "is cut out");
        return;
    }
    out->value = celsius;
    out->unit = BP_UNIT_CELSIUS;
    if (overheats(view)) {
        out->says = seconds(view) <= BP_SLOW_SECONDS ? "opens-at-once" : "opens-slowly";
        snprintf(out->words, sizeof out->words, "overheats: its cut-out opens within %.0f s",
                 seconds(view));
    } else if (celsius > view->param[BP_PACK_SNAPS]) {
        out->says = "too-hot";
        snprintf(out->words, sizeof out->words, "overheats: %.0f °C and nothing cuts it out",
                 celsius);
    } else if (celsius > warm)
        snprintf(out->words, sizeof out->words, "is hot: %.0f °C", celsius);
    else
        snprintf(out->words, sizeof out->words, "is cool");
}

static void to_and_fro(const bp_view *view, bp_behaviour *out) {
    (void)view;
    out->says = "cycles";
    snprintf(out->words, sizeof out->words,
             "cycles: its cut-out opens, cools down and closes again, over and over");
}

static const char *const positions[] = {"whole", "cut out"};
static const char *const says[] = {
    "holds", "opens-slowly", "opens-at-once", "too-hot", "cut-out", "cycles", NULL};

const bp_model bp_model_resistor_pack = {
    .elements = elements,
    .values = values,
    .n_positions = 2,
    .positions = positions,
    .lasting = true,
    .comes_back = closes_again,
    .next = next,
    .behave = behave,
    .to_and_fro = to_and_fro,
    .says = says,
    .kelvin_per_watt = 1,
};
