/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an hour costs, as people write it.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

#include "cli/rate.h"

static void test_read(void **state) {
    (void)state;
    static const struct {
        const char *text, *currency;
        double per_hour;
    } good[] = {
        {"95 EUR", "EUR", 95}, {"95EUR", "EUR", 95},     {"EUR 95", "EUR", 95},
        {"€95.50", "€", 95.5}, {"  120 kr ", "kr", 120}, {"95", "", 95},
        {"$ 80", "$", 80},
    };
    for (size_t i = 0; i < sizeof good / sizeof *good; i++) {
        bp_rate rate;
        assert_true(bp_rate_read(good[i].text, &rate));
        assert_true(rate.per_hour > good[i].per_hour - 1e-9);
        assert_true(rate.per_hour < good[i].per_hour + 1e-9);
        assert_string_equal(rate.currency, good[i].currency);
    }
}

static void test_refused(void **state) {
    (void)state;
    static const char *const bad[] = {
        "",          "EUR",     "0 EUR",     "-95 EUR",    "EUR 95 EUR",          "95 EUR an hour",
        "95 EUR 20", "nan EUR", "1e400 EUR", "95 \033[2J", "95 currencyofourown",
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        bp_rate rate;
        if (bp_rate_read(bad[i], &rate))
            fail_msg("\"%s\" was taken", bad[i]);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_read),
        cmocka_unit_test(test_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
