/* What a dye does in the bath. */
#include "app/mdr_app_dye.h"

#include <math.h>
#include <string.h>

#include "app/mdr_app_in.h"
#include "core/exhaust/mdr_dye_known.h"
#include "core/plan/mdr_material_known.h"
#include "wire/mdr_near.h"

enum { WHY_FIT, WHY_STANDARD, WHY_RANGE, WHY_GROUP, WHY_COUNT };
static const mdr_answer_why WHYS[WHY_COUNT] = {
    [WHY_FIT] = {"Rates", "those with which the standard dyeing gives the known numbers",
                 "levenberg-marquardt", "exhaust-rates.md#fit"},
    [WHY_STANDARD] = {"Standard dyeing",
                      "S, E, R, F and the half-dyeing time, all dye and salt from the start",
                      "serf", "exhaust-rates.md#standard-dyeing"},
    [WHY_RANGE] = {"Range", "95 %, from the error of reading and how far dyes of a group lie apart",
                   "ridge-prior", "exhaust-rates.md#how-well-a-rate-is-known"},
    [WHY_GROUP] = {"Placeholders", "a typical dye of the group, from memory or invented",
                   "dye-group-numbers", "exhaust-rates.md#groups"},
};

const mdr_answer_why *mdr_app_dye_whys(int *n)
{
    *n = WHY_COUNT;
    return WHYS;
}

static const char *const NUMBER_WORDS[MDR_NUMBER_COUNT] = {
    [MDR_NUMBER_PRIMARY] = "S before the alkali, %",
    [MDR_NUMBER_EXHAUSTION] = "E at the end, %",
    [MDR_NUMBER_FIRST] = "R fixed first, %",
    [MDR_NUMBER_FIXATION] = "F fixed at the end, %",
    [MDR_NUMBER_HALF] = "half-dyeing time, min"};

static const char *const RATE_WORDS[MDR_RATE_COUNT] = {
    [MDR_RATE_MOLAR] = "molar mass, kg/mol",
    [MDR_RATE_CHARGE] = "negative charges",
    [MDR_RATE_AFFINITY] = "affinity, kJ/mol",
    [MDR_RATE_ENTHALPY] = "heat of dyeing, kJ/mol",
    [MDR_RATE_DIFFUSION] = "diffusion, 1/min",
    [MDR_RATE_DIFFUSION_EA] = "  activation, kJ/mol",
    [MDR_RATE_FIX] = "fixation, 1/min",
    [MDR_RATE_FIX_EA] = "  activation, kJ/mol",
    [MDR_RATE_HYDROLYSIS] = "hydrolysis, 1/min",
    [MDR_RATE_HYDROLYSIS_EA] = "  activation, kJ/mol",
    [MDR_RATE_FIBRE_HYDROLYSIS] = "  part of it in the fibre",
    [MDR_RATE_HYDROLYSED_AFFINITY] = "affinity when hydrolysed"};

enum { ID_ROOM = 65 }; /* what mdr_near looks at */

/* Capitals and small letters are told apart by nobody who types an id. */
static const char *folded(const char *id, char room[ID_ROOM])
{
    size_t n = 0;
    for (; n + 1 < ID_ROOM && id[n] != '\0'; n++) {
        room[n] = (char)(id[n] >= 'a' && id[n] <= 'z' ? id[n] - 'a' + 'A' : id[n]);
    }
    room[n] = '\0';
    return room;
}

/* NULL: there is none; *near is then the dye that may be meant, or NULL. One that is written the very same
 * goes before one of other capitals. */
static const mdr_material *dye_of(const mdr_app *app, const char *dye_id, const mdr_material **near)
{
    char typed[ID_ROOM], known[ID_ROOM];
    int least = 0;
    *near = NULL;
    for (int i = 0; i < app->masters.n_materials; i++) {
        const mdr_material *m = &app->masters.materials[i];
        if (m->is_dye && strcmp(dye_id, m->material_id) == 0) {
            return m;
        }
    }
    (void)folded(dye_id, typed);
    for (int i = 0; i < app->masters.n_materials; i++) {
        const mdr_material *m = &app->masters.materials[i];
        const int d = mdr_near_distance(typed, folded(m->material_id, known));
        if (m->is_dye && d == 0) {
            return m;
        }
        if (m->is_dye && mdr_near_enough(dye_id, d) && (*near == NULL || d < least)) {
            *near = m;
            least = d;
        }
    }
    return NULL;
}

static mdr_code no_such_dye(const char *dye_id, const mdr_material *near, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "dye_id", "there is no such dye");
    mdr_err_value(err, "%s", dye_id);
    mdr_err_allowed(err, "a dye of the mill");
    if (near != NULL) {
        mdr_err_remedy(err, "did you mean %s, %s?", near->material_id, near->name);
    } else {
        mdr_err_remedy(err, "list them with: madder export dye");
    }
    return rc;
}

/* -- the parts of the answer ------------------------------------------------------------------ */

static void put_conditions(mdr_sheet *s, const mdr_dye_known *k)
{
    const mdr_dye_standard *d = &k->standard;
    const double ph = mdr_dye_standard_ph(d, k->way);
    const char *alkali = k->way == MDR_WAY_REACTIVE
                             ? mdr_sheet_text(s, ", alkali at %g min (pH %.2f)", d->before_min, ph)
                         : k->way == MDR_WAY_VAT
                             ? mdr_sheet_text(s, ", NaOH %g g/L", d->caustic_g_per_l)
                             : "";
    s->caption = mdr_sheet_text(s, "%g %% owf, %g L/kg, %g °C, Na2SO4 %g g/L%s, %g min",
                                d->depth_pct_owf, d->ratio_l_per_kg, d->temp_c, d->salt_g_per_l,
                                alkali, d->before_min + d->after_min);
    const struct {
        const char *key;
        double value;
    } lines[] = {{"ratio_l_per_kg", d->ratio_l_per_kg},
                 {"depth_pct_owf", d->depth_pct_owf},
                 {"temp_c", d->temp_c},
                 {"salt_g_per_l", d->salt_g_per_l},
                 {"soda_g_per_l", d->soda_g_per_l},
                 {"caustic_g_per_l", d->caustic_g_per_l},
                 {"before_min", d->before_min},
                 {"after_min", d->after_min},
                 {"first_min", d->first_min},
                 {"ph", ph}};
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        mdr_sheet_line_put(s, lines[i].key, NULL, "", 2, mdr_cell_number(lines[i].value));
    }
}

static void put_head(mdr_sheet *s, const mdr_material *dye, const mdr_dye_fit *fit)
{
    const char *group = mdr_dye_group_words(fit->group);
    mdr_sheet_line_put(
        s, "dye_id", "dye", "", 0,
        mdr_cell_text(dye->material_id, mdr_sheet_text(s, "%s %s", dye->material_id, dye->name)));
    mdr_sheet_line_put(s, "name", NULL, "", 0, mdr_cell_text(dye->name, dye->name));
    mdr_sheet_line_put(s, "dyeing_group", "group", "", 0,
                       mdr_cell_text(mdr_dye_group_id(fit->group),
                                     fit->group_assumed
                                         ? mdr_sheet_text(s, "not stated; taken: %s", group)
                                         : group));
    mdr_sheet_line_put(s, "group_assumed", NULL, "", 0,
                       mdr_cell_flag(fit->group_assumed, "assumed", "stated"));
    mdr_sheet_line_put(s, "verdict", "verdict", "", 0,
                       fit->worst < 0 ? mdr_cell_text("unknown", "nothing but the group is known")
                                      : mdr_cell_text(mdr_fit_verdict_id(fit->verdict),
                                                      mdr_fit_verdict_words(fit->verdict)));
}

static void put_numbers(mdr_sheet *s, const mdr_dye_known *k, const mdr_dye_fit *fit)
{
    static const mdr_sheet_column COLUMNS[] = {
        {"number", "number", 0}, {"known", "known", 1}, {"reckoned", "worked out", 1}};
    int rows = 0;
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        rows += mdr_dye_number_applies((mdr_dye_number)n, k->way);
    }
    mdr_sheet_table *t = mdr_sheet_table_open(s, &(mdr_sheet_table){.key = "numbers",
                                                                    .label = "Numbers",
                                                                    .columns = COLUMNS,
                                                                    .n_columns = 3,
                                                                    .n_rows = rows});
    for (int n = 0; n < MDR_NUMBER_COUNT; n++) {
        if (!mdr_dye_number_applies((mdr_dye_number)n, k->way)) {
            continue;
        }
        mdr_sheet_cell_put(t, mdr_cell_text(mdr_dye_number_id((mdr_dye_number)n), NUMBER_WORDS[n]));
        mdr_sheet_cell_put(t, k->number[n] > 0.0 ? mdr_cell_number(k->number[n]) : mdr_cell_none());
        mdr_sheet_cell_put(t, mdr_cell_number(fit->number[n]));
    }
}

static void put_rates(mdr_sheet *s, const mdr_dye_known *k, const mdr_dye_fit *fit)
{
    static const mdr_sheet_column COLUMNS[] = {{"rate", "rate at 60 °C, pH 11", 0},
                                               {"value", NULL, 0},
                                               {"least", NULL, 0},
                                               {"most", NULL, 0},
                                               {"as_text", "value (95 % range)", 0},
                                               {"basis", "basis", 0},
                                               {"determined", "known", 0}};
    int rows = 0;
    for (int r = 0; r < MDR_RATE_COUNT; r++) {
        rows += mdr_rate_applies((mdr_rate)r, k->way);
    }
    mdr_sheet_table *t = mdr_sheet_table_open(
        s,
        &(mdr_sheet_table){
            .key = "rates", .label = "Rates", .columns = COLUMNS, .n_columns = 7, .n_rows = rows});
    for (int r = 0; r < MDR_RATE_COUNT; r++) {
        const mdr_rate_standing *of = &fit->standing[r];
        const double v = mdr_rate_of(&fit->rates, (mdr_rate)r);
        if (!mdr_rate_applies((mdr_rate)r, k->way)) {
            continue;
        }
        const char *text = of->most > of->least
                               ? mdr_sheet_text(s, "%.3g (%.2g to %.2g)", v, of->least, of->most)
                               : mdr_sheet_text(s, "%.3g", v);
        const char *basis = mdr_rate_basis_id(of->basis);
        mdr_sheet_cell_put(t, mdr_cell_text(mdr_rate_id((mdr_rate)r), RATE_WORDS[r]));
        mdr_sheet_cell_put(t, mdr_cell_number(v));
        mdr_sheet_cell_put(t, mdr_cell_number(of->least));
        mdr_sheet_cell_put(t, mdr_cell_number(of->most));
        mdr_sheet_cell_put(t, mdr_cell_text(text, text));
        mdr_sheet_cell_put(t, mdr_cell_text(basis, basis));
        mdr_sheet_cell_put(t, mdr_cell_flag(of->determined, "determined", "not determined"));
    }
}

/* Every minute while much happens, behind the start and behind the alkali; else every fifth. */
static bool is_shown(double t_min, const mdr_dye_known *k)
{
    const double before = k->way == MDR_WAY_REACTIVE ? k->standard.before_min : 0.0;
    const double since = t_min >= before ? t_min - before : t_min;
    return since <= 10.0 || fmod(since, 5.0) == 0.0;
}

static mdr_code put_curve(mdr_sheet *s, const mdr_dye_known *k, const mdr_dye_fit *fit,
                          mdr_arena *arena, mdr_err *err)
{
    static const mdr_sheet_column COLUMNS[] = {{"t_min", "min", 0},
                                               {"on_fibre_pct", "on the fibre, %", 1},
                                               {"fixed_pct", "fixed, %", 1},
                                               {"hydrolysed_pct", "hydrolysed, %", 1}};
    const mdr_dyeing *run = NULL;
    MDR_TRY(mdr_dye_standard_run(&fit->rates, &k->standard, k->way, 1.0, arena, &run, err));
    int rows = 0;
    for (int i = 0; i < run->n_samples; i++) {
        rows += is_shown(run->t_min[i], k);
    }
    mdr_sheet_table *t =
        mdr_sheet_table_open(s, &(mdr_sheet_table){.key = "curve",
                                                   .label = "Course of the standard dyeing",
                                                   .columns = COLUMNS,
                                                   .n_columns = k->way == MDR_WAY_REACTIVE ? 4 : 2,
                                                   .n_rows = rows});
    for (int i = 0; i < run->n_samples; i++) {
        const double shares[] = {run->on_fibre[i], run->fixed[i], run->hydrolysed[i]};
        if (!is_shown(run->t_min[i], k)) {
            continue;
        }
        mdr_sheet_cell_put(t, mdr_cell_number(run->t_min[i]));
        for (int c = 0; c < 3 && c + 1 < t->n_columns; c++) {
            mdr_sheet_cell_put(t, mdr_cell_number(100.0 * shares[c]));
        }
    }
    return MDR_OK;
}

static void put_notes(mdr_sheet *s, const mdr_dye_known *k, const mdr_dye_fit *fit)
{
    for (int i = 0; i < WHY_COUNT; i++) {
        mdr_sheet_because(s, &WHYS[i]);
    }
    mdr_sheet_note(s, "Placeholders are from memory or invented: measure S, E, R and F of this dye "
                      "in the standard dyeing and they give way.");
    if (fit->group_assumed) {
        mdr_sheet_note(s, "The dye's group is not stated: give dyeing_group.");
    }
    if (k->way != MDR_WAY_REACTIVE) {
        mdr_sheet_note(s, "The fixation of such a dye is what soaping leaves; no rate tells it.");
    }
    if (fit->verdict == MDR_FIT_APART) {
        mdr_sheet_note(s, "The numbers contradict each other: were they measured in one and the "
                          "same dyeing, and on the dye given?");
    }
}

mdr_code mdr_app_dye(mdr_app *app, const char *dye_id, mdr_arena *arena, const mdr_sheet **out,
                     mdr_err *err)
{
    const mdr_material *near = NULL;
    const mdr_dye_fit *fit = NULL;
    mdr_sheet *s = NULL;
    MDR_TRY(mdr_app_refresh(app, err));
    const mdr_material *dye = dye_of(app, dye_id, &near);
    if (dye == NULL) {
        return no_such_dye(dye_id, near, err);
    }
    const mdr_dye_known k = mdr_material_known(dye);
    MDR_TRY(mdr_dye_known_rates(&k, arena, &fit, err));
    MDR_TRY(mdr_sheet_new(arena, "dye", "What the dye does", &s, err));
    put_conditions(s, &k);
    put_head(s, dye, fit);
    put_numbers(s, &k, fit);
    put_rates(s, &k, fit);
    MDR_TRY(put_curve(s, &k, fit, arena, err));
    put_notes(s, &k, fit);
    MDR_TRY(mdr_sheet_done(s, err));
    *out = s;
    return MDR_OK;
}

mdr_code mdr_app_dye_json(mdr_app *app, const char *dye_id, mdr_arena *arena, mdr_blob *out,
                          mdr_err *err)
{
    const mdr_sheet *s = NULL;
    MDR_TRY(mdr_app_dye(app, dye_id, arena, &s, err));
    return mdr_sheet_json(s, arena, out, err);
}
