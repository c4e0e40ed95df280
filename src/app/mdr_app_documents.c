/* What is made of a plan: JSON, why, card, slips. */
#include <string.h>

#include "app/mdr_app_in.h"
#include "card/mdr_card.h"
#include "wire/mdr_near.h"
#include "wire/mdr_wire.h"

/* A plan as one of its JSON forms. */
typedef mdr_code (*plan_writer)(const mdr_plan *, int, mdr_arena *, char **, size_t *, mdr_err *);

typedef struct asked {
    mdr_app *app;
    const char *lot_id;
    mdr_blob what_if;
    mdr_arena *arena;
    mdr_err_list *found;
} asked;

static mdr_code written(const asked *a, plan_writer write, mdr_blob *out, mdr_err *err)
{
    mdr_app_desk desk;
    const mdr_plan *plan = NULL;
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_app_desk_set(a->app, a->lot_id, a->what_if, a->arena, a->found, &desk, err));
    MDR_TRY(mdr_plan_make(&desk.in, a->arena, &plan, err));
    MDR_TRY(write(plan, desk.full.revision, a->arena, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

mdr_code mdr_app_plan_json(mdr_app *app, const char *lot_id, mdr_blob what_if, mdr_arena *arena,
                           mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    return written(&(asked){app, lot_id, what_if, arena, found}, mdr_wire_plan, out, err);
}

mdr_code mdr_app_finish_json(mdr_app *app, const char *lot_id, mdr_blob what_if, mdr_arena *arena,
                             mdr_err_list *found, mdr_blob *out, mdr_err *err)
{
    return written(&(asked){app, lot_id, what_if, arena, found}, mdr_wire_finish, out, err);
}

static mdr_code no_figure(const mdr_plan *plan, const char *figure, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "figure", "the plan has no such figure");
    char key[160];
    char near[160] = "";
    int least = 0;
    for (mdr_fig_id id = 0; id < plan->figs.count; id++) {
        (void)mdr_fig_key(&plan->figs, id, key, sizeof key);
        const int d = mdr_near_distance(figure, key);
        if (near[0] == '\0' || d < least) {
            memcpy(near, key, sizeof near);
            least = d;
        }
    }
    mdr_err_value(err, "%s", figure);
    mdr_err_allowed(err,
                    "a key of the plan, as in its JSON: total_min, b3.liquor_l, b3.s2.i1.mass_kg");
    mdr_err_remedy(err, "the nearest is %s", near);
    return rc;
}

mdr_code mdr_app_why_json(mdr_app *app, const char *lot_id, const char *figure, mdr_arena *arena,
                          mdr_blob *out, mdr_err *err)
{
    const mdr_plan *plan = NULL;
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(mdr_app_plan(app, lot_id, (mdr_blob){0}, arena, NULL, &plan, err));
    const mdr_fig_id id = mdr_fig_find(&plan->figs, figure);
    if (id == MDR_FIG_NONE) {
        return no_figure(plan, figure, err);
    }
    MDR_TRY(mdr_wire_why(plan, id, arena, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

static mdr_card_print print_of(const char *printed_at)
{
    return (mdr_card_print){.printed_at = printed_at, .printed_by = "", .version = MDR_VERSION};
}

mdr_code mdr_app_card(mdr_app *app, const char *lot_id, const char *printed_at, mdr_arena *arena,
                      mdr_blob *out, mdr_err *err)
{
    const mdr_plan *plan = NULL;
    unsigned char *pdf = NULL;
    size_t len = 0;
    MDR_TRY(mdr_app_plan(app, lot_id, (mdr_blob){0}, arena, NULL, &plan, err));
    const mdr_card_print print = print_of(printed_at);
    MDR_TRY(mdr_card_batch(plan, &print, arena, &pdf, &len, err));
    *out = (mdr_blob){.bytes = (const char *)pdf, .len = len};
    return MDR_OK;
}

mdr_code mdr_app_settings(mdr_app *app, const char *lot_id, mdr_blob what_if,
                          const char *printed_at, mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    const mdr_plan *plan = NULL;
    unsigned char *pdf = NULL;
    size_t len = 0;
    MDR_TRY(mdr_app_plan(app, lot_id, what_if, arena, NULL, &plan, err));
    const mdr_card_print print = print_of(printed_at);
    MDR_TRY(mdr_card_settings(plan, &print, arena, &pdf, &len, err));
    *out = (mdr_blob){.bytes = (const char *)pdf, .len = len};
    return MDR_OK;
}

mdr_code mdr_app_slips(mdr_app *app, const char *lot_id, int bath, const char *printed_at,
                       mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    const mdr_plan *plan = NULL;
    unsigned char *pdf = NULL;
    size_t len = 0;
    MDR_TRY(mdr_app_plan(app, lot_id, (mdr_blob){0}, arena, NULL, &plan, err));
    const mdr_card_print print = print_of(printed_at);
    MDR_TRY(mdr_card_slips(plan, bath, &print, arena, &pdf, &len, err));
    *out = (mdr_blob){.bytes = (const char *)pdf, .len = len};
    return MDR_OK;
}
