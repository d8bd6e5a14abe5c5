/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Circuit files of the tests, whole and damaged.
 */
#ifndef BP_TESTS_CIRCUITS_FILES_H
#define BP_TESTS_CIRCUITS_FILES_H

#include <backprobe/load.h>

#include "circuits/circuit.h"

/* The text of a file under tests/circuits; fails the test when it cannot be read. Owned by the
 * caller (free). */
char *files_read(const char *name);

/* A copy of text with the first `find` replaced; fails the test when it is not there. Owned by the
 * caller. */
char *files_replaced(const char *text, const char *find, const char *by);

/* Loads data/horn.yaml; fails the test, with the messages, when that does not work. Free both. */
bp_circuit *files_horn(bp_report **report);

/* The messages of a report, one a line, for messages of tests; static buffer. */
const char *files_messages(const bp_report *report);

#endif
