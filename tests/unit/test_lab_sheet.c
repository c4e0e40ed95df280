/* The laboratory sheet as a reader and a scanner see it: what to make, what to pipette, for whom.
 * Everything invented (I); amounts by hand (D) where they are written out. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include <math.h>

#include "card/mdr_lab_sheet.h"
#include "card_look.h"

enum { ARENA = 64 << 20 };

static const mdr_card_print PRINT = {"2026-11-26 08:15", "", "0.0.0"};

typedef struct bench {
    mdr_arena *arena;
    mdr_lab_sheet doses;
    mdr_lab_dip dips[MDR_LAB_DIPS_MAX];
    double stock_g_per_l[MDR_LAB_DYES_MAX];
    mdr_lab_print print;
} bench;

/* Every dip of 5 g at 10 L/kg; its dyes at these depths, 40 g/L of salt, 10 g/L of alkali. */
static void make(bench *b, int dips, int dyes, const double *depth_pct_owf)
{
    mdr_lab_dye stock[MDR_LAB_DYES_MAX];
    const mdr_lab_aux aux[MDR_LAB_AUXES] = {{0}, {0}};
    mdr_lab_pot pots[MDR_LAB_DIPS_MAX] = {{0}};
    static const char *const IDS[] = {"R-1", "B-2", "Y-3", "N-4", "K-5", "T-6", "V-7", "O-8"};
    memset(b, 0, sizeof *b);
    b->arena = mdr_arena_new(ARENA);
    assert_non_null(b->arena);
    for (int j = 0; j < dyes; j++) {
        stock[j].stock_g_per_l = b->stock_g_per_l[j] = 10.0;
        b->print.dye_id[j] = IDS[j];
    }
    for (int i = 0; i < dips; i++) {
        b->dips[i] = (mdr_lab_dip){.id = "",
                                   .aux_why = {"Na2SO4 100 %, by SALT-A", ""},
                                   .sample_g = 5,
                                   .ratio_l_per_kg = 10,
                                   .aux_g_per_l = {40, 10}};
        pots[i] = (mdr_lab_pot){
            .sample_g = 5, .ratio_l_per_kg = 10, .vessel_ml = 50, .aux_g_per_l = {40, 10}};
        for (int j = 0; j < dyes; j++) {
            b->dips[i].depth_pct_owf[j] = pots[i].depth_pct_owf[j] = depth_pct_owf[j];
        }
    }
    const mdr_lab_in in = {.tools = mdr_lab_tools_usual(),
                           .dyes = stock,
                           .aux = aux,
                           .pots = pots,
                           .n_dyes = dyes,
                           .n_aux = MDR_LAB_AUXES,
                           .n_pots = dips};
    assert_int_equal(mdr_lab_dispense(&in, b->arena, &b->doses, NULL), MDR_OK);
    b->print.place = "Test laboratory";
    b->print.shade = "S-104";
    b->print.cloth = "Test jersey";
    b->print.doses = &b->doses;
    b->print.dips = b->dips;
    b->print.stock_g_per_l = b->stock_g_per_l;
    b->print.cautions = 1u << MDR_CAUTION_DUST | 1u << MDR_CAUTION_CORROSIVE_ALKALI;
    b->print.n_dyes = dyes;
    b->print.round = 2;
    b->print.invented = true;
}

static look drawn(const bench *b)
{
    unsigned char *pdf = NULL;
    size_t len = 0;
    mdr_err err = {0};
    if (mdr_card_laboratory(&b->print, &PRINT, b->arena, &pdf, &len, &err) != MDR_OK) {
        fail_msg("%s", err.msg);
    }
    return look_at(pdf, len);
}

static const char *seen_by(const char *command)
{
    static char text[1 << 16];
    FILE *p = look_run(command);
    const size_t n = fread(text, 1, sizeof text - 1, p);
    text[n] = '\0';
    assert_int_equal(pclose(p), 0);
    return text;
}

static void must_say(const char *text, const char *word)
{
    if (strstr(text, word) == NULL) {
        fail_msg("the sheet does not say \"%s\"", word);
    }
}

static void it_says_all(void **state)
{
    (void)state;
    bench b;
    const double depths[] = {1.2, 0.004};
    make(&b, 1, 2, depths);
    b.print.programme[0] = "Heat to 60";
    b.print.n_programme = 1;
    look l = drawn(&b);
    const char *text = seen_by("pdftotext -layout x.pdf -");
    static const char *const WORDS[] = {
        "LABORATORY SHEET, round 2", "S-104", "Test jersey", "1 dip of 5 g at 10 L/kg", "INVENTED",
        "Test laboratory", "2026-11-26 08:15", "Solutions, in the order to make them",
        /* D: 5 g x 1.2 % = 0.06 g = 6 mL of 10 g/L; 0.2 mg = 2 mL of 0.1 g/L, of 1 g/L, of 10 g/L */
        "6.00 mL", "2.00 mL", "B-2 diluted 2", "10 mL of B-2 stock", "10 mL of B-2 diluted 1",
        "0.1 g/L", "1.20 % owf", "0.004 % owf",
        /* D: 50 mL at 40 and 10 g/L; 50 - 6 - 2 mL of water */
        "2.00 g", "0.50 g", "42.00 mL", "Na2SO4 100 %, by SALT-A", "weighed in", "dust",
        "corrosive alkali", "P3 mask", "safety data sheet", "L*", "read by", "dyed by", "judgement",
        "Programme", "Heat to 60", "page 1 / 1"};
    for (size_t i = 0; i < N_OF(WORDS); i++) {
        must_say(text, WORDS[i]);
    }
    assert_int_equal(look_faults(&l, "one dip"), 0);
    look_free(&l);
    mdr_arena_free(b.arena);
}

/* Numbers of the dips for a scanner: their own, else made of shade, round and place. */
static void a_scanner_reads_each_dip(void **state)
{
    (void)state;
    bench b;
    const double depths[] = {1.2};
    make(&b, 3, 1, depths);
    b.dips[1].id = "D-18";
    look l = drawn(&b);
    assert_string_equal(seen_by("pdftoppm -r 150 -png x.pdf p && zbarimg -q --raw p-*.png | sort"),
                        "D-18\nS-104/r2\nS-104/r2/d1\nS-104/r2/d3\n");
    look_free(&l);
    b.print.shade = "";
    b.print.round = 0;
    l = drawn(&b);
    assert_int_equal(l.pages, 1);
    assert_string_equal(seen_by("pdftoppm -r 150 -png x.pdf q && zbarimg -q --raw q-*.png"),
                        "D-18\n");
    must_say(seen_by("pdftotext -layout x.pdf -"), "Laboratory dyeing");
    look_free(&l);
    mdr_arena_free(b.arena);
}

/* A dye that is not in a dip has no line there. */
static void only_what_goes_in(void **state)
{
    (void)state;
    bench b;
    const double depths[] = {1.2, 0.5};
    make(&b, 2, 2, depths);
    b.dips[0].depth_pct_owf[1] = 0;
    b.dips[0].aux_g_per_l[MDR_LAB_ALKALI] = 0;
    look l = drawn(&b);
    assert_int_equal(look_count(&l, "Alkali", 0), 1);
    assert_int_equal(look_count(&l, "Salt", 0), 2);
    assert_int_equal(look_count(&l, "B-2", 0), 3); /* its stock, and the second dip: name, from */
    look_free(&l);
    mdr_arena_free(b.arena);
}

#define LONG "S26-0107.ABCDEFGH_012345 WWWWWWWW MMMMMMMM iiiiiii WWWWWWWWWWWW MMMMMMMM end"

/* As many dips and dyes as there may be, names as long as they come: nothing lies on anything. */
static void as_full_as_can_be(void **state)
{
    (void)state;
    bench b;
    const double depths[] = {1.234567, 0.1, 0.0123, 0.30303, 0.5, 0.7, 0.0101, 0.2};
    make(&b, MDR_LAB_DIPS_MAX, 8, depths);
    for (int i = 0; i < MDR_LAB_DIPS_MAX; i++) {
        b.dips[i].id = i % 2 == 0 ? LONG : "";
        b.dips[i].aux_why[0] = LONG;
    }
    for (int j = 0; j < 8; j++) {
        b.print.dye_id[j] = "A26-0107.ABCDEFGH_012345";
    }
    for (int i = 0; i < MDR_LAB_LINES_MAX; i++) {
        b.print.programme[b.print.n_programme++] = LONG LONG LONG LONG;
    }
    b.print.shade = b.print.cloth = b.print.place = LONG;
    b.print.cautions = (1u << MDR_CAUTION_COUNT) - 1u;
    look l = drawn(&b);
    assert_int_equal(look_faults(&l, "full"), 0);
    assert_int_equal(look_count(&l, "INVENTED", 0), l.pages);
    assert_true(l.pages > 4);
    look_free(&l);
    mdr_arena_free(b.arena);
}

static void the_same_every_time(void **state)
{
    (void)state;
    bench b;
    const double depths[] = {1.2};
    unsigned char *one = NULL, *two = NULL;
    size_t n = 0, m = 0;
    make(&b, 2, 1, depths);
    assert_int_equal(mdr_card_laboratory(&b.print, &PRINT, b.arena, &one, &n, NULL), MDR_OK);
    assert_int_equal(mdr_card_laboratory(&b.print, &PRINT, b.arena, &two, &m, NULL), MDR_OK);
    assert_int_equal(n, m);
    assert_memory_equal(one, two, n);
    mdr_arena_free(b.arena);
}

/* Whichever allocation fails, the sheet fails and says so. */
static void nth_allocation(void **state)
{
    (void)state;
    bench b;
    const double depths[] = {1.2, 0.3};
    bool done = false;
    make(&b, 2, 2, depths);
    for (size_t bytes = 500; !done; bytes += bytes / 3) {
        mdr_arena *arena = mdr_arena_new(bytes);
        unsigned char *pdf = NULL;
        size_t len = 0;
        mdr_err err = {0};
        const mdr_code rc = mdr_card_laboratory(&b.print, &PRINT, arena, &pdf, &len, &err);
        done = rc == MDR_OK;
        assert_true(done || rc == MDR_E_NOMEM);
        assert_true(done == (pdf != NULL));
        assert_true(bytes < ARENA);
        mdr_arena_free(arena);
    }
    mdr_arena_free(b.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(it_says_all),         cmocka_unit_test(a_scanner_reads_each_dip),
        cmocka_unit_test(only_what_goes_in),   cmocka_unit_test(as_full_as_can_be),
        cmocka_unit_test(the_same_every_time), cmocka_unit_test(nth_allocation),
    };
    return cmocka_run_group_tests(tests, look_begin, look_end);
}
