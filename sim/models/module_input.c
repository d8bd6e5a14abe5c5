/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Input of a module: the pull, the input's own resistance, and what the module reads.
 */
#include "circuits/kinds/module_input.h"

#include <stdio.h>

#include "sim/module.h"
#include "sim/rail.h"
#include "sim/wave.h"
#include "sim/winding.h"

enum { IN, DOWN, UP, FEED_LEAK, SELF, RAIL };

/* The module's own 5 V: a drop-out of 0.3 V and some 50 mA for inputs, data-sheet typical, from
 * memory. */
static const bp_rail supply = {.dropout = 0.3, .ohm = 0.1, .limit = 0.05};

/* Inside the plug: a print track and a solder joint, ohm. */
static const double track_ohm = 0.05;

static void elements(bp_builder *b, const bp_part *part) {
    size_t ground = bp_build_own(b, part, BP_INPUT_PIN_31);
    size_t feed = bp_module_is_wired(part, BP_INPUT_PIN_15) ? bp_build_own(b, part, BP_INPUT_PIN_15)
                                                            : bp_build_feed(b);
    size_t input = bp_build_node(b), rail = bp_build_node(b);
    bp_build_resistor(b, bp_build_own(b, part, BP_INPUT_PIN_IN), input);
    bp_build_resistor(b, input, ground);
    bp_build_resistor(b, rail, input);
    bp_build_resistor(b, feed, input);
    bp_build_resistor(b, feed, ground);
    bp_rail_elements(b, feed, ground, rail);
}

/* The pull's resistance if it pulls this way. */
static double pull_ohm(const bp_view *view, int way) {
    bool pulls = (int)view->param[BP_INPUT_PULL] == way && !bp_view_has(view, BP_INPUT_PULL_OPEN);
    return pulls ? view->param[BP_INPUT_PULL_OHM] : BP_OPEN_OHM;
}

static void values(const bp_view *view, double *value) {
    const double *param = view->param;
    value[IN] = bp_view_has(view, BP_INPUT_OPEN) ? BP_OPEN_OHM : track_ohm;
    value[DOWN] = 1 / (1 / param[BP_INPUT_OHM] + 1 / pull_ohm(view, BP_INPUT_PULL_DOWN) +
                       1 / bp_view_how_bad(view, BP_INPUT_GROUND_LEAK, BP_OPEN_OHM));
    value[UP] = pull_ohm(view, BP_INPUT_PULL_UP);
    value[FEED_LEAK] = bp_view_how_bad(view, BP_INPUT_FEED_LEAK, BP_OPEN_OHM);
    value[SELF] = 12 / param[BP_INPUT_DRAW]; /* the draw is stated at 12 V */
    bp_rail rail = supply;
    rail.volts = param[BP_INPUT_VOLTS];
    bp_rail_values(&value[RAIL], &rail);
}

/* Voltage across one of the part's resistors. */
static double volts_across(const bp_view *view, size_t slot) {
    return bp_view_current(view, slot) * bp_view_value(view, slot);
}

static void read_level(const bp_view *view, double volts, bp_behaviour *out) {
    bool low = volts <= view->param[BP_INPUT_LOW_BELOW];
    bool high = volts >= view->param[BP_INPUT_HIGH_ABOVE];
    if (bp_view_has(view, BP_INPUT_STUCK_LOW) || bp_view_has(view, BP_INPUT_STUCK_HIGH)) {
        low = bp_view_has(view, BP_INPUT_STUCK_LOW);
        high = !low;
    }
    out->says = low ? "low" : high ? "high" : "undecided";
    snprintf(out->words, sizeof out->words,
             low || high ? "reads %s" : "reads high or low by chance", out->says);
}

static void read_voltage(const bp_view *view, double volts, bp_behaviour *out) {
    volts *= bp_view_how_bad(view, BP_INPUT_MISREADS, 1);
    bool too_low = volts < view->param[BP_INPUT_LEAST];
    bool too_high = volts > view->param[BP_INPUT_MOST];
    out->value = volts;
    out->says = too_low ? "too-low" : too_high ? "too-high" : "voltage";
    snprintf(out->words, sizeof out->words, "reads %.2f V%s", volts,
             too_low    ? ": signal too low"
             : too_high ? ": signal too high"
                        : "");
}

static void behave(const bp_view *view, bp_behaviour *out) {
    double feed = volts_across(view, SELF), volts = volts_across(view, DOWN);
    out->value = volts;
    out->unit = BP_UNIT_VOLT;
    if (feed < view->param[BP_INPUT_WORKS_FROM]) {
        out->says = "dead";
        snprintf(out->words, sizeof out->words,
                 "reads nothing: its module has %.1f V between feed and ground",
                 bp_told_volts(feed));
    } else if (view->param[BP_INPUT_READS] > BP_INPUT_READS_LEVEL)
        read_voltage(view, volts, out);
    else
        read_level(view, volts, out);
}

/* In time: a dip of the feed resets the module. */

/* How far the feed must come back above what it works from: data-sheet typical of a supply monitor,
 * from memory. */
static const double hysteresis = 0.1;

enum { IS_DOWN, LOWEST_FEED, TIMES_DOWN, N_MEMORY };
enum { TELL_RESETS, TELL_RUNS };

static void begin(bp_moment *m) { m->memory[LOWEST_FEED] = INFINITY; }

static void goes_down(bp_moment *m, double feed) {
    m->memory[IS_DOWN] = 1;
    m->memory[TIMES_DOWN]++;
    bp_moment_tell(m, TELL_RESETS, feed);
}

static void comes_back(bp_moment *m) {
    m->memory[IS_DOWN] = 0;
    bp_moment_tell(m, TELL_RUNS, NAN);
}

/* Nothing of it acts back on the circuit: what a module draws while it is reset is not known. */
static bool instant(bp_moment *m) {
    const double feed = volts_across(&m->view, SELF);
    const double works_from = m->view.param[BP_INPUT_WORKS_FROM];
    m->memory[LOWEST_FEED] = fmin(m->memory[LOWEST_FEED], feed);
    if (m->memory[IS_DOWN] == 0 && feed < works_from)
        goes_down(m, feed);
    else if (m->memory[IS_DOWN] > 0 && feed > works_from + hysteresis)
        comes_back(m);
    return false;
}

static const bp_wave_tell tells[] = {
    [TELL_RESETS] = {.id = "resets",
                     .words = "%s: the module loses its supply and resets",
                     .unit = BP_UNIT_VOLT},
    [TELL_RUNS] = {.id = "runs",
                   .words = "%s: the module runs again",
                   .since = "resets",
                   .span_id = "down",
                   .span_words = "module without enough supply"},
    {.id = NULL}};

/* Only a dip is told: what it reads of a passing instant would mislead. */
static void behave_in_time(const bp_moment *m, bp_behaviour *out) {
    const double *k = m->memory;
    if (k[TIMES_DOWN] < 1)
        return;
    out->value = k[LOWEST_FEED];
    out->unit = BP_UNIT_VOLT;
    if (k[IS_DOWN] > 0) {
        out->says = "dead";
        snprintf(out->words, sizeof out->words,
                 "is dead in the end: its feed fell to %.1f V, and its module works from %.1f V",
                 bp_told_volts(k[LOWEST_FEED]), m->view.param[BP_INPUT_WORKS_FROM]);
        return;
    }
    out->says = "resets";
    char often[24] = "once";
    if (k[TIMES_DOWN] > 1)
        snprintf(often, sizeof often, "%.0f times", k[TIMES_DOWN]);
    snprintf(out->words, sizeof out->words, "resets %s and runs again: its feed fell to %.1f V",
             often, bp_told_volts(k[LOWEST_FEED]));
}

static const char *const says[] = {"high",     "low",  "undecided", "voltage", "too-low",
                                   "too-high", "dead", "resets",    NULL};

static const bp_wave_model wave = {.n_memory = N_MEMORY,
                                   .begin = begin,
                                   .instant = instant,
                                   .tells = tells,
                                   .behave = behave_in_time,
                                   .says = says};

/* What a signal of 5 V may reach before it does harm, as a multiple of it: data-sheet typical (5.5
 * V), from memory. */
#define FORCED 1.1

/* An input that pulls up to less than the feed, or measures less than that, is no place for 12 V.
 */
static bool strained(const bp_view *view, char *words, size_t size) {
    const bool pulls = (int)view->param[BP_INPUT_PULL] == BP_INPUT_PULL_UP;
    const bool measures = view->param[BP_INPUT_READS] > BP_INPUT_READS_LEVEL;
    const double own = pulls ? view->param[BP_INPUT_VOLTS] : view->param[BP_INPUT_MOST];
    const double volts =
        bp_view_pin_volts(view, BP_INPUT_PIN_IN) - bp_view_pin_volts(view, BP_INPUT_PIN_31);
    if ((!pulls && !measures) || volts <= FORCED * own)
        return false;
    snprintf(words, size, "would have %.1f V on its %g V input", volts, own);
    return true;
}

const bp_model bp_model_module_input = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .strained = strained,
    .says = says,
    .wave = &wave,
};
