/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * A book of repairs about the horn of tests/circuits, in a folder of its own.
 */
#ifndef BP_TESTS_DIAGNOSE_BOOK_H
#define BP_TESTS_DIAGNOSE_BOOK_H

#include <backprobe/repairs.h>

#include "circuits/circuit.h"

typedef struct book {
    bp_circuit *circuit;
    bp_report *report; /* emptied by book_messages */
    char folder[64], path[80];
} book;

void book_set(book *b);
void book_clear(book *b); /* folder and all */

/* An entry that may be added. */
bp_repair book_entry(const char *fault);

/* Opens, adds one entry, closes. */
bp_status book_add(book *b, const char *fault);

/* How many whole entries there are; fails the test when the book cannot be read. */
size_t book_count(book *b);

/* Everything that was said since the last call, one message a line; static buffer. */
const char *book_messages(book *b);

/* The file as it is, and put back. Owned by the caller (free). */
unsigned char *book_bytes(const book *b, size_t *size);
void book_put_bytes(const book *b, const unsigned char *bytes, size_t size);

#endif
