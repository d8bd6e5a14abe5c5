/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * By which instruments and senses a fault can be told from the good circuit. Nothing of this is
 * declared: every instrument is put where it is used (the test points, the fuses, the wires, the
 * terminals of the part itself) in the good and in the faulted circuit, in every state; and the
 * waveforms that the circuit's file names are taken of both.
 */
#ifndef BACKPROBE_SEEN_H
#define BACKPROBE_SEEN_H

#include <backprobe/predict.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef struct bp_seen {
    unsigned instruments; /* bits 1u << bp_instrument: some reading of it leaves its good range */
    unsigned senses;      /* bits of bp_sense */
    bool scope;  /* a waveform that the circuit's file names looks otherwise: something measured on
                    it differs by more than a tenth, or something happens there that did not */
    bool solved; /* false: the faulted circuit has no solution in any state */
    bool unsolved; /* a state has no solution, with the voltmeter on it */
} bp_seen;

/* Fills in seen[i] for faults[i], each written as `--fault` takes it and a single one. What comes
 * and goes is provoked first: the part is tugged, heated, cooled, wetted, the engine warmed up or
 * cooled down. progress may be NULL. BP_ERR_USAGE: a fault that is none; the report says which. */
bp_status bp_seen_compute(bp_lab *lab, const char *const *faults, size_t n, bp_seen *seen,
                          void (*progress)(void *data, size_t done, size_t of), void *data,
                          bp_report *report);

/* The same where it only matters whether anything tells a fault: with these instruments (bits 1u <<
 * bp_instrument, the voltmeter always), the senses and the waveforms, in a small part of the time,
 * since what one thing has told is let go. seen[i] holds the first that told. */
bp_status bp_seen_at_all(bp_lab *lab, const char *const *faults, size_t n, unsigned instruments,
                         bp_seen *seen, bp_report *report);

#ifdef __cplusplus
}
#endif
#endif
