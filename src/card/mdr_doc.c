#include "card/mdr_doc.h"

#include <cairo-pdf.h>
#include <stdio.h>
#include <string.h>

struct mdr_sink_part {
    mdr_sink_part *next;
    size_t used;
    unsigned char bytes[64 * 1024 - 64];
};

static mdr_sink_part *sink_grow(mdr_sink *sink)
{
    mdr_sink_part *part = MDR_NEW(sink->arena, mdr_sink_part);
    if (part == NULL) {
        sink->no_memory = true;
        return NULL;
    }
    if (sink->last == NULL) {
        sink->first = part;
    } else {
        sink->last->next = part;
    }
    sink->last = part;
    return part;
}

static cairo_status_t sink_write(void *closure, const unsigned char *data, unsigned length)
{
    mdr_sink *sink = closure;
    if (length > MDR_DOC_BYTES_MAX - sink->len) {
        sink->too_long = true;
        return CAIRO_STATUS_WRITE_ERROR;
    }
    for (size_t left = length; left > 0;) {
        mdr_sink_part *part = sink->last;
        if (part == NULL || part->used == sizeof part->bytes) {
            part = sink_grow(sink);
            if (part == NULL) {
                return CAIRO_STATUS_WRITE_ERROR;
            }
        }
        const size_t room = sizeof part->bytes - part->used;
        const size_t n = left < room ? left : room;
        memcpy(part->bytes + part->used, data, n);
        part->used += n;
        data += n;
        left -= n;
        sink->len += n;
    }
    return CAIRO_STATUS_SUCCESS;
}

static unsigned char *sink_join(const mdr_sink *sink)
{
    unsigned char *all = mdr_arena_alloc(sink->arena, sink->len + 1, 1);
    if (all == NULL) {
        return NULL;
    }
    size_t at = 0;
    for (const mdr_sink_part *part = sink->first; part != NULL; part = part->next) {
        memcpy(all + at, part->bytes, part->used);
        at += part->used;
    }
    return all;
}

/* cairo dates a PDF by the clock unless told otherwise; the caller's time makes the bytes
 * repeat. A time that is no ISO date is refused by cairo, then a fixed day stands there. */
static void set_metadata(mdr_doc *doc, const char *title)
{
    char date[32] = "1970-01-01T00:00:00";
    const char *given = doc->print->printed_at;
    if (strlen(given) >= 16 && given[4] == '-' && given[7] == '-' && given[13] == ':') {
        (void)snprintf(date, sizeof date, "%.10sT%.5s:00", given, given + 11);
    }
    cairo_pdf_surface_set_metadata(doc->surface, CAIRO_PDF_METADATA_TITLE, title);
    cairo_pdf_surface_set_metadata(doc->surface, CAIRO_PDF_METADATA_CREATE_DATE, date);
    cairo_pdf_surface_set_metadata(doc->surface, CAIRO_PDF_METADATA_MOD_DATE, date);
}

/* Without hints: every measure is the same on every computer with the same fonts. */
static PangoContext *make_pango(cairo_t *cr)
{
    PangoContext *pango = pango_cairo_create_context(cr);
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    pango_cairo_context_set_font_options(pango, options);
    cairo_font_options_destroy(options);
    pango_cairo_context_set_resolution(pango, 72.0);
    pango_context_set_round_glyph_positions(pango, FALSE);
    pango_context_set_language(pango, pango_language_from_string("en"));
    return pango;
}

static mdr_code cairo_failed(const mdr_doc *doc, cairo_status_t status, mdr_err *err)
{
    if (doc->sink.too_long) {
        mdr_code rc = MDR_FAIL(err, MDR_E_NOMEM, "document", "the document is too long");
        mdr_err_allowed(err, "up to %d MiB", MDR_DOC_BYTES_MAX / 1024 / 1024);
        mdr_err_remedy(err, "print fewer baths at once");
        return rc;
    }
    if (doc->sink.no_memory || status == CAIRO_STATUS_NO_MEMORY) {
        return MDR_FAIL(err, MDR_E_NOMEM, "document", "no memory left for the document");
    }
    return MDR_FAIL(err, MDR_E_IO, "document", "drawing failed: %s",
                    cairo_status_to_string(status));
}

mdr_code mdr_doc_open(mdr_doc *doc, double width, double height, const char *title, mdr_err *err)
{
    doc->width = width;
    doc->height = height;
    doc->sink = (mdr_sink){.arena = doc->arena};
    doc->surface = cairo_pdf_surface_create_for_stream(sink_write, &doc->sink, width, height);
    doc->cr = cairo_create(doc->surface);
    const cairo_status_t status = cairo_status(doc->cr);
    if (status != CAIRO_STATUS_SUCCESS) {
        const mdr_code rc = cairo_failed(doc, status, err);
        cairo_destroy(doc->cr);
        cairo_surface_destroy(doc->surface);
        return rc;
    }
    set_metadata(doc, title);
    doc->pango = make_pango(doc->cr);
    doc->dry = true;
    doc->page = 1;
    return MDR_OK;
}

void mdr_doc_show_page(mdr_doc *doc)
{
    if (!doc->dry) {
        cairo_show_page(doc->cr);
    }
}

mdr_code mdr_doc_close(mdr_doc *doc, unsigned char **out, size_t *len, mdr_err *err)
{
    cairo_status_t status = cairo_status(doc->cr);
    cairo_surface_finish(doc->surface);
    if (status == CAIRO_STATUS_SUCCESS) {
        status = cairo_surface_status(doc->surface);
    }
    g_object_unref(doc->pango);
    cairo_destroy(doc->cr);
    cairo_surface_destroy(doc->surface);
    if (status != CAIRO_STATUS_SUCCESS || doc->sink.no_memory || doc->sink.too_long) {
        return cairo_failed(doc, status, err);
    }
    if (out == NULL) {
        return MDR_OK;
    }
    unsigned char *all = sink_join(&doc->sink);
    if (all == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "document", "no memory left for the document");
    }
    *out = all;
    *len = doc->sink.len;
    return MDR_OK;
}
