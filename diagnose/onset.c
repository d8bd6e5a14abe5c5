/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "diagnose/onset.h"

#include <string.h>

/* Words in the ids of modes, and by how much more often such a mode is behind a trouble that began
 * so. Common practice, as far as it is written down anywhere: what breaks or shorts is sudden, what
 * corrodes or wears is gradual; hands leave plugs off, pins backed out, leads swapped and wrong
 * parts behind; water bridges; heat opens windings and joints. */
static const struct {
    bp_onset onset;
    const char *word;
    double factor;
} table[] = {
    {BP_ONSET_SUDDEN, "open", 1.5},
    {BP_ONSET_SUDDEN, "blown", 2},
    {BP_ONSET_SUDDEN, "short", 1.5},
    {BP_ONSET_SUDDEN, "tripped", 2},
    {BP_ONSET_SUDDEN, "resistance", 0.5},
    {BP_ONSET_SUDDEN, "worn", 0.7},
    {BP_ONSET_SUDDEN, "charge", 0.5},
    {BP_ONSET_GRADUAL, "resistance", 2},
    {BP_ONSET_GRADUAL, "worn", 2},
    {BP_ONSET_GRADUAL, "weak", 2},
    {BP_ONSET_GRADUAL, "binding", 2},
    {BP_ONSET_GRADUAL, "blown", 0.3},
    {BP_ONSET_GRADUAL, "short", 0.4},
    {BP_ONSET_GRADUAL, "open", 0.5},
    {BP_ONSET_AFTER_WORK, "wrong", 4},
    {BP_ONSET_AFTER_WORK, "crossed", 5},
    {BP_ONSET_AFTER_WORK, "reversed", 5},
    {BP_ONSET_AFTER_WORK, "open", 1.5},
    {BP_ONSET_AFTER_WORK, "short-to", 2},
    {BP_ONSET_AFTER_WORK, "new-bad", 3},
    {BP_ONSET_AFTER_RAIN, "leak", 4},
    {BP_ONSET_AFTER_RAIN, "bridge", 4},
    {BP_ONSET_AFTER_RAIN, "resistance", 1.5},
    {BP_ONSET_WHEN_HOT, "spread", 3},
    {BP_ONSET_WHEN_HOT, "open", 1.3},
    {BP_ONSET_WHEN_HOT, "hairline", 3},
    {BP_ONSET_WHEN_COLD, "charge", 2},
    {BP_ONSET_WHEN_COLD, "stiff", 3},
    {BP_ONSET_WHEN_COLD, "binding", 2},
    {BP_ONSET_WHEN_COLD, "weak", 1.5},
};

double bp_onset_factor(bp_onset onset, const bp_mode_decl *mode) {
    double factor = 1;
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        if (table[i].onset == onset && strstr(mode->id, table[i].word))
            factor *= table[i].factor;
    return factor;
}

/* Most faults stay; what comes and goes by nature is mostly there by the time somebody measures,
 * less so when it needs rain, heat or cold. From memory. */
#define AWAY_RARELY 0.02
#define AWAY_OFTEN 0.1
#define AWAY_IN_WEATHER 0.5

double bp_onset_away(bp_onset onset, const bp_mode_decl *mode) {
    const bool weather =
        onset == BP_ONSET_AFTER_RAIN || onset == BP_ONSET_WHEN_HOT || onset == BP_ONSET_WHEN_COLD;
    if (mode->intermittent || strstr(mode->id, "spread"))
        return weather ? AWAY_IN_WEATHER : AWAY_OFTEN;
    return weather ? AWAY_OFTEN : AWAY_RARELY;
}
