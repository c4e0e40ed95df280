/* Import: header, keys and references; all or nothing. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include <time.h>

#include "mill_import_kit.h"

/* -- header -- */

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

/* -- keys and references -- */

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

/* -- what an import does -- */

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
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &a);
    KIT_OK(kit_import(f->mill, "roll", text, NULL, &err), &err);
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &b);
    const double s = (double)(b.tv_sec - a.tv_sec) + (double)(b.tv_nsec - a.tv_nsec) * 1e-9;
    print_message("10,000 rolls in %.3f s\n", s);
    assert_true(s < 2.0);
    assert_int_equal(kit_count(f->mill, "SELECT count(*) FROM roll"), 10005);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        T(header_faults),
        T(header_faults_go_with_cell_faults),
        T(header_of_another_table),
        T(columns_in_any_order),
        T(a_file_may_lack_later_columns),
        T(doubled_keys_name_both_lines),
        T(references_must_exist),
        T(the_site_is_one_row),
        T(all_or_nothing),
        T(known_keys_replace),
        T(recipes_and_bands_are_replaced_as_a_whole),
        T(empty_optional_cells_are_null),
        T(formulas_are_disarmed),
        T(text_faults_come_through),
        T(ten_thousand_rolls),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
