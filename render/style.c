/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "render/style.h"

const bp_font bp_font_title = {20, BP_BOLD, BP_INK_BLACK, false};
const bp_font bp_font_heading = {11.5, BP_BOLD, BP_INK_BLACK, false};
const bp_font bp_font_state = {12, BP_BOLD, BP_ACCENT, false};
const bp_font bp_font_text = {8.5, BP_REGULAR, BP_INK_BLACK, true};
const bp_font bp_font_strong = {8.5, BP_BOLD, BP_INK_BLACK, true};
const bp_font bp_font_quiet = {8.5, BP_REGULAR, BP_GREY_TEXT, true};
const bp_font bp_font_cell = {8.5, BP_REGULAR, BP_INK_BLACK, true};
const bp_font bp_font_cell_strong = {8.5, BP_BOLD, BP_INK_BLACK, true};
const bp_font bp_font_cell_quiet = {7.2, BP_REGULAR, BP_GREY_TEXT, true};
const bp_font bp_font_cell_head = {7.6, BP_BOLD, BP_INK_BLACK, true};
const bp_font bp_font_small = {7.2, BP_REGULAR, BP_GREY_TEXT, true};
const bp_font bp_font_small_strong = {7.2, BP_BOLD, BP_INK_BLACK, true};
const bp_font bp_font_chip = {8.5, BP_BOLD, BP_PAPER_WHITE, true};
