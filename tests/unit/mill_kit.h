/* A small invented mill for the tests of the store, one table a CSV text, with awkward but legal
 * cells: commas, quotes, formulas, empty optional cells, negative numbers. Include after t.h. */
#ifndef MILL_KIT_H
#define MILL_KIT_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/mdr_csv.h"
#include "mill/mdr_mill_in.h"

typedef struct kit_csv {
    const char *table, *text;
} kit_csv;

/* 400 to 660 nm every 20. */
#define KIT_CURVE(id, a, b, c, d, e, f, g, h, i, j, k, l, m, n)                               \
    id ",400," #a "\n" id ",420," #b "\n" id ",440," #c "\n" id ",460," #d "\n" id ",480," #e \
       "\n" id ",500," #f "\n" id ",520," #g "\n" id ",540," #h "\n" id ",560," #i "\n" id    \
       ",580," #j "\n" id ",600," #k "\n" id ",620," #l "\n" id ",640," #m "\n" id ",660," #n "\n"
#define KIT_READINGS                                                                              \
    "sample_id,wavelength_nm,reflectance_pct\n" KIT_CURVE("RED.2", 20.5, 18, 17, 15.5, 14, 12,    \
                                                          10.5, 13, 23, 35.5, 43, 47, 49, 50.5)   \
        KIT_CURVE("JERSEY", 44, 50, 55, 58, 60, 60.5, 60.55, 60.6, 60.6, 60.6, 60.5, 60.6, 60.6,  \
                  60.6) KIT_CURVE("BORDEAUX.S", 13.85, 12.3, 11.68, 10.75, 9.82, 8.58, 7.65, 9.2, \
                                  15.4, 23.15, 27.8, 30.28, 31.52, 32.45)                         \
            KIT_CURVE("BORDEAUX.1", 13.5, 12, 11.4, 10.5, 9.6, 8.4, 7.5, 9, 15, 22.5, 27, 29.4,   \
                      30.6, 31.5) KIT_CURVE("BORDEAUX.B", 13.32, 11.85, 11.26, 10.38, 9.49, 8.31, \
                                            7.42, 8.9, 14.8, 22.18, 26.6, 28.96, 30.14, 31.02)

/* I: invented, all of it. */
static const kit_csv KIT[] = {
    {"site",
     "name,currency,invented,cold_water_c,hot_water_c,cooling_water_c,room_c,hardness_dh,"
     "steam_barg,water_minor_per_m3,effluent_minor_per_m3,steam_minor_per_t,power_minor_per_mwh,"
     "alkalinity_mmol_per_l,steam_co2_kg_per_t,power_co2_kg_per_mwh,water_co2_kg_per_m3\n"
     "\"Mill \"\"North\"\", invented\",EUR,yes,15,60,18,25,3.5,5,150,220,3500,12000,"
     "2.125,175.5,,0.75\n"},
    {"machine",
     "machine_id,name,kind,tubes,load_min_kg,load_max_kg,liquor_min_l,liquor_max_l,"
     "ratio_min_l_per_kg,speed_min_m_per_min,speed_max_m_per_min,cycle_max_min,temp_max_c,"
     "drain_temp_max_c,exchanger_kw_per_k,circulation_l_per_min,steam_max_kg_per_h,steel_kg,"
     "heat_max_c_per_min,cool_max_c_per_min,fill_l_per_min,drain_l_per_min,rinse_l_per_min,tank_l,"
     "tank_flow_l_per_min,tank_prepare_min,tank_water,load_time_min,unload_time_min,power_kw,"
     "air_g_o2_per_kg_h\n"
     "J1,Jet one,jet,2,150,400,1200,3200,5,60,350,2.5,135,95,25,2400,900,2500,5,4,500,700,300,120,"
     "20,6,fresh,20,15,30,0.5\n"
     "W-1,=Winch,winch,4,300.5,1000,4000,12000,8,20,90,0.33333,98,85,12.75,0,1200,4000,3,2.5,600,"
     "900,400,200,15,6,bath,25,20,12.5,\n"},
    {"article",
     "article_id,name,construction,yarn_ne,loop_mm,gauge_per_inch,diameter_inch,feeders,"
     "elastane_pct,grey_gsm,grey_width_cm,finished_gsm,finished_width_cm,shrink_length_max_pct,"
     "shrink_width_max_pct,spirality_max_pct,retained_l_per_kg,calcium_mg_per_kg,"
     "magnesium_mg_per_kg,finish_line,gsm_tol_pct,width_tol_cm,remark\n"
     "SJ30,\"Single jersey, 30\",single-jersey,30,2.75,28,30,90,0,135,180,150,170,5,6,4,2.2,"
     "812.5,604,open-width,4.5,3.75,\n"
     "RIB,1x1 rib,rib-1x1,24,2.6,18,34,72,5,200,140,220,130,6,7,3,2.5,,,tubular,,,'+soft\n"},
    {"finisher", "finisher_id,name,kind,width_min_cm,width_max_cm,overfeed_min_pct,overfeed_pct,"
                 "overfeed_max_pct,width_change_pct,moisture_out_pct,temp_c,speed_m_per_min,"
                 "speed_max_m_per_min,oven_m,h_w_per_m2_k,exhaust_kg_per_kg,power_kw,remark\n"
                 "ST1,Stenter one,stenter,70,240.5,-5,15.25,35,0,7,150,25,60,18,95.5,0.08,115,\n"
                 "TC1,Tube compactor,tube-compactor,28,125,0,8,18,-1.5,6,115,20,35,,,,24,'=felt\n"},
    {"wash_sample", "sample_id,article_id,washed,loop_mm,courses_per_cm,wales_per_cm,gsm,"
                    "spirality_pct,remark\n"
                    "W1,SJ30,2026-10-02,2.752,18.45,15.375,155.5,3.25,\n"
                    "W2,SJ30,2026-10-09,2.744,18.6,15.4,156,,'-dry\n"},
    {"weighing_class",
     "class_id,name,tolerance_pct,tolerance_g,least_divisions,two_persons,"
     "lead_min,remark\n"
     "FINE,Dyes,0.5,0.25,120,yes,45.5,\nSACK,\"Salt, soda\",1,100,50,no,0,-by sack\n"},
    {"scale", "scale_id,name,capacity_kg,division_g,interval_g,container_kg,verified_until,remark\n"
              "S1,Balance,6.2,0.01,0.1,0.35,2027-06-30,\nS2,=Floor,300,50,,,,@gate\n"},
    {"dose_table", "table_id,title,source,counted_as,between,ratio_rule,swap\n"
                   "SALT,Salt by depth,invented,Na2SO4,linear,band-less-below-6,sodium\n"
                   "SODA,Soda by depth,invented,other,step,none,mass\n"},
    {"dose_band", "table_id,depth_max_pct_owf,amount_g_per_l\n"
                  "SALT,0.5,20\nSALT,2,45\nSALT,90,80\nSODA,0.5,8\nSODA,100,20\n"},
    {"dye",
     "dye_id,name,dye_class,group,strength_pct,exhaustion_pct,fixation_pct,nature,salt_table,"
     "alkali_table,swatch,form,density_kg_per_l,solubility_g_per_l,price_minor_per_kg,"
     "stock_kg,cod_g_per_g,co2_kg_per_kg,cautions,remark,dyeing_group,primary_exhaustion_pct,"
     "fix_first_pct,fix_first_min,half_dyeing_min,molar_g_per_mol,charge,weigh_class,storage\n"
     "RED,Red B,reactive,warm,100,88.5,72.25,,SALT,SODA,#b03a2e,powder,,80,950,120.25,"
     "1.125,12.5,dust sensitiser,,bifunctional,52.5,40.125,12.5,9.25,912.625,4,FINE,Shelf 3\n"
     "BLUE,Blue R,reactive,warm,133,,,phthalocyanine,SALT,,,liquid,1.1,,1200,40,,,,,,,,,,,,,\n"
     "VIOLET,Violet,vat,iw,50,90,,black,,,#5B2C6F,paste,1.05,,,,,,irritant,dear,vat-iw,,,,5.5,,,"
     "FINE,\n"},
    {"chemical",
     "chemical_id,name,group,substance,strength_pct,baume,form,density_kg_per_l,"
     "solubility_g_per_l,price_minor_per_kg,stock_kg,cautions,remark,"
     "capacity_mg_per_g,acid_mol_per_kg,cod_g_per_g,co2_kg_per_kg,weigh_class,storage\n"
     "LYE,Caustic,alkali,NaOH,,38,liquid,,,45,900,corrosive-alkali,,,,,0.625,SACK,\"=Tank, 2\"\n"
     "SALT,Common salt,salt,NaCl,99.5,,crystal,,300,12,5000,,,,,,,SACK,\n"
     "WET,Wetting agent,auxiliary,sequestrant,40,,liquid,1.02,,210,60,irritant,@home,"
     "117.5,2.75,0.875,1.5,,\n"},
    {"shade", "shade_id,name,dye_class,lab_l,lab_a,lab_b,tolerance_de\n"
              "BORDEAUX,Bordeaux,reactive,28.5,32.125,-4.75,1\n"
              "WHITE,Full white,none,95,2.1,-9,1.2\n"},
    {"recipe", "shade_id,line,dye_id,depth_pct_owf,bulk_pct,bulk_machine_id,bulk_words\n"
               "BORDEAUX,1,RED,2.35,104.5,J1,1.045 of nine lots\nBORDEAUX,2,BLUE,0.000125,,,\n"},
    {"order", "order_id,customer,article_id,shade_id,ordered_kg,loss_pct,due,remark\n"
              "O-1,\"A, B and C\",SJ30,BORDEAUX,900,6.5,2026-12-15,\n"
              "O-2,Second,RIB,WHITE,120,5,2026-11-30,urgent\n"},
    {"lot", "lot_id,order_id,machine_id,route_id,weighed_kg,ratio_l_per_kg,speed_m_per_min,"
            "tubes_used,stage\n"
            "L26-0001,O-1,J1,R-MED,,6,,,ready\n"
            "L26-0002,O-2,W-1,R-WHITE,118.4,10,45,3,open\n"
            "L26-0003,O-1,J1,R-MED,300,6.5,200,2,planned\n"},
    {"roll", "roll_id,article_id,lot_id,grey_kg\n"
             "G1,SJ30,L26-0001,22.5\nG2,SJ30,L26-0001,23.125\nG3,SJ30,L26-0003,21\n"
             "G4,RIB,L26-0002,19.9\nG5,RIB,,20\n"},
    {"lab_sample", "sample_id,kind,name,substrate,dye_id,depth_pct_owf,shade_id,lot_id,measured,"
                   "specular,remark\n"
                   "RED.2,rung,RED@2.5,\"Jersey, 60\",RED,2.5,,,2026-10-05,included,\n"
                   "JERSEY,cloth,cloth,\"Jersey, 60\",,,,,2026-10-05,included,'=undyed\n"
                   "BORDEAUX.S,standard,Bordeaux,,,,BORDEAUX,,2026-10-01,excluded,\n"
                   "BORDEAUX.1,dip,Bordeaux 1,\"Jersey, 60\",,,BORDEAUX,,2026-10-08,included,\n"
                   "BORDEAUX.B,bulk,L26-0003,\"Jersey, 60\",,,BORDEAUX,L26-0003,2026-11-02,"
                   "unknown,end of the rope\n"},
    {"lab_reading", KIT_READINGS},
    {"dip", "dip_id,shade_id,substrate,round,made,sample_id,state,decided_by,decided,remark\n"
            "B-1A,BORDEAUX,\"Jersey, 60\",1,2026-10-08,BORDEAUX.1,approved,\"R., dyehouse\","
            "2026-10-09,\n"
            "B-2A,BORDEAUX,\"Jersey, 60\",2,2026-10-12,,made,,,-warmer\n"},
    {"dip_dye", "dip_id,line,dye_id,depth_pct_owf\n"
                "B-1A,1,RED,2.35\nB-1A,2,BLUE,0.000125\nB-2A,1,RED,2.4\n"},
};

static inline const char *kit_text(const char *table)
{
    for (size_t i = 0; i < N_OF(KIT); i++) {
        if (strcmp(KIT[i].table, table) == 0) {
            return KIT[i].text;
        }
    }
    fail_msg("no such table in the kit: %s", table);
    return NULL;
}

static inline void kit_print(const mdr_err *err)
{
    char text[1200];
    (void)mdr_err_format(err, text, sizeof text);
    print_message("%s\n", text);
}

/* Fails the test, with the record printed, when the call failed. */
#define KIT_OK(call, err)                 \
    do {                                  \
        if ((call) != MDR_OK) {           \
            kit_print(err);               \
            fail_msg("%s failed", #call); \
        }                                 \
    } while (0)

/* A folder of its own for each program; removed at exit of the test that asked for it. */
typedef struct kit_dir {
    char path[64], file[96];
} kit_dir;

static inline kit_dir kit_dir_make(void)
{
    kit_dir d = {.path = "/tmp/madder-test-XXXXXX"};
    assert_non_null(mkdtemp(d.path));
    (void)snprintf(d.file, sizeof d.file, "%s/test.mill", d.path);
    return d;
}

static inline void kit_dir_remove(const kit_dir *d)
{
    (void)chmod(d->path, 0700);
    (void)unlink(d->file);
    (void)rmdir(d->path);
}

static inline mdr_code kit_import(mdr_mill *mill, const char *table, const char *text,
                                  mdr_err_list *found, mdr_err *err)
{
    int rows = 0;
    const mdr_table *t = mdr_table_find(table);
    assert_non_null(t);
    return mdr_mill_import(mill, t, "test.csv", text, strlen(text), found, &rows, err);
}

static inline void kit_put_route(mdr_mill *mill, const char *route_id, const char *name)
{
    mdr_err err;
    const mdr_route_doc doc = {.route_id = route_id,
                               .name = name,
                               .dye_class = MDR_CLASS_REACTIVE,
                               .version = 1,
                               .text = "{\"invented\":true}",
                               .text_len = 17};
    KIT_OK(mdr_mill_route_put(mill, &doc, &err), &err);
}

/* An empty mill, open for writing. */
static inline mdr_mill *kit_empty(const kit_dir *d)
{
    mdr_err err;
    mdr_mill *mill = NULL;
    KIT_OK(mdr_mill_create(d->file, &err), &err);
    KIT_OK(mdr_mill_open(d->file, true, &mill, &err), &err);
    return mill;
}

static inline void kit_fill(mdr_mill *mill)
{
    mdr_err err;
    kit_put_route(mill, "R-MED", "Medium");
    kit_put_route(mill, "R-WHITE", "White");
    for (size_t i = 0; i < N_OF(KIT); i++) {
        KIT_OK(kit_import(mill, KIT[i].table, KIT[i].text, NULL, &err), &err);
    }
}

static inline mdr_mill *kit_mill(const kit_dir *d)
{
    mdr_mill *mill = kit_empty(d);
    kit_fill(mill);
    return mill;
}

static inline int64_t kit_count(mdr_mill *mill, const char *sql)
{
    mdr_err err;
    int64_t n = -1;
    KIT_OK(mdr_mill_sql_number(mill, sql, NULL, &n, &err), &err);
    return n;
}

/* The table as text; free it. */
static inline char *kit_export(mdr_mill *mill, const mdr_table *table)
{
    mdr_err err;
    char *text = NULL;
    size_t len = 0;
    mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
    assert_non_null(arena);
    KIT_OK(mdr_mill_export(mill, table, arena, &text, &len, &err), &err);
    assert_int_equal(strlen(text), len);
    char *copy = strdup(text);
    mdr_arena_free(arena);
    assert_non_null(copy);
    return copy;
}

#endif
