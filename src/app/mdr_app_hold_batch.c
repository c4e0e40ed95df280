#include "app/mdr_app_hold_batch.h"

#include <string.h>

#include "app/mdr_app_shade.h"
#include "wire/mdr_hold_out.h"

static mdr_code unfit(mdr_err *err, mdr_code code, const char *key, const char *what,
                      const char *remedy)
{
    const mdr_code rc = MDR_FAIL(err, code, "step", "%s", what);
    mdr_err_value(err, "%s", key);
    mdr_err_remedy(err, "%s", remedy);
    return rc;
}

static mdr_code find_check(const mdr_app_hold_point *p, int *at, mdr_err *err)
{
    const mdr_batch *b = p->batch;
    int i = 0;
    while (i < b->n_steps && strcmp(b->steps[i].asked->key, p->step) != 0) {
        i++;
    }
    if (i == b->n_steps) {
        return unfit(err, MDR_E_NOTFOUND, p->step, "the batch has no such step",
                     "take a key of its steps");
    }
    const mdr_batch_step *s = &b->steps[i];
    if (s->asked->kind != MDR_STEP_CHECK) {
        return unfit(err, MDR_E_CONFLICT, p->step, "this step is no hold point",
                     "take the key of a check");
    }
    if (s->reading_seq == 0) {
        return unfit(err, MDR_E_CONFLICT, p->step, "nothing was read here yet",
                     "enter the reading first");
    }
    if (s->asked->state == NULL) {
        return unfit(err, MDR_E_CONFLICT, p->step, "the bath at this check was not worked out",
                     "decide by the words of the route");
    }
    *at = i;
    return MDR_OK;
}

/* What is at hand: every chemical of the mill, and the dyes of a shading addition come with it. */
static mdr_code at_hand(const mdr_masters *m, mdr_arena *arena, mdr_hold_in *in, mdr_err *err)
{
    const mdr_material **list = MDR_NEW_N(arena, const mdr_material *, (size_t)m->n_materials + 1);
    if (list == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "remedies", "no memory for the materials");
    }
    for (int i = 0; i < m->n_materials; i++) {
        if (!m->materials[i].is_dye) {
            list[in->n_materials++] = &m->materials[i];
        }
    }
    in->materials = list;
    return MDR_OK;
}

/* The bath after the remedies that stand before the check and were run. */
static mdr_control_state state_now(const mdr_batch *b, int at, const mdr_hold_in *in)
{
    mdr_control_state s = *b->steps[at].asked->state;
    int first = at;
    while (first > 0 && b->steps[first - 1].remedy > 0) {
        first--;
    }
    for (int i = first; i < at; i++) {
        if (b->steps[i].state == MDR_STEP_DONE) {
            mdr_hold_after(&s, b->steps[i].asked, in);
        }
    }
    return s;
}

mdr_code mdr_app_hold_judge(const mdr_app_hold_point *point, const mdr_masters *masters,
                            mdr_arena *arena, const mdr_hold **out, mdr_err *err)
{
    int at = 0;
    MDR_TRY(find_check(point, &at, err));
    const mdr_batch *b = point->batch;
    const mdr_batch_step *s = &b->steps[at];
    const mdr_app_shade *shade = point->shade;
    mdr_hold_in in = {.check = &s->asked->check,
                      .machine = mdr_masters_machine(masters, b->control->machine_id),
                      .site = masters->site,
                      .shade = shade != NULL && shade->unknown == NULL ? &shade->hold : NULL,
                      .shade_unknown = shade != NULL ? shade->unknown : NULL,
                      .reading = s->reading,
                      .ph = point->ph,
                      .n_failed = point->n_failed,
                      .bath = s->asked->bath,
                      .remedy_number = b->n_remedies + 1};
    if (in.machine == NULL || in.site == NULL) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, in.site == NULL ? "site" : "machine_id",
                                     "the mill has no such record any more");
        mdr_err_value(err, "%s", b->control->machine_id);
        return rc;
    }
    MDR_TRY(at_hand(masters, arena, &in, err));
    const mdr_control_state now = state_now(b, at, &in);
    in.state = &now;
    return mdr_hold_judge(&in, arena, out, err);
}

mdr_code mdr_app_hold_remedies(const mdr_app_hold_point *point, const mdr_masters *masters,
                               mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    enum { USUAL_BYTES = 8192 };
    const mdr_hold *hold = NULL;
    int at = 0;
    char *text = NULL;
    size_t len = 0;
    MDR_TRY(find_check(point, &at, err));
    MDR_TRY(mdr_app_hold_judge(point, masters, arena, &hold, err));
    mdr_json j = mdr_json_make(arena, USUAL_BYTES, false);
    mdr_json_object(&j, NULL);
    mdr_hold_write(&j, hold, point->batch->steps[at].asked->check.kind);
    mdr_app_shade_write(&j, point->shade);
    mdr_json_end_object(&j);
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}

/* What is said of this remedy under `missing`; NULL: nothing. */
static const char *why_missing(const mdr_hold *hold, const char *remedy_id)
{
    for (int k = 0; k < MDR_REMEDY_COUNT; k++) {
        const char *words = mdr_remedy_words((mdr_remedy_kind)k);
        if (strcmp(mdr_remedy_id((mdr_remedy_kind)k), remedy_id) != 0) {
            continue;
        }
        for (int i = 0; i < hold->n_missing; i++) {
            if (strncmp(hold->missing[i], words, strlen(words)) == 0) {
                return hold->missing[i];
            }
        }
    }
    return NULL;
}

mdr_code mdr_app_hold_remedy(const mdr_hold *hold, const char *remedy_id, const mdr_remedy **out,
                             mdr_err *err)
{
    for (int i = 0; i < hold->n_remedies; i++) {
        if (strcmp(mdr_remedy_id(hold->remedies[i].kind), remedy_id) == 0) {
            *out = &hold->remedies[i];
            return MDR_OK;
        }
    }
    const char *why = why_missing(hold, remedy_id);
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "remedy_id", "this remedy is not offered%s%s",
                                 why != NULL ? ". " : "", why != NULL ? why : "");
    mdr_err_value(err, "%s", remedy_id);
    mdr_err_allowed(err, "one of the %d that are offered", hold->n_remedies);
    mdr_err_remedy(err, "load the remedies of the newest reading again");
    return rc;
}
