/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "sim/spread.h"

#include <stdlib.h>

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>

#include "sim/case.h"
#include "sim/contact.h"

static bool has_contacts(const bp_part *part) {
    for (size_t pin = 0; pin < part->n_pins; pin++)
        if (bp_contact_exists(part, pin))
            return true;
    return false;
}

/* Writes them into list unless that is NULL. */
static size_t walk(const bp_circuit *circuit, bp_spread *list) {
    size_t n = 0;
    for (size_t p = 0; p < circuit->n_parts; p++) {
        const bp_part *part = &circuit->parts[p];
        for (size_t k = 0; part->kind->params && part->kind->params[k].key; k++)
            if (bp_case_tolerance(part, k) > 0) {
                if (list)
                    list[n] = (bp_spread){p, k};
                n++;
            }
        if (has_contacts(part)) {
            if (list)
                list[n] = (bp_spread){p, BP_NONE};
            n++;
        }
    }
    if (list)
        list[n] = (bp_spread){BP_NONE, BP_NONE};
    return n + 1;
}

size_t bp_spreads_count(const bp_circuit *circuit) { return walk(circuit, NULL); }

bool bp_spreads_list(const bp_circuit *circuit, bp_spread **list, size_t *n) {
    *n = walk(circuit, NULL);
    *list = calloc(*n, sizeof **list);
    if (*list)
        walk(circuit, *list);
    return *list != NULL;
}

bool bp_spreads_draw(uint64_t draw, size_t n, double *sigmas) {
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_ranlxs2);
    if (!rng)
        return false;
    gsl_rng_set(rng, (unsigned long)draw);
    for (size_t i = 0; i < n; i++)
        sigmas[i] = gsl_ran_gaussian(rng, 1);
    gsl_rng_free(rng);
    return true;
}
