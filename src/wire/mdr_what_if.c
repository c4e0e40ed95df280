#include <math.h>

#include "wire/mdr_route_shape.h"
#include "wire/mdr_wire.h"

/* What is read: the record of the caller, and the room for a route. */
typedef struct request {
    mdr_what_if w;
    bool has_route;
    mdr_route route;
} request;

#define AT(m) offsetof(request, w.m)
#define PLAIN(key_, kind_, offset_, has_)                                                       \
    {                                                                                           \
        .key = (key_), .kind = MDR_FIELD_##kind_, .may = MDR_FIELD_ALWAYS, .offset = (offset_), \
        .has = (has_)                                                                           \
    }

#define READING(key_, kind_, must_)                                                        \
    {                                                                                      \
        .key = #key_, .kind = MDR_FIELD_##kind_, .may = MDR_FIELD_ALWAYS, .must = (must_), \
        .offset = offsetof(mdr_pass_reading, key_)                                         \
    }
static const mdr_field READING_FIELDS[] = {
    READING(pass, INT, MDR_FIELD_ALWAYS),
    READING(lies_cm, NUMBER, MDR_FIELD_ALWAYS),
    READING(courses_per_cm, NUMBER, MDR_FIELD_ALWAYS),
    READING(moisture_pct, NUMBER, MDR_FIELD_ALWAYS),
    READING(wet_gsm, NUMBER, 0),
};
static const mdr_shape READING_SHAPE = {.what = "a reading",
                                        .fields = READING_FIELDS,
                                        .n_fields =
                                            (int)(sizeof READING_FIELDS / sizeof READING_FIELDS[0]),
                                        .size = sizeof(mdr_pass_reading),
                                        .most = MDR_ROUTE_PASSES_MAX,
                                        .null_is_absent = true};

static const mdr_field FIELDS[] = {
    PLAIN("machine_id", TEXT, AT(machine_id), 0),
    PLAIN("route_id", TEXT, AT(route_id), 0),
    {.key = "route",
     .kind = MDR_FIELD_OBJECT,
     .may = MDR_FIELD_ALWAYS,
     .offset = offsetof(request, route),
     .has = offsetof(request, has_route),
     .shape = &mdr_route_shape},
    PLAIN("load_kg", NUMBER, AT(load_kg), AT(has_load)),
    PLAIN("ratio_l_per_kg", NUMBER, AT(ratio_l_per_kg), AT(has_ratio)),
    PLAIN("speed_m_per_min", NUMBER, AT(speed_m_per_min), AT(has_speed)),
    PLAIN("tubes_used", INT, AT(tubes_used), AT(has_tubes)),
    PLAIN("revision", INT, AT(revision), 0),
    {.key = "readings",
     .kind = MDR_FIELD_LIST,
     .may = MDR_FIELD_ALWAYS,
     .offset = AT(readings),
     .count = AT(n_readings),
     .shape = &READING_SHAPE},
};
static const mdr_shape SHAPE = {.what = "a change of a lot",
                                .fields = FIELDS,
                                .n_fields = (int)(sizeof FIELDS / sizeof FIELDS[0]),
                                .null_is_absent = true};

/* The ranges of the lot table, and 0 for what may be left to the machine or the rolls. */
typedef struct limit {
    double least, most;
    bool or_zero;
    const char *unit, *zero_means;
} limit;

static void within(mdr_reader *r, const char *key, double v, limit l)
{
    if ((isfinite(v) && v >= l.least && v <= l.most) || (l.or_zero && v == 0)) {
        return;
    }
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "", "%s is out of range", key);
    mdr_err_value(&e, "%.15g", v);
    mdr_err_allowed(&e, "%g to %g%s%s%s%s", l.least, l.most, l.unit[0] != '\0' ? " " : "", l.unit,
                    l.or_zero ? "; 0: " : "", l.or_zero ? l.zero_means : "");
    mdr_err_remedy(&e, "give a value in this range, or leave it out: then it is as stored");
    mdr_reader_fault(r, key, &e);
}

static void id_of(mdr_reader *r, const char *key, const char *id)
{
    if (id == NULL || mdr_id_valid(id)) {
        return;
    }
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "", "%s cannot be used as a number", key);
    mdr_err_value(&e, "%s", id);
    mdr_err_allowed(&e, "1 to 40 of A-Z a-z 0-9 - _ .");
    mdr_err_remedy(&e, "give a number that is in the mill, or leave it out: then it is as stored");
    mdr_reader_fault(r, key, &e);
}

static void ranges(mdr_reader *r, const mdr_what_if *w)
{
    id_of(r, "machine_id", w->machine_id);
    id_of(r, "route_id", w->route_id);
    if (w->has_load) {
        within(r, "load_kg", w->load_kg, (limit){0.1, 5000, true, "kg", "what the rolls weigh"});
    }
    if (w->has_ratio) {
        within(r, "ratio_l_per_kg", w->ratio_l_per_kg, (limit){2, 40, false, "L/kg", ""});
    }
    if (w->has_speed) {
        within(r, "speed_m_per_min", w->speed_m_per_min,
               (limit){1, 1000, true, "m/min", "the machine's fastest"});
    }
    if (w->has_tubes) {
        within(r, "tubes_used", w->tubes_used, (limit){1, 16, true, "", "all"});
    }
    if (w->revision < 0) {
        within(r, "revision", w->revision, (limit){1, 2147483647, true, "", "not given"});
    }
}

static mdr_code check_route(request *q, mdr_err_list *found, mdr_err *err)
{
    if (!q->has_route) {
        return MDR_OK;
    }
    const int from = found != NULL ? found->count : 0;
    const mdr_code rc = mdr_route_check_all(&q->route, found, err);
    if (rc != MDR_OK) {
        if (found != NULL) {
            mdr_err_list_within(found, from, "route");
        }
        mdr_err_within(err, "route");
    }
    return rc;
}

mdr_code mdr_wire_what_if_read(const char *text, size_t len, mdr_arena *arena, mdr_err_list *found,
                               mdr_what_if *out, mdr_err *err)
{
    mdr_reader r = {.arena = arena, .found = found};
    request *q = MDR_NEW(arena, request);
    if (q == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to read the change");
    }
    if (len == 0) { /* nothing is to be changed */
        *out = q->w;
        return MDR_OK;
    }
    q->route = *(const mdr_route *)mdr_route_shape.absent;
    json_t *doc = mdr_reader_parse(&r, text, len, MDR_WIRE_ROUTE_MAX);
    if (doc != NULL) {
        mdr_reader_fill(&r, doc, &SHAPE, q);
        json_decref(doc);
        ranges(&r, &q->w);
    }
    MDR_TRY(mdr_reader_done(&r, err));
    MDR_TRY(check_route(q, found, err));
    q->w.route = q->has_route ? &q->route : NULL;
    *out = q->w;
    return MDR_OK;
}
