/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The circuit: parts, wires, states and points, built call by call or from a YAML file, then
 * checked and frozen.
 *
 *     bp_circuit *c = bp_circuit_new("horn", report);
 *     bp_circuit_part(c, "BAT", "battery");
 *     bp_circuit_set(c, "BAT", "charge", "90 %");
 *     bp_circuit_wire(c, "W1", "BAT.+", "F4.1");
 *     ...
 *     if (bp_circuit_finish(c) != BP_OK) ...   // every mistake is in the report
 *
 * Building calls never stop at a mistake: they note it in the report and go on, so that one pass
 * shows all. Names may be used before they exist; they are resolved by bp_circuit_finish. After
 * that the circuit never changes.
 */
#ifndef BACKPROBE_CIRCUIT_H
#define BACKPROBE_CIRCUIT_H

#include <stdbool.h>

#include <backprobe/quantity.h>
#include <backprobe/report.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bp_circuit bp_circuit;

/* `report` is kept (not owned) until bp_circuit_finish returns; it takes every mistake. NULL when
 * memory is out. */
bp_circuit *bp_circuit_new(const char *id, bp_report *report);
void bp_circuit_free(bp_circuit **circuit);

/* Where the next calls' words stand in a file, for messages. Line 0 = not from a file. */
void bp_circuit_at(bp_circuit *circuit, const char *file, size_t line, size_t column);

/* Texts: key is "title", "scenario", "reference" (a pin) or "caution" (added to the list: a shipped
 * key or a sentence), "elsewhere" (added to the list: a hint where to look when the circuit is
 * good). */
void bp_circuit_text(bp_circuit *circuit, const char *key, const char *text);

/* A part of a kind; then its parameters as written ("85 ohm"). Nested keys are dotted:
 * "suppression.resistor". Also taken for every part: "label", "in", "access", "price", "fit". */
void bp_circuit_part(bp_circuit *circuit, const char *id, const char *kind);
void bp_circuit_set(bp_circuit *circuit, const char *part, const char *key, const char *value);

/* One position of a switch: `pairs` holds 2 * n pin names that this position joins. */
void bp_circuit_position(bp_circuit *circuit, const char *part, const char *position,
                         const char *const *pairs, size_t n);

/* A wire between two pins ("K2.30", "G3", "C12.a1"), which may also be told later: from and to
 * NULL, then bp_circuit_set with the keys "from" and "to" (a file has a line for each); parameters
 * (size, length, colour, loom) by bp_circuit_set. */
void bp_circuit_wire(bp_circuit *circuit, const char *id, const char *from, const char *to);

/* Two pins that are one (parts sharing a plug). */
void bp_circuit_join(bp_circuit *circuit, const char *pin, const char *other);

/* States. key: a part id (value: one of its settings) or "supply", "speed", "ambient", "engine",
 * "lasts", "from", "label". */
void bp_circuit_state(bp_circuit *circuit, const char *id);
void bp_circuit_state_set(bp_circuit *circuit, const char *state, const char *key,
                          const char *value);

/* Test points. key: "at" (unless told at once), "reach", "access" (a time), "note". */
void bp_circuit_point(bp_circuit *circuit, const char *id, const char *at);
void bp_circuit_point_set(bp_circuit *circuit, const char *point, const char *key,
                          const char *value);

/* What differs from the automatic fault list. fault: PART or PART:MODE or PART:MODE=PARTNER; key:
 * "weight", "note", "when", "how-bad". */
void bp_circuit_fault_set(bp_circuit *circuit, const char *fault, const char *key,
                          const char *value);

/* Waveforms: pictures over time that belong to the circuit. key: "state", "from", "to" (times; the
 * state is entered at 0), "label", "trace" (added to the list: "T1.1", "T1.1 BAT.-" for red and
 * black, "clamp W12" for the current through a wire). */
void bp_circuit_waveform(bp_circuit *circuit, const char *id);
void bp_circuit_waveform_set(bp_circuit *circuit, const char *waveform, const char *key,
                             const char *value);

/* Where a symbol stands on the drawing, in grid cells (x to the right, y downwards); turn 0, 90,
 * 180, 270. */
void bp_circuit_place(bp_circuit *circuit, const char *part, double x, double y, int turn);

/* Resolves, checks, freezes. BP_OK, or BP_ERR_INPUT with all mistakes in the report. */
bp_status bp_circuit_finish(bp_circuit *circuit);

const char *bp_circuit_id(const bp_circuit *circuit);
const char *bp_circuit_title(const bp_circuit *circuit);

#ifdef __cplusplus
}
#endif
#endif
