/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What it can be, in words: few faults one by one, many by what is wrong and where.
 */
#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "render/reply_source.h"

/* Suspects less likely than this are told together. */
static const double least_share = 0.05;
/* Places named of one way to fail, and ways named, before the rest is counted. */
enum { MOST_PLACES = 5, MOST_WAYS = 2 };

/* "C3.1" of "C3.1:open": the place's length. */
static size_t place_length(const bp_suspect_fault *f) { return strcspn(f->fault, ":"); }

static const char *way_of(const bp_suspect_fault *f) {
    const size_t n = place_length(f);
    return f->fault[n] ? f->fault + n + 1 : f->fault + n;
}

/* Up to a partner: "short-to=W3" is "short-to". */
static bool same_way(const bp_suspect_fault *a, const bp_suspect_fault *b) {
    const char *x = way_of(a), *y = way_of(b);
    const size_t n = strcspn(x, "=");
    return n == strcspn(y, "=") && strncmp(x, y, n) == 0;
}

/* "high resistance", "contact open": a way to fail as people say it. */
static void print_way(FILE *f, const bp_suspect_fault *fault) {
    const char *way = way_of(fault);
    const size_t n = strcspn(way, "=");
    if (n == strlen("resistance") && strncmp(way, "resistance", n) == 0) {
        fputs("high resistance", f);
        return;
    }
    for (size_t i = 0; i < n; i++)
        fputc(way[i] == '-' ? ' ' : way[i], f);
}

/* The likeliest fault of the suspect that is not told yet and fails this way (NULL: any);
 * n_faults: none. */
static size_t likeliest(const bp_suspect *s, const bool *told, const bp_suspect_fault *way) {
    size_t best = s->n_faults;
    for (size_t i = 0; i < s->n_faults; i++)
        if (!told[i] && (!way || same_way(&s->faults[i], way)) &&
            (best == s->n_faults || s->faults[i].probability > s->faults[best].probability))
            best = i;
    return best;
}

/* "open: C3.1, C3.2, W16", the likeliest first; marks what it named. */
static void print_places(FILE *f, const bp_suspect *s, bool *told, const bp_suspect_fault *way) {
    print_way(f, way);
    for (size_t n = 0; n < MOST_PLACES; n++) {
        const size_t best = likeliest(s, told, way);
        if (best == s->n_faults)
            return;
        told[best] = true;
        fprintf(f, "%s%.*s", n ? ", " : ": ", (int)place_length(&s->faults[best]),
                s->faults[best].fault);
    }
}

static char *many_words(const bp_suspect *s) {
    assert(s->faults);
    char *text = NULL;
    size_t size, rest = 0;
    bool *told = bp_zeroed(s->n_faults, sizeof *told);
    FILE *f = told ? open_memstream(&text, &size) : NULL;
    const bp_suspect_fault *last = NULL;
    for (size_t way = 0; f && way < MOST_WAYS; way++) {
        const size_t first = likeliest(s, told, NULL);
        if (first == s->n_faults || (last && same_way(last, &s->faults[first])))
            break;
        last = &s->faults[first];
        fputs(way ? "; " : "", f);
        print_places(f, s, told, last);
    }
    for (size_t i = 0; f && i < s->n_faults; i++)
        rest += !told[i];
    if (f && rest > 0)
        fprintf(f, "; %zu more look alike so far", rest);
    const bool good = f && fclose(f) == 0;
    free(told);
    if (good)
        return text;
    free(text);
    return NULL;
}

static char *few_words(const bp_suspect *s) {
    char how_bad[60] = "", value[40], *text = NULL;
    const bp_suspect_fault *f = s->faults;
    if (!isnan(f->severity) && s->n_faults == 1) {
        bp_quantity_format(f->severity, f->unit, 2, value, sizeof value);
        snprintf(how_bad, sizeof how_bad, ", about %s", value);
    }
    int n;
    if (s->n_faults == 1)
        n = asprintf(&text, "%s%s", f->words, how_bad);
    else if (s->sort == BP_SUSPECT_FAULTS)
        n = asprintf(&text, "%s; or %s", f[0].words, f[1].words);
    else
        n = asprintf(&text, "two faults: %s; or %zu other pair%s that look%s alike", f[0].words,
                     s->n_faults - 1, s->n_faults == 2 ? "" : "s", s->n_faults == 2 ? "s" : "");
    return n < 0 ? NULL : text;
}

static char *suspect_words(const bp_suspect *s) {
    switch (s->sort) {
    case BP_SUSPECT_HEALTHY:
        return bp_copy("this circuit is good: look elsewhere");
    case BP_SUSPECT_ABSENT:
        return bp_copy("the trouble was not there when it was measured");
    case BP_SUSPECT_PAIRS:
    case BP_SUSPECT_FAULTS:
        break;
    }
    if (s->n_faults == 0)
        return bp_copy(s->says);
    return s->n_faults > 2 && s->sort == BP_SUSPECT_FAULTS ? many_words(s) : few_words(s);
}

/* Takes the words. */
static bool add_suspect(bp_reply *r, char *words, double share) {
    if (words)
        r->suspects[r->n_suspects++] = (bp_reply_suspect){words, share};
    return words;
}

bp_status bp_reply_say_suspects(bp_reply *r, const bp_reply_source *s) {
    const size_t n = bp_match_n_suspects(s->match);
    double rest = 0;
    size_t n_rest = 0;
    for (size_t i = 0; i < n; i++) {
        const bp_suspect *suspect = bp_match_suspect(s->match, i);
        const bool room = r->n_suspects + 2 < BP_REPLY_SUSPECTS;
        if (room && suspect->probability >= least_share) {
            if (!add_suspect(r, suspect_words(suspect), suspect->probability))
                return BP_ERR_MEMORY;
            continue;
        }
        rest += suspect->probability;
        n_rest++;
    }
    char *words = NULL;
    if (n_rest > 0 && rest >= 0.005 &&
        (asprintf(&words, n_rest == 1 ? "one other" : "%zu others together", n_rest) < 0 ||
         !add_suspect(r, words, rest)))
        return BP_ERR_MEMORY;
    const double other = bp_match_other(s->match);
    if (other >= 0.005 && !add_suspect(r, bp_copy("something that is not in the list"), other))
        return BP_ERR_MEMORY;
    return BP_OK;
}
