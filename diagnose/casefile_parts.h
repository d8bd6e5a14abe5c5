/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The inside of a case file.
 */
#ifndef BP_DIAGNOSE_CASEFILE_PARTS_H
#define BP_DIAGNOSE_CASEFILE_PARTS_H

#include <backprobe/casefile.h>

#include "circuits/circuit.h"
#include "circuits/yaml_walk.h"
#include "sim/store.h"

enum { BP_MOST_READINGS = 60 };

struct bp_casefile {
    char *path;
    bp_circuit *circuit;
    bp_store store; /* all texts */
    const char *complaint, *meter;
    bp_onset onset;
    bool by_other;
    const char **replaced;
    size_t n_replaced;
    double rest_volts, rest_digit, ambient, engine;
    bp_case_reading reading[BP_MOST_READINGS];
    size_t n_readings;
};

/* casefile_reading.c: one entry of `readings`. What is wrong goes to the report of l, whose
 * `building` is the case file. */
void bp_casefile_take_reading(bp_yaml *l, yaml_node_t *node);

/* A number with its unit as people wrote it, and half of its last digit in the same unit. */
bool bp_casefile_number(const char *text, bp_unit unit, double *value, double *digit, char *why,
                        size_t size);

/* casefile_live.c: readings that no meter can take in the good circuit (ohms where voltage stands)
 * are mistakes. */
bp_status bp_casefile_check_live(const bp_casefile *file, bp_report *report);
/* The reading as a question to a lab; its leads go to *pair. */
bp_question bp_casefile_question(const bp_casefile *file, const bp_case_reading *reading,
                                 bp_pair *pair);

#endif
