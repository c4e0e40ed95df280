#include "wire/mdr_weigh_ask.h"

#include "wire/mdr_shape.h"

#define FIELD(rec, member, kind_, must_)                                        \
    {                                                                           \
        .key = #member, .kind = MDR_FIELD_##kind_, .may = MDR_FIELD_ALWAYS,     \
        .must = (must_) ? MDR_FIELD_ALWAYS : 0, .offset = offsetof(rec, member) \
    }
#define SHAPE(what_, fields_, rec, absent_)                                             \
    {                                                                                   \
        .what = (what_), .fields = (fields_),                                           \
        .n_fields = (int)(sizeof(fields_) / sizeof((fields_)[0])), .size = sizeof(rec), \
        .absent = (absent_)                                                             \
    }

static const mdr_field JUDGE_FIELDS[] = {
    FIELD(mdr_judge_ask, material_id, TEXT, true), FIELD(mdr_judge_ask, target_mg, LONG, true),
    FIELD(mdr_judge_ask, mass_mg, LONG, true), FIELD(mdr_judge_ask, scale_id, TEXT, false)};
static const mdr_judge_ask NO_JUDGE = {.material_id = "", .scale_id = ""};
static const mdr_shape JUDGE = SHAPE("a weighing", JUDGE_FIELDS, mdr_judge_ask, &NO_JUDGE);

static const mdr_field SCAN_FIELDS[] = {FIELD(mdr_scan_ask, text, TEXT, true)};
static const mdr_scan_ask NO_SCAN = {.text = ""};
static const mdr_shape SCAN = SHAPE("a scan", SCAN_FIELDS, mdr_scan_ask, &NO_SCAN);

static const mdr_field RECEIVE_FIELDS[] = {FIELD(mdr_receive_ask, entry_id, TEXT, true),
                                           FIELD(mdr_receive_ask, stock_lot_id, TEXT, true),
                                           FIELD(mdr_receive_ask, material_id, TEXT, true),
                                           FIELD(mdr_receive_ask, mass_mg, LONG, true),
                                           FIELD(mdr_receive_ask, supplier_lot, TEXT, false),
                                           FIELD(mdr_receive_ask, expiry, TEXT, false),
                                           FIELD(mdr_receive_ask, remark, TEXT, false)};
static const mdr_receive_ask NO_RECEIVE = {.entry_id = "",
                                           .stock_lot_id = "",
                                           .material_id = "",
                                           .supplier_lot = "",
                                           .expiry = "",
                                           .remark = ""};
static const mdr_shape RECEIVE = SHAPE("a delivery", RECEIVE_FIELDS, mdr_receive_ask, &NO_RECEIVE);

typedef struct document {
    const char *text;
    size_t len;
    const mdr_shape *shape;
} document;

static mdr_code read(const document *d, mdr_arena *arena, mdr_err_list *found, void *record,
                     mdr_err *err)
{
    mdr_reader r = {.arena = arena, .found = found};
    json_t *doc = mdr_reader_parse(&r, d->text, d->len, MDR_WEIGH_DOC_MAX);
    if (doc != NULL) {
        mdr_reader_fill(&r, doc, d->shape, record);
        json_decref(doc);
    }
    return mdr_reader_done(&r, err);
}

mdr_code mdr_wire_judge_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                             mdr_judge_ask *out, mdr_err *err)
{
    mdr_judge_ask a = NO_JUDGE;
    const document d = {text, len, &JUDGE};
    MDR_TRY(read(&d, arena, found, &a, err));
    *out = a;
    return MDR_OK;
}

mdr_code mdr_wire_scan_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                            mdr_scan_ask *out, mdr_err *err)
{
    mdr_scan_ask a = NO_SCAN;
    const document d = {text, len, &SCAN};
    MDR_TRY(read(&d, arena, found, &a, err));
    *out = a;
    return MDR_OK;
}

mdr_code mdr_wire_receive_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                               mdr_receive_ask *out, mdr_err *err)
{
    mdr_receive_ask a = NO_RECEIVE;
    const document d = {text, len, &RECEIVE};
    MDR_TRY(read(&d, arena, found, &a, err));
    *out = a;
    return MDR_OK;
}
