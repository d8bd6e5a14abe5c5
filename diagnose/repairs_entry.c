/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What an entry has to say before it may stand in the book.
 */
#include "diagnose/repairs_private.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "circuits/fault.h"
#include "circuits/text.h"
#include "sim/instrument.h"
#include "sim/question.h"

enum { LONGEST = 1000 };

static bool wrong(bp_report *report, const char *text) {
    bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "%s", text);
    return false;
}

bool bp_repairs_check_words(const char *what, const char *words, bp_report *report) {
    if (!words || words[strspn(words, " \t")] == '\0')
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "%s is missing", what);
    else if (strlen(words) > LONGEST)
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "%s: longer than %d bytes", what, LONGEST);
    else if (!bp_text_is_clean(words))
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0,
                      "%s: only characters that can be shown in one line", what);
    else
        return true;
    return false;
}

static bool check_date(const char *date, bp_report *report) {
    if (!date)
        return true;
    struct tm day = {0}, same;
    const char *end = strptime(date, "%Y-%m-%d", &day);
    char again[16] = "";
    const time_t noon = end ? timegm(&day) + 12 * 3600L : 0;
    gmtime_r(&noon, &same);
    strftime(again, sizeof again, "%Y-%m-%d", &same);
    if (!end || strcmp(again, date) != 0)
        return wrong(report, "date: expected a day such as 2026-03-02");
    if (noon > time(NULL) + 2 * 86400L) /* two days: clocks and time zones differ */
        return wrong(report, "date: this day is yet to come");
    return true;
}

static bool check_fault(const bp_circuit *circuit, const char *fault, bp_report *report) {
    bp_fault_case faults;
    char why[400];
    if (!bp_repairs_check_words("fault", fault, report))
        return false;
    if (bp_fault_parse(circuit, fault, &faults, why, sizeof why) != BP_OK) {
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0,
                      "fault %.60s: %s; 'backprobe faults %s' lists them", fault, why, circuit->id);
        return false;
    }
    if (faults.n == 0)
        return wrong(report, "fault: a healthy circuit is no repair; name what was wrong");
    if (faults.n > 1)
        return wrong(report, "fault: one entry is about one fault; write an entry for each");
    return true;
}

static bool find_instrument(const char *name, bp_instrument *instrument, bp_report *report) {
    const char *names[BP_N_INSTRUMENTS];
    *instrument = BP_VOLTS;
    if (!name || bp_instrument_find(name, instrument))
        return true;
    for (size_t i = 0; i < BP_N_INSTRUMENTS; i++)
        names[i] = bp_instrument_name((bp_instrument)i);
    const char *near = bp_near_miss(name, names, BP_N_INSTRUMENTS);
    bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "there is no instrument \"%.40s\"%s%s%s", name,
                  near ? "; did you mean \"" : "", near ? near : "", near ? "\"?" : "");
    return false;
}

/* State and leads, resolved as any question is. */
static bool check_place(const bp_circuit *circuit, const bp_repair *r, bp_instrument instrument,
                        bp_report *report) {
    bool good = bp_repairs_check_words("state", r->state, report);
    good = bp_repairs_check_words("red", r->red, report) && good;
    if (!good)
        return false;
    const bp_pair leads = {r->red, r->black};
    bp_question question = BP_QUESTION_INIT;
    question.state = r->state;
    question.instrument = instrument;
    question.pairs = &leads;
    question.n_pairs = 1;
    bp_asked asked;
    if (bp_question_resolve(&question, circuit, &asked, report) != BP_OK)
        return false;
    bp_asked_clear(&asked);
    return true;
}

typedef struct shown {
    const char *word; /* NULL: a number */
    double value;
} shown;

/* What the instrument showed, "12.4 V" or one of its words. */
static bool read_shown(const char *what, const char *text, bp_instrument instrument, shown *out,
                       bp_report *report) {
    static const char *const lamp[] = {"off", "dim", "bright", "unsteady", NULL};
    static const char *const meter[] = {"OL", "unsteady", NULL};
    char why[256];
    if (!bp_repairs_check_words(what, text, report))
        return false;
    const bp_unit unit = bp_instruments[instrument]->unit;
    const bool is_lamp = unit == BP_UNIT_FRACTION; /* of its light: people see words */
    for (const char *const *w = is_lamp ? lamp : meter; *w; w++)
        if (strcmp(*w, text) == 0) {
            *out = (shown){*w, 0};
            return true;
        }
    if (is_lamp) {
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0,
                      "%s: a test lamp is off, dim, bright or unsteady, not \"%.40s\"", what, text);
        return false;
    }
    out->word = NULL;
    if (bp_quantity_parse(text, unit, &out->value, why, sizeof why) == BP_OK)
        return true;
    bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "%s: %s", what, why);
    return false;
}

static bool check_reading(const bp_circuit *circuit, const bp_repair *r, bp_report *report) {
    bp_instrument instrument;
    shown before, after;
    if (!find_instrument(r->instrument, &instrument, report))
        return false;
    bool good = check_place(circuit, r, instrument, report);
    bool read = read_shown("before", r->before, instrument, &before, report);
    read = read_shown("after", r->after, instrument, &after, report) && read;
    if (!read)
        return false;
    const bool same =
        before.word || after.word ? before.word == after.word : before.value == after.value;
    if (same)
        return wrong(report, "before and after: the reading did not change, so it tells nothing; "
                             "give the one that showed the fault");
    return good;
}

bp_status bp_repairs_check(const bp_circuit *circuit, const bp_repair *repair, bp_report *report) {
    bool good = check_date(repair->date, report);
    good = check_fault(circuit, repair->fault, report) && good;
    good = bp_repairs_check_words("case", repair->job, report) && good;
    good = check_reading(circuit, repair, report) && good;
    good = bp_repairs_check_words("cause (why did it blow or corrode?)", repair->cause, report) &&
           good;
    if (!repair->gone)
        good = wrong(report, "is the complaint gone? A part that was fitted proves nothing by "
                             "itself; only a repair that ended the complaint goes into the book");
    return good ? BP_OK : BP_ERR_INPUT;
}
