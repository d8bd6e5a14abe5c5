/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The three faces of `predict`.
 */
#ifndef BP_CLI_PREDICT_H
#define BP_CLI_PREDICT_H

#include <backprobe/predict.h>

#include "circuits/circuit.h"
#include "cli/screen.h"

typedef struct bp_prediction {
    const bp_circuit *circuit;
    const bp_question *question; /* as it was asked */
    const bp_answer *healthy;    /* with good ranges; NULL in JSON and CSV of a faulted circuit */
    const bp_answer *faulted;    /* NULL when no fault was asked for */
    bool us_units;
} bp_prediction;

void bp_predict_text(const bp_screen *out, const bp_prediction *prediction);
void bp_predict_json(const bp_screen *out, const bp_answer *answer);
void bp_predict_csv(const bp_screen *out, const bp_answer *answer);

#endif
