/* The laboratory sheet of a round of dips. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "app/mdr_app_recipe_in.h"

/* Powders, and what is wetted with soda or caustic; which alkali it is nobody knows here. */
static uint32_t cautions_of(const mdr_dyelab_round *r)
{
    uint32_t cautions = 1u << MDR_CAUTION_DUST | 1u << MDR_CAUTION_SENSITISER;
    for (int i = 0; i < r->n_dips; i++) {
        const mdr_dose_table *t = r->doses[i].of[MDR_LAB_ALKALI].table;
        const bool soda =
            t != NULL && (t->counted_as == MDR_SUB_NA2CO3 || t->counted_as == MDR_SUB_NAHCO3);
        if (r->dips[i].aux_g_per_l[MDR_LAB_ALKALI] > 0.0) {
            cautions |= soda ? 1u << MDR_CAUTION_IRRITANT : 1u << MDR_CAUTION_CORROSIVE_ALKALI;
        }
    }
    return cautions;
}

/* Lines of the programme, parted by ";" or a line's end. */
static mdr_code read_programme(const mdr_dyelab *lab, mdr_lab_print *p, mdr_err *err)
{
    for (const char *at = lab->q->programme; *at != '\0';) {
        const size_t len = strcspn(at, ";\n");
        const size_t skip = strspn(at, " \r\t");
        if (skip < len) {
            if (p->n_programme == MDR_LAB_LINES_MAX) {
                const mdr_code rc =
                    MDR_FAIL(err, MDR_E_RANGE, "programme", "the programme has too many lines");
                mdr_err_allowed(err, "up to %d", MDR_LAB_LINES_MAX);
                mdr_err_remedy(err, "put two steps on one line");
                return rc;
            }
            const char *line = mdr_arena_text_n(lab->desk.arena, at + skip, len - skip);
            if (line == NULL) {
                return MDR_FAIL(err, MDR_E_NOMEM, "programme", "no memory for the programme");
            }
            p->programme[p->n_programme++] = line;
        }
        at += len + (at[len] != '\0' ? 1 : 0);
    }
    return MDR_OK;
}

static mdr_code print_round(mdr_dyelab *lab, const mdr_recipe_paper *paper, mdr_blob *out,
                            mdr_err *err)
{
    mdr_dyelab_round *r = MDR_NEW(lab->desk.arena, mdr_dyelab_round);
    mdr_lab_print *p = MDR_NEW(lab->desk.arena, mdr_lab_print);
    unsigned char *pdf = NULL;
    size_t len = 0;
    if (r == NULL || p == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "recipe", "no memory for the sheet");
    }
    MDR_TRY(mdr_dyelab_dispense(lab, r, err));
    *p = (mdr_lab_print){.place = paper->place,
                         .shade = lab->q->shade,
                         .cloth = lab->q->cloth,
                         .doses = &r->sheet,
                         .dips = r->dips,
                         .stock_g_per_l = r->stock_g_per_l,
                         .cautions = cautions_of(r),
                         .n_dyes = r->n_dyes,
                         .round = lab->q->round,
                         .invented = paper->invented};
    memcpy(p->dye_id, r->dye_id, sizeof p->dye_id);
    MDR_TRY(read_programme(lab, p, err));
    const mdr_card_print print = {
        .printed_at = paper->printed_at, .printed_by = "", .version = MDR_VERSION};
    MDR_TRY(mdr_card_laboratory(p, &print, lab->desk.arena, &pdf, &len, err));
    *out = (mdr_blob){.bytes = (const char *)pdf, .len = len};
    return MDR_OK;
}

mdr_code mdr_app_recipe_sheet(const mdr_recipe_case *asked, const mdr_recipe_paper *paper,
                              mdr_arena *arena, mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    mdr_dyelab *lab = MDR_NEW(arena, mdr_dyelab);
    if (lab == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the laboratory");
    }
    MDR_TRY(mdr_dyelab_start(lab, asked, arena, found, err));
    if (lab->q->question != MDR_RECIPE_DISPENSE) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "do", "only a dispensing can be printed");
        mdr_err_value(err, "%s", mdr_recipe_question_id(lab->q->question));
        mdr_err_allowed(err, "dispense");
        mdr_err_remedy(err, "ask the other questions without a sheet");
        return rc;
    }
    return print_round(lab, paper, out, err);
}

mdr_code mdr_app_recipe_sheet_json(mdr_app *app, mdr_blob body, const char *printed_at,
                                   mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                                   mdr_err *err)
{
    mdr_recipe_case asked;
    mdr_recipe_from from; /* a dispensing looks at no samples */
    MDR_TRY(mdr_recipe_case_read(app, body, arena, found, &asked, &from, err));
    const mdr_site *site = app->masters.site;
    const mdr_recipe_paper paper = {.place = site != NULL ? site->name : "",
                                    .printed_at = printed_at,
                                    .invented = site != NULL && site->invented};
    return mdr_app_recipe_sheet(&asked, &paper, arena, found, out, err);
}
