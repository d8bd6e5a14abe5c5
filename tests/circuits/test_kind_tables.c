/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Every kind's tables hold what people are shown: words, sources, ranges that contain the default.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include <string.h>

#include "circuits/kind.h"

#define CHECK(cond, kind, what)                                                                    \
    do {                                                                                           \
        if (!(cond))                                                                               \
            fail_msg("%s, %s: %s", (kind)->id, what, #cond);                                       \
    } while (0)

static size_t n_choices(const bp_param_decl *param) {
    size_t n = 0;
    while (param->choices && param->choices[n])
        n++;
    return n;
}

static void parameters_have_words_sources_and_sound_defaults(void **state) {
    (void)state;
    for (size_t k = 0; k < BP_N_KINDS; k++) {
        const bp_kind *kind = bp_kinds[k];
        CHECK(kind->words && kind->note, kind, "kind");
        for (const bp_param_decl *p = kind->params; p && p->key; p++) {
            CHECK(p->words && *p->words, kind, p->key);
            CHECK(p->source && *p->source, kind, p->key);
            CHECK(bp_kind_param(kind, p->key) == (int)(p - kind->params), kind, p->key);
            CHECK(!p->required || p->type != BP_PARAM_QUANTITY || isnan(p->def), kind, p->key);
            if (p->type == BP_PARAM_WORD)
                CHECK(p->def >= 0 && p->def < (double)n_choices(p), kind, p->key);
            else if (p->type == BP_PARAM_QUANTITY && !isnan(p->def) && (p->lo != 0 || p->hi != 0))
                CHECK(p->lo <= p->def && p->def <= p->hi, kind, p->key);
            CHECK(p->tol_sort == BP_TOL_NONE || p->tol > 0, kind, p->key);
            /* The spread of good parts must not reach a value that is not there: 0 ohm. */
            CHECK(p->tol_sort != BP_TOL_RELATIVE || p->tol < 1, kind, p->key);
        }
    }
}

static void modes_have_words_and_sound_ranges(void **state) {
    (void)state;
    for (size_t k = 0; k < BP_N_KINDS; k++) {
        const bp_kind *kind = bp_kinds[k];
        for (const bp_mode_decl *m = kind->modes; m && m->id; m++) {
            const char *place = m->words ? strstr(m->words, "%s") : NULL;
            CHECK(place, kind, m->id);
            CHECK(!strchr(place + 1, '%'), kind, m->id);
            CHECK(strspn(m->id, "abcdefghijklmnopqrstuvwxyz0123456789-") == strlen(m->id), kind,
                  m->id);
            CHECK(bp_kind_mode(kind, m->id) == (int)(m - kind->modes), kind, m->id);
            CHECK(m->weight > 0, kind, m->id);
            if (m->scale == BP_SCALE_NONE)
                continue;
            CHECK(m->lo < m->hi && m->lo <= m->typical && m->typical <= m->hi, kind, m->id);
            CHECK(m->scale != BP_SCALE_LOG || m->lo > 0, kind, m->id);
        }
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(parameters_have_words_sources_and_sound_defaults),
        cmocka_unit_test(modes_have_words_and_sound_ranges),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
