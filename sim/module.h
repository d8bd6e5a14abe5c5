/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What the stages of control modules share: their feed, and the switching of an output.
 */
#ifndef BP_SIM_MODULE_H
#define BP_SIM_MODULE_H

#include "sim/model.h"

/* A stage switches within a millisecond: before any contact moves. Data-sheet typical, from
 * memory. */
#define BP_STAGE_SECONDS 1e-3

/* Does anything lead to this pin: a wire, or another part's pin joined with it? */
bool bp_module_is_wired(const bp_part *part, size_t pin);

/* A voltage that is told with one decimal: never "-0.0". */
double bp_told_volts(double volts);

/* Which failure modes of the kind are the stage's. */
typedef struct bp_stage {
    int output_open, output_shorted, weak, leaky;
} bp_stage;

/* Resistance of the switched path, ohm: on or off, or as its faults have it. */
double bp_stage_ohm(const bp_view *view, const bp_stage *stage, bool on, double on_ohm,
                    double leak_ohm);

/* Positions of a stage. */
enum { BP_STAGE_OFF, BP_STAGE_ON, BP_STAGE_SHUT_DOWN, BP_STAGE_POSITIONS };
extern const char *const bp_stage_positions[];

/* What the stage does next. wanted: asked to be on, and able to; amps through it, and the limit at
 * which it sheds its load (NAN: never). */
bp_move bp_stage_next(const bp_view *view, bool wanted, double amps, double limit);

/* bp_model.strained of a stage: more than `most` A through the resistor in this slot. */
/* What an output stands backwards, when 12 V are put on it while its own feed is gone, A: tracks of
 * a module, from memory. */
#define BP_STAGE_BACKWARDS_MOST 1.0
bool bp_stage_strained(const bp_view *view, size_t slot, double most, char *words, size_t size);

/* "on", "off", "shut-down", "dead", "chatter": the behaviour of a stage. asked, but not alive
 * counts as dead; `on` is what it does when it is on. */
void bp_stage_behave(const bp_view *view, bool dead, double feed_volts, const char *on,
                     bp_behaviour *out);
extern const char *const bp_stage_says[];

#endif
