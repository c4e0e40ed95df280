#include "wire/mdr_run_shape.h"

#define N_OF(a)           ((int)(sizeof(a) / sizeof((a)[0])))
#define ALWAYS            MDR_FIELD_ALWAYS
#define ID(name, id, ...) id,
#define BARE_ID(name, id) id,
#define WORDS_OF(name, list)                        \
    static const char *const name##_IDS[] = {list}; \
    static const mdr_words name = {name##_IDS, N_OF(name##_IDS)}

WORDS_OF(STEP_KINDS, MDR_STEP_KINDS(ID));
WORDS_OF(CHECK_KINDS, MDR_CHECKS(ID));
WORDS_OF(ON_FAILS, MDR_ON_FAILS(ID));
WORDS_OF(CURVES, MDR_CURVES(ID));
WORDS_OF(SUBSTANCES, MDR_SUBSTANCES(ID));
WORDS_OF(CAUTIONS, MDR_CAUTIONS(BARE_ID));
WORDS_OF(DYE_CLASSES, MDR_DYE_CLASSES(ID));
WORDS_OF(EVENTS, MDR_EVENTS(ID));
WORDS_OF(DECISIONS, MDR_DECISIONS(ID));
WORDS_OF(INTERRUPTS, MDR_INTERRUPTS(ID));

#define FIELD(rec, key_, member, kind_, must_, ...)                               \
    {                                                                             \
        .key = (key_), .kind = MDR_FIELD_##kind_, .may = ALWAYS, .must = (must_), \
        .offset = offsetof(rec, member), __VA_ARGS__                              \
    }
#define PLAIN(rec, member, kind)      FIELD(rec, #member, member, kind, 0, .has = 0)
#define MUST(rec, member, kind)       FIELD(rec, #member, member, kind, ALWAYS, .has = 0)
#define WORD(rec, member, list, must) FIELD(rec, #member, member, WORD, must, .words = &(list))

/* -- the control recipe -- */

static const mdr_field ITEM_FIELDS[] = {
    MUST(mdr_control_item, material_id, TEXT),
    MUST(mdr_control_item, name, TEXT),
    MUST(mdr_control_item, mass_mg, LONG),
    PLAIN(mdr_control_item, volume_l, NUMBER),
    PLAIN(mdr_control_item, dye, BOOL),
    WORD(mdr_control_item, substance, SUBSTANCES, 0),
    PLAIN(mdr_control_item, price_minor_per_kg, NUMBER),
    PLAIN(mdr_control_item, bulk_factor, NUMBER),
    FIELD(mdr_control_item, "cautions", cautions, SET, 0, .words = &CAUTIONS),
};
static const mdr_control_item NO_ITEM = {.material_id = "", .name = ""};
static const mdr_shape ITEM_SHAPE = {.what = "a material",
                                     .fields = ITEM_FIELDS,
                                     .n_fields = N_OF(ITEM_FIELDS),
                                     .size = sizeof(mdr_control_item),
                                     .absent = &NO_ITEM,
                                     .most = 64};

static const mdr_field CHECK_FIELDS[] = {
    WORD(mdr_control_check, kind, CHECK_KINDS, ALWAYS),
    FIELD(mdr_control_check, "low", low, NUMBER, 0, .has = offsetof(mdr_control_check, has_low)),
    FIELD(mdr_control_check, "high", high, NUMBER, 0, .has = offsetof(mdr_control_check, has_high)),
    FIELD(mdr_control_check, "expected", expected, NUMBER, 0,
          .has = offsetof(mdr_control_check, has_expected)),
    PLAIN(mdr_control_check, cooled, BOOL),
    PLAIN(mdr_control_check, method, TEXT),
    PLAIN(mdr_control_check, remedy, TEXT),
    WORD(mdr_control_check, on_fail, ON_FAILS, 0),
};
static const mdr_shape CHECK_SHAPE = {.what = "a hold point",
                                      .fields = CHECK_FIELDS,
                                      .n_fields = N_OF(CHECK_FIELDS),
                                      .size = sizeof(mdr_control_check)};

#define OF_DRYING(member, kind) FIELD(mdr_control_drying, #member, member, kind, 0, .has = 0)
static const mdr_field DRYING_FIELDS[] = {
    MUST(mdr_control_drying, dry_kg, NUMBER),
    OF_DRYING(length_m, NUMBER),
    OF_DRYING(in_pct, NUMBER),
    OF_DRYING(out_pct, NUMBER),
    OF_DRYING(speed_m_per_min, NUMBER),
    OF_DRYING(speed_max_m_per_min, NUMBER),
    OF_DRYING(oven_m, NUMBER),
    OF_DRYING(air_c, NUMBER),
    OF_DRYING(air_kg_per_kg, NUMBER),
    OF_DRYING(mj_per_kg, NUMBER),
    OF_DRYING(steams, BOOL),
};
static const mdr_shape DRYING_SHAPE = {.what = "the fabric behind a dryer",
                                       .fields = DRYING_FIELDS,
                                       .n_fields = N_OF(DRYING_FIELDS),
                                       .size = sizeof(mdr_control_drying)};

#define OF_STATE(member, kind) FIELD(mdr_control_state_in, #member, state.member, kind, 0, .has = 0)
static const mdr_field STATE_FIELDS[] = {
    MUST(mdr_control_state_in, step, TEXT),
    OF_STATE(load_kg, NUMBER),
    OF_STATE(liquor_l, NUMBER),
    OF_STATE(temp_c, NUMBER),
    OF_STATE(retained_l_per_kg, NUMBER),
    FIELD(mdr_control_state_in, "dissolved_kg", dissolved_kg, NUMBERS, ALWAYS,
          .count = offsetof(mdr_control_state_in, n_dissolved), .most = MDR_DISSOLVED_COUNT),
    OF_STATE(loose_mg_per_kg, NUMBER),
    OF_STATE(fix_temp_c, NUMBER),
    OF_STATE(minutes_left, NUMBER),
    FIELD(mdr_control_state_in, "dye_class", state.dye_class, WORD, ALWAYS, .words = &DYE_CLASSES),
    OF_STATE(dyed, BOOL),
    OF_STATE(dyebath, BOOL),
    OF_STATE(fixing, BOOL),
    FIELD(mdr_control_state_in, "drying", state.drying, OBJECT, 0, .shape = &DRYING_SHAPE),
};
static const mdr_control_state_in NO_STATE = {.step = ""};
static const mdr_shape STATE_SHAPE = {.what = "the bath at a hold point",
                                      .fields = STATE_FIELDS,
                                      .n_fields = N_OF(STATE_FIELDS),
                                      .size = sizeof(mdr_control_state_in),
                                      .absent = &NO_STATE,
                                      .most = MDR_CONTROL_STEPS_MAX};

static const mdr_field STEP_FIELDS[] = {
    MUST(mdr_control_step, key, TEXT),
    MUST(mdr_control_step, bath, INT),
    WORD(mdr_control_step, kind, STEP_KINDS, ALWAYS),
    PLAIN(mdr_control_step, note, TEXT),
    PLAIN(mdr_control_step, start_min, NUMBER),
    PLAIN(mdr_control_step, minutes, NUMBER),
    PLAIN(mdr_control_step, temp_start_c, NUMBER),
    PLAIN(mdr_control_step, temp_end_c, NUMBER),
    PLAIN(mdr_control_step, volume_l, NUMBER),
    PLAIN(mdr_control_step, water_temp_c, NUMBER),
    PLAIN(mdr_control_step, flow_l_per_min, NUMBER),
    PLAIN(mdr_control_step, liquor_l, NUMBER),
    PLAIN(mdr_control_step, steam_kg, NUMBER),
    PLAIN(mdr_control_step, beside, BOOL),
    WORD(mdr_control_step, curve, CURVES, 0),
    PLAIN(mdr_control_step, exponent, NUMBER),
    PLAIN(mdr_control_step, portions, INT),
    FIELD(mdr_control_step, "items", items, LIST, 0, .count = offsetof(mdr_control_step, n_items),
          .shape = &ITEM_SHAPE),
    FIELD(mdr_control_step, "check", check, OBJECT, 0, .shape = &CHECK_SHAPE),
    FIELD(mdr_control_step, "cautions", cautions, SET, 0, .words = &CAUTIONS),
};
static const mdr_control_step NO_STEP = {
    .key = "", .note = "", .check = {.method = "", .remedy = ""}};
static const mdr_shape STEP_SHAPE = {.what = "a step",
                                     .fields = STEP_FIELDS,
                                     .n_fields = N_OF(STEP_FIELDS),
                                     .size = sizeof(mdr_control_step),
                                     .absent = &NO_STEP,
                                     .most = MDR_CONTROL_STEPS_MAX};

static const mdr_field BATH_FIELDS[] = {
    MUST(mdr_control_bath, number, INT),
    MUST(mdr_control_bath, name, TEXT),
    MUST(mdr_control_bath, stage, TEXT),
    MUST(mdr_control_bath, liquor_l, NUMBER),
};
static const mdr_control_bath NO_BATH = {.name = "", .stage = ""};
static const mdr_shape BATH_SHAPE = {.what = "a bath",
                                     .fields = BATH_FIELDS,
                                     .n_fields = N_OF(BATH_FIELDS),
                                     .size = sizeof(mdr_control_bath),
                                     .absent = &NO_BATH,
                                     .most = MDR_ROUTE_BATHS_MAX};

enum { CURVE_NUMBERS_MAX = 300000 };
#define HEAD(member, kind) FIELD(mdr_control_in, #member, c.member, kind, ALWAYS, .has = 0)
static const mdr_field CONTROL_FIELDS[] = {
    HEAD(lot_id, TEXT),
    HEAD(order_id, TEXT),
    HEAD(article_id, TEXT),
    HEAD(shade_id, TEXT),
    FIELD(mdr_control_in, "swatch", swatch, TEXT, ALWAYS, .has = 0),
    HEAD(machine_id, TEXT),
    HEAD(route_id, TEXT),
    HEAD(route_version, INT),
    HEAD(lot_revision, INT),
    HEAD(load_kg, NUMBER),
    HEAD(ratio_l_per_kg, NUMBER),
    HEAD(liquor_l, NUMBER),
    HEAD(fabric_m, NUMBER),
    HEAD(cycle_min, NUMBER),
    HEAD(total_min, NUMBER),
    HEAD(cost_minor, LONG),
    HEAD(water_l, NUMBER),
    HEAD(steam_kg, NUMBER),
    HEAD(power_kwh, NUMBER),
    FIELD(mdr_control_in, "steel_kg", c.steel_kg, NUMBER, 0, .has = 0),
    FIELD(mdr_control_in, "steam_kj_per_kg", c.steam_kj_per_kg, NUMBER, 0, .has = 0),
    FIELD(mdr_control_in, "baths", c.baths, LIST, ALWAYS,
          .count = offsetof(mdr_control_in, c.n_baths), .shape = &BATH_SHAPE),
    FIELD(mdr_control_in, "steps", c.steps, LIST, ALWAYS,
          .count = offsetof(mdr_control_in, c.n_steps), .shape = &STEP_SHAPE),
    FIELD(mdr_control_in, "states", states, LIST, 0, .count = offsetof(mdr_control_in, n_states),
          .shape = &STATE_SHAPE),
    FIELD(mdr_control_in, "curve", curve, NUMBERS, ALWAYS,
          .count = offsetof(mdr_control_in, n_curve), .most = CURVE_NUMBERS_MAX),
};
const mdr_shape mdr_control_shape = {.what = "a control recipe",
                                     .fields = CONTROL_FIELDS,
                                     .n_fields = N_OF(CONTROL_FIELDS),
                                     .size = sizeof(mdr_control_in)};

/* -- entries and events -- */

static const mdr_field SIGNATURE_FIELDS[] = {
    PLAIN(mdr_entry_signature, person_id, TEXT),
    PLAIN(mdr_entry_signature, badge, TEXT),
    PLAIN(mdr_entry_signature, password, TEXT),
    PLAIN(mdr_entry_signature, pin, TEXT),
};
static const mdr_shape SIGNATURE_SHAPE = {.what = "a signature",
                                          .fields = SIGNATURE_FIELDS,
                                          .n_fields = N_OF(SIGNATURE_FIELDS),
                                          .null_is_absent = true,
                                          .size = sizeof(mdr_entry_signature)};

#define IN_EVENT(member, kind)   FIELD(mdr_entry, #member, event.member, kind, 0, .has = 0)
#define EVENT_WORD(member, list) FIELD(mdr_entry, #member, event.member, WORD, 0, .words = &(list))
static const mdr_field ENTRY_FIELDS[] = {
    EVENT_WORD(kind, EVENTS),
    IN_EVENT(entry_id, TEXT),
    IN_EVENT(device_utc_ms, LONG),
    PLAIN(mdr_entry, sent_utc_ms, LONG),
    IN_EVENT(step, TEXT),
    IN_EVENT(item, INT),
    IN_EVENT(mass_mg, LONG),
    IN_EVENT(material_id, TEXT),
    IN_EVENT(stock_lot, TEXT),
    IN_EVENT(scale_id, TEXT),
    IN_EVENT(manual, BOOL),
    IN_EVENT(observed, BOOL),
    FIELD(mdr_entry, "temp_c", event.temp_c, NUMBER, 0, .has = offsetof(mdr_entry, event.has_temp)),
    FIELD(mdr_entry, "value", event.value, NUMBER, 0, .has = offsetof(mdr_entry, has_value)),
    FIELD(mdr_entry, "sample", sample, OBJECT, 0, .has = offsetof(mdr_entry, has_sample),
          .shape = &mdr_entry_sample_shape),
    FIELD(mdr_entry, "measured", measured, OBJECT, 0, .has = offsetof(mdr_entry, has_measured),
          .shape = &mdr_measured_shape),
    IN_EVENT(instrument, TEXT),
    EVENT_WORD(decision, DECISIONS),
    EVENT_WORD(interrupt, INTERRUPTS),
    IN_EVENT(of_seq, LONG),
    IN_EVENT(field, TEXT),
    IN_EVENT(was, TEXT),
    IN_EVENT(is, TEXT),
    IN_EVENT(text, TEXT),
    IN_EVENT(meaning, TEXT),
    IN_EVENT(signed_by, TEXT),
    IN_EVENT(signed_name, TEXT),
    IN_EVENT(signed_as, TEXT),
    IN_EVENT(signed_utc_ms, LONG),
    FIELD(mdr_entry, "signature", signature, OBJECT, 0, .shape = &SIGNATURE_SHAPE),
    IN_EVENT(recipe_sha256, TEXT),
    IN_EVENT(remedy_id, TEXT),
    FIELD(mdr_entry, "steps", event.steps, LIST, 0, .count = offsetof(mdr_entry, event.n_steps),
          .shape = &STEP_SHAPE),
};
const mdr_shape mdr_entry_shape = {.what = "an entry",
                                   .fields = ENTRY_FIELDS,
                                   .n_fields = N_OF(ENTRY_FIELDS),
                                   .null_is_absent = true,
                                   .size = sizeof(mdr_entry)};
