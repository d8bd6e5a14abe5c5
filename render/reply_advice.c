/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What to do where there is nothing to test, what not to buy yet, when to stop.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/fault.h"
#include "circuits/memory.h"
#include "render/reply_source.h"

/* From here on a suspect is worth a repair; the reading before and after it proves it. */
static const double sure_enough = 0.8;

static bool set_lead(bp_reply *r, const char *text) {
    r->lead = bp_copy(text);
    return r->lead;
}

static bool advise_elsewhere(bp_reply *r, const bp_reply_source *s) {
    const bp_circuit *c = s->circuit;
    bool good = set_lead(r, "Look elsewhere") &&
                bp_words_add(&r->advice, true, "This circuit is good at every place that counts.");
    for (size_t i = 0; i < c->n_elsewhere && good; i++)
        good = bp_words_add(&r->advice, false, "%s", c->elsewhere[i]);
    if (good && c->n_elsewhere == 0)
        good = bp_words_add(&r->advice, false,
                            "What it drives, and what it is told to do by others, come next.");
    return good;
}

static bool advise_repair(bp_reply *r) {
    return set_lead(r, "Repair") &&
           bp_words_add(&r->advice, false,
                        "Find what caused it before anything new goes in: why did it blow, chafe "
                        "or corrode?") &&
           bp_words_add(&r->advice, false,
                        "Then take the reading that told it once more. It must be good, and the "
                        "complaint must be gone.");
}

static bool advise_workshop(bp_reply *r) {
    return set_lead(r, "Bring it to a workshop") &&
           bp_words_add(&r->advice, false,
                        "With these tools no further reading would tell more. Bring this sheet "
                        "along: what was measured need not be measured again.");
}

bp_status bp_reply_say_advice(bp_reply *r, const bp_reply_source *s) {
    if (s->n_tests > 0)
        return set_lead(r, "Measure next") ? BP_OK : BP_ERR_MEMORY;
    const bp_suspect *best = bp_match_n_suspects(s->match) ? bp_match_suspect(s->match, 0) : NULL;
    const char *end = bp_next_end(s->next);
    const bool sure = best && best->probability >= sure_enough && !bp_match_is_no(s->match);
    bool good = true;
    if (sure && best->sort == BP_SUSPECT_HEALTHY)
        good = advise_elsewhere(r, s);
    else if (end)
        good = bp_words_add(&r->advice, true, "%s", end);
    if (good && !r->lead)
        good = sure && best->sort == BP_SUSPECT_FAULTS ? advise_repair(r) : advise_workshop(r);
    return good ? BP_OK : BP_ERR_MEMORY;
}

/* How likely it is that something is wrong with each part itself. */
static bp_status blame(const bp_reply_source *s, double *share) {
    for (size_t i = 0; i < bp_match_n_suspects(s->match); i++) {
        const bp_suspect *suspect = bp_match_suspect(s->match, i);
        for (size_t k = 0; k < suspect->n_faults; k++) {
            bp_fault_case faults;
            char why[8];
            bp_status status =
                bp_fault_parse(s->circuit, suspect->faults[k].fault, &faults, why, sizeof why);
            if (status == BP_ERR_MEMORY)
                return status;
            for (size_t f = 0; status == BP_OK && f < faults.n; f++)
                if (faults.fault[f].sub == BP_NONE) /* a new part mends no terminal in the loom */
                    share[faults.fault[f].part] += suspect->faults[k].probability;
        }
    }
    return BP_OK;
}

/* Nobody is ruined by a part that is cheaper. */
static const double least_price = 5;

/* What people would buy on a guess: the likeliest part that is worth money, then the dearest. */
static size_t tempting(const bp_reply_source *s, const double *share, bool dearest,
                       size_t not_this) {
    const bp_circuit *c = s->circuit;
    size_t best = BP_NONE;
    double most = 0;
    for (size_t i = 0; i < c->n_parts; i++) {
        const bp_part *p = &c->parts[i];
        if (i == not_this || p->kind->passive || p->price < least_price || share[i] >= sure_enough)
            continue;
        const double pull = dearest ? p->price : share[i] * sqrt(p->price);
        if (pull > most) {
            best = i;
            most = pull;
        }
    }
    return best;
}

/* " (about 180 EUR)" */
static void price_words(const bp_reply_source *s, double price, char *text, size_t size) {
    const char *currency = s->options->currency;
    snprintf(text, size, "%.0f%s%s", price, currency ? " " : "", currency ? currency : "");
}

static bool warn_of(bp_reply *r, const bp_reply_source *s, size_t part, double share) {
    const bp_part *p = &s->circuit->parts[part];
    char price[60], chance[40];
    price_words(s, p->price, price, sizeof price);
    if (share < 0.005)
        snprintf(chance, sizeof chance, "hardly a chance that it is bad");
    else
        snprintf(chance, sizeof chance, "%.0f in a hundred that it is bad", fmax(1, 100 * share));
    return bp_words_add(&r->buying, true, "No %s %s (about %s): %s.",
                        p->label ? p->label : p->kind->words, p->id, price, chance);
}

/* "34 min", "1 h 35 min" */
static char *time_words(double minutes) {
    char *text = NULL;
    const int all = (int)fmin(fmax(1, round(minutes)), 1e6), hours = all / 60;
    const int n =
        hours ? asprintf(&text, "%d h %02d min", hours, all % 60) : asprintf(&text, "%d min", all);
    return n < 0 ? NULL : text;
}

static bool say_cost(bp_reply_cost *to, const bp_reply_source *s, const char *way,
                     const bp_plan_cost *cost) {
    char parts[60], all[60] = "";
    price_words(s, cost->money, parts, sizeof parts);
    if (!isnan(cost->total))
        price_words(s, cost->total, all, sizeof all);
    *to = (bp_reply_cost){bp_copy(way), {time_words(cost->minutes), bp_copy(parts), bp_copy(all)}};
    return to->way && to->figure[0] && to->figure[1] && to->figure[2];
}

bp_status bp_reply_say_costs(bp_reply *r, const bp_reply_source *s) {
    const bp_test_plan *plan = bp_next_plan(s->next);
    double *share = bp_zeroed(s->circuit->n_parts, sizeof *share);
    bp_status status = share ? blame(s, share) : BP_ERR_MEMORY;
    bool good = status == BP_OK;
    if (good) {
        const size_t first = tempting(s, share, false, BP_NONE);
        const size_t second = tempting(s, share, true, first);
        good = first == BP_NONE || warn_of(r, s, first, share[first]);
        if (good && second != BP_NONE)
            good = warn_of(r, s, second, share[second]);
    }
    if (good && plan && s->n_tests > 0)
        good = say_cost(&r->costs[0], s, "testing first", &plan->cost) &&
               say_cost(&r->costs[1], s, "likeliest part first", &plan->likely) &&
               say_cost(&r->costs[2], s, "cheapest part first", &plan->cheap);
    free(share);
    return status != BP_OK ? status : good ? BP_OK : BP_ERR_MEMORY;
}

bp_status bp_reply_say_stop(bp_reply *r) {
    const bool good =
        bp_words_add(&r->stop, false,
                     "Anything gets hot, smokes or smells of fuel or burning: key off, negative "
                     "cable off.") &&
        bp_words_add(&r->stop, false, "A new fuse blows again. Never fit a larger one.") &&
        bp_words_add(&r->stop, false,
                     "A test asks for more than you have done before, or no result here fits: "
                     "take this sheet to a workshop.");
    return good ? BP_OK : BP_ERR_MEMORY;
}
