/* The sentences of an answer: verdicts, what is noted, what it rests on. */
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_dyeing_in.h"
#include "core/bath/mdr_washoff.h"

static const mdr_dyeing_reason WHYS[MDR_DYEING_WHY_COUNT] = {
    [MDR_DYEING_WHY_RATES] =
        {"Rates of the dyes",
         "sought so that the standard dyeing gives the exhaustion and fixation "
         "of the record; the rest usual of the group",
         "dye-group-numbers", "exhaust-answers.md#rates-of-the-dyes"},
    [MDR_DYEING_WHY_COURSE] = {"Course of the bath",
                               "the plan's steps, each with its own time and curve; ramps by "
                               "exchanger and valve",
                               "lumped-heating", "exhaust-answers.md#programme"},
    [MDR_DYEING_WHY_PH] = {"pH", "equilibrium of what is dissolved, at the bath's temperature",
                           "plummer-busenberg", "exhaust-answers.md#ph-of-a-programme"},
    [MDR_DYEING_WHY_ROPE] = {"Rope and bath",
                             "slices of the rope exchange liquor in the nozzle or while they hang "
                             "into the bath; part of the flow that works by kind of machine",
                             "common-practice", "exhaust-answers.md#rope-and-flow"},
    [MDR_DYEING_WHY_EXHAUSTION] = {"Exhaustion",
                                   "dye on the fibre at the end, fixed, loose and hydrolysed, of "
                                   "all that is given",
                                   "definition", "exhaust-answers.md#uptake"},
    [MDR_DYEING_WHY_FIXATION] = {"Fixation",
                                 "bound to the fibre at the end, of all that is given; yield: of "
                                 "what is on the fibre",
                                 "definition", "exhaust-answers.md#uptake"},
    [MDR_DYEING_WHY_STRIKE] = {"Strike",
                               "rise of the exhaustion per contact; contacts = turns of the rope + "
                               "turns of the bath",
                               "strike-per-contact", "exhaust-answers.md#strike"},
    [MDR_DYEING_WHY_LEVEL] = {"Levelness",
                              "(most - least) / mean of the dye over the slices, ropes by what "
                              "they weigh; at the end of the dye that stays",
                              "definition", "exhaust-answers.md#levelness"},
    [MDR_DYEING_WHY_COLOUR] = {"Colour along the rope",
                               "K/S in proportion to the dye of each slice; CMC(2:1) from the mean",
                               "kubelka-munk", "exhaust-answers.md#colour-along-the-rope"},
    [MDR_DYEING_WHY_TONE] = {"Together or apart",
                             "most difference of two dyes in the part of their final uptake",
                             "definition", "exhaust-answers.md#together-or-apart"},
    [MDR_DYEING_WHY_WASH_OFF] = {"Wash-off",
                                 "dye on the fibre that is not bound, and the soaps at 95 °C that "
                                 "take it out",
                                 "hot-rinse-page", "exhaust-answers.md#wash-off"},
    [MDR_DYEING_WHY_SENSITIVITY] = {"When something is off",
                                    "the same dyeing run again, less the one as planned",
                                    "definition", "exhaust-answers.md#sensitivity"},
    [MDR_DYEING_WHY_MARGIN] = {"How sure",
                               "run again with each rate at the ends of what is known; effects "
                               "added in squares",
                               "gum-propagation", "exhaust-answers.md#margin"},
};

const mdr_dyeing_reason *mdr_app_dyeing_whys(int *n)
{
    *n = MDR_DYEING_WHY_COUNT;
    return WHYS;
}

const char *mdr_dyer_text(mdr_dyer *d, const char *fmt, ...)
{
    char text[400];
    va_list args;
    va_start(args, fmt);
    (void)vsnprintf(text, sizeof text, fmt, args);
    va_end(args);
    const char *kept = mdr_arena_text(d->arena, text);
    d->no_memory = d->no_memory || kept == NULL;
    return kept != NULL ? kept : "";
}

void mdr_dyer_note(mdr_dyer *d, const char *sentence)
{
    mdr_dyeing_out *o = d->out;
    for (int i = 0; i < o->n_notes; i++) {
        if (strcmp(o->notes[i], sentence) == 0) {
            return;
        }
    }
    if (o->n_notes < MDR_DYEING_NOTES_MAX) {
        o->notes[o->n_notes++] = sentence;
    }
}

/* -- verdicts -- */

static const char *dye_name(const mdr_dyer *d, int i)
{
    return d->out->dyes[i].material->name;
}

static void say_strike(mdr_dyer *d)
{
    mdr_dyeing_out *o = d->out;
    const mdr_dyeing_answers *a = &o->result.answers;
    const double limit = d->study->limit_pct_per_contact;
    /* the step at work then; of two, the dose that runs beside */
    for (int i = 0; i < d->study->programme.n_steps; i++) {
        if (o->times[i].start_min <= a->strike_at_min && a->strike_at_min <= o->times[i].end_min) {
            o->strike_step = d->study->programme.steps[i].number;
        }
    }
    if (a->strike_most_pct <= limit) {
        o->strike = (mdr_dyeing_verdict){
            "within",
            mdr_dyer_text(d,
                          "At most %.2f %% per contact (%s, minute %.0f): within the "
                          "limit of %.2f.",
                          a->strike_most_pct, dye_name(d, a->strike_dye), a->strike_at_min, limit)};
        return;
    }
    o->strike = (mdr_dyeing_verdict){
        "over", mdr_dyer_text(d,
                              "%s strikes with %.2f %% per contact at minute %.0f, over the "
                              "limit of %.2f for %.0f min.",
                              dye_name(d, a->strike_dye), a->strike_most_pct, a->strike_at_min,
                              limit, a->over_limit_min)};
}

/* -- levelness -- */

static const char *judged_words(mdr_dyer *d)
{
    const mdr_dyeing_out *o = d->out;
    return o->has_fixing
               ? mdr_dyer_text(
                     d,
                     "Judged: the fixed dye, which stays, at the end (within %.2f), and the dye "
                     "on the fibre from the alkali until %.0f %% of what will be fixed are (within "
                     "%.2f). Only shown: the peak at minute %.0f, which may still even out.",
                     o->level_limit_de, 100.0 - MDR_FIXING_LEFT_PCT, o->fixing_limit_de,
                     o->peak.at_min)
               : mdr_dyer_text(
                     d,
                     "Judged: the dye on the fibre at the end (within %.2f). Only shown: the "
                     "peak at minute %.0f, which may still even out.",
                     o->level_limit_de, o->peak.at_min);
}

static void say_level(mdr_dyer *d)
{
    static const double NEAR = 0.7; /* of the limit; invented */
    mdr_dyeing_out *o = d->out;
    const double de = o->end.de_most, limit = o->level_limit_de;
    const bool struck = o->result.answers.strike_most_pct > d->study->limit_pct_per_contact;
    const bool locked = o->has_fixing && o->fixing.de_most > o->fixing_limit_de;
    o->judged_words = judged_words(d);
    if (de > limit) {
        o->level = (mdr_dyeing_verdict){
            "unlevel", mdr_dyer_text(d,
                                     "The end differs by %.2f from the mean colour along the "
                                     "rope: more than %.2f.",
                                     de, limit)};
    } else if (locked) {
        o->level = (mdr_dyeing_verdict){
            "doubtful",
            mdr_dyer_text(d,
                          "At minute %.0f dye is being fixed that lies %.2f from the mean colour, "
                          "more than %.2f; the end, %.2f, is within %.2f.",
                          o->fixing.at_min, o->fixing.de_most, o->fixing_limit_de, de, limit)};
    } else if (struck || de > NEAR * limit) {
        o->level = (mdr_dyeing_verdict){
            "doubtful",
            mdr_dyer_text(d, "%.2f from the mean colour along the rope is within %.2f%s", de, limit,
                          struck ? ", but the dye strikes faster than its limit."
                                 : ", with little to spare.")};
    } else {
        o->level = (mdr_dyeing_verdict){
            "level",
            mdr_dyer_text(d, "%.2f from the mean colour along the rope: within %.2f.", de, limit)};
    }
    o->colour_words =
        o->colour_from == MDR_COLOUR_OF_LADDERS
            ? "from the measured ladders of the dyes"
            : "from the shade's CIELAB in three wide bands: K/S in proportion to the dye, shared "
              "out by the dyes' swatches";
}

static void say_tone(mdr_dyer *d)
{
    mdr_dyeing_out *o = d->out;
    const mdr_dyeing_answers *a = &o->result.answers;
    if (a->n_dyes < 2) {
        o->tone = (mdr_dyeing_verdict){"together", "One dye alone has no tone to lose."};
    } else if (a->apart_most_pct <= MDR_APART_LIMIT_PCT) {
        o->tone = (mdr_dyeing_verdict){
            "together", mdr_dyer_text(d,
                                      "The dyes go on together: at most %.0f %% of their final "
                                      "uptake apart.",
                                      a->apart_most_pct)};
    } else {
        o->tone = (mdr_dyeing_verdict){
            "apart", mdr_dyer_text(d,
                                   "%s goes ahead of %s by %.0f %% of its final uptake at minute "
                                   "%.0f.",
                                   dye_name(d, a->apart_first), dye_name(d, a->apart_last),
                                   a->apart_most_pct, a->apart_at_min)};
    }
}

static void say_wash_off(mdr_dyer *d)
{
    /* the usual soap (common practice): 95 degC, 10 min, most of the salt rinsed out before */
    static const double SOAP_C = 95.0, SOAP_MIN = 10.0, ELECTROLYTE_G_PER_L = 1.0;
    mdr_dyeing_out *o = d->out;
    const mdr_plan *plan = o->plan;
    const double loose = o->result.answers.loose_mg_per_kg;
    o->planned_loose_mg_per_kg = o->planned->bath->loose_mg_per_kg != MDR_FIG_NONE
                                     ? mdr_fig_value(&plan->figs, o->planned->bath->loose_mg_per_kg)
                                     : -1.0;
    o->target_mg_per_kg = MDR_WASHOFF_TARGET_MG_PER_KG;
    o->baths_needed =
        mdr_washoff_baths_needed(loose, o->target_mg_per_kg, SOAP_C, SOAP_MIN, ELECTROLYTE_G_PER_L);
    for (int b = 0; b < plan->n_baths; b++) {
        const mdr_plan_bath *bath = &plan->baths[b];
        o->baths_planned +=
            bath->number > o->planned->bath->number && mdr_plan_bath_soaps(&plan->figs, bath) ? 1
                                                                                              : 0;
    }
    const double more = o->baths_needed - o->baths_planned;
    o->wash_off_words =
        more > 0.0 ? mdr_dyer_text(d,
                                   "%.0f mg/kg are loose: %.0f hot baths of 10 min at 95 °C, "
                                   "the route has %d.",
                                   loose, o->baths_needed, o->baths_planned)
                   : mdr_dyer_text(d,
                                   "%.0f mg/kg are loose: %.0f hot baths of 10 min at 95 °C are "
                                   "enough, the route has %d.",
                                   loose, o->baths_needed, o->baths_planned);
}

/* -- notes -- */

static const char *limit_words(mdr_dye_limit limit)
{
    switch (limit) {
    case MDR_DYE_LIMIT_TANK:
        return "the addition tank needs longer than the dose has";
    case MDR_DYE_LIMIT_TANK_BUSY:
        return "the addition tank is still giving the dose before";
    case MDR_DYE_LIMIT_RATE:
        return "steeper than the control allows: held to its steepest";
    case MDR_DYE_LIMIT_HEAT:
        return "heat exchanger or valve are slower than the rate asked for";
    case MDR_DYE_LIMIT_UNREACHED:
        return "beyond what steam or cooling water can reach";
    case MDR_DYE_LIMIT_NOTHING:
        return "the bath is there already: nothing to do";
    case MDR_DYE_LIMIT_OUTLIVES:
        return "the dose is not in when the steps are over";
    case MDR_DYE_AS_ASKED:
        break;
    }
    return "";
}

static void note_steps(mdr_dyer *d)
{
    for (int i = 0; i < d->study->programme.n_steps; i++) {
        const mdr_dye_limit limit = d->out->times[i].limit;
        if (limit != MDR_DYE_AS_ASKED) {
            mdr_dyer_note(d, mdr_dyer_text(d, "Step %d: %s.", d->study->programme.steps[i].number,
                                           limit_words(limit)));
        }
    }
}

static void note_dyes(mdr_dyer *d)
{
    for (int i = 0; i < d->study->programme.n_dyes; i++) {
        const mdr_dyeing_dye *dye = &d->out->dyes[i];
        if (strcmp(dye->rates.id, "fitted") != 0) {
            mdr_dyer_note(d, mdr_dyer_text(d, "%s: %s.", dye->material->name, dye->rates.words));
        }
    }
}

void mdr_dyer_say(mdr_dyer *d)
{
    mdr_dyeing_out *o = d->out;
    o->whys = WHYS;
    say_strike(d);
    say_level(d);
    say_tone(d);
    if (o->has_loose) {
        say_wash_off(d);
    }
    note_steps(d);
    note_dyes(d);
    if (o->planned->n_others > 0) {
        mdr_dyer_note(d, "Another bath of this lot gets dye too: it is not in here.");
    }
    if (o->planned->cut) {
        mdr_dyer_note(d, "Dye that is given behind a rinse of the same bath is left out.");
    }
    if (o->plan->route->dye_class == MDR_CLASS_VAT) {
        mdr_dyer_note(d,
                      "Vat dye goes on from the first dithionite on, when it is reduced; what is "
                      "on the fibre at the end of the bath counts as oxidised there.");
    }
    mdr_dyer_note(d,
                  "The length of the zone and the part of the flow that works are assumed by the "
                  "kind of machine: measure one dyeing before trusting more than its direction.");
}
