/* A line as it was asked about, and its passes as they are told. */
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_line_in.h"

static const double PCT = 100.0;

bool mdr_line_is_tube(const mdr_line_ask *q)
{
    return q->line == MDR_LINE_TUBULAR;
}

mdr_line mdr_line_asked(const mdr_line_ask *q)
{
    const double any_cm = q->wide[MDR_WIDTH_MIN].width_cm;
    mdr_line line = mdr_line_is_tube(q) ? mdr_line_tubular(any_cm) : mdr_line_open(any_cm);
    mdr_pass *squeeze = &line.passes[0];
    mdr_pass *pad = &line.passes[1];
    mdr_pass *dry = &line.passes[line.n - 2];
    mdr_pass *compact = &line.passes[line.n - 1];
    squeeze->overfeed_fraction = q->squeeze_overfeed_pct / PCT;
    squeeze->moisture_kg_per_kg = q->squeeze_moisture_kg_per_kg;
    pad->overfeed_fraction = q->pad_overfeed_pct / PCT;
    pad->moisture_kg_per_kg = q->pad_moisture_kg_per_kg;
    dry->overfeed_fraction = q->dry_overfeed_pct / PCT; /* a stenter's is settled */
    dry->width_change_fraction = q->dry_width_change_pct / PCT;
    dry->moisture_kg_per_kg = q->dry_moisture_kg_per_kg;
    compact->width_change_fraction = q->compact_width_change_pct / PCT;
    compact->moisture_kg_per_kg = q->compact_moisture_kg_per_kg;
    return line;
}

mdr_line_limits mdr_line_limits_asked(const mdr_line_ask *q)
{
    return (mdr_line_limits){.width_min_cm = q->wide[MDR_WIDTH_MIN].width_cm,
                             .width_max_cm = q->wide[MDR_WIDTH_MAX].width_cm,
                             .overfeed_min_fraction = q->overfeed_min_pct / PCT,
                             .overfeed_max_fraction = q->overfeed_max_pct / PCT,
                             .compact_min_fraction = q->compact_min_pct / PCT,
                             .compact_max_fraction = q->compact_max_pct / PCT};
}

mdr_spec_demand mdr_line_demand_asked(const mdr_line_ask *q)
{
    return (mdr_spec_demand){.gsm = q->gsm,
                             .gsm_tol_pct = q->gsm_tol_pct,
                             .width_cm = q->wide[MDR_WIDTH_ASKED].width_cm,
                             .width_tol_cm = q->wide[MDR_WIDTH_TOL].width_cm,
                             .length_shrink_max_frac = q->length_shrink_pct / PCT,
                             .width_shrink_max_frac = q->width_shrink_pct / PCT,
                             .length_shrink_min_frac = -q->growth_pct / PCT,
                             .width_shrink_min_frac = -q->growth_pct / PCT};
}

/* -- telling it -- */

void mdr_line_put_width(mdr_line_desk *d, const char *width, const char *layflat, const char *label,
                        double width_cm)
{
    const bool tube = mdr_line_is_tube(d->q);
    mdr_desk_number(&d->desk, tube ? layflat : width, label, "cm",
                    tube ? 0.5 * width_cm : width_cm);
}

static const char *width_label(const mdr_line_ask *q)
{
    return mdr_line_is_tube(q) ? "flat width" : "full open width";
}

static void put_set(mdr_line_desk *d, const mdr_pass *p)
{
    const bool tube = mdr_line_is_tube(d->q);
    if (mdr_pass_grips(p->kind)) {
        mdr_line_put_width(d, "set_width_cm", "set_layflat_cm",
                           tube ? "set: flat width" : "set: width over the pins", p->width_cm);
        mdr_desk_number(&d->desk, "set_overfeed_pct", "set: overfeed", "%",
                        PCT * p->overfeed_fraction);
    } else if (mdr_pass_compacts(p->kind)) {
        mdr_desk_number(&d->desk, "set_overfeed_pct", "set: overfeed", "%",
                        PCT * p->overfeed_fraction);
        mdr_desk_number(&d->desk, "length_loss_pct", "the same as length taken away", "%",
                        PCT * mdr_pass_length_loss(p));
    } else {
        mdr_desk_number(&d->desk, "overfeed_pct", "overfeed used", "%", PCT * p->overfeed_fraction);
    }
    const mdr_pass_range *machine = &mdr_pass_usual_of(p->kind)->machine_c;
    if (machine->usual > 0.0) {
        mdr_desk_number(&d->desk, "machine_c", "machine, usual", "degC", machine->usual);
    }
}

static void put_measure(mdr_line_desk *d, const mdr_web *web)
{
    const mdr_web_measure m = mdr_web_measured(web, d->q->regain_pct / PCT);
    mdr_line_put_width(d, "width_cm", "layflat_cm", width_label(d->q), m.width_cm);
    mdr_desk_number(&d->desk, "courses_per_cm", "courses", "1/cm", m.courses_per_cm);
    mdr_desk_number(&d->desk, "moisture_kg_per_kg", "moisture", "kg/kg", m.moisture_kg_per_kg);
    mdr_desk_number(&d->desk, "wet_gsm", "weight as it is", "g/m2", m.wet_gsm);
    mdr_desk_number(&d->desk, "conditioned_gsm", "weight conditioned", "g/m2", m.conditioned_gsm);
}

/* "relax-dryer" is a word; as a member it is relax_dryer. */
static const char *key_of(mdr_line_desk *d, mdr_pass_kind kind)
{
    char *key = mdr_arena_text(d->desk.arena, mdr_finisher_kind_id(kind));
    for (char *c = key; c != NULL && *c != '\0'; c++) {
        if (*c == '-') {
            *c = '_';
        }
    }
    return key != NULL ? key : mdr_finisher_kind_id(kind);
}

void mdr_line_put_passes(mdr_line_desk *d, const mdr_settled *s)
{
    for (int i = 0; i < s->line.n; i++) {
        const mdr_pass *p = &s->line.passes[i];
        mdr_desk_group(&d->desk, key_of(d, p->kind), mdr_finisher_kind_words(p->kind));
        put_set(d, p);
        put_measure(d, &s->after[i]);
    }
    mdr_desk_group(&d->desk, NULL, NULL);
}

void mdr_line_put_finished(mdr_line_desk *d, const mdr_web *web, mdr_residual residual)
{
    mdr_desk_group(&d->desk, "finished", "Finished, conditioned");
    mdr_line_put_width(d, "width_cm", "layflat_cm", width_label(d->q), web->width_cm);
    mdr_desk_number(&d->desk, "gsm", "weight", "g/m2",
                    mdr_web_conditioned_gsm(web, d->q->regain_pct / PCT));
    mdr_desk_number(&d->desk, "courses_per_cm", "courses", "1/cm", web->courses_per_cm);
    mdr_desk_number(&d->desk, "length_shrink_pct", "length shrinkage left", "%",
                    PCT * residual.length_fraction);
    mdr_desk_number(&d->desk, "width_shrink_pct", "width shrinkage left", "%",
                    PCT * residual.width_fraction);
    mdr_desk_group(&d->desk, NULL, NULL);
}

/* -- what is in the way -- */

static const mdr_answer_word LIMITS[] = {
    [MDR_LIMIT_NONE] = {"none", "nothing"},
    [MDR_LIMIT_WIDTH_MIN] = {"width_min", "its narrowest width"},
    [MDR_LIMIT_WIDTH_MAX] = {"width_max", "its widest width"},
    [MDR_LIMIT_WIDTH_UNSET] = {"width_unset", "no pass is left that grips the width"},
    [MDR_LIMIT_OVERFEED_MIN] = {"overfeed_min", "the least overfeed"},
    [MDR_LIMIT_OVERFEED_MAX] = {"overfeed_max", "the most overfeed"},
    [MDR_LIMIT_COMPACT_MIN] = {"compact_min", "the least the compactor takes"},
    [MDR_LIMIT_COMPACT_MAX] = {"compact_max", "the most the compactor takes"},
    [MDR_LIMIT_LENGTH_UNSET] = {"length_unset", "no pass is left that sets the length"},
};

const char *mdr_line_limit_id(mdr_line_limit limit)
{
    return LIMITS[limit].text;
}

const char *mdr_line_limit_words(mdr_line_limit limit)
{
    return LIMITS[limit].words;
}

static void put_miss(mdr_line_desk *d, const mdr_miss *m)
{
    mdr_desk_text(&d->desk, "limit", "in the way", LIMITS[m->limit].text, LIMITS[m->limit].words);
    if (m->limit <= MDR_LIMIT_WIDTH_UNSET) {
        mdr_line_put_width(d, "wanted_width_cm", "wanted_layflat_cm", "it would take", m->wanted);
        mdr_line_put_width(d, "width_cm", "layflat_cm", "it gets", m->allowed);
    } else if (m->limit == MDR_LIMIT_LENGTH_UNSET) {
        mdr_desk_number(&d->desk, "wanted_courses_per_cm", "it would take", "1/cm", m->wanted);
        mdr_desk_number(&d->desk, "courses_per_cm", "it gets", "1/cm", m->allowed);
    } else {
        mdr_desk_number(&d->desk, "wanted_pct", "it would take", "%", PCT * m->wanted);
        mdr_desk_number(&d->desk, "set_pct", "it gets", "%", PCT * m->allowed);
    }
    mdr_desk_number(&d->desk, "off_pct", "shrinks more than aimed at by", "%",
                    PCT * m->off_fraction);
}

void mdr_line_put_misses(mdr_line_desk *d, const mdr_settled *s)
{
    if (s->width.limit != MDR_LIMIT_NONE) {
        mdr_desk_group(&d->desk, "width_miss", "The width is not met");
        put_miss(d, &s->width);
    }
    if (s->length.limit != MDR_LIMIT_NONE) {
        mdr_desk_group(&d->desk, "length_miss", "The length is not met");
        put_miss(d, &s->length);
    }
    mdr_desk_group(&d->desk, NULL, NULL);
}

static void note_unusual(mdr_line_desk *d, const mdr_pass *p)
{
    const mdr_pass_range *usual = &mdr_pass_usual_of(p->kind)->overfeed_fraction;
    const double of = p->overfeed_fraction;
    if ((!mdr_pass_grips(p->kind) && !mdr_pass_compacts(p->kind)) ||
        (of >= usual->low && of <= usual->high)) {
        return;
    }
    const char *note = mdr_arena_printf(
        d->desk.arena, "%s: an overfeed of %.1f %% is out of the usual %.0f to %.0f %%.",
        mdr_finisher_kind_words(p->kind), PCT * of, PCT * usual->low, PCT * usual->high);
    mdr_desk_note(&d->desk, note != NULL ? note : "An overfeed is out of the usual.");
}

void mdr_line_note_settings(mdr_line_desk *d, const mdr_settled *s)
{
    for (int i = 0; i < s->line.n; i++) {
        note_unusual(d, &s->line.passes[i]);
    }
    if (s->compact_entry_kg_per_kg > MDR_PASS_COMPACT_DAMPEST_KG_PER_KG) {
        mdr_desk_note(&d->desk, "The fabric comes to the compactor damper than 0.10: what is "
                                "taken off the length is not set.");
    } else if (s->compact_entry_kg_per_kg >= 0.0 &&
               s->compact_entry_kg_per_kg < MDR_PASS_COMPACT_DRIEST_KG_PER_KG) {
        mdr_desk_note(&d->desk, "The fabric comes to the compactor drier than 0.04: the loops do "
                                "not move and the length comes back.");
    }
    mdr_desk_note(&d->desk, "What was not given is usual for such a line: common practice, partly "
                            "invented. The mill's own numbers take its place.");
}

/* -- faults -- */

static const char *moisture_key(const mdr_line_ask *q, int pass)
{
    static const char *const OPEN[] = {"squeeze_moisture_kg_per_kg", "pad_moisture_kg_per_kg",
                                       "dry_moisture_kg_per_kg", "compact_moisture_kg_per_kg"};
    static const char *const TUBE[] = {"squeeze_moisture_kg_per_kg", "pad_moisture_kg_per_kg",
                                       "pad_moisture_kg_per_kg", "dry_moisture_kg_per_kg",
                                       "compact_moisture_kg_per_kg"};
    return mdr_line_is_tube(q) ? TUBE[pass] : OPEN[pass];
}

/* A fault of the fabric is one of what it was computed from: of a tube its flat width. */
static const struct {
    const char *core, *open, *tube, *result;
} MEMBERS[] = {
    {"dry_gsm", "relaxed_gsm", "relaxed_gsm", "gsm"},
    {"relaxed.gsm", "relaxed_gsm", "relaxed_gsm", "gsm"},
    {"width_cm", "relaxed_width_cm", "relaxed_layflat_cm", "measured_width_cm"},
    {"relaxed.width_cm", "relaxed_width_cm", "relaxed_layflat_cm", "width_after_cm"},
    {"wales_per_cm", "relaxed_width_cm", "relaxed_layflat_cm", "width_after_cm"},
    {"relaxed.wales_per_cm", "needles", "needles", "width_after_cm"},
    {"relaxed.courses_per_cm", "relaxed_courses_per_cm", "relaxed_courses_per_cm",
     "courses_per_cm"},
    {"speed_m_per_min", "read_courses_per_cm", "read_courses_per_cm", "courses_per_cm"},
};

static const char *member_of(const mdr_line_ask *q, size_t i)
{
    if (q->question == MDR_LINE_RESULT) {
        return MEMBERS[i].result;
    }
    return mdr_line_is_tube(q) ? MEMBERS[i].tube : MEMBERS[i].open;
}

mdr_code mdr_line_blame(const mdr_line_ask *q, int first, mdr_code rc, mdr_err *err)
{
    static const char PASSES[] = "passes[";
    const size_t n = sizeof PASSES - 1;
    if (rc == MDR_OK || err == NULL) {
        return rc;
    }
    if (strncmp(err->place, PASSES, n) == 0) {
        (void)snprintf(err->place, sizeof err->place, "%s",
                       moisture_key(q, first + (err->place[n] - '0')));
        return rc;
    }
    for (size_t i = 0; i < sizeof MEMBERS / sizeof MEMBERS[0]; i++) {
        if (strcmp(err->place, MEMBERS[i].core) == 0) {
            (void)snprintf(err->place, sizeof err->place, "%s", member_of(q, i));
            mdr_err_remedy(err, "it follows from weights, widths and counts together: look at "
                                "these, their units and decimal points");
            return rc;
        }
    }
    return rc;
}
