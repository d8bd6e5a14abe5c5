/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/reply_source.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "circuits/memory.h"
#include "render/reply.h"

size_t bp_reply_face(const bp_circuit *circuit, const char *place) {
    const size_t point = bp_point_find(circuit, place);
    return point == BP_NONE ? bp_face_find(circuit, place) : circuit->points[point].face;
}

/* The state drawn: that of the first test with a meter, else that of the last reading. */
static const char *state_of(const bp_reply_source *s) {
    const size_t n = bp_casefile_n_readings(s->file);
    for (size_t i = 0; i < s->n_tests; i++)
        if (!s->tests[i]->observe)
            return s->tests[i]->state;
    if (n > 0)
        return bp_casefile_reading(s->file, n - 1)->state;
    return s->n_tests > 0 ? s->tests[0]->state : NULL;
}

static bp_status gather_base(bp_reply *r, const bp_reply_source *s, bp_report *report) {
    double digit;
    bp_sheet_options options = BP_SHEET_OPTIONS_INIT;
    options.state = state_of(s);
    options.letter = s->options->letter;
    options.us_units = s->options->us_units;
    options.ambient = bp_casefile_ambient(s->file);
    options.engine = bp_casefile_engine(s->file);
    options.supply = bp_casefile_rest_volts(s->file, &digit);
    return bp_facts_gather(&r->base, s->lab, &options, report);
}

static bp_status say(bp_reply *r, const bp_reply_source *s, bp_report *report) {
    const char *complaint = bp_casefile_complaint(s->file);
    r->complaint = bp_copy(complaint ? complaint : s->circuit->title);
    bp_status status = r->complaint ? BP_OK : BP_ERR_MEMORY;
    if (status == BP_OK)
        status = bp_reply_say_known(r, s, report);
    if (status == BP_OK)
        status = bp_reply_say_suspects(r, s);
    if (status == BP_OK)
        status = bp_reply_say_tests(r, s);
    if (status == BP_OK)
        status = bp_reply_say_advice(r, s);
    if (status == BP_OK)
        status = bp_reply_say_costs(r, s);
    if (status == BP_OK)
        status = bp_reply_say_stop(r);
    return status;
}

/* What match and next find, and a lab for the good ranges. */
static bp_status ask(bp_reply_source *s, bp_report *report) {
    bp_next_options next = s->options->next;
    next.plan = true;
    s->match = bp_match_new(s->file, &s->options->next.match, report);
    s->next = s->match ? bp_next_new(s->file, &next, report) : NULL;
    s->lab = s->next ? bp_lab_new(s->circuit, s->options->next.match.workers, report) : NULL;
    return s->lab ? bp_reply_choose_tests(s) : BP_ERR_SOLVER;
}

bp_status bp_reply_gather(bp_reply *reply, const bp_casefile *file, const bp_reply_options *options,
                          bp_report *report) {
    bp_reply_source s = {.file = file, .circuit = bp_casefile_circuit(file), .options = options};
    *reply = (bp_reply){0};
    bp_status status = ask(&s, report);
    if (status == BP_OK)
        status = gather_base(reply, &s, report);
    if (status == BP_OK)
        status = say(reply, &s, report);
    if (status == BP_OK)
        status = bp_reply_flag(reply, &s);
    if (status == BP_OK)
        status = bp_reply_leave_out(reply, &s);
    if (status == BP_ERR_MEMORY)
        bp_report_add(report, BP_MISTAKE, NULL, 0, 0, "out of memory; nothing was written");
    for (size_t i = 0; i < s.n_tests; i++)
        free(s.when[i]);
    bp_next_free(&s.next);
    bp_match_free(&s.match);
    bp_lab_free(&s.lab);
    return status;
}

/* A drawing smaller than this is hard to read. */
static const double small = 0.7;

/* Rather one page and a legible drawing than all tests that may follow the best one. */
static bp_status fit_one_page(bp_reply *reply) {
    const bp_paper paper = reply->base.options.letter ? BP_PAPER_LETTER : BP_PAPER_A4;
    for (size_t n = reply->n_tests; n > 1; n--) {
        double drawn = 0;
        bp_canvas *canvas = bp_canvas_new(NULL, paper, NULL, NULL);
        bp_status status = canvas ? bp_reply_compose(canvas, reply, &drawn) : BP_ERR_MEMORY;
        bp_canvas_free(&canvas);
        if (status != BP_OK || drawn >= small)
            return status;
        if (!bp_reply_keep_tests(reply, n - 1))
            return BP_ERR_MEMORY;
    }
    return BP_OK;
}

bp_status bp_reply_write(const bp_casefile *file, const bp_reply_options *options, const char *path,
                         bp_report *report) {
    bp_canvas *canvas = bp_canvas_new(path, options->letter ? BP_PAPER_LETTER : BP_PAPER_A4,
                                      bp_circuit_title(bp_casefile_circuit(file)), report);
    if (!canvas)
        return BP_ERR_FILE;
    bp_reply reply;
    bp_status status = bp_reply_gather(&reply, file, options, report);
    if (status == BP_OK)
        status = fit_one_page(&reply);
    if (status == BP_OK)
        status = bp_reply_compose(canvas, &reply, NULL);
    if (status == BP_OK)
        status = bp_canvas_finish(canvas, report);
    bp_facts_clear(&reply.base);
    bp_reply_clear(&reply);
    bp_canvas_free(&canvas);
    return status;
}
