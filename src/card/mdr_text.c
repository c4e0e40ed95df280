#include "card/mdr_doc.h"

#include <string.h>

#include <stdarg.h>
#include <stdio.h>

static const char FAMILY[] = "Inter, Noto Sans, sans-serif";
static const char FAMILY_LARGE[] = "Inter Display, Inter, Noto Sans, sans-serif";
static const double LARGE_PT = 17.0;
enum { LINES_UNBOUND = 12 }; /* enough for any note; keeps a row below a page */

const char *mdr_doc_say(mdr_doc *doc, const char *fmt, ...)
{
    va_list ap, again;
    va_start(ap, fmt);
    va_copy(again, ap);
    const int n = vsnprintf(NULL, 0, fmt, ap);
    va_end(ap);
    char *text = n < 0 ? NULL : mdr_arena_alloc(doc->arena, (size_t)n + 1, 1);
    if (text == NULL) {
        doc->sink.no_memory = true;
    } else {
        (void)vsnprintf(text, (size_t)n + 1, fmt, again);
    }
    va_end(again);
    return text == NULL ? "" : text;
}

static PangoLayout *make_layout(mdr_doc *doc, const mdr_style *style, const char *text)
{
    PangoLayout *layout = pango_layout_new(doc->pango);
    PangoFontDescription *font = pango_font_description_new();
    pango_font_description_set_family_static(font,
                                             style->size_pt >= LARGE_PT ? FAMILY_LARGE : FAMILY);
    pango_font_description_set_absolute_size(font, style->size_pt * PANGO_SCALE);
    pango_font_description_set_weight(font, (PangoWeight)style->weight);
    pango_layout_set_font_description(layout, font);
    pango_font_description_free(font);

    if (style->even) {
        PangoAttrList *attributes = pango_attr_list_new();
        pango_attr_list_insert(attributes, pango_attr_font_features_new("tnum"));
        pango_layout_set_attributes(layout, attributes);
        pango_attr_list_unref(attributes);
    }

    pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
    pango_layout_set_auto_dir(layout, TRUE);
    if (style->lines == 1) {
        pango_layout_set_single_paragraph_mode(layout, TRUE);
    }
    char *valid = g_utf8_make_valid(text, -1);
    pango_layout_set_text(layout, valid, -1);
    g_free(valid);
    return layout;
}

static void bound(PangoLayout *layout, const mdr_style *style, double width)
{
    static const PangoAlignment ALIGN[] = {PANGO_ALIGN_LEFT, PANGO_ALIGN_CENTER, PANGO_ALIGN_RIGHT};
    const int lines = style->lines > 0 ? style->lines : LINES_UNBOUND;
    pango_layout_set_width(layout, (int)(width * PANGO_SCALE));
    pango_layout_set_alignment(layout, ALIGN[style->align]);
    pango_layout_set_ellipsize(layout, PANGO_ELLIPSIZE_END);
    pango_layout_set_height(layout, -lines);
}

static double put(mdr_doc *doc, const mdr_style *style, mdr_box at, const char *text, bool base)
{
    if (text[0] == '\0') {
        return 0.0;
    }
    PangoLayout *layout = make_layout(doc, style, text);
    bound(layout, style, at.w);
    PangoRectangle logical;
    pango_layout_get_extents(layout, NULL, &logical);
    const double height = (double)logical.height / PANGO_SCALE;
    const double rise = base ? (double)pango_layout_get_baseline(layout) / PANGO_SCALE : 0.0;
    if (doc->dry) {
        doc->wanted_glyphs += pango_layout_get_unknown_glyphs_count(layout);
    } else {
        doc->unknown_glyphs += pango_layout_get_unknown_glyphs_count(layout);
        doc->cut_texts += pango_layout_is_ellipsized(layout) ? 1 : 0;
        cairo_set_source_rgb(doc->cr, style->ink, style->ink, style->ink);
        cairo_move_to(doc->cr, at.x, at.y - rise);
        pango_cairo_show_layout(doc->cr, layout);
    }
    g_object_unref(layout);
    return height - rise;
}

/* Bytes of the unit that the text begins with; 0: it begins with something else. */
static size_t unit_at(const char *text)
{
    static const char *const UNITS[] = {
        "min", "h", "s",    "\u00b0C", "C",  "%", "g/L", "mL/L",  "mL",       "L",
        "kg",  "g", "mg/L", "cm",      "mm", "m", "mV",  "m/min", "\u00b0dH", "\u00b0C/min"};
    static const char LETTERS[] =
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789/%";
    for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++) {
        const size_t n = strlen(UNITS[i]);
        if (strncmp(text, UNITS[i], n) == 0 &&
            (text[n] == '\0' || strchr(LETTERS, text[n]) == NULL)) {
            return n;
        }
    }
    return 0;
}

const char *mdr_doc_tied(mdr_doc *doc, const char *text)
{
    static const char TIE[] = "\u00a0";
    const size_t tie = sizeof TIE - 1;
    char *out = mdr_arena_alloc(doc->arena, strlen(text) * tie + 1, 1);
    if (out == NULL) {
        return text; /* the next text that finds no room says so */
    }
    size_t to = 0;
    for (size_t i = 0; text[i] != '\0'; i++) {
        const bool tied = i > 0 && text[i] == ' ' && text[i - 1] >= '0' && text[i - 1] <= '9' &&
                          unit_at(text + i + 1) > 0;
        memcpy(out + to, tied ? TIE : text + i, tied ? tie : 1);
        to += tied ? tie : 1;
    }
    out[to] = '\0';
    return out;
}

double mdr_text(mdr_doc *doc, const mdr_style *style, double x, double y, double width,
                const char *text)
{
    return put(doc, style, (mdr_box){x, y, width, 0.0}, text, false);
}

double mdr_text_base(mdr_doc *doc, const mdr_style *style, double x, double baseline, double width,
                     const char *text)
{
    return put(doc, style, (mdr_box){x, baseline, width, 0.0}, text, true);
}

double mdr_text_width(mdr_doc *doc, const mdr_style *style, const char *text, double *height)
{
    PangoLayout *layout = make_layout(doc, style, text);
    PangoRectangle logical;
    pango_layout_get_extents(layout, NULL, &logical);
    if (height != NULL) {
        *height = (double)logical.height / PANGO_SCALE;
    }
    const double width = (double)logical.width / PANGO_SCALE;
    g_object_unref(layout);
    return width;
}

mdr_style mdr_text_fit(mdr_doc *doc, const mdr_style *style, double least_pt, double width,
                       const char *text)
{
    mdr_style fit = *style;
    const double natural = mdr_text_width(doc, style, text, NULL);
    if (natural > width) {
        const double size = style->size_pt * width / natural * 0.995; /* rounding of the shaper */
        fit.size_pt = size > least_pt ? size : least_pt;
    }
    return fit;
}
