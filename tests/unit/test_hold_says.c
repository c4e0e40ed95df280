/* What a hold point says, word for word and figure for figure: hold_says.txt, which was looked through by
 * eye. Every sentence with a number is in it. After a change that is meant:
 * test_hold_says --print >tests/unit/hold_says.txt, and read what is new. */
#include "t.h"

#include "base/mdr_lang_table.h"
#include "hold_kit.h"

enum { TEXT_MAX = 1 << 17 };
static char said[TEXT_MAX], should[TEXT_MAX];
static size_t said_n;

static void say(const char *mark, const char *text)
{
    const int n = snprintf(said + said_n, TEXT_MAX - said_n, "%s%s\n", mark, text);
    assert_true(n > 0 && (size_t)n < TEXT_MAX - said_n);
    said_n += (size_t)n;
}

static void say_hold(const char *title, hold_kit *k)
{
    hold_kit_judge(k);
    say("# ", title);
    say("", k->hold->words);
    for (int i = 0; i < k->hold->n_remedies; i++) {
        const mdr_remedy *r = &k->hold->remedies[i];
        say("* ", r->words);
        for (int n = 0; n < r->n_why; n++) {
            say("  = ", r->why[n].working);
        }
        for (int n = 0; n < r->n_cautions; n++) {
            say("  ! ", r->cautions[n]);
        }
        for (int n = 0; n < r->n_steps; n++) {
            if (r->steps[n].note[0] != '\0') {
                say("  > ", r->steps[n].note);
            }
        }
    }
    for (int i = 0; i < k->hold->n_missing; i++) {
        say("- ", k->hold->missing[i]);
    }
    mdr_arena_free(k->arena);
}

/* -- what is judged: I, all of it -- */

enum { BEFORE, DYEING, FIXING, AFTER };

typedef struct row {
    const char *title;
    mdr_check_kind kind;
    double temp_c, reading, low, high;
    int n_failed, stage;
    const char *lacks; /* blanks between */
    void (*more)(hold_kit *k);
} row;

static void soda(hold_kit *k)
{
    k->state.dissolved_kg[MDR_IN_NA2CO3] = 16;
}
static void acetic(hold_kit *k)
{
    k->state.dissolved_kg[MDR_IN_HAC] = 2.4;
    k->state.dissolved_kg[MDR_IN_NAOH] = 0.4;
}
static void peroxide(hold_kit *k)
{
    k->state.dissolved_kg[MDR_IN_H2O2] = 4;
    k->state.dissolved_kg[MDR_IN_HAC] = 2.4;
}
static void dithionite(hold_kit *k)
{
    soda(k);
    k->state.dissolved_kg[MDR_IN_DITHIONITE] = 8;
}
static void full(hold_kit *k)
{
    k->machine.liquor_max_l = 8000.5;
}
static void cold(hold_kit *k)
{
    k->machine.temp_max_c = 70;
}
static void weak_steam(hold_kit *k)
{
    k->machine.temp_max_c = 140;
    k->machine.exchanger_kw_per_k = 40;
    k->site.steam_barg = 0;
}
static void little(hold_kit *k)
{
    k->state.load_kg = 1e-5;
    k->state.liquor_l = 8e-5;
}
static void short_stock(hold_kit *k)
{
    static mdr_material few;
    for (int i = 0; i < k->in.n_materials; i++) {
        if (strcmp(k->materials[i]->material_id, "SALT") == 0) {
            few = *k->materials[i];
            few.stock_kg = 12.34;
            k->materials[i] = &few;
        }
    }
}
static void hard_water(hold_kit *k)
{
    k->site.hardness_dh = 12;
}
static void loose(hold_kit *k)
{
    k->state.loose_mg_per_kg = 1234.5;
}
static void vat(hold_kit *k)
{
    k->state.dye_class = MDR_CLASS_VAT;
    k->state.minutes_left = 40;
    k->state.dissolved_kg[MDR_IN_NAOH] = 40;
}
static void direct(hold_kit *k)
{
    k->state.dye_class = MDR_CLASS_DIRECT;
}

static void dryer(hold_kit *k)
{
    k->check.has_expected = true;
    k->check.expected = 7;
    k->state.drying = (mdr_control_drying){.dry_kg = 400,
                                           .length_m = 1300,
                                           .in_pct = 75,
                                           .out_pct = 7,
                                           .speed_m_per_min = 25,
                                           .speed_max_m_per_min = 60,
                                           .oven_m = 18,
                                           .air_c = 150,
                                           .air_kg_per_kg = 0.08,
                                           .mj_per_kg = 4.47,
                                           .steams = true};
}
static void slow_dryer(hold_kit *k)
{
    dryer(k);
    k->state.drying.speed_max_m_per_min = 26;
}

static const row ROWS[] = {
    {"acid", MDR_CHECK_PH, 45, 9.5, 6, 7, 0, BEFORE, "", soda},
    {"alkali", MDR_CHECK_PH, 45, 4.5, 6, 7, 1, BEFORE, "", acetic},
    {"acid in the bath", MDR_CHECK_PH, 45, 10.5, 11, 12, 0, DYEING, "", soda},
    {"acid on dithionite", MDR_CHECK_PH, 45, 9.5, 6, 7, 0, FIXING, "", dithionite},
    {"core, run on", MDR_CHECK_CORE_PH, 45, 7.1, 4, 7, 0, BEFORE, "", acetic},
    {"core, acid", MDR_CHECK_CORE_PH, 45, 10.5, 6, 7, 0, BEFORE, "", soda},
    {"catalase", MDR_CHECK_PEROXIDE, 45, 25, HOLD_NONE, 5, 0, BEFORE, "", NULL},
    {"one rinse", MDR_CHECK_PEROXIDE, 75, 6, HOLD_NONE, 5, 0, BEFORE, "CATALASE", soda},
    {"sequestrant", MDR_CHECK_HARDNESS, 50, 9, HOLD_NONE, 5, 0, BEFORE, "", NULL},
    {"hard water", MDR_CHECK_HARDNESS, 50, 9, HOLD_NONE, 5, 0, BEFORE, "SEQ", hard_water},
    {"salt", MDR_CHECK_SALT, 60, 44, 60, HOLD_NONE, 0, DYEING, "", short_stock},
    {"less salt", MDR_CHECK_SALT, 60, 80, HOLD_NONE, 70, 0, DYEING, "", NULL},
    {"salt, no room", MDR_CHECK_SALT, 60, 80, HOLD_NONE, 70, 0, DYEING, "", full},
    {"dose, no room", MDR_CHECK_PEROXIDE, 45, 600, HOLD_NONE, 5, 0, BEFORE, "", full},
    {"too little to weigh", MDR_CHECK_SALT, 60, 59.99, 60, HOLD_NONE, 0, DYEING, "", little},
    {"scour", MDR_CHECK_ABSORBENCY, 78, 12, HOLD_NONE, 5, 0, BEFORE, "", soda},
    {"scour, then neutral", MDR_CHECK_ABSORBENCY, 50, 12, HOLD_NONE, 5, 1, BEFORE, "", peroxide},
    {"scour, no acid", MDR_CHECK_ABSORBENCY, 50, 12, HOLD_NONE, 5, 1, BEFORE, "ACETIC FORMIC",
     NULL},
    {"bleach", MDR_CHECK_WHITENESS, 60, 51, 62, HOLD_NONE, 0, BEFORE, "", soda},
    {"bleach, cold machine", MDR_CHECK_WHITENESS, 75, 51, 88, HOLD_NONE, 0, BEFORE, "", cold},
    {"too much weight lost", MDR_CHECK_WEIGHT_LOSS, 55, 8, 3, 6, 0, BEFORE, "", NULL},
    {"too little weight lost", MDR_CHECK_WEIGHT_LOSS, 55, 1, 3, 6, 0, BEFORE, "", NULL},
    {"unlevel", MDR_CHECK_LEVEL, 60, 0.8, HOLD_NONE, 0.5, 0, DYEING, "", NULL},
    {"unlevel, direct", MDR_CHECK_LEVEL, 60, 0.8, HOLD_NONE, 0.5, 0, DYEING, "", direct},
    {"unlevel, cold machine", MDR_CHECK_LEVEL, 60, 0.8, HOLD_NONE, 0.5, 0, DYEING, "", cold},
    {"unlevel, weak steam", MDR_CHECK_LEVEL, 100.5, 0.8, HOLD_NONE, 0.5, 0, DYEING, "", weak_steam},
    {"reserve", MDR_CHECK_REDOX, 60, -600, HOLD_NONE, -750, 0, DYEING, "", vat},
    {"reserve, too much", MDR_CHECK_REDOX, 60, -950, -900, -750, 0, DYEING, "", vat},
    {"reducer left", MDR_CHECK_REDUCTION, 60, 4.8, HOLD_NONE, 4.5, 0, AFTER, "", NULL},
    {"bleeds", MDR_CHECK_WASH_OFF, 60, 3, 4, HOLD_NONE, 1, AFTER, "", loose},
    {"bleeds, nobody knows how much", MDR_CHECK_WASH_OFF, 60, 3, 4, HOLD_NONE, 1, AFTER,
     "ACETIC FORMIC", NULL},
    {"too wet", MDR_CHECK_MOISTURE, 25, 12, 6, 9, 0, AFTER, "", dryer},
    {"too wet, slow dryer", MDR_CHECK_MOISTURE, 25, 30, 6, 9, 0, AFTER, "", slow_dryer},
    {"too wet again", MDR_CHECK_MOISTURE, 25, 12, 6, 9, 1, AFTER, "", dryer},
    {"too dry", MDR_CHECK_MOISTURE, 25, 4, 6, 9, 0, AFTER, "", dryer},
    {"too dry, slow dryer", MDR_CHECK_MOISTURE, 25, 4, 6, 9, 0, AFTER, "", slow_dryer},
    {"looked at", MDR_CHECK_SAMPLE, 60, 0, 1, HOLD_NONE, 0, AFTER, "", NULL},
};

static void say_row(const row *r)
{
    hold_kit k;
    hold_kit_open(&k, r->kind, r->temp_c, r->reading);
    hold_kit_limits(&k, r->low, r->high);
    k.in.n_failed = r->n_failed;
    k.state.dyed = r->stage != BEFORE;
    k.state.dyebath = r->stage == DYEING || r->stage == FIXING;
    k.state.fixing = r->stage == FIXING;
    k.check.cooled = r->kind == MDR_CHECK_PH;
    k.check.on_fail = r->kind == MDR_CHECK_SAMPLE ? MDR_FAIL_REPEAT : MDR_FAIL_CORRECT;
    k.site.alkalinity_mmol_per_l = 2;
    if (r->more != NULL) {
        r->more(&k);
    }
    char lacks[32];
    (void)snprintf(lacks, sizeof lacks, "%s", r->lacks);
    for (char *id = strtok(lacks, " "); id != NULL; id = strtok(NULL, " ")) {
        hold_kit_lack(&k, id);
    }
    say_hold(r->title, &k);
}

static void say_shade(const char *title, mdr_way way, double part, int additions, double after_de)
{
    static const mdr_material DYE = {.material_id = "B",
                                     .name = "Blue",
                                     .group = "",
                                     .is_dye = true,
                                     .substance = MDR_SUB_DYE,
                                     .strength_pct = 150,
                                     .form = MDR_FORM_POWDER,
                                     .solubility_g_per_l = 80,
                                     .nature = MDR_NATURE_PHTHALOCYANINE};
    const mdr_hold_shade s = {.n = 1,
                              .dye = {&DYE},
                              .depth_pct_owf = {1.25},
                              .add_pct_owf = {1.25 * part},
                              .after_de = after_de,
                              .dl = -0.7,
                              .strength_pct = 103.4,
                              .way = way,
                              .n_additions = additions};
    hold_kit k;
    hold_kit_open(&k, MDR_CHECK_SHADE, 60, 1.8);
    hold_kit_limits(&k, HOLD_NONE, 1.0);
    k.state.dyed = k.state.dyebath = k.state.fixing = true;
    k.state.fix_temp_c = 60;
    k.in.shade = &s;
    say_hold(title, &k);
}

static void say_all(void)
{
    said_n = 0;
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        say_row(&ROWS[i]);
    }
    say_shade("shade, addition", MDR_WAY_ADD, 0.1234, 1, 0.456);
    say_shade("shade, still off", MDR_WAY_ADD, 0.1234, 0, 1.234);
    say_shade("shade, two additions made", MDR_WAY_ADD, 0.05, 2, 0.4);
    say_shade("shade, too strong", MDR_WAY_OVER_DYE, 0, 0, 1.8);
}

/* -- tests -- */

static void word_for_word(void **state)
{
    (void)state;
    say_all();
    FILE *in = fopen(MDR_SOURCE_DIR "/tests/unit/hold_says.txt", "rb");
    assert_non_null(in);
    const size_t n = fread(should, 1, sizeof should - 1, in);
    (void)fclose(in);
    should[n] = '\0';
    char *is = said, *was = should;
    while (*is != '\0' || *was != '\0') {
        is[strcspn(is, "\n")] = '\0';
        was[strcspn(was, "\n")] = '\0';
        assert_string_equal(is, was);
        is += strlen(is) + 1;
        was += strlen(was) + 1;
    }
}

/* The plain parts of the sentence, in their order, in one line. */
static bool in_line(const char *line, const char *text)
{
    char part[400];
    for (const char *p = text, *at = line; *p != '\0';) {
        const size_t n = strcspn(p, "{");
        assert_true(n < sizeof part);
        memcpy(part, p, n);
        part[n] = '\0';
        at = strstr(at, part);
        if (at == NULL) {
            return false;
        }
        at += n;
        p += p[n] == '{' ? n + 3 : n;
    }
    return true;
}

static void every_sentence_with_a_number(void **state)
{
    (void)state;
    int missing = 0;
    say_all();
    for (int i = 0; i < mdr_lang_count; i++) {
        const mdr_lang_entry *e = &mdr_lang_entries[i];
        bool there = strncmp(e->key, "hold.", 5) != 0 || strchr(e->text, '{') == NULL;
        for (char *line = said; !there && *line != '\0';) {
            char *end = strchr(line, '\n');
            *end = '\0';
            there = in_line(line, e->text);
            *end = '\n';
            line = end + 1;
        }
        if (!there) {
            print_message("not said: %s\n", e->key);
            missing++;
        }
    }
    assert_int_equal(missing, 0);
}

int main(int argc, char **argv)
{
    if (argc > 1 && strcmp(argv[1], "--print") == 0) {
        say_all();
        return fputs(said, stdout) < 0;
    }
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(word_for_word),
        cmocka_unit_test(every_sentence_with_a_number),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
