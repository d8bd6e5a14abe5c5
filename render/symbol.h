/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a part kind looks: IEC 60617 symbols on a grid of cells. A symbol's own frame has its origin
 * at the top left corner of its box; feed enters at the top, ground leaves at the bottom. One cell
 * is BP_CELL points on the page at scale 1.
 *
 * A part is drawn in one piece, except a connector: each of its pins is a piece of its own, on its
 * own wire.
 */
#ifndef BP_RENDER_SYMBOL_H
#define BP_RENDER_SYMBOL_H

#include "circuits/circuit.h"
#include "circuits/fault.h"
#include "render/canvas.h"

#define BP_CELL 10.0

typedef enum bp_side { BP_TOP, BP_BOTTOM, BP_LEFT_SIDE, BP_RIGHT_SIDE } bp_side;

enum { BP_MAX_TERMINALS = 64 };

/* What the drawing asks of a symbol before it is shaped. Cells, unless said. */
typedef struct bp_wish {
    double scale;          /* of the drawing: small text is BP_SMALL_TEXT / scale high */
    const double *height;  /* by pin: 1 at the feed, 0 at ground; the higher pin goes up */
    const double *room;    /* by pin: free width that the tag right of it needs */
    double name_w, name_h; /* the part's name and caption */
} bp_wish;

/* Height of the smallest text on the page, in points. */
#define BP_SMALL_TEXT 6.5

typedef struct bp_terminal {
    size_t pin;   /* of the part */
    double x, y;  /* where the wire meets the symbol, in cells (whole numbers) */
    bp_side side; /* which way the wire leaves */
} bp_terminal;

/* Where the part's name and caption go. */
typedef enum bp_name_place {
    BP_NAME_RIGHT, /* beside the box, at mid height */
    BP_NAME_LEFT,
    BP_NAME_ABOVE_LEFT, /* of a dot, clear of the wires */
    BP_NAME_INSIDE /* at name_x, name_y (top left corner), within name_w and name_h as wished */
} bp_name_place;

/* The outline of a part's symbol. */
typedef struct bp_shape {
    double w, h; /* cells: body and terminals */
    size_t n_terminals;
    bp_terminal terminal[BP_MAX_TERMINALS];
    bp_name_place name;
    double name_x, name_y;
    double scale;    /* of the drawing, as wished */
    bool flip;       /* the main path is drawn with its second pin up */
    bool flip_other; /* the same for a second path (a relay's contact) */
    bool mirror;     /* drawn left for right; the terminals here are not mirrored, the ink is */
    double at[4];    /* columns that shape() hands to draw() */
    size_t piece;
} bp_shape;

/* The state in which a symbol is drawn. */
typedef struct bp_look {
    int setting;  /* of the part in the state shown */
    int position; /* of its contact or fuse: 0 = released / intact */
} bp_look;

typedef struct bp_symbol {
    /* How many pieces; NULL: one. */
    size_t (*pieces)(const bp_part *part);
    void (*shape)(const bp_part *part, size_t piece, const bp_wish *wish, bp_shape *shape);
    /* Draws into the pushed frame (1 unit = 1 point at scale 1; multiply cells by BP_CELL), with
     * the names of its pins. The part's name and caption are written by the schematic. */
    void (*draw)(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look);
    /* Second line beside the symbol: "15 A", "relay · 85 Ω", "21 W"; 0 = nothing. Length as
     * snprintf. */
    int (*caption)(const bp_part *part, char *text, size_t size);
    /* A word about the state shown ("pressed", "blown"), or NULL. May be NULL. */
    const char *(*says)(const bp_part *part, const bp_look *look);
    /* Pairs of pins that current passes between inside the part, whatever the state; at most
     * BP_MAX_TERMINALS. NULL: pins 0 and 1. */
    size_t (*paths)(const bp_part *part, size_t (*pairs)[2]);
} bp_symbol;

#define X(name) extern const bp_symbol bp_symbol_##name;
BP_KIND_LIST(X)
#undef X

/* By kind index. */
extern const bp_symbol *const bp_symbols[BP_N_KINDS];

const bp_symbol *bp_symbol_of(const bp_part *part);
size_t bp_symbol_pieces(const bp_part *part);
size_t bp_symbol_paths(const bp_part *part, size_t (*pairs)[2]);

/* An optional pin that nothing is wired to and no point is on is left out of the drawing. */
bool bp_pin_is_drawn(const bp_part *part, size_t pin);

#endif
