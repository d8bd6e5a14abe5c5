/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * The shipped caution texts. A circuit file may name their keys; those that its parts call for, and
 * those that belong on every sheet, are added without being asked (design: safety).
 */
#ifndef BP_CIRCUITS_CAUTIONS_H
#define BP_CIRCUITS_CAUTIONS_H

#include <stdbool.h>

#include "circuits/kind.h"

typedef struct bp_caution {
    const char *key;
    const char *text;        /* one or two sentences */
    bool always;             /* on every sheet */
    const bp_kind *calls[4]; /* kinds whose presence calls for it; NULL-ended */
} bp_caution;

/* The most dangerous first; ended by key NULL. */
extern const bp_caution bp_cautions[];

/* The text behind a key; NULL for a key that is not shipped. */
const char *bp_caution_text(const char *key);

#endif
