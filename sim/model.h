/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a part kind behaves. A model says which elements it adds to the deck, which values they have
 * in a given case, what its contact or fuse does next, and what people notice.
 *
 * The contact resistance between the two faces of each plug or bolted pin, and its faults, are the
 * deck's own business (sim/contact.c): a model only connects to the part faces of its pins
 * (bp_build_own).
 */
#ifndef BP_SIM_MODEL_H
#define BP_SIM_MODEL_H

#include <backprobe/predict.h>

#include "circuits/circuit.h"
#include "circuits/fault.h"
#include "sim/deck.h"

/* What surrounds the circuit in the state at hand. */
typedef struct bp_surroundings {
    double ambient; /* degC, cabin and body */
    double engine;  /* degC, coolant and whatever sits on the engine */
    double speed;   /* rev/min, NAN = not set */
    bp_supply_sort supply;
    double supply_value;  /* V or A, see bp_state */
    double rest_volts;    /* of the battery with nothing on it, V; NAN: by its charge */
    double supply_strays; /* how far a running alternator or a starter lies off what is usual: -1
                             and 1 are the ends of the range that holds 95 % of them */
} bp_surroundings;

/* Everything that a model may look at. The pointers are valid during the call only. */
typedef struct bp_view {
    const bp_circuit *circuit;
    const bp_part *part;
    const double *param; /* of this part, moved within its tolerance; index as in kind->params. What
                            a wrong or worn part changes is the model's own business (faults) */
    const bp_surroundings *around;
    int setting;  /* of this part in this state: index in kind->settings or part->positions */
    int position; /* of its contact, fuse ...: 0 .. model->n_positions - 1 */
    const bp_fault *faults; /* active faults of this part, of its scope part or cavity */
    size_t n_faults;
    bool apart; /* unplugged, pulled or disconnected: plug and bolted pins are opened by the deck, a
                   connector opens its own */
    bool unprotected; /* asked how much would flow: fuses hold, and outputs do not shut down */
    const bp_deck *deck;
    const double *values; /* of the whole deck; NULL while values are being made */
    const double *volts;  /* of every deck node; NULL while values are being made */
    const double *memory; /* in a run over time what the part's wave block keeps; else NULL */
} bp_view;

/* The wish of a part to change its position; moves = false: stays. */
typedef struct bp_move {
    bool moves;
    int position;   /* wanted */
    double seconds; /* how soon: relays ms, fuses by their curve */
    double beyond;  /* how far past its threshold, relative (0.1 = 10 %): decides between equally
                       fast ones */
} bp_move;

/* What people notice of a part. says = NULL: nothing to say. */
typedef struct bp_behaviour {
    const char *says; /* static: one of model->says */
    char words[160];  /* a sentence without the part's name: "runs at 84 % of its speed" */
    double value;     /* e.g. 0.84; NAN when there is none */
    bp_unit unit;
    unsigned senses; /* as model->senses before the call; a model may say otherwise of what it tells
                      */
} bp_behaviour;

typedef struct bp_model {
    /* Adds the part's elements; the same calls in the same order for every case. */
    void (*elements)(bp_builder *b, const bp_part *part);
    /* Writes the part's values into value[0 .. n-1], in the order of its slots. */
    void (*values)(const bp_view *view, double *value);
    int n_positions;              /* 0 or 1: nothing to decide */
    const char *const *positions; /* names for people: "out", "in"; NULL when n_positions < 2 */
    bool lasting; /* a position other than 0 stays (a blown fuse), whatever the state */
    /* Of a lasting kind: does this part go back by itself all the same (a breaker that cycles)?
     * NULL: none does. */
    bool (*comes_back)(const bp_part *part);
    bp_move (*next)(const bp_view *view); /* NULL when there is nothing to decide */
    void (*behave)(const bp_view *view, bp_behaviour *out); /* NULL: silent part */
    /* What people notice of a part that is meant to find no rest (a flasher); position is one of
     * those that it goes through. NULL: it chatters. */
    void (*to_and_fro)(const bp_view *view, bp_behaviour *out);
    const char *const *says; /* NULL-ended ids that behave and to_and_fro may use */
    /* What only exists in time (sim/wave.h); NULL: behaves at every instant as in steady state. */
    const struct bp_wave_model *wave;
    unsigned senses; /* bits of bp_sense by which people notice what behave says; 0: none */
    /* How much warmer its outside is than what surrounds it for each watt that its resistances turn
     * into heat, K/W, after some minutes; 0: not felt (it has no heat of its own, it turns, nobody
     * may touch it). Common practice, for parts of a usual size in still air. */
    double kelvin_per_watt;
    /* The same for a kind that knows better, K; *watts: of all its heat. NULL: as above. */
    double (*warmer)(const bp_view *view, double *watts);
    int output_on; /* the setting in which a module switches this output on by itself; 0: none */
    /* Does the part stand more than it is made for? Then true, and what, in words that follow its
     * name: "has 12.3 V on its 5 V output". NULL: nothing that an action could do it. */
    bool (*strained)(const bp_view *view, char *words, size_t size);
} bp_model;

#define X(name) extern const bp_model bp_model_##name;
BP_KIND_LIST(X)
#undef X

/* By kind index. */
extern const bp_model *const bp_models[BP_N_KINDS];

/* Does a position other than 0 stay with this part, as a blown fuse stays blown? */
bool bp_part_lasts(const bp_part *part);
/* What such a part is then: "blown", "melted", "tripped". Static; the part is one of those that an
 * answer found blown. */
const char *bp_gone_word(const bp_circuit *circuit, const char *id);

/* Helpers for models. */

/* The active fault of this mode on the view's part, or NULL; sub: cavity, or BP_NONE for any. */
const bp_fault *bp_view_fault(const bp_view *view, int mode, size_t sub);
/* Voltage of a pin's own face over the reference, and across two of them; harness side likewise. */
double bp_view_pin_volts(const bp_view *view, size_t pin);
/* Value of one of the part's slots, and the current through the resistor in that slot (plus to
 * minus), A. */
double bp_view_value(const bp_view *view, size_t slot);
double bp_view_current(const bp_view *view, size_t slot);
/* Copper resistance at t degC given the one at 20 degC (alpha20 0.00393/K, IACS). */
double bp_copper_at(double ohm20, double celsius);
/* Resistance of a wire's copper at 20 degC without the joints at its ends, ohm; NAN for an ideal
 * conductor. */
double bp_wire_ohms(const bp_part *wire);
bool bp_wire_is_ideal(const bp_part *wire);

#endif
