/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/reply_facts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"

static void clear_test(bp_reply_test *test) {
    free(test->title);
    free(test->time);
    free(test->unit);
    for (size_t i = 0; i < test->n_steps; i++) {
        free(test->steps[i].what);
        free(test->steps[i].how);
    }
    for (size_t i = 0; i < test->n_outcomes; i++) {
        free(test->outcomes[i].shows);
        free(test->outcomes[i].means);
    }
}

static void drop_tag(bp_reply *r, size_t tag) {
    free(r->points[tag].id);
    free((char *)r->tags[tag].good);
    const size_t last = --r->shown.n_points;
    r->points[tag] = r->points[last];
    r->tags[tag] = r->tags[last];
    r->of[tag] = r->of[last];
}

bool bp_reply_number_tags(bp_reply *r) {
    for (size_t i = 0; i < r->shown.n_points; i++) {
        char id[8 * BP_REPLY_TESTS] = "";
        for (size_t test = 0; test < BP_REPLY_TESTS; test++)
            if (r->of[i] >> test & 1)
                snprintf(id + strlen(id), sizeof id - strlen(id), "%s%zu", id[0] ? ", " : "",
                         test + 1);
        if (!id[0])
            continue;
        free(r->points[i].id);
        r->points[i].id = bp_copy(id);
        if (!r->points[i].id)
            return false;
    }
    return true;
}

bool bp_reply_keep_tests(bp_reply *r, size_t n) {
    while (r->n_tests > n)
        clear_test(&r->tests[--r->n_tests]);
    for (size_t i = r->shown.n_points; i-- > 0;) {
        const unsigned kept = r->of[i] & ((1u << n) - 1);
        if (r->of[i] != 0 && kept == 0)
            drop_tag(r, i);
        else
            r->of[i] = kept;
    }
    return bp_reply_number_tags(r);
}

void bp_reply_clear(bp_reply *reply) {
    free(reply->complaint);
    free(reply->lead);
    bp_words_clear(&reply->history);
    bp_words_clear(&reply->again);
    bp_words_clear(&reply->advice);
    bp_words_clear(&reply->buying);
    bp_words_clear(&reply->stop);
    for (size_t i = 0; i < reply->n_suspects; i++)
        free(reply->suspects[i].words);
    for (size_t i = 0; i < BP_REPLY_COSTS; i++) {
        free(reply->costs[i].way);
        for (size_t k = 0; k < 3; k++)
            free(reply->costs[i].figure[k]);
    }
    for (size_t i = 0; i < reply->n_readings; i++) {
        free(reply->readings[i].state);
        free(reply->readings[i].where);
        free(reply->readings[i].read);
        free(reply->readings[i].good);
    }
    for (size_t i = 0; i < reply->n_tests; i++)
        clear_test(&reply->tests[i]);
    for (size_t i = 0; reply->points && i < reply->shown.n_points; i++)
        free(reply->points[i].id);
    for (size_t i = 0; reply->tags && i < reply->shown.n_points; i++)
        free((char *)reply->tags[i].good); /* it was made for this tag */
    free(reply->left_out);
    free(reply->of);
    free(reply->points);
    free(reply->tags);
    *reply = (bp_reply){0};
}
