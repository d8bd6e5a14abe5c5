/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Breaker points: a contact that a cam opens, and the arc that burns across it where nothing keeps
 * the voltage from rising faster than the gap.
 */
#include "circuits/kinds/breaker_points.h"
#include "sim/gap.h"
#include "sim/kick.h"
#include "sim/pulse.h"
#include "sim/winding.h"

enum { CONTACT, ARC };
enum { CLOSED = BP_GAP_MEMORY, OPENED, KICK, N_MEMORY = KICK + BP_KICK_MEMORY };

/* An arc between opening contacts: 20 V, out below 0.5 A (data-sheet typical of tungsten contacts,
 * from memory). */
static const bp_arc contact_arc = {.holds = 20, .conductance = 5, .least = 0.5};

/* Points part at 0.2 m/s at idle (from memory). Up to a few micrometres a gap stands 100 V a
 * micrometre, then no less than the least that air stands, 330 V (Paschen), and 3 V a micrometre
 * more. */
static const double parting = 0.2, near_stands = 100e6, least_stands = 330, far_stands = 3e6;
/* A contact that has just parted is no gap yet, V. */
static const double just_parted = 20;

/* At idle when the state names no speed, rev/min: common practice. */
static const double idle_speed = 800;

static void elements(bp_builder *b, const bp_part *part) {
    const size_t one = bp_build_own(b, part, BP_POINTS_PIN_1);
    const size_t plate = bp_build_own(b, part, BP_POINTS_PIN_31);
    bp_build_live(b, bp_build_resistor(b, one, plate));
    bp_gap_elements(b, one, plate);
}

static bool closed(const bp_view *view) {
    return view->memory ? view->memory[CLOSED] != 0 : view->setting != BP_POINTS_SET_OPEN;
}

static void values(const bp_view *view, double *value) {
    const bool joined = (closed(view) || bp_view_has(view, BP_POINTS_DO_NOT_OPEN)) &&
                        !bp_view_has(view, BP_POINTS_DO_NOT_CLOSE);
    value[CONTACT] =
        joined ? view->param[BP_POINTS_CONTACT] + bp_view_how_bad(view, BP_POINTS_BURNT, 0)
               : BP_OPEN_OHM;
    bp_gap_values(&value[ARC], view->memory, &contact_arc);
}

static bp_pulse pulse_of(const bp_view *view) {
    const double speed = isnan(view->around->speed) ? idle_speed : view->around->speed;
    const double period = 60 / (fmax(speed, 1) * view->param[BP_POINTS_SPARKS]);
    const double share = bp_view_how_bad(view, BP_POINTS_WIDE, view->param[BP_POINTS_DWELL]);
    return (bp_pulse){.period = period, .on = share * period};
}

enum { TELL_CLOSE, TELL_OPEN, TELL_PEAK, TELL_ARC };
static const bp_wave_tell tells[] = {[TELL_CLOSE] = {.id = "close", .words = "%s closes"},
                                     [TELL_OPEN] = {.id = "open",
                                                    .words = "%s opens",
                                                    .unit = BP_UNIT_AMPERE,
                                                    .value_id = "current-at-switch-off",
                                                    .value_words = "current when they open",
                                                    .since = "close",
                                                    .span_id = "dwell",
                                                    .span_words = "dwell"},
                                     [TELL_PEAK] = {.id = "peak",
                                                    .words = "the voltage at %s has peaked",
                                                    .unit = BP_UNIT_VOLT,
                                                    .value_id = "kick",
                                                    .value_words = "voltage kick of the primary"},
                                     [TELL_ARC] = {.id = "arc", .words = "%s arcs"},
                                     {.id = NULL}};

static void watch_kick(bp_moment *m) {
    static const double least = 30; /* V */
    bp_kick_watch(m, &m->memory[KICK], fabs(bp_gap_volts(&m->view, ARC)), least, TELL_PEAK);
}

static double stands(double since) {
    const double gap = parting * since;
    return just_parted + fmin(near_stands * gap, least_stands + far_stands * gap);
}

static bool move(bp_moment *m, bool close) {
    m->memory[CLOSED] = close;
    m->memory[0] = 0;
    m->memory[OPENED] = m->time;
    bp_kick_begin(&m->memory[KICK]);
    bp_moment_tell(m, close ? TELL_CLOSE : TELL_OPEN,
                   close ? NAN : bp_view_current(&m->view, CONTACT));
    return true;
}

static bool wanted_closed(bp_moment *m) {
    if (m->view.setting != BP_POINTS_SET_TURNING)
        return m->view.setting == BP_POINTS_SET_CLOSED;
    const bp_pulse pulse = pulse_of(&m->view);
    bp_moment_wake(m, bp_pulse_next(&pulse, m->time));
    return m->time < 0 || bp_pulse_is_on(&pulse, m->time);
}

static void begin(bp_moment *m) { m->memory[CLOSED] = m->view.setting != BP_POINTS_SET_OPEN; }

static bool instant(bp_moment *m) {
    const bool close = wanted_closed(m);
    if (close != (m->memory[CLOSED] != 0))
        return move(m, close);
    if (close)
        return false;
    double volts;
    const bp_gap gap = {ARC, m->memory, stands(m->time - m->memory[OPENED]), &contact_arc};
    const bp_gap_does does = bp_gap_instant(m, &gap, &volts);
    if (does == BP_GAP_FIRES)
        bp_moment_tell(m, TELL_ARC, NAN);
    watch_kick(m);
    return does != BP_GAP_STAYS;
}

static const bp_wave_model wave = {
    .n_memory = N_MEMORY, .begin = begin, .instant = instant, .tells = tells, .ramp = 1e-6};

const bp_model bp_model_breaker_points = {.elements = elements, .values = values, .wave = &wave};
