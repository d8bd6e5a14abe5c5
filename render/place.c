/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>
#include <string.h>

#include "render/place.h"

bool bp_plan_make(bp_plan *plan, const bp_circuit *circuit, bp_canvas *measure,
                  const bp_plan_options *options) {
    memset(plan, 0, sizeof *plan);
    plan->circuit = circuit;
    plan->measure = measure;
    plan->options = *options;
    plan->scale = options->scale;
    return bp_plan_heights(plan) && bp_plan_blocks(plan) && bp_plan_nets(plan) &&
           bp_plan_ranks(plan) && bp_plan_chains(plan) && bp_plan_order(plan) &&
           bp_plan_columns(plan) && bp_plan_rows(plan);
}

void bp_plan_free(bp_plan *plan) {
    free(plan->height);
    free(plan->hops);
    free(plan->blocks);
    free(plan->flags);
    free(plan->nets);
    free(plan->nodes);
    free(plan->members);
    free(plan->links);
    free(plan->order);
    free(plan->rank_start);
    free(plan->mirror);
    memset(plan, 0, sizeof *plan);
}
