#include "wire/mdr_records_out.h"

#include "core/units/mdr_swatch.h"

/* key and field are the same word, unit included */
#define NUMBER(record, field) mdr_json_number(j, #field, (record)->field)

void mdr_wire_put_machine(mdr_json *j, const char *key, const mdr_machine *m)
{
    mdr_json_object(j, key);
    mdr_json_text(j, "machine_id", m->machine_id);
    mdr_json_text(j, "name", m->name);
    mdr_json_text(j, "kind", mdr_machine_kind_id((mdr_machine_kind)m->kind));
    mdr_json_text(j, "kind_words", mdr_machine_kind_words((mdr_machine_kind)m->kind));
    mdr_json_int(j, "tubes", m->tubes);
    NUMBER(m, load_min_kg);
    NUMBER(m, load_max_kg);
    NUMBER(m, liquor_min_l);
    NUMBER(m, liquor_max_l);
    NUMBER(m, ratio_min_l_per_kg);
    NUMBER(m, speed_min_m_per_min);
    NUMBER(m, speed_max_m_per_min);
    NUMBER(m, cycle_max_min);
    NUMBER(m, temp_max_c);
    NUMBER(m, drain_temp_max_c);
    NUMBER(m, exchanger_kw_per_k);
    NUMBER(m, circulation_l_per_min);
    NUMBER(m, steam_max_kg_per_h);
    NUMBER(m, steel_kg);
    NUMBER(m, heat_max_c_per_min);
    NUMBER(m, cool_max_c_per_min);
    NUMBER(m, fill_l_per_min);
    NUMBER(m, drain_l_per_min);
    NUMBER(m, rinse_l_per_min);
    NUMBER(m, tank_l);
    NUMBER(m, tank_flow_l_per_min);
    NUMBER(m, tank_prepare_min);
    mdr_json_text(j, "tank_water", mdr_tank_water_id((mdr_tank_water)m->tank_water));
    mdr_json_text(j, "tank_water_words", mdr_tank_water_words((mdr_tank_water)m->tank_water));
    NUMBER(m, load_time_min);
    NUMBER(m, unload_time_min);
    NUMBER(m, power_kw);
    NUMBER(m, air_g_o2_per_kg_h);
    mdr_json_end_object(j);
}

void mdr_wire_put_article(mdr_json *j, const char *key, const mdr_article *a)
{
    mdr_json_object(j, key);
    mdr_json_text(j, "article_id", a->article_id);
    mdr_json_text(j, "name", a->name);
    mdr_json_text(j, "construction", mdr_construction_id((mdr_construction)a->construction));
    mdr_json_text(j, "construction_words",
                  mdr_construction_words((mdr_construction)a->construction));
    NUMBER(a, elastane_pct);
    NUMBER(a, grey_gsm);
    NUMBER(a, grey_width_cm);
    NUMBER(a, finished_gsm);
    NUMBER(a, finished_width_cm);
    NUMBER(a, retained_l_per_kg);
    NUMBER(a, calcium_mg_per_kg);
    NUMBER(a, magnesium_mg_per_kg);
    mdr_json_text(j, "finish_line", mdr_finish_line_id((mdr_finish_line)a->finish_line));
    mdr_json_text(j, "remark", a->remark);
    mdr_json_end_object(j);
}

void mdr_wire_put_shade(mdr_json *j, const char *key, const mdr_shade *s)
{
    char hex[8];
    bool in_gamut = true;
    mdr_swatch_hex(s->lab_l, s->lab_a, s->lab_b, hex, &in_gamut);
    mdr_json_object(j, key);
    mdr_json_text(j, "shade_id", s->shade_id);
    mdr_json_text(j, "name", s->name);
    mdr_json_text(j, "dye_class", mdr_dye_class_id((mdr_dye_class)s->dye_class));
    mdr_json_text(j, "dye_class_words", mdr_dye_class_words((mdr_dye_class)s->dye_class));
    mdr_json_text(j, "swatch", hex);
    mdr_json_bool(j, "in_gamut", in_gamut);
    mdr_json_array(j, "lab");
    mdr_json_number(j, NULL, s->lab_l);
    mdr_json_number(j, NULL, s->lab_a);
    mdr_json_number(j, NULL, s->lab_b);
    mdr_json_end_array(j);
    NUMBER(s, tolerance_de);
    mdr_json_end_object(j);
}

void mdr_wire_put_site(mdr_json *j, const char *key, const mdr_site *s)
{
    mdr_json_object(j, key);
    mdr_json_text(j, "name", s->name);
    mdr_json_text(j, "currency", s->currency);
    mdr_json_bool(j, "invented", s->invented);
    NUMBER(s, cold_water_c);
    NUMBER(s, hot_water_c);
    NUMBER(s, cooling_water_c);
    NUMBER(s, room_c);
    NUMBER(s, hardness_dh);
    NUMBER(s, steam_barg);
    NUMBER(s, water_minor_per_m3);
    NUMBER(s, effluent_minor_per_m3);
    NUMBER(s, steam_minor_per_t);
    NUMBER(s, power_minor_per_mwh);
    NUMBER(s, alkalinity_mmol_per_l);
    NUMBER(s, steam_co2_kg_per_t);
    NUMBER(s, power_co2_kg_per_mwh);
    NUMBER(s, water_co2_kg_per_m3);
    mdr_json_end_object(j);
}
