/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/reading.h"
#include "sim/instrument.h"

const char *bp_mark_text(int mark) { return mark > 0 ? "▲" : mark < 0 ? "▼" : ""; }

/* Two displays as one range: a unit that both have is written once, ends that look alike are one
 * value. */
static void join(const char *low, const char *high, bool is_short, char *text, size_t size) {
    const char *unit = strchr(low, ' '), *other = strchr(high, ' ');
    bool one_unit = unit && other && strcmp(unit, other) == 0;
    int n = is_short && one_unit ? (int)(other - high) : (int)strlen(high);
    if (strcmp(low, high) == 0)
        snprintf(text, size, "%.*s", n, high);
    else if (low[0] == '-' && strcmp(low + 1, high) == 0)
        snprintf(text, size, "±%.*s", n, high);
    else
        snprintf(text, size, "%.*s%s%.*s", one_unit ? (int)(unit - low) : (int)strlen(low), low,
                 is_short ? "–" : " – ", n, high);
}

void bp_show_range(const bp_reading *reading, bool is_short, char *text, size_t size) {
    char low[24], high[24];
    text[0] = '\0';
    if (isnan(reading->low) || isnan(reading->high))
        return;
    bp_instruments[reading->instrument]->show(reading->low, low, sizeof low);
    bp_instruments[reading->instrument]->show(reading->high, high, sizeof high);
    join(low, high, is_short, text, size);
}

void bp_show_reading(const bp_reading *reading, char *text, size_t size) {
    if (reading->status == BP_READING_NONE)
        snprintf(text, size, "no result");
    else if (reading->status == BP_READING_UNSTEADY)
        bp_show_range(reading, false, text, size);
    else
        snprintf(text, size, "%s", reading->display);
}

const bp_state_answer *bp_same_state(const bp_answer *healthy, const bp_state_answer *faulted) {
    for (size_t i = 0; healthy && i < healthy->n_states; i++)
        if (strcmp(healthy->states[i].state, faulted->state) == 0)
            return &healthy->states[i];
    return NULL;
}
