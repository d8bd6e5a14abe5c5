/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A circuit with one part of every kind, and a reference page of their symbols to look at.
 */
#ifndef BP_TESTS_SYMBOL_PAGE_H
#define BP_TESTS_SYMBOL_PAGE_H

#include "render/symbol.h"

/* One part of every kind (named like the kind), every pin wired; NULL and a message on stderr when
 * the circuit has mistakes. Free with bp_circuit_free. */
bp_circuit *every_kind(void);

/* Every symbol in its settings, drawn to `path`. Returns false when that failed. */
bool write_symbol_page(const bp_circuit *circuit, const char *path);

#endif
