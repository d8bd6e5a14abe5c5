/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/json.h"
#include "cli/scope.h"

static json_t *numbers_json(const double *values, size_t n) {
    json_t *array = bp_json_array();
    for (size_t i = 0; i < n; i++)
        bp_json_append(array, bp_json_number(values[i]));
    return array;
}

static json_t *trace_json(const bp_scope_run *run, const bp_scope_shown *trace) {
    json_t *object = bp_json_object();
    bp_json_set(object, "name", bp_json_text(trace->name));
    bp_json_set(object, "red", bp_json_text(trace->red));
    bp_json_set(object, "black", bp_json_text(trace->black));
    bp_json_set(object, "clamp", bp_json_text(trace->clamp));
    bp_json_set(object, "unit", bp_json_unit(trace->unit));
    bp_json_set(object, "values", numbers_json(trace->value, run->n));
    return object;
}

static json_t *feature_json(const bp_scope_run *run, const bp_feature *f) {
    json_t *object = bp_json_object();
    const bool on_trace = f->trace != BP_SCOPE_NO_TRACE;
    bp_json_set(object, "feature", bp_json_text(f->id));
    bp_json_set(object, "words", bp_json_text(f->words));
    bp_json_set(object, "trace", bp_json_text(on_trace ? run->traces[f->trace].name : NULL));
    bp_json_set(object, "part", bp_json_text(f->part));
    bp_json_set(object, "value", bp_json_number(f->value));
    bp_json_set(object, "unit", bp_json_unit(f->unit));
    bp_json_set(object, "at", bp_json_number(f->at));
    bp_json_set(object, "until", bp_json_number(f->until));
    return object;
}

static json_t *event_json(const bp_scope_event *e) {
    json_t *object = bp_json_object();
    bp_json_set(object, "time", bp_json_number(e->time));
    bp_json_set(object, "part", bp_json_text(e->part));
    bp_json_set(object, "event", bp_json_text(e->id));
    bp_json_set(object, "words", bp_json_text(e->words));
    bp_json_set(object, "value", bp_json_number(e->value));
    bp_json_set(object, "unit", bp_json_unit(e->unit));
    return object;
}

static json_t *run_json(const bp_scope_run *run) {
    json_t *object = bp_json_object(), *traces = bp_json_array(), *features = bp_json_array();
    json_t *events = bp_json_array(), *behaviour = bp_json_array();
    for (size_t i = 0; i < run->n_traces; i++)
        bp_json_append(traces, trace_json(run, &run->traces[i]));
    for (size_t i = 0; i < run->n_features; i++)
        bp_json_append(features, feature_json(run, &run->features[i]));
    for (size_t i = 0; i < run->n_events; i++)
        bp_json_append(events, event_json(&run->events[i]));
    for (size_t i = 0; i < run->n_notices; i++)
        bp_json_append(behaviour, bp_json_notice(&run->notices[i]));
    bp_json_set(object, "circuit", bp_json_text(run->circuit));
    bp_json_set(object, "state", bp_json_text(run->state));
    bp_json_set(object, "faults", bp_json_faults(run->faults));
    bp_json_set(object, "from", bp_json_number(run->from));
    bp_json_set(object, "to", bp_json_number(run->to));
    bp_json_set(object, "time", numbers_json(run->time, run->n));
    bp_json_set(object, "traces", traces);
    bp_json_set(object, "features", features);
    bp_json_set(object, "events", events);
    bp_json_set(object, "behaviour", behaviour);
    bp_json_set(object, "why", bp_json_text(run->why));
    return object;
}

void bp_scope_json(const bp_screen *out, const bp_scope_run *healthy, const bp_scope_run *faulted) {
    json_t *array = bp_json_array();
    bp_json_append(array, run_json(healthy));
    if (faulted)
        bp_json_append(array, run_json(faulted));
    bp_json_print(out, array);
}
