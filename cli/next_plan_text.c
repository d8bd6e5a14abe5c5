/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The plan on a terminal.
 */
#include <math.h>
#include <stdlib.h>

#include "cli/columns.h"
#include "cli/match.h"
#include "cli/next.h"

static void print_node(const bp_screen *out, const bp_plan_node *node, size_t depth) {
    const size_t indent = 2 * depth;
    if (!node->test) {
        bp_screen_paragraph(out, BP_TONE_PLAIN, indent, indent + 4, "→ %s", node->says);
        return;
    }
    bp_screen_paragraph(out, BP_TONE_STRONG, indent, indent + 4, "%s (%.0f min)", node->test->title,
                        ceil(node->test->minutes));
    for (size_t i = 0; i < node->test->n_outcomes; i++) {
        const bp_plan_node *then = node->then[i];
        char share[16];
        if (!then)
            continue;
        bp_percent(then->probability, share, sizeof share);
        if (then->test) {
            bp_screen_paragraph(out, BP_TONE_PLAIN, indent + 2, indent + 6,
                                "%s (%s):", node->test->outcomes[i].display, share);
            print_node(out, then, depth + 2);
        } else
            bp_screen_paragraph(out, BP_TONE_PLAIN, indent + 2, indent + 6, "%s (%s): %s",
                                node->test->outcomes[i].display, share, then->says);
    }
}

static void print_cost(bp_columns *table, const char *what, const bp_plan_cost *cost) {
    bp_columns_cell(table, BP_TONE_PLAIN, "%s", what);
    bp_columns_cell(table, BP_TONE_PLAIN, "%.0f", cost->minutes);
    bp_columns_cell(table, BP_TONE_PLAIN, "%.0f", cost->money);
    if (!isnan(cost->total))
        bp_columns_cell(table, BP_TONE_STRONG, "%.0f", cost->total);
}

void bp_plan_text(const bp_screen *out, const bp_test_plan *plan, double rate) {
    bp_columns *table = bp_columns_new(out, isnan(rate) ? 3 : 4);
    char share[16];
    bp_screen_paragraph(out, BP_TONE_STRONG, 0, 0, "The whole plan");
    print_node(out, plan->root, 0);
    bp_screen_gap(out);
    bp_columns_head(table, 0, "Up to the proved fix, on average", BP_CELL_LEFT, true);
    bp_columns_head(table, 1, "min", BP_CELL_RIGHT, false);
    bp_columns_head(table, 2, "parts", BP_CELL_RIGHT, false);
    if (!isnan(rate))
        bp_columns_head(table, 3, "in all", BP_CELL_RIGHT, false);
    print_cost(table, "this plan", &plan->cost);
    print_cost(table, "replacing in the order of likelihood", &plan->likely);
    print_cost(table, "replacing what is cheapest first", &plan->cheap);
    bp_columns_print(table);
    bp_columns_free(&table);
    bp_percent(plan->unsolved, share, sizeof share);
    bp_screen_paragraph(out, BP_TONE_FAINT, 0, 0,
                        "Averages over the faults of the list. In %s of all cases it is none of "
                        "them: there tests say so, and new parts never do.",
                        share);
}
