/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Pages and formats. Every page is made in memory; bp_canvas_finish writes the files.
 */
#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "render/canvas_private.h"
#include "render/text_memo.h"

static const double png_dpi = 200;
static const double points_per_inch = 72;
static const double points_per_mm = 72 / 25.4;

void bp_canvas_fail(bp_canvas *canvas, bp_status status, const char *why) {
    if (canvas->status != BP_OK)
        return;
    canvas->status = status;
    snprintf(canvas->why, sizeof canvas->why, "%s", why);
}

static bp_format format_of(const char *path) {
    const char *dot = strrchr(path, '.');
    if (dot && strcasecmp(dot, ".png") == 0)
        return BP_FORMAT_PNG;
    if (dot && strcasecmp(dot, ".pdf") == 0)
        return BP_FORMAT_PDF;
    if (dot && strcasecmp(dot, ".svg") == 0)
        return BP_FORMAT_SVG;
    return BP_FORMAT_NONE;
}

static cairo_status_t take(void *closure, const unsigned char *data, unsigned int size) {
    return bp_file_append(closure, data, size) ? CAIRO_STATUS_SUCCESS : CAIRO_STATUS_NO_MEMORY;
}

/* "sheet.png", "sheet-2.png" ... NULL when memory is out. */
static char *page_path(const char *path, size_t page) {
    char *name = NULL;
    const char *dot = strrchr(path, '.');
    if (page == 0)
        return strdup(path);
    if (asprintf(&name, "%.*s-%zu%s", (int)(dot - path), path, page + 1, dot) < 0)
        return NULL;
    return name;
}

/* Room for one more file at [n_files]; only finished pages count. */
static bool open_file(bp_canvas *canvas) {
    bp_file *grown = realloc(canvas->files, (canvas->n_files + 1) * sizeof *grown);
    if (!grown)
        return false;
    canvas->files = grown;
    grown[canvas->n_files] = (bp_file){.path = page_path(canvas->path, canvas->n_files)};
    return grown[canvas->n_files].path != NULL;
}

static cairo_surface_t *open_png(const bp_canvas *canvas) {
    double scale = png_dpi / points_per_inch;
    cairo_surface_t *surface =
        cairo_image_surface_create(CAIRO_FORMAT_RGB24, (int)lround(canvas->page.w * scale),
                                   (int)lround(canvas->page.h * scale));
    cairo_surface_set_device_scale(surface, scale, scale);
    return surface;
}

static cairo_surface_t *open_surface(bp_canvas *canvas) {
    double w = canvas->page.w, h = canvas->page.h;
    bp_file *file = canvas->files ? &canvas->files[canvas->n_files] : NULL;
    cairo_surface_t *surface;
    switch (canvas->format) {
    case BP_FORMAT_PNG:
        return open_png(canvas);
    case BP_FORMAT_PDF:
        /* Streams are copied to memory once the surface is finished, and `files` may move before.
         */
        surface = cairo_pdf_surface_create_for_stream(take, file, w, h);
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_TITLE, canvas->title);
        cairo_pdf_surface_set_metadata(surface, CAIRO_PDF_METADATA_CREATOR,
                                       "backprobe " BP_VERSION);
        return surface;
    case BP_FORMAT_SVG:
        surface = cairo_svg_surface_create_for_stream(take, file, w, h);
        cairo_svg_surface_set_document_unit(surface, CAIRO_SVG_UNIT_PT);
        return surface;
    default: /* only measured: extents need no pixels */
        return cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1);
    }
}

static void begin_page(bp_canvas *canvas) {
    bp_box *grown = realloc(canvas->inked, (canvas->n_pages + 1) * sizeof *grown);
    if (!grown) {
        bp_canvas_fail(canvas, BP_ERR_MEMORY, "out of memory");
        return;
    }
    canvas->inked = grown;
    canvas->inked[canvas->n_pages++] = (bp_box){0, 0, -1, -1};
    if (canvas->cr)
        return; /* PDF goes on in the same surface */
    if (canvas->path && !open_file(canvas)) {
        bp_canvas_fail(canvas, BP_ERR_MEMORY, "out of memory");
        return;
    }
    canvas->surface = open_surface(canvas);
    canvas->cr = cairo_create(canvas->surface);
    if (canvas->format == BP_FORMAT_PNG) {
        bp_canvas_colour(canvas, BP_PAPER_WHITE);
        cairo_paint(canvas->cr);
    }
}

static void close_surface(bp_canvas *canvas) {
    if (canvas->cr)
        cairo_destroy(canvas->cr);
    if (canvas->surface)
        cairo_surface_destroy(canvas->surface);
    canvas->cr = NULL;
    canvas->surface = NULL;
}

static void append_escaped(bp_file *file, const char *text, bool *good) {
    for (; *text; text++) {
        const char *as = *text == '<' ? "&lt;" : *text == '>' ? "&gt;" : *text == '&' ? "&amp;" : 0;
        *good = *good && bp_file_append(file, as ? as : text, as ? strlen(as) : 1);
    }
}

/* Cairo draws the letters of an SVG as outlines. Title and words go in as <title> and <desc>, so
 * that the file can be searched and read aloud. */
static void add_words(bp_canvas *canvas, bp_file *file) {
    static const char root[] = "<svg ";
    bp_file plain = *file, worded = {0};
    unsigned char *at = memmem(plain.data, plain.size, root, sizeof root - 1);
    unsigned char *end = at ? memchr(at, '>', (size_t)(plain.data + plain.size - at)) : NULL;
    if (!end)
        return;
    size_t head = (size_t)(end + 1 - plain.data);
    bool good = bp_file_append(&worded, plain.data, head);
    good = good && bp_file_append(&worded, "\n<title>", 8);
    append_escaped(&worded, canvas->title, &good);
    good = good && bp_file_append(&worded, "</title>\n<desc>", 15);
    for (size_t i = 0; i < canvas->n_entries; i++) {
        const bp_ledger_entry *entry = &canvas->entries[i];
        if (entry->ink != BP_INK_TEXT || entry->page != canvas->n_pages - 1)
            continue;
        append_escaped(&worded, entry->label, &good);
        good = good && bp_file_append(&worded, "\n", 1);
    }
    good = good && bp_file_append(&worded, "</desc>", 7);
    good = good && bp_file_append(&worded, plain.data + head, plain.size - head);
    if (!good) {
        bp_file_clear(&worded);
        bp_canvas_fail(canvas, BP_ERR_MEMORY, "out of memory");
        return;
    }
    worded.path = plain.path;
    free(plain.data);
    *file = worded;
}

/* Ends a file: a page of PNG or SVG, or the whole PDF. */
static void close_file(bp_canvas *canvas) {
    cairo_status_t status = cairo_status(canvas->cr);
    bp_file *file = &canvas->files[canvas->n_files];
    if (status == CAIRO_STATUS_SUCCESS && canvas->format == BP_FORMAT_PNG)
        status = cairo_surface_write_to_png_stream(canvas->surface, take, file);
    cairo_surface_finish(canvas->surface);
    if (status == CAIRO_STATUS_SUCCESS)
        status = cairo_surface_status(canvas->surface);
    if (status != CAIRO_STATUS_SUCCESS)
        bp_canvas_fail(canvas, status == CAIRO_STATUS_NO_MEMORY ? BP_ERR_MEMORY : BP_ERR_FILE,
                       cairo_status_to_string(status));
    else if (canvas->format == BP_FORMAT_SVG)
        add_words(canvas, file);
    canvas->n_files++;
    close_surface(canvas);
}

static PangoContext *new_text_context(void) {
    PangoContext *context = pango_font_map_create_context(pango_cairo_font_map_get_default());
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_cairo_context_set_resolution(context, points_per_inch);
    pango_context_set_round_glyph_positions(context, FALSE);
    return context;
}

bp_canvas *bp_canvas_new(const char *path, bp_paper paper, const char *title, bp_report *report) {
    bp_format format = path ? format_of(path) : BP_FORMAT_NONE;
    if (path && format == BP_FORMAT_NONE) {
        bp_report_add(report, BP_MISTAKE, path, 0, 0,
                      "the ending says no format: give the file a name ending in .pdf, .png or "
                      ".svg");
        return NULL;
    }
    bp_canvas *canvas = calloc(1, sizeof *canvas);
    if (!canvas)
        return NULL;
    canvas->format = format;
    canvas->path = path ? strdup(path) : NULL;
    canvas->title = strdup(title ? title : "");
    canvas->page = paper == BP_PAPER_LETTER
                       ? (bp_box){0, 0, 8.5 * points_per_inch, 11 * points_per_inch}
                       : (bp_box){0, 0, 210 * points_per_mm, 297 * points_per_mm};
    canvas->pango = new_text_context();
    canvas->sizes = bp_text_memo_new();
    if (canvas->title && (canvas->path || !path))
        begin_page(canvas);
    if (!canvas->cr || canvas->status != BP_OK)
        bp_canvas_free(&canvas);
    return canvas;
}

void bp_canvas_free(bp_canvas **canvas) {
    bp_canvas *c = *canvas;
    if (!c)
        return;
    if (c->cr && c->files) { /* a page that was never finished */
        cairo_surface_finish(c->surface);
        c->n_files++;
    }
    close_surface(c);
    for (size_t i = 0; i < c->n_files; i++)
        bp_file_clear(&c->files[i]);
    free(c->files);
    bp_ledger_clear(c);
    g_object_unref(c->pango);
    g_hash_table_unref(c->sizes);
    free(c->inked);
    free(c->path);
    free(c->title);
    free(c);
    *canvas = NULL;
}

bp_status bp_canvas_finish(bp_canvas *canvas, bp_report *report) {
    if (canvas->cr && canvas->files)
        close_file(canvas);
    if (canvas->status != BP_OK) {
        bp_report_add(report, BP_MISTAKE, canvas->path, 0, 0,
                      "the drawing failed: %s; nothing was written", canvas->why);
        return canvas->status;
    }
    if (!canvas->path)
        return BP_OK;
    canvas->status = bp_files_write(canvas->files, canvas->n_files, report);
    return canvas->status;
}

bp_box bp_canvas_page(const bp_canvas *canvas) { return canvas->page; }

size_t bp_canvas_n_pages(const bp_canvas *canvas) { return canvas->n_pages; }

void bp_canvas_next_page(bp_canvas *canvas) {
    if (canvas->status != BP_OK)
        return;
    if (canvas->format == BP_FORMAT_PDF)
        cairo_show_page(canvas->cr);
    else if (canvas->format != BP_FORMAT_NONE)
        close_file(canvas);
    if (canvas->status == BP_OK)
        begin_page(canvas);
}
