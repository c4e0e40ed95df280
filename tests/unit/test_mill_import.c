/* Import: every fault is reported with its place, then all or nothing. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include <time.h>

#include "mill_kit.h"

typedef struct fixture {
    kit_dir dir;
    mdr_mill *mill;
    mdr_arena *arena;
    mdr_err_list found;
} fixture;

static int setup(void **state)
{
    fixture *f = calloc(1, sizeof *f);
    assert_non_null(f);
    f->dir = kit_dir_make();
    f->mill = kit_mill(&f->dir);
    f->arena = mdr_arena_new((size_t)8 << 20);
    f->found = mdr_err_list_make(f->arena, 1000);
    *state = f;
    return 0;
}

static int teardown(void **state)
{
    fixture *f = *state;
    mdr_mill_close(f->mill);
    mdr_arena_free(f->arena);
    kit_dir_remove(&f->dir);
    free(f);
    return 0;
}

static const mdr_err *find_place(const mdr_err_list *found, const char *place)
{
    for (int i = 0; i < found->count; i++) {
        if (strcmp(found->items[i].place, place) == 0) {
            return &found->items[i];
        }
    }
    return NULL;
}

/* One fault that must be among those found; texts are parts. */
typedef struct expected {
    const char *place, *value, *allowed, *remedy;
} expected;

static void expect(const mdr_err_list *found, const expected *want, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        const mdr_err *e = find_place(found, want[i].place);
        if (e == NULL || strstr(e->value, want[i].value) == NULL ||
            strstr(e->allowed, want[i].allowed) == NULL ||
            strstr(e->remedy, want[i].remedy) == NULL) {
            for (int k = 0; k < found->count; k++) {
                kit_print(&found->items[k]);
            }
            fail_msg("not found as wanted: %s", want[i].place);
        }
    }
    if (found->total != (long)n) {
        for (int k = 0; k < found->count; k++) {
            kit_print(&found->items[k]);
        }
        fail_msg("%ld faults found, want %zu", found->total, n);
    }
}

/* Imports a faulty text: all faults are as expected, the first is returned, and the table is as
 * it was. */
static void refuse(fixture *f, const char *table, const char *text, const expected *want, size_t n)
{
    mdr_err err = {0};
    char *before = kit_export(f->mill, mdr_table_find(table));
    f->found = mdr_err_list_make(f->arena, 1000);
    const mdr_code rc = kit_import(f->mill, table, text, &f->found, &err);
    expect(&f->found, want, n);
    assert_true(rc != MDR_OK);
    assert_int_equal(rc, f->found.items[0].code);
    assert_string_equal(err.place, f->found.items[0].place);
    for (int i = 0; i < f->found.count; i++) {
        assert_true(f->found.items[i].msg[0] != '\0' && f->found.items[i].remedy[0] != '\0');
    }
    char *after = kit_export(f->mill, mdr_table_find(table));
    assert_string_equal(before, after);
    free(before);
    free(after);
    assert_int_equal(kit_import(f->mill, table, text, NULL, NULL), rc); /* both may be NULL */
}

#define ROLL_HEAD "roll_id,article_id,lot_id,grey_kg\n"

/* -- header ----------------------------------------------------------------------------------- */

static void header_faults(void **state)
{
    static const expected NEAR[] = {
        {"test.csv:1:grey_g", "grey_g", "", "write grey_kg: kilograms"}};
    refuse(*state, "roll", "roll_id,article_id,lot_id,grey_g\nX,RIB,,20\n", NEAR, N_OF(NEAR));
    static const expected CASE[] = {{"test.csv:1:Roll ID", "Roll ID", "", "write roll_id: "}};
    refuse(*state, "roll", "Roll ID,article_id,lot_id,grey_kg\nX,RIB,,20\n", CASE, N_OF(CASE));
    static const expected UNKNOWN[] = {{"test.csv:2:colour", "colour", "", "delete the column"}};
    refuse(*state, "roll", "#c\nroll_id,article_id,lot_id,grey_kg,colour\nX,RIB,,20,red\n", UNKNOWN,
           N_OF(UNKNOWN));
    static const expected MISSING[] = {
        {"test.csv:1:grey_kg", "", "", "add the column grey_kg: kilograms"},
        {"test.csv:1:lot_id", "", "", "add the column lot_id: Lot"}};
    refuse(*state, "roll", "roll_id,article_id\nX,RIB\n", MISSING, N_OF(MISSING));
    static const expected DOUBLED[] = {{"test.csv:1:roll_id", "", "", "delete one"}};
    refuse(*state, "roll", "roll_id,article_id,lot_id,grey_kg,roll_id\nX,RIB,,20,X\n", DOUBLED,
           N_OF(DOUBLED));
    static const expected NO_HEADER[] = {
        {"test.csv:1", "G9", "", "the first line must be: roll_id,article_id,lot_id,grey_kg"}};
    refuse(*state, "roll", "G9,RIB,x,20\nG8,RIB,,20\n", NO_HEADER, N_OF(NO_HEADER));
}

static void header_faults_go_with_cell_faults(void **state)
{
    static const expected BOTH[] = {
        {"test.csv:1:grey_g", "grey_g", "", "write grey_kg"},
        {"test.csv:2:article_id", "NONE", "", "import table article with NONE first"}};
    refuse(*state, "roll", "roll_id,article_id,lot_id,grey_g\nX,NONE,,20\n", BOTH, N_OF(BOTH));
}

static void header_of_another_table(void **state)
{
    static const expected OTHER[] = {
        {"test.csv:1", "roll_id", "", "import the file as table roll"}};
    refuse(*state, "order", ROLL_HEAD "X,RIB,,20\n", OTHER, N_OF(OTHER));
}

static void columns_in_any_order(void **state)
{
    fixture *f = *state;
    mdr_err err;
    KIT_OK(
        kit_import(f->mill, "roll", "grey_kg,lot_id,roll_id,article_id\n20.5,,X,RIB\n", NULL, &err),
        &err);
    assert_int_equal(kit_count(f->mill, "SELECT grey_mg FROM roll WHERE roll_id = 'X' AND lot_id "
                                        "IS NULL AND article_id = 'RIB'"),
                     20500000);
}

/* -- cells ------------------------------------------------------------------------------------ */

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

/* -- rules between columns -------------------------------------------------------------------- */

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

/* -- columns that came later ------------------------------------------------------------------ */

/* A file of before has none of them; what it says of a record is all there is of it then. */
static void a_file_may_lack_later_columns(void **state)
{
    fixture *f = *state;
    mdr_err err;
    KIT_OK(kit_import(f->mill, "dose_table", "table_id,title,source\nSALT,t,s\n", NULL, &err),
           &err);
    KIT_OK(kit_import(f->mill, "dye",
                      "dye_id,name,dye_class,group,strength_pct,salt_table,alkali_table,swatch,"
                      "form,density_kg_per_l,solubility_g_per_l,price_minor_per_kg,stock_kg,"
                      "cautions,remark\nBLUE,n,vat,g,100,,,,powder,,80,,,,\n",
                      NULL, &err),
           &err);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM dose_table WHERE table_id = 'SALT' "
                                        "AND counted_as = 'other' AND \"between\" = 'step' AND "
                                        "ratio_rule = 'none' AND swap = 'mass'"),
                     1);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM dye WHERE dye_id = 'BLUE' AND nature "
                                        "= 'usual' AND exhaustion_mpct IS NULL AND cod_mg_per_g IS "
                                        "NULL"),
                     1);
    static const expected TYPED[] = {
        {"test.csv:1:ratio_rules", "ratio_rules", "", "write ratio_rule: At a short"}};
    refuse(f, "dose_table", "table_id,title,source,ratio_rules\nX,t,s,none\n", TYPED, N_OF(TYPED));
    static const expected MUST[] = {{"test.csv:1:source", "", "", "add the column source"}};
    refuse(f, "dose_table", "table_id,title,swap\nX,t,mass\n", MUST, N_OF(MUST));
    static const expected WORD[] = {
        {"test.csv:2:swap", "salt", "mass, sodium, ionic-strength", "one of"}};
    refuse(f, "dose_table", "table_id,title,source,swap\nX,t,s,salt\n", WORD, N_OF(WORD));
    static const expected OTHER[] = {
        {"test.csv:1", "table_id", "", "import the file as table dose_table"}};
    refuse(f, "roll", "table_id,title,source,swap\nX,t,s,mass\n", OTHER, N_OF(OTHER));
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

/* -- keys and references ---------------------------------------------------------------------- */

static void doubled_keys_name_both_lines(void **state)
{
    fixture *f = *state;
    static const expected TWICE[] = {{"test.csv:4:roll_id", "X1", "", "keep one"}};
    refuse(f, "roll", ROLL_HEAD "X1,RIB,,20\nX2,RIB,,20\nX1,RIB,,21\n", TWICE, N_OF(TWICE));
    assert_non_null(strstr(f->found.items[0].msg, "in line 2 and in line 4"));
    static const expected PAIR[] = {{"test.csv:3:shade_id", "BORDEAUX 1", "", "keep one"}};
    refuse(f, "recipe",
           "shade_id,line,dye_id,depth_pct_owf\nBORDEAUX,1,RED,1\nBORDEAUX,1,BLUE,1\n"
           "BORDEAUX,2,BLUE,1\n",
           PAIR, N_OF(PAIR));
    /* 0.5 and 0.50 are the same depth */
    static const expected DEPTH[] = {{"test.csv:3:table_id", "SALT 0.5", "", "keep one"}};
    refuse(f, "dose_band", "table_id,depth_max_pct_owf,amount_g_per_l\nSALT,0.5,20\nSALT,0.50,30\n",
           DEPTH, N_OF(DEPTH));
}

static void references_must_exist(void **state)
{
    static const expected REFS[] = {
        {"test.csv:2:order_id", "O-9", "", "import table order with O-9 first"},
        {"test.csv:2:machine_id", "J9", "", "import table machine with J9 first"},
        {"test.csv:2:route_id", "R-9", "", "save a route"}};
    refuse(*state, "lot",
           "lot_id,order_id,machine_id,route_id,weighed_kg,ratio_l_per_kg,speed_m_per_min,"
           "tubes_used,stage\nL9,O-9,J9,R-9,,6,,,open\n",
           REFS, N_OF(REFS));
}

static void the_site_is_one_row(void **state)
{
    fixture *f = *state;
    mdr_err err;
    char text[1000];
    static const char ROW[] = "CHF,no,15,60,18,25,3.5,5,150,220,3500,12000,,,,";
    const char *kit = kit_text("site");
    const int head = (int)strcspn(kit, "\n") + 1;
    static const expected TWO[] = {{"test.csv:3:name", "Two", "", "keep the row"}};
    (void)snprintf(text, sizeof text, "%.*sOne,%s\nTwo,%s\n", head, kit, ROW, ROW);
    refuse(f, "site", text, TWO, N_OF(TWO));
    (void)snprintf(text, sizeof text, "%.*sOne,%s\n", head, kit, ROW);
    KIT_OK(kit_import(f->mill, "site", text, NULL, &err), &err); /* another name: it is renamed */
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM site"), 1);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM site WHERE name = 'One'"), 1);
}

/* -- what an import does ---------------------------------------------------------------------- */

static void all_or_nothing(void **state)
{
    fixture *f = *state;
    mdr_err err;
    char *text = malloc(200000);
    assert_non_null(text);
    size_t n = (size_t)sprintf(text, ROLL_HEAD);
    for (int i = 0; i < 2000; i++) {
        n += (size_t)sprintf(text + n, "N%d,RIB,,20\n", i);
    }
    const size_t last = n;
    (void)strcpy(text + n, "N9999,RIB,,200.000001\n");
    static const expected LAST[] = {{"test.csv:2002:grey_kg", "200.000001", "0.1 to 200", ""}};
    refuse(f, "roll", text, LAST, N_OF(LAST));
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM roll"), 5);
    text[last] = '\0';
    KIT_OK(kit_import(f->mill, "roll", text, NULL, &err), &err);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM roll"), 2005);
    free(text);
}

static void known_keys_replace(void **state)
{
    fixture *f = *state;
    mdr_err err;
    int rows = 0;
    static const char TEXT[] = ROLL_HEAD "G1,SJ30,L26-0001,30\nNEW,RIB,,20\n,,,\n\n";
    KIT_OK(mdr_mill_import(f->mill, mdr_table_find("roll"), "f", TEXT, strlen(TEXT), NULL, &rows,
                           &err),
           &err);
    assert_int_equal(rows, 2); /* the row of nothing but commas is none */
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM roll"), 6);
    assert_int_equal(kit_count(f->mill, "SELECT grey_mg FROM roll WHERE roll_id = 'G1'"), 30000000);
}

/* A dye that the new recipe does not name is gone; other shades keep theirs. */
static void recipes_and_bands_are_replaced_as_a_whole(void **state)
{
    fixture *f = *state;
    mdr_err err;
    KIT_OK(kit_import(f->mill, "recipe", "shade_id,line,dye_id,depth_pct_owf\nBORDEAUX,1,BLUE,3\n",
                      NULL, &err),
           &err);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM recipe"), 1);
    KIT_OK(kit_import(f->mill, "dose_band",
                      "table_id,depth_max_pct_owf,amount_g_per_l\nSALT,1,30\nSALT,90,70\n", NULL,
                      &err),
           &err);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM dose_band WHERE table_id = 'SALT'"),
                     2);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM dose_band WHERE table_id = 'SODA'"),
                     2);
}

static void empty_optional_cells_are_null(void **state)
{
    fixture *f = *state;
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM lot WHERE lot_id = 'L26-0001' AND "
                                        "weighed_mg IS NULL AND speed_mm_per_min IS NULL AND "
                                        "tubes_used IS NULL"),
                     1);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM dye WHERE dye_id = 'VIOLET' AND "
                                        "price_minor_per_kg IS NULL AND salt_table IS NULL AND "
                                        "cautions = 'irritant'"),
                     1);
}

/* A spreadsheet that opens an export computes nothing of it. */
static void formulas_are_disarmed(void **state)
{
    fixture *f = *state;
    mdr_err err;
    static const char *const TEXTS[] = {"=1+1", "+1", "-1", "@x", "'=1", "''+1", "'x", "x=1", "'"};
    for (size_t i = 0; i < N_OF(TEXTS); i++) {
        char sql[200];
        (void)sqlite3_snprintf(sizeof sql, sql,
                               "UPDATE article SET remark = %Q WHERE article_id "
                               "= 'RIB'",
                               TEXTS[i]);
        KIT_OK(mdr_mill_sql_exec(f->mill, sql, &err), &err);
        char *text = kit_export(f->mill, mdr_table_find("article"));
        const char *cell = strstr(text, ",tubular,,,") + strlen(",tubular,,,"); /* of RIB alone */
        const bool dangerous = i < 6;
        char want[32];
        (void)snprintf(want, sizeof want, "%s%s\n", dangerous ? "'" : "", TEXTS[i]);
        assert_int_equal(strncmp(cell, want, strlen(want)), 0);
        KIT_OK(mdr_mill_sql_exec(f->mill, "UPDATE article SET remark = ''", &err), &err);
        KIT_OK(kit_import(f->mill, "article", text, NULL, &err), &err);
        (void)sqlite3_snprintf(sizeof sql, sql,
                               "SELECT count(*) FROM article WHERE article_id = 'RIB' AND remark "
                               "= %Q",
                               TEXTS[i]);
        assert_int_equal(kit_count(f->mill, sql), 1);
        free(text);
    }
}

static void text_faults_come_through(void **state)
{
    static const expected SEMICOLON[] = {{"test.csv:1", "", "", "commas"}};
    refuse(*state, "roll", "roll_id;article_id;lot_id;grey_kg\nX;RIB;;20\n", SEMICOLON,
           N_OF(SEMICOLON));
    static const expected QUOTE[] = {{"test.csv:3", "\"open", "", "close the quote"},
                                     {"test.csv:2:grey_kg", "0", "0.1 to 200", ""}};
    refuse(*state, "roll", ROLL_HEAD "X,RIB,,0\nY,\"open,,20\n", QUOTE, N_OF(QUOTE));
    static const expected LATIN[] = {{"test.csv:2", "0xFC", "", "UTF-8"}};
    refuse(*state, "roll", ROLL_HEAD "M\xFCller,RIB,,20\n", LATIN, N_OF(LATIN));
}

/* P: nobody waits longer for an import; measured 0.1 s without sanitizers. */
static void ten_thousand_rolls(void **state)
{
    fixture *f = *state;
    mdr_err err;
    struct timespec a, b;
    char *text = malloc(500000);
    assert_non_null(text);
    size_t n = (size_t)sprintf(text, ROLL_HEAD);
    for (int i = 0; i < 10000; i++) {
        n += (size_t)sprintf(text + n, "R%05d,SJ30,L26-0001,%d.%03d\n", i, 20 + i % 5, i % 1000);
    }
    (void)clock_gettime(CLOCK_MONOTONIC, &a);
    KIT_OK(kit_import(f->mill, "roll", text, NULL, &err), &err);
    (void)clock_gettime(CLOCK_MONOTONIC, &b);
    const double s = (double)(b.tv_sec - a.tv_sec) + (double)(b.tv_nsec - a.tv_nsec) * 1e-9;
    print_message("10,000 rolls in %.3f s\n", s);
    assert_true(s < 2.0);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM roll"), 10005);
    free(text);
}

#define T(f) cmocka_unit_test_setup_teardown(f, setup, teardown)

int main(void)
{
    const struct CMUnitTest tests[] = {T(header_faults),
                                       T(header_faults_go_with_cell_faults),
                                       T(header_of_another_table),
                                       T(columns_in_any_order),
                                       T(every_bad_cell_is_reported),
                                       T(words_dates_and_texts),
                                       T(hidden_characters_and_long_ids),
                                       T(words_of_a_dye),
                                       T(rules_of_chemicals),
                                       T(rules_of_dyes),
                                       T(fixation_within_exhaustion),
                                       T(numbers_of_a_dyeing),
                                       T(a_file_may_lack_later_columns),
                                       T(rules_of_machines),
                                       T(doubled_keys_name_both_lines),
                                       T(references_must_exist),
                                       T(the_site_is_one_row),
                                       T(all_or_nothing),
                                       T(known_keys_replace),
                                       T(recipes_and_bands_are_replaced_as_a_whole),
                                       T(empty_optional_cells_are_null),
                                       T(formulas_are_disarmed),
                                       T(text_faults_come_through),
                                       T(ten_thousand_rolls)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
