/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * JSON by jansson, with what our documents need on top: null for what is not known, UTF-8 whatever
 * comes.
 */
#ifndef BP_CLI_JSON_H
#define BP_CLI_JSON_H

#include <jansson.h>

#include <backprobe/predict.h>

#include "cli/screen.h"

/* null when the value is not finite. */
json_t *bp_json_number(double value);

/* null when the text is NULL; bytes that are no UTF-8 are escaped. */
json_t *bp_json_text(const char *text);

/* The unit that values are kept in, as programs read it: "V", "ohm", "m2", "fraction"; NULL for a
 * bare number. Static. */
const char *bp_unit_plain(bp_unit unit);
json_t *bp_json_unit(bp_unit unit);

/* Array of n texts. */
json_t *bp_json_texts(const char *const *texts, size_t n);

/* What is noticed of a part. */
json_t *bp_json_notice(const bp_notice *notice);
/* "W7:open+G3:open" is a list of two, "healthy" and NULL are an empty one. */
json_t *bp_json_faults(const char *faults);

/* object[key] = value; takes the value. Ends the program when memory is out. */
void bp_json_set(json_t *object, const char *key, json_t *value);
void bp_json_append(json_t *array, json_t *value);

/* New empty ones, never NULL. */
json_t *bp_json_object(void);
json_t *bp_json_array(void);

/* Prints the document and frees it. */
void bp_json_print(const bp_screen *out, json_t *document);

#endif
