/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/rate.h"

#include <string.h>

#include "circuits/text.h"

static size_t blanks(const char *text, size_t length) {
    size_t n = 0;
    while (n < length && text[n] == ' ')
        n++;
    return n;
}

/* A currency is one word without digits. */
static bool take_currency(const char *text, size_t length, bp_rate *rate) {
    while (length > 0 && text[length - 1] == ' ')
        length--;
    const size_t skip = blanks(text, length);
    text += skip;
    length -= skip;
    if (length >= sizeof rate->currency)
        return false;
    memcpy(rate->currency, text, length);
    rate->currency[length] = '\0';
    return strpbrk(rate->currency, " 0123456789+-") == NULL && bp_text_is_clean(rate->currency);
}

bool bp_rate_read(const char *text, bp_rate *rate) {
    const size_t before = strcspn(text, "0123456789");
    const char *number = text + before;
    const size_t length = bp_number_length(number), rest = strlen(number + length);
    if (length == 0 || !bp_number_read(number, length, 0, &rate->per_hour) || !(rate->per_hour > 0))
        return false;
    const bool leads = blanks(text, before) < before;
    const bool follows = blanks(number + length, rest) < rest;
    if (leads && follows)
        return false;
    return leads ? take_currency(text, before, rate) : take_currency(number + length, rest, rate);
}
