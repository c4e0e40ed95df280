/* Import: every faulty cell is reported with its place, and what columns must say together. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "mill_import_kit.h"

/* -- cells -- */

static void every_bad_cell_is_reported(void **state)
{
    static const expected BAD[] = {
        {"test.csv:2:roll_id", "G 1", "1 to 40 of", "shorten"},
        {"test.csv:2:article_id", "NONE", "", "import table article"},
        {"test.csv:2:grey_kg", "20,5", "0.1 to 200 kilograms", "write a point: 20.5"},
        {"test.csv:3:roll_id", "", "", "fill in: Roll number"},
        {"test.csv:3:lot_id", "L-0", "", "import table lot"},
        {"test.csv:3:grey_kg", "20 kg", "0.1 to 200", "the unit belongs in the header"},
        {"test.csv:4:grey_kg", "", "0.1 to 200", "fill in: Grey mass"},
        {"test.csv:5:grey_kg", "-5", "0.1 to 200", "check the value"},
        {"test.csv:6", "3 cells", "4 cells", "two commas"},
        {"test.csv:7:grey_kg", "nan", "0.1 to 200", "digits"},
        {"test.csv:8:grey_kg", "20.12345678", "at most 6 decimals", "round to 6"},
        {"test.csv:9:grey_kg", "1e2", "", "all digits"}};
    refuse(*state, "roll",
           ROLL_HEAD "G 1,NONE,,\"20,5\"\n"
                     ",RIB,L-0,20 kg\n"
                     "X3,RIB,,\n"
                     "X4,RIB,,-5\n"
                     "X5,RIB,\n"
                     "X6,RIB,,nan\n"
                     "X7,RIB,,20.12345678\n"
                     "X8,RIB,,1e2\n"
                     "X9,RIB,,20\n",
           BAD, N_OF(BAD));
}

static void words_dates_and_texts(void **state)
{
    static const expected DATES[] = {
        {"test.csv:2:due", "15.12.2026", "2000-01-01 to 2099-12-31", "2026-12-15"},
        {"test.csv:3:due", "2026-02-29", "2000", "year-month-day"},
        {"test.csv:4:due", "1999-12-31", "2000", ""},
        {"test.csv:5:due", "2026-1-5", "2000", ""},
        {"test.csv:6:customer", "", "", "line breaks"},
        {"test.csv:8:customer", "", "at most 200 bytes", "shorten"}};
    char text[1200];
    char longest[202];
    memset(longest, 'x', 201);
    longest[201] = '\0';
    (void)snprintf(text, sizeof text,
                   "order_id,customer,article_id,shade_id,ordered_kg,loss_pct,due,remark\n"
                   "A,c,RIB,WHITE,120,5,15.12.2026,\n"
                   "B,c,RIB,WHITE,120,5,2026-02-29,\n"
                   "C,c,RIB,WHITE,120,5,1999-12-31,\n"
                   "D,c,RIB,WHITE,120,5,2026-1-5,\n"
                   "E,\"two\nlines\",RIB,WHITE,120,5,2028-02-29,\n"
                   "F,%s,RIB,WHITE,120,5,2026-12-15,\n"
                   "G,%.200s,RIB,WHITE,120,5,2099-12-31,\n",
                   longest, longest);
    refuse(*state, "order", text, DATES, N_OF(DATES));
}

static void hidden_characters_and_long_ids(void **state)
{
    fixture *f = *state;
    mdr_err err;
    static const expected HIDDEN[] = {
        {"test.csv:2:title", "", "", "control characters"}, /* U+0085, next line */
        {"test.csv:3:title", "", "", "control characters"}, /* U+202E, right to left */
        {"test.csv:4:title", "", "", "control characters"}, /* U+2066, isolate */
        {"test.csv:5:title", "", "", "control characters"}, /* DEL */
        {"test.csv:6:table_id", "A2345678901234567890123456789012345678901", "1 to 40", ""},
        {"test.csv:7:table_id", "A\xC3\x84", "1 to 40", ""}};
    refuse(f, "dose_table",
           "table_id,title,source\n"
           "A1,a\xC2\x85"
           "b,s\n"
           "A2,a\xE2\x80\xAE"
           "b,s\n"
           "A3,a\xE2\x81\xA6"
           "b,s\n"
           "A4,a\x7F"
           "b,s\n"
           "A2345678901234567890123456789012345678901,t,s\n"
           "A\xC3\x84,t,s\n",
           HIDDEN, N_OF(HIDDEN));
    KIT_OK(kit_import(f->mill, "dose_table",
                      "table_id,title,source\n"
                      "A234567890123456789012345678901234567890,t,s\n" /* 40 */
                      "A5,\xC2\xA0\xE2\x80\xA9\xE2\x82\xAC \xE2\x80\x9Cq\xE2\x80\x9D,s\n",
                      NULL, &err),
           &err);
}

static void words_of_a_dye(void **state)
{
    static const expected WORDS[] = {
        {"test.csv:2:dye_class", "Reactive", "none, reactive, direct, vat", "write reactive"},
        {"test.csv:2:cautions", "dusty", "corrosive-alkali", "write dust"},
        {"test.csv:3:dye_class", "none", "reactive, direct, vat", ""},
        {"test.csv:3:swatch", "red", "#rrggbb", ""},
        {"test.csv:3:form", "pwd", "powder, granule", "one of the allowed words"},
        {"test.csv:4:dye_class", "", "none, reactive", "fill in"}};
    refuse(*state, "dye",
           "dye_id,name,dye_class,group,strength_pct,salt_table,alkali_table,swatch,form,"
           "density_kg_per_l,solubility_g_per_l,price_minor_per_kg,stock_kg,cautions,remark\n"
           "D1,n,Reactive,g,100,,,,powder,,80,,,dust dusty,\n"
           "D2,n,none,g,100,,,red,pwd,,80,,,,\n"
           "D3,n,,g,100,,,,powder,,80,,,,\n",
           WORDS, N_OF(WORDS));
    static const expected BOOL[] = {{"test.csv:2:invented", "YES", "yes, no", "yes or no"},
                                    {"test.csv:2:currency", "euro", "three capital letters", ""}};
    refuse(*state, "site",
           "name,currency,invented,cold_water_c,hot_water_c,cooling_water_c,room_c,hardness_dh,"
           "steam_barg,water_minor_per_m3,effluent_minor_per_m3,steam_minor_per_t,"
           "power_minor_per_mwh\nM,euro,YES,15,60,18,25,3.5,5,150,220,3500,12000\n",
           BOOL, N_OF(BOOL));
}

/* -- rules between columns -- */

#define CHEMICAL_HEAD                                                            \
    "chemical_id,name,group,substance,strength_pct,baume,form,density_kg_per_l," \
    "solubility_g_per_l,price_minor_per_kg,stock_kg,cautions,remark\n"

static void rules_of_chemicals(void **state)
{
    static const expected RULES[] = {
        {"test.csv:2:baume", "", "", "exactly one of strength_pct and baume"},
        {"test.csv:3:strength_pct", "", "", "exactly one of strength_pct and baume"},
        {"test.csv:4:baume", "", "", "strength_pct instead"},
        {"test.csv:5:density_kg_per_l", "", "", "fill in density_kg_per_l, or baume"},
        {"test.csv:6:density_kg_per_l", "", "", "density"},
        {"test.csv:7:solubility_g_per_l", "", "", "fill in solubility_g_per_l"},
        {"test.csv:8:substance", "", "", "table dye"},
        {"test.csv:9:chemical_id", "RED", "", "another number"},
        /* a bad cell is one fault, not also a missing density */
        {"test.csv:11:density_kg_per_l", "1,1", "0.5 to 2.5", "write a point: 1.1"}};
    fixture *f = *state;
    mdr_err err;
    KIT_OK(kit_import(f->mill, "chemical",
                      CHEMICAL_HEAD "N1,n,g,NaOH,,38,liquid,,,,,,\n"
                                    "N2,n,g,NaCl,,20,liquid,,,,,,\n"
                                    "N3,n,g,Na2SO4,,20,liquid,,,,,,\n",
                      NULL, &err),
           &err);
    refuse(f, "chemical",
           CHEMICAL_HEAD "A,n,g,NaOH,50,38,liquid,1.5,,,,,\n"
                         "B,n,g,NaOH,,,liquid,1.5,,,,,\n"
                         "C,n,g,H2O2,,20,liquid,1.1,,,,,\n"
                         "D,n,g,other,50,,liquid,,,,,,\n"
                         "E,n,g,other,50,,paste,,,,,,\n"
                         "F,n,g,NaCl,99,,crystal,,,,,,\n"
                         "G,n,g,dye,99,,powder,,50,,,,\n"
                         "RED,n,g,NaCl,99,,crystal,,300,,,,\n"
                         "H,n,g,Na2SO4,,20,liquid,,,,,,\n"
                         "I,n,g,other,50,,liquid,\"1,1\",,,,,\n",
           RULES, N_OF(RULES));
}

static void rules_of_dyes(void **state)
{
    static const expected RULES[] = {
        {"test.csv:2:density_kg_per_l", "", "", "fill in density_kg_per_l"},
        {"test.csv:3:solubility_g_per_l", "", "", "solubility"},
        {"test.csv:4:dye_id", "WET", "", "another number"},
        {"test.csv:5:salt_table", "NOPE", "", "import table dose_table with NOPE first"}};
    refuse(*state, "dye",
           "dye_id,name,dye_class,group,strength_pct,salt_table,alkali_table,swatch,form,"
           "density_kg_per_l,solubility_g_per_l,price_minor_per_kg,stock_kg,cautions,remark\n"
           "D1,n,vat,g,100,,,,liquid,,,,,,\n"
           "D2,n,vat,g,100,,,,granule,,,,,,\n"
           "WET,n,vat,g,100,,,,granule,,80,,,,\n"
           "D4,n,vat,g,100,NOPE,,,granule,,80,,,,\n",
           RULES, N_OF(RULES));
}

static void fixation_within_exhaustion(void **state)
{
    fixture *f = *state;
    mdr_err err;
#define FIXATION_HEAD                                                                           \
    "dye_id,name,dye_class,group,strength_pct,exhaustion_pct,fixation_pct,salt_table,"          \
    "alkali_table,swatch,form,density_kg_per_l,solubility_g_per_l,price_minor_per_kg,stock_kg," \
    "cautions,remark\n"
    static const expected RULES[] = {
        {"test.csv:2:fixation_pct", "80.001", "at most 80, the value of exhaustion_pct", "correct"},
        {"test.csv:3:exhaustion_pct", "100.1", "0 to 100 percent, or empty", ""}};
    refuse(f, "dye",
           FIXATION_HEAD "D1,n,vat,g,100,80,80.001,,,,powder,,80,,,,\n"
                         "D2,n,vat,g,100,100.1,90,,,,powder,,80,,,,\n",
           RULES, N_OF(RULES));
    KIT_OK(kit_import(f->mill, "dye",
                      FIXATION_HEAD "D1,n,vat,g,100,80,80,,,,powder,,80,,,,\n"
                                    "D2,n,vat,g,100,,90,,,,powder,,80,,,,\n"
                                    "D3,n,vat,g,100,70,,,,,powder,,80,,,,\n",
                      NULL, &err),
           &err);
}

/* What only a reactive dye has, and what cannot be more than what it is a part of. */
static void numbers_of_a_dyeing(void **state)
{
    fixture *f = *state;
    mdr_err err;
#define DYEING_HEAD                                                                               \
    "dye_id,name,dye_class,group,strength_pct,exhaustion_pct,fixation_pct,dyeing_group,"          \
    "primary_exhaustion_pct,fix_first_pct,fix_first_min,half_dyeing_min,molar_g_per_mol,charge,"  \
    "salt_table,alkali_table,swatch,form,density_kg_per_l,solubility_g_per_l,price_minor_per_kg," \
    "stock_kg,cautions,remark\n"
#define DYEING_TAIL ",,,powder,,80,,,,\n"
    static const expected RULES[] = {
        {"test.csv:2:primary_exhaustion_pct", "80.5", "at most 80, the value of exhaustion_pct",
         "correct primary_exhaustion_pct or"},
        {"test.csv:3:fix_first_pct", "61", "at most 60, the value of fixation_pct", "correct"},
        {"test.csv:4:fix_first_pct", "81", "at most 80, the value of exhaustion_pct", "correct"},
        {"test.csv:5:primary_exhaustion_pct", "", "", "leave it empty"},
        {"test.csv:6:fix_first_pct", "", "", "leave it empty"},
        {"test.csv:6:fix_first_min", "", "", "leave it empty"},
        {"test.csv:7:dyeing_group", "direct-a", "a group of the dye's class", ""},
        {"test.csv:8:dyeing_group", "vat-ik", "a group of the dye's class", ""},
        {"test.csv:9:charge", "13", "1 to 12 charges, or empty", ""},
        {"test.csv:10:half_dyeing_min", "481", "0 to 480 minutes, or empty", ""}};
    refuse(f, "dye",
           DYEING_HEAD "D1,n,reactive,g,100,80,60,,80.5,,,,,," DYEING_TAIL
                       "D2,n,reactive,g,100,80,60,,,61,,,,," DYEING_TAIL
                       "D3,n,reactive,g,100,80,,,,81,,,,," DYEING_TAIL
                       "D4,n,direct,g,100,80,60,,50,,,,,," DYEING_TAIL
                       "D5,n,vat,g,100,80,60,,,50,10,,,," DYEING_TAIL
                       "D6,n,reactive,g,100,80,60,direct-a,,,,,,," DYEING_TAIL
                       "D7,n,direct,g,100,80,60,vat-ik,,,,,,," DYEING_TAIL
                       "D8,n,direct,g,100,80,60,,,,,,,13," DYEING_TAIL
                       "D9,n,direct,g,100,80,60,,,,,481,,," DYEING_TAIL,
           RULES, N_OF(RULES));
    KIT_OK(
        kit_import(f->mill, "dye",
                   DYEING_HEAD
                   "D1,n,reactive,g,100,80,60,bis-monochlorotriazine,80,60,10,8,900,5," DYEING_TAIL
                   "D2,n,direct,g,100,80,60,direct-c,,,,12,,3," DYEING_TAIL,
                   NULL, &err),
        &err);
}

static void rules_of_machines(void **state)
{
    fixture *f = *state;
    static const expected RULES[] = {
        {"test.csv:2:load_min_kg", "500", "at most 400, the value of load_max_kg", "correct"},
        {"test.csv:2:liquor_min_l", "3300", "at most 3200, the value of liquor_max_l", ""},
        {"test.csv:2:speed_min_m_per_min", "400.5", "at most 350, the value of speed_max_m_per_min",
         ""}};
    char text[2000];
    const char *kit = kit_text("machine");
    const size_t head = strcspn(kit, "\n") + 1;
    (void)snprintf(
        text, sizeof text,
        "%.*sX,n,jet,2,500,400,3300,3200,5,400.5,350,2.5,135,95,25,2400,900,2500,5,4,500,"
        "700,300,120,20,6,fresh,20,15,30,\n",
        (int)head, kit);
    refuse(f, "machine", text, RULES, N_OF(RULES));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(every_bad_cell_is_reported),
        T(words_dates_and_texts),
        T(hidden_characters_and_long_ids),
        T(words_of_a_dye),
        T(rules_of_chemicals),
        T(rules_of_dyes),
        T(fixation_within_exhaustion),
        T(numbers_of_a_dyeing),
        T(rules_of_machines),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
