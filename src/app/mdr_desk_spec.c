#include "app/mdr_desk_spec.h"

static const double PCT = 100.0;

void mdr_desk_clashes(mdr_desk *d, const mdr_spec_answer *s)
{
    mdr_desk_group(d, "clash_pct", "What clashes, and by how much");
    mdr_desk_number(d, "width_against_shrinkage", "width against its own shrinkage", "%",
                    PCT * s->clash_frac[MDR_SPEC_WIDTH_AGAINST_SHRINK]);
    mdr_desk_number(d, "gsm_against_width", "weight against width and length shrinkage", "%",
                    PCT * s->clash_frac[MDR_SPEC_GSM_AGAINST_WIDTH]);
    mdr_desk_number(d, "gsm_against_shrinkage", "weight against both shrinkages", "%",
                    PCT * s->clash_frac[MDR_SPEC_GSM_AGAINST_SHRINKAGE]);
    mdr_desk_group(d, NULL, NULL);
}

static const struct {
    const char *key, *most, *least, *none, *unit;
    double per;
} GIVES[MDR_SPEC_DEMANDS] = {
    [MDR_SPEC_GSM] = {"gsm", "weight, at most", "weight, at least", "weight", "g/m2", 1.0},
    [MDR_SPEC_WIDTH] = {"width_cm", "width, at most", "width, at least", "width", "cm", 1.0},
    [MDR_SPEC_LENGTH_SHRINK] = {"length_shrink_pct", "length shrinkage, at most",
                                "length shrinkage, at least", "length shrinkage", "%", 100.0},
    [MDR_SPEC_WIDTH_SHRINK] = {"width_shrink_pct", "width shrinkage, at most",
                               "width shrinkage, at least", "width shrinkage", "%", 100.0},
};

void mdr_desk_limits_wanted(mdr_desk *d, const mdr_spec_answer *s)
{
    mdr_desk_group(d, "limit_wanted", "One of these limits instead would do");
    for (int i = 0; i < MDR_SPEC_DEMANDS; i++) {
        const mdr_spec_give *give = &s->give[i];
        if (give->cures) {
            mdr_desk_number(d, GIVES[i].key, give->upper ? GIVES[i].most : GIVES[i].least,
                            GIVES[i].unit, GIVES[i].per * give->limit);
        } else {
            mdr_desk_none(d, GIVES[i].key, GIVES[i].none, GIVES[i].unit);
        }
    }
    mdr_desk_group(d, NULL, NULL);
}
