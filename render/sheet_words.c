/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * What a sheet says in sentences.
 */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "render/sheet_facts.h"
#include "sim/model.h"

bool bp_words_add(bp_words *words, bool strong, const char *format, ...) {
    char **lines = bp_room(words->line, words->n, sizeof *lines);
    if (lines)
        words->line = lines;
    bool *marks = bp_room(words->strong, words->n, sizeof *marks);
    if (marks)
        words->strong = marks;
    if (!lines || !marks)
        return false;
    va_list list;
    va_start(list, format);
    int n = vasprintf(&lines[words->n], format, list);
    va_end(list);
    if (n < 0)
        return false;
    marks[words->n++] = strong;
    return true;
}

void bp_words_clear(bp_words *words) {
    for (size_t i = 0; i < words->n; i++)
        free(words->line[i]);
    free(words->line);
    free(words->strong);
    *words = (bp_words){0};
}

static const bp_notice *notice_of(const bp_state_answer *answer, const char *part) {
    for (size_t i = 0; answer && i < answer->n_notices; i++)
        if (strcmp(answer->notices[i].part, part) == 0)
            return &answer->notices[i];
    return NULL;
}

/* Would people notice a difference? Another word for it, or 3 % more or less of its speed or light.
 */
static const double least_change = 0.03;

static bool same_notice(const bp_notice *a, const bp_notice *b) {
    if (!a || !b || strcmp(a->says, b->says) != 0)
        return false;
    return a->unit != BP_UNIT_FRACTION || isnan(a->value) || isnan(b->value) ||
           fabs(a->value - b->value) < least_change;
}

static bool is_in(const char *const *list, size_t n, const char *text) {
    for (size_t i = 0; i < n; i++)
        if (strcmp(list[i], text) == 0)
            return true;
    return false;
}

static bool add_sentence(bp_words *words, bool strong, const char *where, const char *text) {
    size_t n = strlen(text);
    const char *stop = n > 0 && strchr(".!?", text[n - 1]) ? "" : ".";
    for (size_t i = 0; i < words->n && !where; i++) /* a notice and a remark may say the same */
        if (strncmp(words->line[i], text, n) == 0 && strcmp(words->line[i] + n, stop) == 0)
            return true;
    return where ? bp_words_add(words, strong, "%s: %s%s", where, text, stop)
                 : bp_words_add(words, strong, "%s%s", text, stop);
}

static bool is_changed(const bp_state_column *column, const bp_notice *notice) {
    return column->fault && !same_notice(notice, notice_of(column->good, notice->part));
}

/* A fuse that holds is not noticed. */
static bool is_silent(const bp_circuit *circuit, const char *id) {
    size_t part = bp_part_find(circuit, id);
    return part != BP_NONE && bp_models[bp_kind_index(circuit->parts[part].kind)]->lasting;
}

/* Notices of the state drawn: what the fault changed, or what it did not. */
static bool add_notices(bp_words *words, const bp_facts *facts, bool changed) {
    const bp_state_column *column = &facts->columns[facts->column];
    const bp_state_answer *answer = column->fault ? column->fault : column->good;
    for (size_t i = 0; answer && i < answer->n_notices; i++) {
        const bp_notice *notice = &answer->notices[i];
        if (is_changed(column, notice) == changed &&
            (changed || !is_silent(facts->circuit, notice->part)) &&
            !add_sentence(words, changed, NULL, notice->words))
            return false;
    }
    return true;
}

/* Notices of another state that the fault changed in another way than in the state drawn. `alike`:
 * some change there is of the same sort. */
static bool add_other(bp_words *words, const bp_facts *facts, const bp_state_column *column,
                      bool *alike) {
    const bp_state_answer *shown = facts->columns[facts->column].fault;
    *alike = false;
    for (size_t i = 0; column->fault && i < column->fault->n_notices; i++) {
        const bp_notice *notice = &column->fault->notices[i];
        const bp_notice *told = notice_of(shown, notice->part);
        if (!is_changed(column, notice))
            continue;
        if (told && is_changed(&facts->columns[facts->column], told) &&
            (strcmp(told->says, notice->says) == 0 ||
             (!isnan(told->value) && !isnan(notice->value))))
            *alike = true;
        else if (!add_sentence(words, true, column->state->id, notice->words))
            return false;
    }
    return true;
}

static bool is_told(const bp_state_column *told, const char *text) {
    const bp_state_answer *answers[] = {told ? told->fault : NULL, told ? told->good : NULL};
    for (size_t i = 0; i < 2; i++)
        if (answers[i] && (is_in(answers[i]->blown, answers[i]->n_blown, text) ||
                           is_in(answers[i]->chatter, answers[i]->n_chatter, text) ||
                           is_in(answers[i]->remarks, answers[i]->n_remarks, text)))
            return true;
    return false;
}

/* Blown fuses, chatter and remarks that the good circuit does not have and that were not told of
 * `told`. */
static bool add_remarks(bp_words *words, const bp_circuit *circuit, const bp_state_column *column,
                        const bp_state_column *told, const char *where) {
    const bp_state_answer *answer = column->fault ? column->fault : column->good;
    const bp_state_column good = {.good = column->fault ? column->good : NULL};
    if (!answer)
        return true;
    struct {
        const char *const *list;
        size_t n;
        const char *says;
    } sorts[] = {{answer->blown, answer->n_blown, " is "},
                 {answer->chatter, answer->n_chatter, " chatters"},
                 {answer->remarks, answer->n_remarks, ""}};
    for (size_t s = 0; s < sizeof sorts / sizeof *sorts; s++)
        for (size_t i = 0; i < sorts[s].n; i++) {
            char text[300];
            snprintf(text, sizeof text, "%s%s%s", sorts[s].list[i], sorts[s].says,
                     s == 0 ? bp_gone_word(circuit, sorts[s].list[i]) : "");
            if (!is_told(&good, sorts[s].list[i]) && !is_told(told, sorts[s].list[i]) &&
                !add_sentence(words, true, where, text))
                return false;
        }
    return true;
}

/* The other states: what is new there, and in which it is much the same. */
static bool add_others(bp_words *words, const bp_facts *facts) {
    char same[200] = "";
    size_t length = 0;
    for (size_t i = 0; i < facts->n_columns; i++) {
        const bp_state_column *column = &facts->columns[i];
        bool alike;
        if (i == facts->column)
            continue;
        if (!add_other(words, facts, column, &alike) ||
            !add_remarks(words, facts->circuit, column, &facts->columns[facts->column],
                         column->state->id))
            return false;
        if (alike && length < sizeof same)
            length += (size_t)snprintf(same + length, sizeof same - length, "%s%s",
                                       length ? ", " : "", column->state->id);
    }
    return length == 0 || bp_words_add(words, false, "Likewise in: %s.", same);
}

bp_status bp_words_notices(bp_facts *facts) {
    const bp_state_column *shown = &facts->columns[facts->column];
    bp_words *words = &facts->notices;
    bool good = add_notices(words, facts, true) &&
                add_remarks(words, facts->circuit, shown, NULL, NULL) &&
                add_notices(words, facts, false) && (!facts->fault || add_others(words, facts));
    return good ? BP_OK : BP_ERR_MEMORY;
}

/* How far a reading lies outside its good range, V. */
static double beyond(const bp_reading *good, const bp_reading *fault) {
    int mark = bp_reading_mark(good, fault);
    if (mark == 0)
        return 0;
    if (fault->status == BP_READING_UNSTEADY)
        return mark > 0 ? fault->high - good->high : good->low - fault->low;
    return mark > 0 ? fault->value - good->high : good->low - fault->value;
}

typedef struct worst {
    const bp_point *point;
    const bp_state_column *column;
    const bp_reading *good, *fault;
    double by;
    size_t n_out, n_all;
} worst;

/* The reading furthest out: of one column, or of all (column NULL). */
static worst find_worst(const bp_facts *facts, const bp_state_column *only) {
    worst w = {0};
    for (size_t c = 0; c < facts->n_columns; c++)
        for (size_t p = 0; p < facts->circuit->n_points; p++) {
            const bp_point *point = &facts->circuit->points[p];
            const bp_state_column *column = &facts->columns[c];
            const bp_reading *good = bp_reading_of_point(column->good, point->id);
            const bp_reading *fault = bp_reading_of_point(column->fault, point->id);
            double by = beyond(good, fault);
            w.n_all++;
            w.n_out += by > 0;
            if (by > w.by && (!only || only == column))
                w = (worst){point, column, good, fault, by, w.n_out, w.n_all};
        }
    return w;
}

static const bp_drop *steepest_drop(const bp_drops *drops) {
    const bp_drop *steepest = NULL;
    double by = 0;
    for (size_t i = 0; i < drops->n; i++) {
        const bp_drop *d = &drops->rows[i];
        if (d->load || !d->fault || d->fault->status != BP_READING_OK)
            continue;
        if (d->fault->value - d->most > by) {
            by = d->fault->value - d->most;
            steepest = d;
        }
    }
    return steepest;
}

/* A reading of the state drawn at one end of the steepest drop, if it is about as far out as `w`.
 */
static worst at_drop(const bp_facts *facts, const bp_drop *drop, worst w) {
    const bp_state_column *column = &facts->columns[facts->column];
    const char *ends[] = {drop->red_at, drop->black_at};
    for (size_t i = 0; i < 2; i++) {
        size_t point = bp_point_find(facts->circuit, ends[i]);
        const bp_reading *good = bp_reading_of_point(column->good, ends[i]);
        const bp_reading *fault = bp_reading_of_point(column->fault, ends[i]);
        if (point != BP_NONE && beyond(good, fault) > 0.9 * w.by)
            return (worst){
                &facts->circuit->points[point], column, good, fault, w.by, w.n_out, w.n_all};
    }
    return w;
}

/* The state drawn goes before others in which the same shows a little more, and the place where
 * most drops before others that follow it. */
static worst choose_worst(const bp_facts *facts) {
    worst any = find_worst(facts, NULL);
    worst shown = find_worst(facts, &facts->columns[facts->column]);
    const bp_drop *drop = steepest_drop(&facts->drops);
    if (shown.by <= 0.6 * any.by)
        return any;
    return drop && shown.by > 0 ? at_drop(facts, drop, shown) : shown;
}

/* "released, charging": the states in which the point reads good all the same. */
static void quiet_states(const bp_facts *facts, const bp_point *point, char *text, size_t size) {
    size_t length = 0;
    text[0] = '\0';
    for (size_t c = 0; c < facts->n_columns && length < size; c++) {
        const bp_state_column *column = &facts->columns[c];
        const bp_reading *good = bp_reading_of_point(column->good, point->id);
        const bp_reading *fault = bp_reading_of_point(column->fault, point->id);
        if (good && fault && fault->status == BP_READING_OK && bp_reading_mark(good, fault) == 0)
            length += (size_t)snprintf(text + length, size - length, "%s%s", length ? ", " : "",
                                       column->state->id);
    }
}

/* A good circuit gives nothing away: what to do with its readings instead. */
static bp_status how_to_measure(bp_words *words, bool drops) {
    bool good =
        bp_words_add(words, false,
                     "Switch the circuit to the state shown and leave every plug in%s",
                     drops ? ": a voltage drop is there only while current flows."
                           : ": a signal is true only with both its ends on it.") &&
        bp_words_add(words, false, "A reading outside its good range? %s",
                     drops ? "Go along the drops: the fault lies where more drops than is allowed."
                           : "Measure feed and ground of that part first, then follow its wire "
                             "from point to point: the fault lies where the reading changes.");
    return good ? BP_OK : BP_ERR_MEMORY;
}

bp_status bp_words_giveaway(bp_facts *facts) {
    if (!facts->fault)
        return how_to_measure(&facts->gives_away, facts->drops.n > 0);
    bp_words *words = &facts->gives_away;
    worst w = choose_worst(facts);
    if (!w.point) {
        bool good = bp_words_add(words, false,
                                 "No reading here leaves its good range: at these points and in "
                                 "these states the meter does not show this fault.");
        return good ? BP_OK : BP_ERR_MEMORY;
    }
    char range[48], quiet[200];
    bp_range_text(w.good, range, sizeof range);
    quiet_states(facts, w.point, quiet, sizeof quiet);
    bool good = bp_words_add(
        words, true, "Point %s reads %s, %s its good range of %s V (state: %s).", w.point->id,
        bp_reading_text(w.fault), bp_reading_mark(w.good, w.fault) > 0 ? "above" : "below", range,
        w.column->state->id);
    const bp_drop *drop = steepest_drop(&facts->drops);
    if (good && drop)
        good = bp_words_add(words, false,
                            "%s stand between %s and %s, where %.2f V is the most allowed.",
                            drop->fault->display, drop->red, drop->black, drop->most);
    if (good && quiet[0])
        good = bp_words_add(words, false, "%s still reads good in: %s.", w.point->id, quiet);
    if (good)
        good = bp_words_add(words, false, "%zu of %zu readings leave their good range.", w.n_out,
                            w.n_all);
    return good ? BP_OK : BP_ERR_MEMORY;
}
