#include "card/mdr_card.h"

#include "card/mdr_parts.h"

static const double A4_W = 210.0 * MDR_MM, A4_H = 297.0 * MDR_MM, MARGIN = 10.0 * MDR_MM;

/* Everything of a batch card, or the setting sheet alone. */
static void batch_parts(mdr_rows *rows, mdr_doc *doc)
{
    mdr_part_cover(rows, doc);
    mdr_part_warnings(rows, doc);
    mdr_part_baths(rows, doc);
    mdr_part_closing(rows, doc);
    mdr_part_finish(rows, doc);
}

typedef struct sheet {
    const char *title;
    void (*parts)(mdr_rows *rows, mdr_doc *doc);
} sheet;

static mdr_code print_sheet(mdr_doc *doc, const sheet *s, unsigned char **pdf, size_t *len,
                            mdr_err *err)
{
    const char *title = mdr_arena_printf(doc->arena, "%s %s", s->title, doc->plan->lot->lot_id);
    if (title == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "document", "no memory left for the document");
    }
    MDR_TRY(mdr_doc_open(doc, A4_W, A4_H, title, err));
    mdr_rows rows = {.arena = doc->arena};
    s->parts(&rows, doc);
    const mdr_code rc = mdr_rows_print(&rows, doc, err);
    if (rc != MDR_OK) {
        (void)mdr_doc_close(doc, NULL, NULL, NULL);
        return rc;
    }
    return mdr_doc_close(doc, pdf, len, err);
}

mdr_code mdr_card_batch(const mdr_plan *plan, const mdr_card_print *print, mdr_arena *arena,
                        unsigned char **pdf, size_t *len, mdr_err *err)
{
    mdr_doc doc = {.plan = plan, .print = print, .arena = arena, .margin = MARGIN};
    return print_sheet(&doc, &(sheet){"Batch card", batch_parts}, pdf, len, err);
}

mdr_code mdr_card_settings(const mdr_plan *plan, const mdr_card_print *print, mdr_arena *arena,
                           unsigned char **pdf, size_t *len, mdr_err *err)
{
    mdr_doc doc = {.plan = plan, .print = print, .arena = arena, .margin = MARGIN};
    if (plan->finish == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "finish",
                                     "there is nothing to set on the finishing line");
        mdr_err_remedy(err,
                       "give the route its passes, and the article its loop, yarn and machine");
        return rc;
    }
    return print_sheet(&doc, &(sheet){"Setting sheet", mdr_part_settings}, pdf, len, err);
}
