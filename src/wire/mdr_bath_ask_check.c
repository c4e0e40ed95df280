/* What must fit together in a question to the bath desk. */
#include <stdio.h>

#include "wire/mdr_bath_ask_in.h"
#include "wire/mdr_limit.h"

static void wrong_word(mdr_reader *r, const char *key, mdr_bath_part part, const char *words,
                       const char *allowed)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_PARSE, "", "%s", words);
    mdr_err_value(&e, "%s", mdr_bath_part_id(part));
    mdr_err_allowed(&e, "%s", allowed);
    mdr_err_remedy(&e, "take one of these");
    mdr_reader_fault(r, key, &e);
}

static bool is_acid(mdr_bath_part p)
{
    return p == MDR_PART_ACETIC || p == MDR_PART_FORMIC || p == MDR_PART_CITRIC ||
           p == MDR_PART_H2SO4;
}

static void not_both(mdr_reader *r, const char *key, const char *words, const char *remedy)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_PARSE, "", "%s", words);
    mdr_err_remedy(&e, "%s", remedy);
    mdr_reader_fault(r, key, &e);
}

static void check_dose(mdr_reader *r, mdr_bath_ask *q)
{
    if (!q->has_exponent) {
        /* common practice: the two curves most controllers offer */
        q->exponent = q->curve == MDR_BATH_PROGRESSIVE  ? 2.0
                      : q->curve == MDR_BATH_DEGRESSIVE ? 0.5
                                                        : 1.0;
    } else if (q->curve == MDR_BATH_LINEAR) {
        not_both(r, "exponent", "a linear dose has no exponent",
                 "leave it out, or say progressive or degressive");
    } else if ((q->curve == MDR_BATH_PROGRESSIVE) != (q->exponent > 1.0)) {
        mdr_limit_fault(r, "exponent", q->exponent,
                        q->curve == MDR_BATH_PROGRESSIVE
                            ? "more than 1 up to 10 for a progressive dose"
                            : "0.1 to 1 for a degressive dose");
    }
}

static void check_probe(mdr_reader *r, const json_t *doc, const mdr_bath_ask *q)
{
    const bool given = json_is_string(json_object_get(doc, "unknown"));
    if (given && !is_acid(q->unknown) && q->unknown != MDR_PART_NAOH &&
        q->unknown != MDR_PART_NA2CO3) {
        wrong_word(r, "unknown", q->unknown, "a pH does not tell how much of this there is",
                   "naoh, na2co3, acetic, formic, citric, h2so4");
    } else if (given && q->part_g_per_l[q->unknown] > 0) {
        not_both(r, "unknown", "what is looked for cannot be given too",
                 "leave its g/L out of the question");
    }
}

static void check_acid(mdr_reader *r, const mdr_bath_ask *q)
{
    if (q->has_acid && !is_acid(q->acid)) {
        wrong_word(r, "acid", q->acid, "this is no acid", "acetic, formic, citric, h2so4");
    }
}

static void check_titration(mdr_reader *r, const json_t *doc, const mdr_bath_ask *q)
{
    check_acid(r, q);
    if (json_is_string(json_object_get(doc, "substance")) && q->substance != MDR_PART_NAOH &&
        q->substance != MDR_PART_NA2CO3 && q->substance != MDR_PART_NAHCO3) {
        wrong_word(r, "substance", q->substance, "this is no alkali", "naoh, na2co3, nahco3");
    }
    const bool peroxide = q->kind == MDR_TITRATE_PEROXIDE;
    if (peroxide && q->has_liquor != q->has_capacity) {
        not_both(r, q->has_liquor ? "capacity_mg_per_g" : "liquor_l",
                 "the catalase follows from the liquor and the capacity", "give both or neither");
    } else if (!peroxide && q->has_liquor && !q->has_acid) {
        not_both(r, "acid", "the liquor is asked for to tell the acid to give",
                 "name the acid, or leave the liquor out");
    } else if (q->has_strength && !q->has_acid) {
        not_both(r, "strength_pct", "this is the strength of an acid that is not named",
                 "name the acid, or leave it out");
    }
}

static void check_hardness(mdr_reader *r, const mdr_bath_ask *q)
{
    if (q->product_g_per_l > 0 && !q->has_capacity) {
        not_both(r, "capacity_mg_per_g", "what the product holds follows from its capacity",
                 "give the mg CaCO3 that 1 g of it holds, from its data sheet");
    }
}

static void check_salt(mdr_reader *r, const json_t *doc, const mdr_bath_ask *q)
{
    if (json_is_string(json_object_get(doc, "from")) &&
        json_is_string(json_object_get(doc, "to")) && q->from == q->to) {
        not_both(r, "to", "this is the salt one comes from", "name another salt");
    }
}

static void check_same_ph(mdr_reader *r, const mdr_bath_ask *q)
{
    if (!(q->soda_mixed_g_per_l < q->soda_only_g_per_l)) {
        char allowed[sizeof((mdr_err *)NULL)->allowed];
        (void)snprintf(allowed, sizeof allowed, "less than the %g g/L of soda alone",
                       q->soda_only_g_per_l);
        mdr_limit_fault(r, "soda_mixed_g_per_l", q->soda_mixed_g_per_l, allowed);
    }
}

void mdr_bath_ask_together(mdr_reader *r, const json_t *doc, mdr_bath_ask *q)
{
    switch (q->question) {
    case MDR_BATH_DOSE:
        check_dose(r, q);
        break;
    case MDR_BATH_PROBE:
        check_probe(r, doc, q);
        break;
    case MDR_BATH_SAME_PH:
        if (r->count == 0) {
            check_same_ph(r, q);
        }
        break;
    case MDR_BATH_NEUTRALISE:
        check_acid(r, q);
        break;
    case MDR_BATH_TITRATE:
        check_titration(r, doc, q);
        break;
    case MDR_BATH_HARDNESS:
        check_hardness(r, q);
        break;
    case MDR_BATH_SALT:
        check_salt(r, doc, q);
        break;
    case MDR_BATH_PH:
    case MDR_BATH_VAT:
    case MDR_BATH_RINSE:
    case MDR_BATH_COUNT:
        break;
    }
}
