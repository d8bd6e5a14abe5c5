/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a hand feels, in words: first what is not as in the good circuit.
 */
#include <stdlib.h>

#include "cli/predict_text.h"
#include "sim/noticed.h"

bool bp_felt_differs(const bp_state_answer *healthy, const bp_state_answer *faulted) {
    for (size_t i = 0; i < faulted->n_warm; i++)
        if (bp_warmth_differs(bp_warmth_of(healthy, faulted->warm[i].place), &faulted->warm[i]))
            return true;
    for (size_t i = 0; i < healthy->n_warm; i++)
        if (!bp_warmth_of(faulted, healthy->warm[i].place))
            return true;
    return false;
}

void bp_print_felt_changed(const bp_screen *out, const bp_state_answer *state,
                           const bp_state_answer *healthy) {
    for (size_t i = 0; healthy && i < state->n_warm; i++) {
        const bp_warmth *good = bp_warmth_of(healthy, state->warm[i].place);
        if (bp_warmth_differs(good, &state->warm[i]))
            bp_screen_paragraph(out, BP_TONE_STRONG, 2, 4, "To the hand %s (good: %s)",
                                state->warm[i].words, good ? good->says : "not warm");
    }
    for (size_t i = 0; healthy && i < healthy->n_warm; i++)
        if (!bp_warmth_of(state, healthy->warm[i].place))
            bp_screen_paragraph(out, BP_TONE_STRONG, 2, 4, "To the hand %s is not warm (good: %s)",
                                healthy->warm[i].place, healthy->warm[i].says);
}

void bp_print_felt_alike(const bp_screen *out, const bp_state_answer *state,
                         const bp_state_answer *healthy) {
    char *all = NULL;
    size_t size;
    FILE *f = bp_must(open_memstream(&all, &size));
    for (size_t i = 0; i < state->n_warm; i++) {
        const bp_warmth *w = &state->warm[i];
        if (!healthy || !bp_warmth_differs(bp_warmth_of(healthy, w->place), w))
            fprintf(f, "%s%s", ftell(f) > 0 ? "; " : "", w->words);
    }
    if (fclose(f) != 0)
        bp_must(NULL);
    if (*(char *)bp_must(all))
        bp_screen_paragraph(out, BP_TONE_PLAIN, 2, 4, "To the hand %s.", all);
    free(all);
}
