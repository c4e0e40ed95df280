#include "wire/mdr_shorten_ask.h"

#include <stdlib.h>
#include <string.h>

#include "core/exhaust/mdr_dye_shorten.h"
#include "wire/mdr_limit.h"
#include "wire/mdr_wire.h"

#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))
#define AT(m)   offsetof(mdr_shorten_ask, m)
#define PLAIN(key_, kind_)                                                                   \
    {                                                                                        \
        .key = #key_, .kind = MDR_FIELD_##kind_, .may = MDR_FIELD_ALWAYS, .offset = AT(key_) \
    }
static const mdr_field FIELDS[] = {
    PLAIN(de_limit, NUMBER),
    PLAIN(fixation_allowance_pct, NUMBER),
    PLAIN(fixation_allowance_worst_pct, NUMBER),
    PLAIN(run_least_min, NUMBER),
    PLAIN(turns_least_salt, NUMBER),
    PLAIN(turns_least_dye, NUMBER),
    PLAIN(turns_least_alkali, NUMBER),
    PLAIN(points, INT),
    PLAIN(keep_speed, BOOL),
};
static const mdr_shape SHAPE = {.what = "a search for a shorter dyeing",
                                .fields = FIELDS,
                                .n_fields = N_OF(FIELDS),
                                .null_is_absent = true};

/* Invented: a slipped decimal point is found. */
#define LIMIT(key_, least_, most_, unit_)                  \
    {                                                      \
#key_, AT(key_), (least_), (most_), (unit_), false \
    }
static const mdr_limit LIMITS[] = {
    LIMIT(de_limit, 0.05, 5, "CMC(2:1)"),
    LIMIT(fixation_allowance_pct, 0, 20, "%"),
    LIMIT(fixation_allowance_worst_pct, 0, 20, "%"),
    LIMIT(run_least_min, 0, 120, "min"),
    LIMIT(turns_least_salt, 0, 100, "turns"),
    LIMIT(turns_least_dye, 0, 100, "turns"),
    LIMIT(turns_least_alkali, 0, 100, "turns"),
};

/* Members of this search go from `doc` into an object of their own; what stays is a dyeing. */
static json_t *parted(json_t *doc)
{
    json_t *own = json_object();
    for (int i = 0; own != NULL && i < N_OF(FIELDS); i++) {
        json_t *v = json_object_get(doc, FIELDS[i].key);
        if (v != NULL && json_object_set(own, FIELDS[i].key, v) != 0) {
            json_decref(own);
            return NULL;
        }
        (void)json_object_del(doc, FIELDS[i].key);
    }
    return own;
}

/* What stays, as text again: read as every dyeing is. */
static const char *rest_of(mdr_reader *r, const json_t *doc)
{
    static const size_t DIGITS = 17; /* a double comes back to the last bit */
    char *text = json_dumps(doc, JSON_COMPACT | JSON_REAL_PRECISION(DIGITS));
    const char *kept = text != NULL ? mdr_arena_text(r->arena, text) : NULL;
    free(text);
    r->no_memory = r->no_memory || kept == NULL;
    return kept;
}

static const char *read_own(mdr_reader *r, json_t *doc, mdr_shorten_ask *q)
{
    json_t *own = parted(doc);
    if (own == NULL) {
        r->no_memory = true;
        return NULL;
    }
    mdr_reader_fill(r, own, &SHAPE, q);
    mdr_limits_check(r, own, q, LIMITS, N_OF(LIMITS));
    if (q->points < 1 || q->points > MDR_SHORTEN_POINTS_MAX) {
        mdr_limit_fault(r, "points", q->points, "1 to 8");
    }
    json_decref(own);
    return rest_of(r, doc);
}

static mdr_shorten_ask usual(void)
{
    mdr_shorten_in in = {.base = NULL};
    mdr_shorten_usual(&in);
    return (mdr_shorten_ask){.fixation_allowance_pct = 100.0 * in.fixation_allowance,
                             .fixation_allowance_worst_pct = 100.0 * in.fixation_allowance_worst,
                             .run_least_min = in.run_least_min,
                             .turns_least_salt = in.turns_least[MDR_GIVES_SALT],
                             .turns_least_dye = in.turns_least[MDR_GIVES_DYE],
                             .turns_least_alkali = in.turns_least[MDR_GIVES_ALKALI],
                             .points = in.points};
}

mdr_code mdr_wire_shorten_ask_read(const char *text, size_t len, mdr_arena *arena,
                                   mdr_err_list *found, mdr_shorten_ask *out, mdr_err *err)
{
    mdr_reader r = {.arena = arena, .found = found};
    mdr_shorten_ask q = usual();
    const char *rest = "";
    if (len > 0) {
        json_t *doc = mdr_reader_parse(&r, text, len, MDR_WIRE_ROUTE_MAX);
        if (doc != NULL) {
            rest = read_own(&r, doc, &q);
            json_decref(doc);
        }
    }
    mdr_err first = {0};
    const mdr_code own = mdr_reader_done(&r, &first);
    if (own != MDR_OK) {
        *err = first;
        return own;
    }
    MDR_TRY(mdr_wire_dyeing_ask_read(rest, strlen(rest), arena, found, &q.dyeing, err));
    *out = q;
    return MDR_OK;
}
