/* Dips in millilitres, salt and alkali by the depth of a recipe, the sheet of a round. Everything
 * invented (I); amounts by hand (D). */
#include "t.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "app/mdr_app_recipe.h"

static const char DYES[] = "dye_id,nature,salt_table,alkali_table\n"
                           "A,usual,SALT-A,SODA-A\n"
                           "B,,SALT-B,SODA-B\n"
                           "T,phthalocyanine,SALT-T,SODA-B\n"
                           "X,usual,,\n"
                           "Z,usual,NONE,SODA-A\n";
static const char TABLES[] = "table_id,title,source,counted_as,between,ratio_rule,swap\n"
                             "SALT-A,Salt A,invented,Na2SO4,linear,band-less-below-6,mass\n"
                             "SODA-A,Soda A,invented,Na2CO3,step,none,mass\n"
                             "SALT-B,Salt B,invented,NaCl,step,none,mass\n"
                             "SODA-B,Soda B,invented,NaOH,step,none,mass\n"
                             "SALT-T,Salt T,invented,other,step,none,mass\n";
static const char BANDS[] = "table_id,depth_max_pct_owf,amount_g_per_l\n"
                            "SALT-A,1,30\nSALT-A,2,40\nSALT-A,3,50\nSALT-A,8,60\n"
                            "SODA-A,1,5\nSODA-A,8,10\n"
                            "SALT-B,8,20\nSODA-B,8,2\nSALT-T,8,70\n";

static mdr_blob blob(const char *text)
{
    return (mdr_blob){text, strlen(text)};
}

static mdr_recipe_case asked(const char *question)
{
    mdr_recipe_case c = {.question = blob(question)};
    c.files[MDR_RECIPE_FILE_DYES] = (mdr_recipe_file){"dyes.csv", blob(DYES)};
    c.files[MDR_RECIPE_FILE_DOSE_TABLE] = (mdr_recipe_file){"tables.csv", blob(TABLES)};
    c.files[MDR_RECIPE_FILE_DOSE_BAND] = (mdr_recipe_file){"bands.csv", blob(BANDS)};
    return c;
}

/* The answer as JSON; to be freed with its arena. */
static const char *answered(const mdr_recipe_case *c, mdr_arena *arena)
{
    const mdr_answer *a = NULL;
    mdr_blob json = {NULL, 0};
    mdr_err err = {0};
    if (mdr_app_recipe(c, arena, NULL, &a, &err) != MDR_OK) {
        fail_msg("%s: %s: %s", c->question.bytes, err.place, err.msg);
    }
    assert_int_equal(mdr_answer_json(a, arena, &json, &err), MDR_OK);
    return json.bytes;
}

#define DISPENSE(recipe, more) \
    "{\"do\":\"dispense\",\"sample_g\":5,\"ratio_l_per_kg\":10,\"recipe\":\"" recipe "\"" more "}"

static void must_say(const char *question, const char *json, const char *word)
{
    if (strstr(json, word) == NULL) {
        fail_msg("%s: no %s in %s", question, word, json);
    }
}

/* 50 mL: a twentieth of the g/L, to 0.01 g. */
static void salt_and_alkali(void **state)
{
    (void)state;
    static const struct {
        const char *question, *says[4];
    } ROWS[] = {
        /* D: 40 at the middle of 1 to 2, 50 at that of 2 to 3: 43 at 1.8 */
        {DISPENSE("A=1.8", ""),
         {"\"salt_g\":2.15", "\"alkali_g\":0.5", "\"salt_g_per_l\":43",
          "SALT-A at 1.8 % owf in all, by A, as Na2SO4"}},
        /* D: below 6 L/kg one band less; soda keeps its g/L, 20 mL */
        {"{\"do\":\"dispense\",\"sample_g\":5,\"ratio_l_per_kg\":4,\"recipe\":\"A=1.8\"}",
         {"\"salt_g_per_l\":33", "\"salt_g\":0.66", "\"alkali_g\":0.2", "one band less"}},
        /* D: the deepest decides, on the sum of both */
        {DISPENSE("A=0.6,B=1.2", ""),
         {"\"salt_g\":1", "\"alkali_g\":0.1", "by B, as NaCl", "\"decided_by\":\"B\""}},
        /* D: a phthalocyanine of 30 % before the deepest; of less not */
        {DISPENSE("A=1.4,T=0.6", ""), {"\"salt_g_per_l\":70", "by T", "\"counted_as\":\"other\""}},
        {DISPENSE("A=1.5,T=0.6", ""), {"by A"}},
        /* what is asked for goes before the table, also nothing */
        {DISPENSE("A=1.8", ",\"salt_g_per_l\":0,\"alkali_g_per_l\":4"),
         {"\"salt_g\":0,", "\"alkali_g\":0.2"}},
        /* deeper than the table: said, not guessed */
        {DISPENSE("A=8.5", ""),
         {"\"salt_g_per_l\":null", "SALT-A ends at 8 % owf, the recipe has 8.5 %", "\"salt_g\":0"}},
        {DISPENSE("Z=1", ""), {"\"salt_g\":0", "\"alkali_g_per_l\":5"}},
    };
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
        const mdr_recipe_case c = asked(ROWS[i].question);
        const char *json = answered(&c, arena);
        for (int k = 0; k < 4 && ROWS[i].says[k] != NULL; k++) {
            must_say(ROWS[i].question, json, ROWS[i].says[k]);
        }
        mdr_arena_free(arena);
    }
}

/* A dye without tables, or one that nobody knows: no salt is named. */
static void nothing_is_guessed(void **state)
{
    (void)state;
    static const char *const QUESTIONS[] = {DISPENSE("X=1", ""), DISPENSE("Q=1", ""),
                                            DISPENSE("A=1,Q=1", "")};
    for (size_t i = 0; i < N_OF(QUESTIONS); i++) {
        mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
        const mdr_recipe_case c = asked(QUESTIONS[i]);
        const char *json = answered(&c, arena);
        assert_null(strstr(json, "salt_g_per_l"));
        must_say(QUESTIONS[i], json, "\"salt_g\":0");
        mdr_arena_free(arena);
    }
}

/* What a mill knows is used where no file says it. */
static void from_the_mill(void **state)
{
    (void)state;
    static const mdr_dose_band band[] = {{8.0, 33.0}};
    static const mdr_dose_table tables[] = {{.table_id = "M",
                                             .title = "Salt of the mill",
                                             .source = "invented",
                                             .bands = band,
                                             .n_bands = 1,
                                             .counted_as = MDR_SUB_NACL}};
    static const mdr_material dyes[] = {
        {.material_id = "A", .salt_table = "M", .alkali_table = ""}};
    mdr_recipe_case c = {.question = blob(DISPENSE("A=1.8", "")), .mill = {dyes, tables, 1, 1}};
    mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
    must_say("mill", answered(&c, arena), "\"salt_g_per_l\":33");
    mdr_recipe_case files = asked(DISPENSE("A=1.8", ""));
    files.mill = c.mill;
    must_say("files", answered(&files, arena), "\"salt_g_per_l\":43");
    mdr_arena_free(arena);
}

/* Several dips share their solutions; each has its own amounts and its own salt. */
static void a_round(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
    const mdr_recipe_case c = asked(DISPENSE("A=0.8;A=1.8,B=0.2", ",\"dips\":\"D-1,D-2\""));
    const char *json = answered(&c, arena);
    /* D: 4 and 9 mL of A; 5 g x 0.2 % = 10 mg = 1 mL of B */
    static const char *const SAYS[] = {"\"dip_id\":\"D-1\"", "\"dip_id\":\"D-2\"", "\"ml\":4,",
                                       "\"ml\":9,", "\"ml\":1,", "\"needed_ml\":13",
                                       /* D: 30 + 10 x 0.3, middle of the first at 0.5 */
                                       "\"salt_g_per_l\":33", "\"salt_g_per_l\":45"};
    for (size_t i = 0; i < N_OF(SAYS); i++) {
        must_say("round", json, SAYS[i]);
    }
    mdr_arena_free(arena);
}

#define SHEET DISPENSE("A=1", ",\"shade\":\"S-1\",\"programme\":\"one; two ;\\n three\"")

static void the_sheet(void **state)
{
    (void)state;
    mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
    const mdr_recipe_paper paper = {"Test laboratory", "2026-11-26 08:15", true};
    const mdr_recipe_case c = asked(SHEET), other = asked("{\"do\":\"calibrate\"}");
    mdr_blob pdf = {NULL, 0};
    mdr_err err = {0};
    assert_int_equal(mdr_app_recipe_sheet(&c, &paper, arena, NULL, &pdf, &err), MDR_OK);
    assert_true(pdf.len > 1000 && memcmp(pdf.bytes, "%PDF", 4) == 0);
    assert_int_equal(mdr_app_recipe_sheet(&other, &paper, arena, NULL, &pdf, &err), MDR_E_ARG);
    assert_string_equal(err.place, "do");
    mdr_arena_free(arena);
}

static void no_memory(void **state)
{
    (void)state;
    const mdr_recipe_paper paper = {"Test laboratory", "2026-11-26 08:15", true};
    int failed = 0;
    for (int sheet = 0; sheet < 2; sheet++) {
        mdr_code rc = MDR_E_NOMEM;
        for (size_t room = 4096; rc != MDR_OK; room += room / 5) {
            mdr_arena *little = mdr_arena_new(room);
            const mdr_recipe_case c = asked(DISPENSE("A=0.8;A=1.8,B=0.2", ""));
            const mdr_answer *a = NULL;
            mdr_blob pdf = {NULL, 0};
            mdr_err err = {0};
            rc = sheet == 0 ? mdr_app_recipe(&c, little, NULL, &a, &err)
                            : mdr_app_recipe_sheet(&c, &paper, little, NULL, &pdf, &err);
            assert_true(rc == MDR_OK || rc == MDR_E_NOMEM);
            failed += rc != MDR_OK ? 1 : 0;
            mdr_arena_free(little);
        }
    }
    assert_true(failed > 20);
}

typedef struct refusal {
    const char *question, *dyes, *tables, *bands, *place;
    mdr_code code;
} refusal;

#define FINE DISPENSE("A=1", "")

static const refusal REFUSALS[] = {
    {DISPENSE("A=1;B=0", ""), DYES, TABLES, BANDS, "recipe", MDR_E_PARSE},
    {DISPENSE("A=1;", ""), DYES, TABLES, BANDS, "recipe", MDR_E_PARSE},
    {DISPENSE("", ""), DYES, TABLES, BANDS, "recipe", MDR_E_PARSE},
    {DISPENSE("A=1;A=1;A=1;A=1;A=1;A=1;A=1;A=1;A=1;A=1;A=1;A=1;A=1", ""), DYES, TABLES, BANDS,
     "recipe", MDR_E_RANGE},
    {DISPENSE("A=1,B=1,C=1,D=1,E=1;F=1,G=1,H=1,I=1", ""), DYES, TABLES, BANDS, "recipe",
     MDR_E_RANGE},
    {DISPENSE("A=1", ",\"dips\":\"D-1,D-2\""), DYES, TABLES, BANDS, "dips", MDR_E_RANGE},
    {DISPENSE("A=1", ",\"round\":100"), DYES, TABLES, BANDS, "round", MDR_E_RANGE},
    {DISPENSE("A=1", ",\"vessel_ml\":40"), DYES, TABLES, BANDS, "vessel_ml", MDR_E_RANGE},
    {DISPENSE("A=0.000001", ""), DYES, TABLES, BANDS, "recipe", MDR_E_INFEAS},
    {FINE, "dye_id,nature\nA,odd\n", TABLES, BANDS, "dyes.csv:2:nature", MDR_E_RANGE},
    {FINE, DYES, "table_id,between\nS,cubic\n", BANDS, "tables.csv:2:between", MDR_E_RANGE},
    {FINE, DYES, "title\nS\n", BANDS, "tables.csv", MDR_E_PARSE},
    {FINE, DYES, "table_id,colour\nS,red\n", BANDS, "tables.csv", MDR_E_PARSE},
    {FINE, DYES, TABLES, "table_id,depth_max_pct_owf,amount_g_per_l\nQ,1,2\n",
     "bands.csv:2:table_id", MDR_E_RANGE},
    {FINE, DYES, TABLES, "table_id,depth_max_pct_owf,amount_g_per_l\nSALT-A,2,2\nSALT-A,2,3\n",
     "bands.csv:3:depth_max_pct_owf", MDR_E_RANGE},
    {FINE, DYES, TABLES, "table_id,depth_max_pct_owf,amount_g_per_l\nSALT-A,2,nan\n",
     "bands.csv:2:amount_g_per_l", MDR_E_RANGE},
    {FINE, DYES, TABLES, "table_id,depth_max_pct_owf,amount_g_per_l\nSALT-A,2,301\n",
     "bands.csv:2:amount_g_per_l", MDR_E_RANGE},
    {FINE, DYES, TABLES, "table_id,depth_max_pct_owf\nSALT-A,2\n", "bands.csv", MDR_E_PARSE},
    {FINE, DYES, TABLES, NULL, "dose_band", MDR_E_ARG},
    {FINE, DYES, NULL, BANDS, "dose_table", MDR_E_ARG},
};

static void refusals(void **state)
{
    (void)state;
    int wrong = 0;
    for (size_t i = 0; i < N_OF(REFUSALS); i++) {
        const refusal *r = &REFUSALS[i];
        mdr_arena *arena = mdr_arena_new((size_t)64 << 20);
        mdr_recipe_case c = {.question = blob(r->question)};
        const char *const texts[] = {r->dyes, r->tables, r->bands};
        static const char *const NAMES[] = {"dyes.csv", "tables.csv", "bands.csv"};
        static const mdr_recipe_file_kind KINDS[] = {
            MDR_RECIPE_FILE_DYES, MDR_RECIPE_FILE_DOSE_TABLE, MDR_RECIPE_FILE_DOSE_BAND};
        for (int k = 0; k < 3; k++) {
            if (texts[k] != NULL) {
                c.files[KINDS[k]] = (mdr_recipe_file){NAMES[k], blob(texts[k])};
            }
        }
        const mdr_answer *a = NULL;
        mdr_err err = {0};
        const mdr_code rc = mdr_app_recipe(&c, arena, NULL, &a, &err);
        if (rc != r->code || strcmp(err.place, r->place) != 0 || err.remedy[0] == '\0') {
            print_message("row %zu: %d at \"%s\" (%s; %s)\n", i, (int)rc, err.place, err.msg,
                          err.remedy);
            wrong++;
        }
        mdr_arena_free(arena);
    }
    assert_int_equal(wrong, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(salt_and_alkali), cmocka_unit_test(nothing_is_guessed),
        cmocka_unit_test(from_the_mill),   cmocka_unit_test(a_round),
        cmocka_unit_test(the_sheet),       cmocka_unit_test(no_memory),
        cmocka_unit_test(refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
