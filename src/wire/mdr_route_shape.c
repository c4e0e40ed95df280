#include "wire/mdr_route_shape.h"

#include <assert.h>

/* Words are stored through int. */
static_assert(sizeof(mdr_step_kind) == sizeof(int), "an enum is stored as an int");

#define N_OF(a) ((int)(sizeof(a) / sizeof((a)[0])))

#define ID_OF(name, id, ...) id,
#define WORDS(name, LIST)                                  \
    static const char *const name##_IDS[] = {LIST(ID_OF)}; \
    static const mdr_words name = {name##_IDS, N_OF(name##_IDS)}

WORDS(STAGE_WORDS, MDR_STAGE_KINDS);
WORDS(STEP_WORDS, MDR_STEP_KINDS);
WORDS(BASIS_WORDS, MDR_BASES);
WORDS(DYE_TABLE_WORDS, MDR_DYE_TABLES);
WORDS(CURVE_WORDS, MDR_CURVES);
WORDS(CHECK_WORDS, MDR_CHECKS);
WORDS(ON_FAIL_WORDS, MDR_ON_FAILS);
WORDS(PASS_WORDS, MDR_ROUTE_PASSES);
WORDS(CLASS_WORDS, MDR_DYE_CLASSES);

#define ALWAYS MDR_FIELD_ALWAYS
#define BIT(k) ((uint32_t)1 << (k))

/* FIELD(key, KIND, may, must, offset, further members...) */
#define FIELD(key_, kind_, may_, must_, offset_, ...)                             \
    {                                                                             \
        .key = (key_), .kind = MDR_FIELD_##kind_, .may = (may_), .must = (must_), \
        .offset = (offset_), __VA_ARGS__                                          \
    }
#define PLAIN(key_, kind_, may_, must_, offset_) FIELD(key_, kind_, may_, must_, offset_, .has = 0)
#define HAS(type, member)                        .has = offsetof(type, member)

/* -- one material of a dose -- */

#define BY_AMOUNT                                                                \
    (BIT(MDR_BASIS_G_PER_L) | BIT(MDR_BASIS_ML_PER_L) | BIT(MDR_BASIS_PCT_OWF) | \
     BIT(MDR_BASIS_KG_PER_LOAD))
#define BY_MASS    (BY_AMOUNT & ~BIT(MDR_BASIS_ML_PER_L))
#define AT_ITEM(m) offsetof(mdr_route_item, m)

static const mdr_field ITEM_FIELDS[] = {
    PLAIN("material_id", TEXT, ALWAYS, ~BIT(MDR_BASIS_RECIPE), AT_ITEM(material_id)),
    FIELD("basis", WORD, ALWAYS, ALWAYS, AT_ITEM(basis), .words = &BASIS_WORDS),
    PLAIN("amount", NUMBER, ALWAYS, BY_AMOUNT, AT_ITEM(amount)),
    PLAIN("of_active", BOOL, BY_MASS, 0, AT_ITEM(of_active)),
    PLAIN("table_id", TEXT, BIT(MDR_BASIS_TABLE), BIT(MDR_BASIS_TABLE), AT_ITEM(table_id)),
    PLAIN("to_whiteness", NUMBER, BIT(MDR_BASIS_WHITEN), BIT(MDR_BASIS_WHITEN),
          AT_ITEM(to_whiteness)),
    PLAIN("to_ph", NUMBER, BIT(MDR_BASIS_NEUTRALISE), 0, AT_ITEM(to_ph)),
    FIELD("dye_table", WORD, BIT(MDR_BASIS_DYE_TABLE), BIT(MDR_BASIS_DYE_TABLE), AT_ITEM(dye_table),
          .words = &DYE_TABLE_WORDS),
};
static const mdr_route_item NO_ITEM = {.material_id = "", .amount = 1, .table_id = ""};
static const mdr_shape ITEM = {.what = "an item by",
                               .fields = ITEM_FIELDS,
                               .n_fields = N_OF(ITEM_FIELDS),
                               .by = "basis",
                               .size = sizeof(mdr_route_item),
                               .absent = &NO_ITEM,
                               .most = MDR_ROUTE_ITEMS_MAX};

/* -- the curve of a dose: its fields stand in the step itself -- */

#define BY_POWER   (BIT(MDR_CURVE_PROGRESSIVE) | BIT(MDR_CURVE_DEGRESSIVE))
#define AT_STEP(m) offsetof(mdr_route_step, m)

static const mdr_field CURVE_FIELDS[] = {
    FIELD("kind", WORD, ALWAYS, ALWAYS, AT_STEP(curve), .words = &CURVE_WORDS),
    PLAIN("exponent", NUMBER, BY_POWER, BY_POWER, AT_STEP(exponent)),
    PLAIN("portions", INT, BIT(MDR_CURVE_PORTIONS), BIT(MDR_CURVE_PORTIONS), AT_STEP(portions)),
};
static const mdr_shape CURVE = {
    .what = "a curve", .fields = CURVE_FIELDS, .n_fields = N_OF(CURVE_FIELDS), .by = "kind"};

/* -- a check -- */

#define AT_CHECK(m) offsetof(mdr_route_check, m)

static const mdr_field CHECK_FIELDS[] = {
    FIELD("kind", WORD, ALWAYS, ALWAYS, AT_CHECK(kind), .words = &CHECK_WORDS),
    FIELD("low", NUMBER, ALWAYS, 0, AT_CHECK(low), HAS(mdr_route_check, has_low)),
    FIELD("high", NUMBER, ALWAYS, 0, AT_CHECK(high), HAS(mdr_route_check, has_high)),
    PLAIN("cooled", BOOL, BIT(MDR_CHECK_PH) | BIT(MDR_CHECK_CORE_PH), 0, AT_CHECK(cooled)),
    PLAIN("method", TEXT, ALWAYS, 0, AT_CHECK(method)),
    FIELD("on_fail", WORD, ALWAYS, ALWAYS, AT_CHECK(on_fail), .words = &ON_FAIL_WORDS),
    PLAIN("remedy", TEXT, ALWAYS, 0, AT_CHECK(remedy)),
};
static const mdr_shape CHECK = {
    .what = "a check of", .fields = CHECK_FIELDS, .n_fields = N_OF(CHECK_FIELDS), .by = "kind"};

/* -- a step -- */

#define IS(kind)  BIT(MDR_STEP_##kind)
#define RAMPS     (IS(HEAT) | IS(COOL))
#define TIMED     (IS(DOSE) | IS(HOLD) | IS(CHECK) | IS(RINSE))
#define WITH_TEMP (IS(FILL) | IS(HOLD) | IS(RINSE) | RAMPS)

static const mdr_field STEP_FIELDS[] = {
    FIELD("do", WORD, ALWAYS, ALWAYS, AT_STEP(kind), .words = &STEP_WORDS),
    PLAIN("note", TEXT, ALWAYS, 0, AT_STEP(note)),
    FIELD("temp_c", NUMBER, WITH_TEMP, RAMPS, AT_STEP(temp_c), HAS(mdr_route_step, has_temp)),
    PLAIN("rate_c_per_min", NUMBER, RAMPS, 0, AT_STEP(rate_c_per_min)),
    PLAIN("minutes", NUMBER, TIMED | IS(LOAD) | IS(UNLOAD), TIMED, AT_STEP(minutes)),
    PLAIN("ratio_l_per_kg", NUMBER, IS(FILL), 0, AT_STEP(ratio_l_per_kg)),
    PLAIN("level_l", NUMBER, IS(FILL), 0, AT_STEP(level_l)),
    PLAIN("flow_l_per_min", NUMBER, IS(RINSE), 0, AT_STEP(flow_l_per_min)),
    FIELD("items", LIST, IS(DOSE), IS(DOSE), AT_STEP(items), .count = AT_STEP(n_items),
          .shape = &ITEM),
    PLAIN("share_pct", NUMBER, IS(DOSE), 0, AT_STEP(share_pct)),
    FIELD("curve", OBJECT, IS(DOSE), 0, 0, .shape = &CURVE),
    PLAIN("with_next", BOOL, IS(DOSE), 0, AT_STEP(with_next)),
    PLAIN("offset_min", NUMBER, IS(DOSE), 0, AT_STEP(offset_min)),
    FIELD("check", OBJECT, IS(CHECK), IS(CHECK), AT_STEP(check), .shape = &CHECK),
};
static const mdr_route_step NO_STEP = {
    .note = "", .share_pct = 100, .check = {.method = "", .remedy = ""}};
static const mdr_shape STEP = {.what = "a step",
                               .fields = STEP_FIELDS,
                               .n_fields = N_OF(STEP_FIELDS),
                               .by = "do",
                               .size = sizeof(mdr_route_step),
                               .absent = &NO_STEP,
                               .most = MDR_ROUTE_STEPS_MAX};

/* -- baths, stages, passes, the route -- */

#define AT_BATH(m)  offsetof(mdr_route_bath, m)
#define AT_STAGE(m) offsetof(mdr_route_stage, m)
#define AT_PASS(m)  offsetof(mdr_route_pass, m)
#define AT_ROUTE(m) offsetof(mdr_route, m)

static const mdr_field BATH_FIELDS[] = {
    PLAIN("name", TEXT, ALWAYS, ALWAYS, AT_BATH(name)),
    FIELD("steps", LIST, ALWAYS, ALWAYS, AT_BATH(steps), .count = AT_BATH(n_steps), .shape = &STEP),
};
static const mdr_route_bath NO_BATH = {.name = ""};
static const mdr_shape BATH = {.what = "a bath",
                               .fields = BATH_FIELDS,
                               .n_fields = N_OF(BATH_FIELDS),
                               .size = sizeof(mdr_route_bath),
                               .absent = &NO_BATH,
                               .most = MDR_ROUTE_BATHS_MAX};

static const mdr_field STAGE_FIELDS[] = {
    FIELD("kind", WORD, ALWAYS, ALWAYS, AT_STAGE(kind), .words = &STAGE_WORDS),
    PLAIN("name", TEXT, ALWAYS, ALWAYS, AT_STAGE(name)),
    PLAIN("from_route", TEXT, ALWAYS, 0, AT_STAGE(from_route)),
    PLAIN("from_stage", TEXT, ALWAYS, 0, AT_STAGE(from_stage)),
    FIELD("baths", LIST, ALWAYS, 0, AT_STAGE(baths), .count = AT_STAGE(n_baths), .shape = &BATH),
};
static const mdr_route_stage NO_STAGE = {.name = "", .from_route = "", .from_stage = ""};
static const mdr_shape STAGE = {.what = "a stage",
                                .fields = STAGE_FIELDS,
                                .n_fields = N_OF(STAGE_FIELDS),
                                .size = sizeof(mdr_route_stage),
                                .absent = &NO_STAGE,
                                .most = MDR_ROUTE_STAGES_MAX};

static const mdr_field PASS_FIELDS[] = {
    FIELD("kind", WORD, ALWAYS, ALWAYS, AT_PASS(kind), .words = &PASS_WORDS),
    PLAIN("note", TEXT, ALWAYS, 0, AT_PASS(note)),
    FIELD("check", OBJECT, ALWAYS, 0, AT_PASS(check), HAS(mdr_route_pass, has_check),
          .shape = &CHECK),
};
static const mdr_route_pass NO_PASS = {.note = "", .check = {.method = "", .remedy = ""}};
static const mdr_shape PASS = {.what = "a pass",
                               .fields = PASS_FIELDS,
                               .n_fields = N_OF(PASS_FIELDS),
                               .size = sizeof(mdr_route_pass),
                               .absent = &NO_PASS,
                               .most = MDR_ROUTE_PASSES_MAX};

static const mdr_field ROUTE_FIELDS[] = {
    FIELD("format", EXACT, ALWAYS, ALWAYS, 0, .exact = MDR_ROUTE_FORMAT),
    PLAIN("route_id", TEXT, ALWAYS, ALWAYS, AT_ROUTE(route_id)),
    PLAIN("name", TEXT, ALWAYS, ALWAYS, AT_ROUTE(name)),
    PLAIN("purpose", TEXT, ALWAYS, 0, AT_ROUTE(purpose)),
    PLAIN("version", INT, ALWAYS, ALWAYS, AT_ROUTE(version)),
    FIELD("dye_class", WORD, ALWAYS, ALWAYS, AT_ROUTE(dye_class), .words = &CLASS_WORDS),
    PLAIN("invented", BOOL, ALWAYS, 0, AT_ROUTE(invented)),
    FIELD("stages", LIST, ALWAYS, ALWAYS, AT_ROUTE(stages), .count = AT_ROUTE(n_stages),
          .shape = &STAGE),
    FIELD("passes", LIST, ALWAYS, 0, AT_ROUTE(passes), .count = AT_ROUTE(n_passes), .shape = &PASS),
};
static const mdr_route NO_ROUTE = {.route_id = "", .name = "", .purpose = ""};
const mdr_shape mdr_route_shape = {.what = "a route",
                                   .fields = ROUTE_FIELDS,
                                   .n_fields = N_OF(ROUTE_FIELDS),
                                   .size = sizeof(mdr_route),
                                   .absent = &NO_ROUTE};
