#include "core/plan/mdr_route.h"

#include "core/plan/mdr_pick.h"

MDR_PICK(mdr_stage_kind_id, mdr_stage_kind, MDR_STAGE_KINDS(MDR_PICK_ID))
MDR_PICK(mdr_stage_kind_words, mdr_stage_kind, MDR_STAGE_KINDS(MDR_PICK_WORDS))
MDR_PICK(mdr_step_kind_id, mdr_step_kind, MDR_STEP_KINDS(MDR_PICK_ID))
MDR_PICK(mdr_step_kind_words, mdr_step_kind, MDR_STEP_KINDS(MDR_PICK_WORDS))
MDR_PICK(mdr_basis_id, mdr_basis, MDR_BASES(MDR_PICK_ID))
MDR_PICK(mdr_basis_words, mdr_basis, MDR_BASES(MDR_PICK_WORDS))
MDR_PICK(mdr_dye_table_id, mdr_dye_table, MDR_DYE_TABLES(MDR_PICK_ID))
MDR_PICK(mdr_curve_id, mdr_curve_kind, MDR_CURVES(MDR_PICK_ID))
MDR_PICK(mdr_curve_words, mdr_curve_kind, MDR_CURVES(MDR_PICK_WORDS))
MDR_PICK(mdr_on_fail_id, mdr_on_fail, MDR_ON_FAILS(MDR_PICK_ID))
MDR_PICK(mdr_on_fail_words, mdr_on_fail, MDR_ON_FAILS(MDR_PICK_WORDS))
MDR_PICK(mdr_route_pass_id, mdr_route_pass_kind, MDR_ROUTE_PASSES(MDR_PICK_ID))
MDR_PICK(mdr_route_pass_words, mdr_route_pass_kind, MDR_ROUTE_PASSES(MDR_PICK_WORDS))

bool mdr_route_pass_dries(mdr_route_pass_kind kind)
{
    return kind == MDR_ROUTE_PASS_STENTER || kind == MDR_ROUTE_PASS_HEAT_SET ||
           kind == MDR_ROUTE_PASS_DRY;
}

typedef struct check_info {
    const char *id, *words, *unit;
    double least, most;
} check_info;

#define CHECK_INFO(name, id, words, unit, least, most) {id, words, unit, least, most},
static const check_info CHECKS[] = {MDR_CHECKS(CHECK_INFO)};
static const check_info NO_CHECK = {0};

static const check_info *check_of(mdr_check_kind k)
{
    const size_t i = (size_t)k;
    return i < sizeof CHECKS / sizeof CHECKS[0] ? &CHECKS[i] : &NO_CHECK;
}

const char *mdr_check_id(mdr_check_kind k)
{
    return check_of(k)->id;
}

const char *mdr_check_words(mdr_check_kind k)
{
    return check_of(k)->words;
}

const char *mdr_check_unit(mdr_check_kind k)
{
    return check_of(k)->unit;
}

double mdr_check_least(mdr_check_kind k)
{
    return check_of(k)->least;
}

double mdr_check_most(mdr_check_kind k)
{
    return check_of(k)->most;
}
