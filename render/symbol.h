/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * How a part kind looks: IEC 60617 symbols on a grid of cells. A symbol's own frame has its origin
 * at the top left corner of its body; feed enters at the top, ground leaves at the bottom. One cell
 * is BP_CELL points on the page at scale 1.
 */
#ifndef BP_RENDER_SYMBOL_H
#define BP_RENDER_SYMBOL_H

#include "circuits/circuit.h"
#include "circuits/fault.h"
#include "render/canvas.h"

#define BP_CELL 10.0

typedef enum bp_side { BP_TOP, BP_BOTTOM, BP_LEFT_SIDE, BP_RIGHT_SIDE } bp_side;

typedef struct bp_terminal {
    double x, y;  /* where the wire meets the symbol, in cells (whole numbers) */
    bp_side side; /* which way the wire leaves */
    bool named;   /* print the terminal's number beside it */
} bp_terminal;

enum { BP_MAX_TERMINALS = 64 };

/* The outline of a part's symbol. */
typedef struct bp_shape {
    double w, h;                            /* cells: body and terminals */
    size_t n_terminals;                     /* = part->n_pins */
    bp_terminal terminal[BP_MAX_TERMINALS]; /* by pin index */
} bp_shape;

/* The state in which a symbol is drawn. */
typedef struct bp_look {
    int setting;  /* of the part in the state shown */
    int position; /* of its contact or fuse: 0 = released / intact */
} bp_look;

typedef struct bp_symbol {
    void (*shape)(const bp_part *part, bp_shape *shape);
    /* Draws into the pushed frame (1 unit = 1 point at scale 1; multiply cells by BP_CELL). Text
     * inside the symbol (M, A, degree marks) by bp_text; the part's name and values are written
     * beside it by the schematic. */
    void (*draw)(bp_canvas *canvas, const bp_part *part, const bp_shape *shape,
                 const bp_look *look);
    /* Second line beside the symbol: "15 A", "85 Ω", "21 W"; 0 = nothing. Length as snprintf. */
    int (*caption)(const bp_part *part, char *text, size_t size);
} bp_symbol;

#define X(name) extern const bp_symbol bp_symbol_##name;
BP_KIND_LIST(X)
#undef X

/* By kind index. */
extern const bp_symbol *const bp_symbols[BP_N_KINDS];

#endif
