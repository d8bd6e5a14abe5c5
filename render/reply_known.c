/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What is known so far, in words.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "render/reply_source.h"

/* What a good circuit shows at a reading's place: a question each. */
static bp_question question_of(const bp_reply_source *s, const bp_case_reading *reading,
                               bp_pair *leads) {
    double digit;
    bp_question q = BP_QUESTION_INIT;
    *leads = (bp_pair){reading->red, reading->black};
    q.state = reading->state;
    q.after = reading->after;
    q.n_after = reading->n_after;
    q.instrument = reading->instrument;
    q.at = reading->at;
    q.pairs = reading->red ? leads : NULL;
    q.n_pairs = reading->red ? 1 : 0;
    q.ranges = true;
    q.means = true;
    q.ambient = bp_casefile_ambient(s->file);
    q.engine = bp_casefile_engine(s->file);
    q.supply = bp_casefile_rest_volts(s->file, &digit);
    return q;
}

static const bp_state_answer *state_answer(const bp_answer *answer) {
    return answer && answer->n_states > 0 ? &answer->states[answer->n_states - 1] : NULL;
}

/* "unplug C12, pull K2: ", owned by the caller. */
static char *actions_of(const bp_case_reading *reading) {
    char *text = bp_copy("");
    for (size_t i = 0; i < reading->n_after && text; i++) {
        char *longer = NULL;
        if (asprintf(&longer, "%s%s%s", text, reading->after[i],
                     i + 1 < reading->n_after ? ", " : ": ") < 0)
            longer = NULL;
        free(text);
        text = longer;
    }
    return text;
}

/* "E" as it is, "BAT.-" as "battery −". */
static void name_place(const bp_circuit *c, const char *place, char *text, size_t size) {
    const size_t face = bp_reply_face(c, place);
    if (face == c->reference && bp_point_find(c, place) == BP_NONE)
        bp_face_words(c, face, text, size);
    else
        snprintf(text, size, "%s", place);
}

static bool is_outside(const bp_case_reading *reading, const bp_reading *good) {
    if (reading->sort != BP_SEEN_VALUE || isnan(good->low))
        return strcmp(reading->text, good->display) != 0;
    return reading->value + reading->digit < good->low ||
           reading->value - reading->digit > good->high;
}

/* The next line of the table; takes `where`. */
static bool add_reading(bp_reply *r, const bp_case_reading *reading, char *where, const char *good,
                        bool odd) {
    bp_reply_reading *to = &r->readings[r->n_readings++];
    char *read = NULL;
    const bool away = reading->present == BP_PRESENT_NO;
    if (asprintf(&read, "%s%s", reading->text, away ? ", trouble away" : "") < 0)
        read = NULL;
    *to = (bp_reply_reading){bp_copy(reading->state), where, read, bp_copy(good), odd};
    return to->state && to->where && to->read && to->good;
}

static bool say_reading(bp_reply *r, const bp_reply_source *s, const bp_case_reading *reading,
                        const bp_answer *answer) {
    const bp_state_answer *state = state_answer(answer);
    const bp_reading *good = state && state->n_readings ? &state->readings[0] : NULL;
    char range[80] = "", shown[100] = "", red[120], black[120] = "", *where = NULL;
    if (good && bp_range_text(good, range, sizeof range) > 0)
        snprintf(shown, sizeof shown, "%s %s", range, bp_unit_symbol(good->unit));
    else if (good && good->status != BP_READING_NONE)
        snprintf(shown, sizeof shown, "%s", good->display);
    name_place(s->circuit, reading->red ? reading->red : reading->at, red, sizeof red);
    if (reading->black)
        name_place(s->circuit, reading->black, black, sizeof black);
    const bool volts = reading->instrument == BP_VOLTS;
    char *after = actions_of(reading);
    if (!after || asprintf(&where, "%s%s%s%s%s%s", after,
                           volts ? "" : bp_instrument_name(reading->instrument), volts ? "" : " ",
                           red, black[0] ? " to " : "", black) < 0)
        where = NULL;
    free(after);
    return add_reading(r, reading, where, shown, good && is_outside(reading, good));
}

static bool say_watched(bp_reply *r, const bp_reply_source *s, const bp_case_reading *reading,
                        const bp_answer *answer) {
    const bp_state_answer *state = state_answer(answer);
    const bp_part *part = &s->circuit->parts[bp_part_find(s->circuit, reading->observe)];
    const char *good = NULL;
    for (size_t i = 0; state && i < state->n_notices; i++)
        if (strcmp(state->notices[i].part, reading->observe) == 0)
            good = state->notices[i].says;
    char *after = actions_of(reading), *where = NULL;
    if (!after || asprintf(&where, "%s%s %s", after, part->label ? part->label : part->kind->words,
                           part->id) < 0)
        where = NULL;
    free(after);
    return add_reading(r, reading, where, good ? good : "",
                       good && strcmp(good, reading->text) != 0);
}

/* Asks for the good ranges of the readings from `first` on, and says them. */
static bp_status say_readings(bp_reply *r, const bp_reply_source *s, size_t first,
                              bp_report *report) {
    const size_t n = bp_casefile_n_readings(s->file) - first;
    bp_question *questions = bp_zeroed(n, sizeof *questions);
    bp_pair *leads = bp_zeroed(n, sizeof *leads);
    bp_answer **answers = bp_zeroed(n, sizeof *answers);
    bp_status status = questions && leads && answers ? BP_OK : BP_ERR_MEMORY;
    for (size_t i = 0; i < n && status == BP_OK; i++)
        questions[i] = question_of(s, bp_casefile_reading(s->file, first + i), &leads[i]);
    if (status == BP_OK && n > 0)
        status = bp_lab_ask_many(s->lab, questions, n, answers, NULL, NULL, report);
    for (size_t i = 0; i < n && status == BP_OK; i++) {
        const bp_case_reading *reading = bp_casefile_reading(s->file, first + i);
        const bool said = reading->observe ? say_watched(r, s, reading, answers[i])
                                           : say_reading(r, s, reading, answers[i]);
        status = said ? BP_OK : BP_ERR_MEMORY;
    }
    for (size_t i = 0; answers && i < n; i++)
        bp_answer_free(&answers[i]);
    free(answers);
    free(leads);
    free(questions);
    return status;
}

/* Onset, battery, what was bought already; how many readings are not shown. */
static bool say_history(bp_reply *r, const bp_reply_source *s, size_t earlier) {
    static const char *const began[BP_N_ONSETS] = {
        [BP_ONSET_SUDDEN] = "It began all at once.",
        [BP_ONSET_GRADUAL] = "It began little by little.",
        [BP_ONSET_AFTER_WORK] = "It began after work on the vehicle.",
        [BP_ONSET_AFTER_RAIN] = "It began after rain.",
        [BP_ONSET_WHEN_HOT] = "It comes when hot.",
        [BP_ONSET_WHEN_COLD] = "It comes when cold.",
    };
    double digit;
    char battery[60] = "";
    const double rest = bp_casefile_rest_volts(s->file, &digit);
    const char *onset = began[bp_casefile_onset(s->file)];
    if (!isnan(rest))
        snprintf(battery, sizeof battery, "Battery at rest: %.*f V.", digit < 0.02 ? 2 : 1, rest);
    bool good =
        (!onset && !battery[0]) || bp_words_add(&r->history, false, "%s%s%s", onset ? onset : "",
                                                onset && battery[0] ? " " : "", battery);
    for (size_t i = 0; i < bp_casefile_n_replaced(s->file) && good; i++)
        good = bp_words_add(&r->history, false,
                            "%s was replaced already: a new part may be bad, but seldom is.",
                            bp_casefile_replaced(s->file, i));
    if (good && earlier > 0)
        good = bp_words_add(&r->history, false, "Not shown: %zu earlier reading%s.", earlier,
                            earlier == 1 ? "" : "s");
    return good;
}

static bool say_misfits(bp_reply *r, const bp_reply_source *s) {
    bool good = true;
    for (size_t i = 0; i < bp_match_n_misfits(s->match) && i < 2 && good; i++) {
        const bp_misfit *m = bp_match_misfit(s->match, i);
        good = bp_words_add(&r->again, true, "Take this one again: %s%s%s", m->says,
                            m->slip ? "; " : "", m->slip ? m->slip : "");
    }
    return good;
}

bp_status bp_reply_say_known(bp_reply *r, const bp_reply_source *s, bp_report *report) {
    const size_t n = bp_casefile_n_readings(s->file);
    const size_t first = n > BP_REPLY_READINGS ? n - BP_REPLY_READINGS : 0;
    bool good = say_history(r, s, first) &&
                (n > 0 || bp_words_add(&r->history, false, "Nothing was measured yet."));
    bp_status status = good ? say_readings(r, s, first, report) : BP_ERR_MEMORY;
    return status == BP_OK && !say_misfits(r, s) ? BP_ERR_MEMORY : status;
}
