#include "core/plan/mdr_records.h"

#include "core/plan/mdr_pick.h"

#define CAUTION_ID(name, id) id,

MDR_PICK(mdr_machine_kind_id, mdr_machine_kind, MDR_MACHINE_KINDS(MDR_PICK_ID))
MDR_PICK(mdr_machine_kind_words, mdr_machine_kind, MDR_MACHINE_KINDS(MDR_PICK_WORDS))
MDR_PICK(mdr_tank_water_id, mdr_tank_water, MDR_TANK_WATERS(MDR_PICK_ID))
MDR_PICK(mdr_tank_water_words, mdr_tank_water, MDR_TANK_WATERS(MDR_PICK_WORDS))
MDR_PICK(mdr_construction_id, mdr_construction, MDR_CONSTRUCTIONS(MDR_PICK_ID))
MDR_PICK(mdr_construction_words, mdr_construction, MDR_CONSTRUCTIONS(MDR_PICK_WORDS))
MDR_PICK(mdr_dye_class_id, mdr_dye_class, MDR_DYE_CLASSES(MDR_PICK_ID))
MDR_PICK(mdr_dye_class_words, mdr_dye_class, MDR_DYE_CLASSES(MDR_PICK_WORDS))
MDR_PICK(mdr_form_words, mdr_form, MDR_FORMS(MDR_PICK_WORDS))
MDR_PICK(mdr_substance_id, mdr_substance, MDR_SUBSTANCES(MDR_PICK_ID))
MDR_PICK(mdr_substance_words, mdr_substance, MDR_SUBSTANCES(MDR_PICK_WORDS))
MDR_PICK(mdr_nature_id, mdr_nature, MDR_NATURES(MDR_PICK_ID))
MDR_PICK(mdr_nature_words, mdr_nature, MDR_NATURES(MDR_PICK_WORDS))
MDR_PICK(mdr_between_id, mdr_between, MDR_BETWEENS(MDR_PICK_ID))
MDR_PICK(mdr_between_words, mdr_between, MDR_BETWEENS(MDR_PICK_WORDS))
MDR_PICK(mdr_ratio_rule_id, mdr_ratio_rule, MDR_RATIO_RULES(MDR_PICK_ID))
MDR_PICK(mdr_ratio_rule_words, mdr_ratio_rule, MDR_RATIO_RULES(MDR_PICK_WORDS))
MDR_PICK(mdr_swap_id, mdr_swap, MDR_SWAPS(MDR_PICK_ID))
MDR_PICK(mdr_swap_words, mdr_swap, MDR_SWAPS(MDR_PICK_WORDS))
MDR_PICK(mdr_caution_id, mdr_caution, MDR_CAUTIONS(CAUTION_ID))
MDR_PICK(mdr_lot_stage_id, mdr_lot_stage, MDR_LOT_STAGES(MDR_PICK_ID))
MDR_PICK(mdr_lot_stage_words, mdr_lot_stage, MDR_LOT_STAGES(MDR_PICK_WORDS))
MDR_PICK(mdr_finish_line_id, mdr_finish_line, MDR_FINISH_LINES(MDR_PICK_ID))
MDR_PICK(mdr_finisher_kind_id, mdr_pass_kind, MDR_FINISHER_KINDS(MDR_PICK_ID))
MDR_PICK(mdr_finisher_kind_words, mdr_pass_kind, MDR_FINISHER_KINDS(MDR_PICK_WORDS))

/* The store keeps a kind by its place in the list. */
enum {
#define IN_LIST(name, id, words) LIST_##name,
    MDR_FINISHER_KINDS(IN_LIST) LIST_COUNT
};
#define SAME_PLACE(name, id, words) \
    _Static_assert((int)LIST_##name == (int)(name), "the list is in the order of mdr_pass_kind");
MDR_FINISHER_KINDS(SAME_PLACE)
_Static_assert((int)LIST_COUNT == (int)MDR_PASS_KINDS, "the list names every pass");

bool mdr_form_is_liquid(mdr_form k)
{
    return k == MDR_FORM_LIQUID || k == MDR_FORM_PASTE;
}

bool mdr_id_valid(const char *id)
{
    size_t n = 0;
    for (; id[n] != '\0' && n <= 40; n++) {
        const char c = id[n];
        const bool letter = (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
        const bool digit = c >= '0' && c <= '9';
        if (!letter && !digit && c != '-' && c != '_' && c != '.') {
            return false;
        }
    }
    return n >= 1 && n <= 40;
}
