/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * By which instruments and senses a fault can be told from the good circuit. Nothing of this is
 * declared: every instrument is put where it is used (the test points, the fuses, the wires, the
 * terminals of the part itself) in the good and in the faulted circuit, in every state.
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
    bool solved;          /* false: the faulted circuit has no solution in any state */
} bp_seen;

/* Fills in seen[i] for faults[i], each written as `--fault` takes it and a single one. What comes
 * and goes is provoked first: the part is tugged, heated, cooled, wetted, the engine warmed up or
 * cooled down. progress may be NULL. BP_ERR_USAGE: a fault that is none; the report says which. */
bp_status bp_seen_compute(bp_lab *lab, const char *const *faults, size_t n, bp_seen *seen,
                          void (*progress)(void *data, size_t done, size_t of), void *data,
                          bp_report *report);

#ifdef __cplusplus
}
#endif
#endif
