/* Who may make an entry, and under which ones a signature stands. */
#include <string.h>

#include "app/mdr_app_run_in.h"

/* The right that each kind asks for. */
static const mdr_action RIGHTS[MDR_EVENT_COUNT] = {
    [MDR_EVENT_BEGUN] = MDR_ACT_RUN_START,       [MDR_EVENT_STEP_BEGUN] = MDR_ACT_RUN_ENTER,
    [MDR_EVENT_STEP_ENDED] = MDR_ACT_RUN_ENTER,  [MDR_EVENT_STEP_SKIPPED] = MDR_ACT_REMEDY_APPROVE,
    [MDR_EVENT_WEIGHED] = MDR_ACT_WEIGH,         [MDR_EVENT_WEIGHING_CHECKED] = MDR_ACT_RUN_ENTER,
    [MDR_EVENT_DOSED] = MDR_ACT_RUN_ENTER,       [MDR_EVENT_READING] = MDR_ACT_RUN_ENTER,
    [MDR_EVENT_REMEDY] = MDR_ACT_REMEDY_APPROVE, [MDR_EVENT_INTERRUPTED] = MDR_ACT_RUN_ENTER,
    [MDR_EVENT_RESUMED] = MDR_ACT_RUN_ENTER,     [MDR_EVENT_TAKEN_OVER] = MDR_ACT_RUN_ENTER,
    [MDR_EVENT_REMARK] = MDR_ACT_RECORD,         [MDR_EVENT_CORRECTED] = MDR_ACT_RUN_ENTER,
    [MDR_EVENT_STOPPED] = MDR_ACT_RUN_START,     [MDR_EVENT_RELEASED] = MDR_ACT_RELEASE,
    [MDR_EVENT_REJECTED] = MDR_ACT_RELEASE,
};

/* Stock is the weigh room's. Reading again and asking for a correction are the operator's; accepting and stopping are not. */
static mdr_action right_of(const mdr_event *e)
{
    if (e->kind == MDR_EVENT_CORRECTED &&
        (strcmp(e->field, "mass_mg") == 0 || strcmp(e->field, "stock_lot") == 0)) {
        return MDR_ACT_WEIGH; /* it moves stock */
    }
    if (e->kind != MDR_EVENT_DECISION) {
        return RIGHTS[e->kind];
    }
    return e->decision == MDR_DECISION_ACCEPT || e->decision == MDR_DECISION_STOP
               ? MDR_ACT_REMEDY_APPROVE
               : MDR_ACT_RUN_ENTER;
}

/* What a signature under the entry says; *must: there is none without. NULL: it takes none. */
static const char *meaning_of(const mdr_event *e, bool *must)
{
    *must = true;
    if (e->kind == MDR_EVENT_REMEDY) {
        return "approved";
    }
    if (e->kind == MDR_EVENT_RELEASED) {
        return "released";
    }
    if (e->kind == MDR_EVENT_DECISION && e->decision == MDR_DECISION_ACCEPT) {
        return "accepted outside limits";
    }
    *must = false; /* whoever is signed in checks, or somebody else who signs at the same screen */
    return e->kind == MDR_EVENT_WEIGHING_CHECKED ? "checked" : NULL;
}

static bool is_given(const mdr_entry_signature *s)
{
    return s->person_id != NULL || s->badge != NULL || s->password != NULL || s->pin != NULL;
}

static mdr_code check_document(const mdr_entry_signature *s, const char *meaning, mdr_err *err)
{
    if (meaning == NULL) {
        (void)MDR_FAIL(err, MDR_E_ARG, "signature", "this entry takes no signature");
        mdr_err_remedy(err, "send it without");
        return MDR_E_ARG;
    }
    if ((s->password != NULL) == (s->pin != NULL) || (s->person_id != NULL && s->badge != NULL)) {
        (void)MDR_FAIL(err, MDR_E_ARG, "signature", "it is not clear who signs, and by what");
        mdr_err_allowed(err, "password or pin; person_id or badge of somebody else");
        mdr_err_remedy(err, "send one secret, and one name at most");
        return MDR_E_ARG;
    }
    return MDR_OK;
}

static mdr_code sign(mdr_app *app, const mdr_app_run_ask *ask, const char *meaning, mdr_entry *in,
                     mdr_arena *arena, mdr_err *err)
{
    const mdr_entry_signature *given = &in->signature;
    const mdr_sign_ask what = {.action = right_of(&in->event),
                               .secret = given->pin != NULL ? given->pin : given->password,
                               .meaning = meaning,
                               .person_id = given->person_id,
                               .badge = given->badge};
    mdr_signature s;
    MDR_TRY(mdr_app_sign(app, ask->from, ask->who, &what, arena, &s, err));
    in->event.meaning = s.meaning;
    in->event.signed_by = s.person_id;
    in->event.signed_name = s.name;
    in->event.signed_as = s.roles;
    in->event.signed_utc_ms = s.utc_ms;
    return MDR_OK;
}

mdr_code mdr_app_run_sign(mdr_app *app, const mdr_app_run_ask *ask, mdr_entry *in, mdr_arena *arena,
                          mdr_err *err)
{
    mdr_event_row row;
    bool again = false, must = false;
    const char *meaning = meaning_of(&in->event, &must);
    /* who lost the answer signed already: the record tells whether it is the same entry */
    MDR_TRY(mdr_record_entry(app->mill, in->event.entry_id, arena, &row, &again, err));
    if (again) {
        return MDR_OK;
    }
    if (!is_given(&in->signature) || ask->who->demo) {
        in->to_sign = must && !ask->who->demo;
        return mdr_app_may(ask->who, right_of(&in->event), err);
    }
    MDR_TRY(check_document(&in->signature, meaning, err));
    return sign(app, ask, meaning, in, arena, err);
}

/* -- within the transaction -- */

typedef struct looking_back {
    mdr_arena *arena;
    const char *signed_by;
} looking_back;

static mdr_code see_acceptance(void *ctx, const mdr_event_row *row, mdr_err *err)
{
    const looking_back *l = ctx;
    mdr_event e;
    if (strcmp(row->kind, mdr_event_id(MDR_EVENT_DECISION)) != 0) {
        return MDR_OK;
    }
    MDR_TRY(mdr_app_run_event(row, l->arena, &e, err));
    if (e.decision != MDR_DECISION_ACCEPT ||
        mdr_app_second_person(mdr_event_person(&e), l->signed_by, NULL) == MDR_OK) {
        return MDR_OK;
    }
    (void)MDR_FAIL(err, MDR_E_CONFLICT, "signature",
                   "who accepted a reading outside its limits does not release the lot");
    mdr_err_value(err, "%s, event %lld", l->signed_by, (long long)e.seq);
    mdr_err_remedy(err, "let somebody else look at the lot and release it");
    return MDR_E_CONFLICT;
}

mdr_code mdr_app_run_signed(mdr_app *app, const mdr_entry *in, mdr_arena *arena, mdr_err *err)
{
    const mdr_event *e = &in->event;
    if (in->to_sign) {
        (void)MDR_FAIL(err, MDR_E_ARG, "signature", "this entry must be signed");
        mdr_err_allowed(err, "the password or PIN of somebody who may");
        mdr_err_remedy(err, "sign it with your own password, or let somebody sign who may");
        return MDR_E_ARG;
    }
    if (e->kind != MDR_EVENT_RELEASED || e->signed_by[0] == '\0') {
        return MDR_OK;
    }
    MDR_TRY(mdr_app_refresh(app, err));
    if (app->masters.site == NULL || !app->masters.site->release_by_other) {
        return MDR_OK;
    }
    looking_back l = {.arena = arena, .signed_by = e->signed_by};
    const mdr_event_query of = {.batch_id = e->batch_id};
    return mdr_record_events(app->mill, &of, see_acceptance, &l, err);
}
