/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Do the fonts at hand have every sign that a sheet needs?
 */
#include <pango/pangocairo.h>
#include <string.h>

#include "cli/doctor.h"
#include "render/canvas.h"

/* Letters, digits, and what else sheets write: ohm, square, degree, dashes, marks. */
static const char signs[] = "Aa0Ω²°–−·▲▼◆→≈±";

static bool has_sign(PangoFontset *fonts, gunichar sign) {
    PangoFont *font = pango_fontset_get_font(fonts, sign);
    if (!font)
        return false;
    PangoCoverage *coverage = pango_font_get_coverage(font, pango_language_get_default());
    bool has = pango_coverage_get(coverage, (int)sign) == PANGO_COVERAGE_EXACT;
    pango_coverage_unref(coverage);
    g_object_unref(font);
    return has;
}

static void name_first(PangoFontset *fonts, char *name, size_t size) {
    PangoFont *font = pango_fontset_get_font(fonts, 'A');
    if (!font)
        return;
    PangoFontDescription *description = pango_font_describe(font);
    snprintf(name, size, "%s", pango_font_description_get_family(description));
    pango_font_description_free(description);
    g_object_unref(font);
}

void bp_doctor_fonts(bp_cli *cli, bp_finding *finding) {
    (void)cli;
    char missing[128] = "", name[128] = "no font";
    PangoFontMap *map = pango_cairo_font_map_new();
    PangoContext *context = pango_font_map_create_context(map);
    PangoFontDescription *wanted = pango_font_description_new();
    pango_font_description_set_family_static(wanted, bp_font_families);
    pango_font_description_set_size(wanted, 10 * PANGO_SCALE);
    PangoFontset *fonts =
        pango_font_map_load_fontset(map, context, wanted, pango_language_get_default());
    for (const char *s = signs; *s; s = g_utf8_next_char(s)) {
        size_t used = strlen(missing);
        if (!fonts || !has_sign(fonts, g_utf8_get_char(s)))
            snprintf(missing + used, sizeof missing - used, "%.*s", (int)(g_utf8_next_char(s) - s),
                     s);
    }
    if (fonts) {
        name_first(fonts, name, sizeof name);
        g_object_unref(fonts);
    }
    pango_font_description_free(wanted);
    g_object_unref(context);
    g_object_unref(map);
    finding->good = missing[0] == '\0';
    if (finding->good) {
        snprintf(finding->found, sizeof finding->found, "%s, with every sign that a sheet needs",
                 name);
    } else {
        snprintf(finding->found, sizeof finding->found, "%s lacks %s", name, missing);
        snprintf(finding->mend, sizeof finding->mend,
                 "Install a font that has them: apt install fonts-dejavu-core");
    }
}
