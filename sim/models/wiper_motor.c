/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Three-brush wiper motor with park switch. Each fed brush is a winding of its own on one rotor:
 * the fast one has fewer turns, so less back-EMF and less resistance, and turns faster at the same
 * voltage.
 */
#include <math.h>
#include <stdio.h>

#include "circuits/kinds/wiper_motor.h"
#include "sim/rotor.h"
#include "sim/wave.h"
#include "sim/winding.h"

enum {
    LOAD,
    SLOW = LOAD + BP_ROTOR_LOAD_VALUES,
    FAST = SLOW + BP_ROTOR_WINDING_VALUES,
    COMMON = FAST + BP_ROTOR_WINDING_VALUES,
    FEED_CONTACT
};

/* Blades on wet glass through the linkage, and the bare gear motor; shares of rated torque from
 * memory. */
static const bp_load wet_glass = {0.80, 0.20, 0}, bare = {0.25, 0.10, 0};

/* The common brush's own part of the armature circuit, small so that its place does not matter. */
static const double common_ohm = 1e-3;

/* Shares of the speed that belongs to the fed brush: common practice. */
static const double weak = 0.7, fast = 1.25;

static void elements(bp_builder *b, const bp_part *part) {
    size_t common = bp_build_node(b);
    size_t feed = bp_build_own(b, part, BP_WIPER_PIN_53A);
    size_t park = bp_build_own(b, part, BP_WIPER_PIN_53E);
    size_t ground = bp_build_own(b, part, BP_WIPER_PIN_31);
    const bp_rotor rotor = bp_rotor_load(b);
    bp_rotor_winding(b, bp_build_own(b, part, BP_WIPER_PIN_53), common, &rotor);
    bp_rotor_winding(b, bp_build_own(b, part, BP_WIPER_PIN_53B), common, &rotor);
    bp_build_resistor(b, common, ground);
    bp_build_resistor(b, feed, park);
    bp_build_resistor(b, park, ground);
}

typedef struct winding {
    double ohm, back_emf; /* at 20 degC and rated speed, turns all good */
} winding;

static winding slow_winding(const double *param) {
    double ohm = param[BP_WIPER_VOLTS] / param[BP_WIPER_STALL];
    return (winding){ohm, param[BP_WIPER_VOLTS] - param[BP_WIPER_CURRENT] * ohm};
}

/* The turns between the fast brush and the common one, such that at the rated voltage the load is
 * turned `fast` times faster: with resistance and back-EMF both as the turns, V = E_f r + T(r) I R,
 * since i_f = T(r) I E / E_f. */
static winding fast_winding(const double *param) {
    winding slow = slow_winding(param);
    double ratio = param[BP_WIPER_FAST];
    double torque = wet_glass.friction + wet_glass.proportional * ratio;
    double back_emf = (param[BP_WIPER_VOLTS] - torque * param[BP_WIPER_CURRENT] * slow.ohm) / ratio;
    return (winding){slow.ohm * back_emf / slow.back_emf, back_emf};
}

static void brush_values(const bp_view *view, double *value, winding w, bool open) {
    double turns = 1 - bp_view_how_bad(view, BP_WIPER_SHORTED_TURNS, 0);
    double ohm = bp_view_copper(view, BP_WIPER_PLACE, (w.ohm - common_ohm) * turns);
    double per_amp =
        w.back_emf / slow_winding(view->param).back_emf / view->param[BP_WIPER_CURRENT];
    bp_rotor_winding_values(value, open ? BP_OPEN_OHM : ohm, turns * w.back_emf, turns * per_amp);
}

/* How much harder the blades are to move than on wet glass: two to three times as hard on dry
 * glass, and frozen fast they hold a motor that stalls at seven times its rated torque: from
 * memory. */
static const double friction_on[] = {[BP_WIPER_WET] = 1, [BP_WIPER_DRY] = 2.5, [BP_WIPER_ICE] = 9};

static bp_load load_of(const bp_view *view) {
    winding slow = slow_winding(view->param);
    bp_load load = bp_view_has(view, BP_WIPER_UNLOADED) ? bare : wet_glass;
    if (!bp_view_has(view, BP_WIPER_UNLOADED))
        load.friction *= friction_on[(size_t)view->param[BP_WIPER_SCREEN]];
    load.friction += bp_view_how_bad(view, BP_WIPER_BINDING, 0);
    load.proportional +=
        bp_rotor_short_drag(bp_view_how_bad(view, BP_WIPER_SHORTED_TURNS, 0), slow.back_emf,
                            slow.ohm, view->param[BP_WIPER_CURRENT]);
    if (bp_view_has(view, BP_WIPER_SEIZED))
        load.proportional = BP_ROTOR_SEIZED;
    return load;
}

/* Which contact the cam makes. */
enum { ON_FEED, BETWEEN, ON_GROUND };

static int cam_of(const bp_view *view);

/* The cam joins 53e to the feed while sweeping and to ground when parked. value: the contact to the
 * feed, the one to ground. */
static void park_switch_values(const bp_view *view, double *value) {
    enum { FEED, BRAKE };
    const int cam = cam_of(view);
    bool to_feed = (cam == ON_FEED && !bp_view_has(view, BP_WIPER_BRAKE_WELDED)) ||
                   bp_view_has(view, BP_WIPER_PARK_WELDED);
    bool to_ground = !to_feed && (cam == ON_GROUND || bp_view_has(view, BP_WIPER_BRAKE_WELDED));
    double closed = view->param[BP_WIPER_PARK_CONTACT];
    double apart = bp_view_how_bad(view, BP_WIPER_PARK_BRIDGED, BP_OPEN_OHM);
    value[FEED] = apart;
    value[BRAKE] = apart;
    if (to_feed && !bp_view_has(view, BP_WIPER_PARK_OPEN))
        value[FEED] = closed + bp_view_how_bad(view, BP_WIPER_PARK_RESISTANCE, 0);
    if (to_ground && !bp_view_has(view, BP_WIPER_BRAKE_OPEN))
        value[BRAKE] = closed + bp_view_how_bad(view, BP_WIPER_BRAKE_RESISTANCE, 0);
}

static double common_brush_ohm(const bp_view *view) {
    return bp_view_has(view, BP_WIPER_COMMON_BRUSH_OPEN)
               ? BP_OPEN_OHM
               : common_ohm + bp_view_how_bad(view, BP_WIPER_WORN_BRUSHES, 0);
}

static void values(const bp_view *view, double *value) {
    brush_values(view, &value[SLOW], slow_winding(view->param),
                 bp_view_has(view, BP_WIPER_SLOW_BRUSH_OPEN));
    brush_values(view, &value[FAST], fast_winding(view->param),
                 bp_view_has(view, BP_WIPER_FAST_BRUSH_OPEN));
    const bp_load load = load_of(view);
    bp_rotor_load_values(&value[LOAD], &load);
    value[COMMON] = common_brush_ohm(view);
    park_switch_values(view, &value[FEED_CONTACT]);
}

static void behave_standing(const bp_view *view, double taken, bp_behaviour *out) {
    if (taken > 0.3 * view->param[BP_WIPER_CURRENT]) {
        out->says = "stalled";
        snprintf(out->words, sizeof out->words, "stands still and takes %.1f A", taken);
    } else if (view->setting == BP_WIPER_PARKED) {
        out->says = "parked";
        snprintf(out->words, sizeof out->words, "is parked");
    } else {
        out->says = "stops-short";
        snprintf(out->words, sizeof out->words, "stops where it is");
    }
}

static void behave(const bp_view *view, bp_behaviour *out) {
    double speed = bp_rotor_speed(view, LOAD);
    double slow_amps = bp_rotor_amps(view, SLOW, speed);
    double fast_amps = bp_rotor_amps(view, FAST, speed);
    bool on_fast = fast_amps > slow_amps;
    double share = on_fast ? speed / view->param[BP_WIPER_FAST] : speed;
    out->value = speed;
    out->unit = BP_UNIT_FRACTION;
    if (fabs(speed) < BP_STANDS_STILL) {
        behave_standing(view, fmax(fabs(slow_amps), fabs(fast_amps)), out);
    } else if (speed < 0) {
        out->says = "backwards";
        snprintf(out->words, sizeof out->words, "runs backwards");
    } else if (bp_view_has(view, BP_WIPER_UNLOADED)) {
        out->says = "off";
        snprintf(out->words, sizeof out->words, "runs, but the arms stand still");
    } else if (view->setting == BP_WIPER_PARKED) {
        out->says = "never-stops";
        snprintf(out->words, sizeof out->words, "does not stop at its park position");
    } else {
        out->says = share < weak ? "weak" : share > fast ? "fast" : "normal";
        snprintf(out->words, sizeof out->words, "wipes at %.0f %% of its %s speed", 100 * share,
                 on_fast ? "fast" : "slow");
    }
}

/* What follows only exists in time: the rotor's inertia, and the cam that turns with it. */

enum {
    T_LOAD,
    T_SLOW = T_LOAD + BP_ROTOR_INERTIA_VALUES,
    T_FAST = T_SLOW + BP_ROTOR_WINDING_VALUES,
    T_COMMON = T_FAST + BP_ROTOR_WINDING_VALUES,
    T_FEED_CONTACT
};

/* What a run keeps: turns of the crank since the arms were down, the speed seen last, which contact
 * the cam makes, how often it came to ground since time 0, whether something fed the slow brush
 * there, turns at time 0, whether it stands. */
enum { TURNS, SPEED, CAM, ARRIVALS, ASKED, TURNS_THEN, STANDS, N_MEMORY };

/* Where the arms are when a run begins while they sweep, in turns: on their way down. */
static const double sweeping_at = 0.6;

/* Between its two contacts the cam makes neither for this share of a turn: from memory. */
static const double between_contacts = 0.005;

/* Turns within which arms count as in their place, or as short of it: common practice. */
static const double in_place = 0.05, just_short = 0.2;

/* Slower than this share of its speed it creeps: common practice. */
static const double creeps = 0.3;

static int cam_of(const bp_view *view) {
    if (view->memory)
        return (int)view->memory[CAM];
    return view->setting == BP_WIPER_SWEEPING ? ON_FEED : ON_GROUND;
}

static void elements_in_time(bp_builder *b, const bp_part *part) {
    const size_t common = bp_build_node(b);
    const size_t park = bp_build_own(b, part, BP_WIPER_PIN_53E);
    const size_t ground = bp_build_own(b, part, BP_WIPER_PIN_31);
    const bp_rotor rotor = bp_rotor_inertia(b);
    bp_rotor_winding(b, bp_build_own(b, part, BP_WIPER_PIN_53), common, &rotor);
    bp_rotor_winding(b, bp_build_own(b, part, BP_WIPER_PIN_53B), common, &rotor);
    bp_build_resistor(b, common, ground);
    bp_build_live(b, bp_build_resistor(b, bp_build_own(b, part, BP_WIPER_PIN_53A), park));
    bp_build_live(b, bp_build_resistor(b, park, ground));
}

static void values_in_time(const bp_view *view, double *value) {
    const bp_load load = load_of(view);
    bp_rotor_inertia_values(&value[T_LOAD], view->param[BP_WIPER_INERTIA], &load);
    brush_values(view, &value[T_SLOW], slow_winding(view->param),
                 bp_view_has(view, BP_WIPER_SLOW_BRUSH_OPEN));
    brush_values(view, &value[T_FAST], fast_winding(view->param),
                 bp_view_has(view, BP_WIPER_FAST_BRUSH_OPEN));
    value[T_COMMON] = common_brush_ohm(view);
    park_switch_values(view, &value[T_FEED_CONTACT]);
}

/* How far the cam has turned past the start of its ground contact, 0 .. 1. The middle of the
 * contact is where the arms are down, unless the cam has slipped: then it comes too early. */
static double past_start(const bp_view *view, double turns) {
    const double zone = view->param[BP_WIPER_PARK_ZONE];
    const double at = turns + zone / 2 + bp_view_how_bad(view, BP_WIPER_CAM_SLIPPED, 0);
    return at - floor(at);
}

static int cam_at(const bp_view *view, double turns) {
    const double zone = view->param[BP_WIPER_PARK_ZONE], at = past_start(view, turns);
    if (at < zone)
        return ON_GROUND;
    return at < zone + between_contacts || at > 1 - between_contacts ? BETWEEN : ON_FEED;
}

static void begin(bp_moment *m) {
    const double at = m->view.setting == BP_WIPER_SWEEPING
                          ? sweeping_at
                          : -bp_view_how_bad(&m->view, BP_WIPER_CAM_SLIPPED, 0);
    m->memory[TURNS] = m->memory[TURNS_THEN] = at;
    m->memory[CAM] = cam_at(&m->view, at);
}

/* The next edge of the cam at the speed of now. */
static void wake_at_edge(bp_moment *m, double turns_a_second) {
    const double zone = m->view.param[BP_WIPER_PARK_ZONE];
    const double edges[] = {zone, zone + between_contacts, 1 - between_contacts, 1};
    const double at = past_start(&m->view, m->memory[TURNS]);
    size_t next = 0;
    while (next < 3 && edges[next] <= at + 1e-6)
        next++;
    if (turns_a_second > 1e-3)
        bp_moment_wake(m, m->time + (edges[next] - at + 2e-6) / turns_a_second);
}

enum { TELL_FEED, TELL_GROUND, TELL_STOPS };
static const bp_wave_tell tells[] = {
    [TELL_FEED] = {.id = "to-feed", .words = "the park switch of %s goes to the feed"},
    [TELL_GROUND] = {.id = "to-ground", .words = "the park switch of %s goes to ground"},
    [TELL_STOPS] = {.id = "stops",
                    .words = "%s stops",
                    .since = "to-ground",
                    .span_id = "braking-time",
                    .span_words = "time to stop once the park switch is on ground"},
    {.id = NULL}};

/* While the cam is on ground nothing but a switch that is on feeds the slow brush apart from 53e.
 */
static bool is_asked(const bp_view *view) {
    const double park = bp_view_pin_volts(view, BP_WIPER_PIN_53E);
    const double feed = bp_view_pin_volts(view, BP_WIPER_PIN_53A);
    const double top =
        fmax(bp_view_pin_volts(view, BP_WIPER_PIN_53), bp_view_pin_volts(view, BP_WIPER_PIN_53B));
    return top - park > 0.4 * feed;
}

/* Steps get shorter as it comes to rest, so that the time of it is known to half a millisecond. */
static void look_for_rest(bp_moment *m, double speed) {
    const double took = m->time - m->before, went = m->memory[SPEED] - speed;
    const double left = speed - BP_STANDS_STILL;
    if (took > 0 && left > 0 && left < 4 * went)
        bp_moment_fine(m, fmax(5e-4, 0.5 * took * left / went));
}

static void turn(bp_moment *m, double speed) {
    double *k = m->memory;
    look_for_rest(m, speed);
    const double rate = m->view.param[BP_WIPER_STROKES];
    k[TURNS] += rate * (k[SPEED] + speed) / 2 * (m->time - m->before);
    k[SPEED] = speed;
    if (m->time <= 0)
        k[TURNS_THEN] = k[TURNS];
    wake_at_edge(m, rate * speed);
    const bool stands = fabs(speed) < BP_STANDS_STILL;
    if (stands && k[STANDS] == 0 && m->time > 0 && k[TURNS] > k[TURNS_THEN])
        bp_moment_tell(m, TELL_STOPS, NAN);
    k[STANDS] = stands;
}

static bool instant(bp_moment *m) {
    double *k = m->memory;
    turn(m, bp_rotor_speed_in_time(&m->view, T_LOAD));
    const int was = (int)k[CAM], is = cam_at(&m->view, k[TURNS]);
    if (is == ON_GROUND && m->time > 0 && is_asked(&m->view))
        k[ASKED] = 1;
    k[CAM] = is;
    if (is == was)
        return false;
    if (is == ON_GROUND && m->time > 0)
        k[ARRIVALS]++;
    if (is != BETWEEN)
        bp_moment_tell(m, is == ON_GROUND ? TELL_GROUND : TELL_FEED, NAN);
    return true;
}

/* Where the arms stand, -0.5 .. 0.5 turns from where they belong. */
static double off_place(double turns) { return turns - floor(turns + 0.5); }

static void behave_stopped(const double *k, bp_behaviour *out) {
    const double off = off_place(k[TURNS]);
    const bool moved = k[TURNS] - k[TURNS_THEN] > 0.02;
    if (fabs(off) <= in_place) {
        out->says = "parked";
        snprintf(out->words, sizeof out->words,
                 k[ARRIVALS] > 1 ? "parks at the second go" : "parks");
    } else if (moved && off > -just_short && off < 0) {
        out->says = "stops-short";
        snprintf(out->words, sizeof out->words,
                 "stops short of its park position, by %.0f %% of a turn", -100 * off);
    } else if (moved && off > 0 && off < just_short) {
        out->says = "overshoots";
        snprintf(out->words, sizeof out->words,
                 "overshoots and stops %.0f %% of a turn past its park position", 100 * off);
    } else {
        out->says = "stops-short";
        snprintf(out->words, sizeof out->words, "stops where it is");
    }
}

static void behave_in_time(const bp_moment *m, bp_behaviour *out) {
    const double *k = m->memory;
    const bp_view *view = &m->view;
    out->value = k[SPEED];
    out->unit = BP_UNIT_FRACTION;
    if (k[STANDS] != 0) {
        behave_stopped(k, out);
    } else if (k[SPEED] < 0) {
        out->says = "backwards";
        snprintf(out->words, sizeof out->words, "runs backwards");
    } else if (k[ASKED] == 0 && k[ARRIVALS] > 0) {
        const bool slow = k[SPEED] < creeps;
        out->says = slow ? "overshoots" : "never-stops";
        snprintf(out->words, sizeof out->words, "%s",
                 slow ? "overshoots its park position and creeps"
                      : "runs through its park position: it does not stop");
    } else {
        out->says = k[SPEED] < weak ? "weak" : "normal";
        snprintf(out->words, sizeof out->words, "wipes %.0f times a minute",
                 60 * k[SPEED] * view->param[BP_WIPER_STROKES]);
    }
}

static const char *const says[] = {"normal",     "weak",      "off",         "fast",
                                   "stalled",    "parked",    "stops-short", "never-stops",
                                   "overshoots", "backwards", NULL};

static const bp_wave_model wave = {.elements = elements_in_time,
                                   .values = values_in_time,
                                   .n_memory = N_MEMORY,
                                   .begin = begin,
                                   .instant = instant,
                                   .tells = tells,
                                   .behave = behave_in_time,
                                   .says = says};

const bp_model bp_model_wiper_motor = {
    .elements = elements,
    .values = values,
    .behave = behave,
    .says = says,
    .senses = BP_HEARD | BP_SEEN,
    .wave = &wave,
};
