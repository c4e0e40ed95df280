/* The documents when every text is as long as it may be, and every number as wide: nothing is cut,
 * nothing lies on anything. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include "card/mdr_card.h"
#include "card/mdr_parts.h"
#include "card_look.h"
#include "plan_kit.h"

enum { ARENA = 64 << 20, MATERIALS = 4, ROLLS = 12 };

static const mdr_card_print PRINT = {"2026-11-25 14:03", "", "0.0.0"};

/* Texts of 80 letters, told apart by their first; the last word shows that nothing was cut. */
#define LONG(a) \
    a "ccc dddddddd ee fffffff gggggggggg hh iiiiiiiii jj kkkkkkkkkkk lll mmmmmmm " a "end"
#define WIDE(a) \
    a "WWWW MMMMMMMMM WWWWWW WWWWWWWMMMM WWWWWWWWW WWW MMMMMMMMMMM WWW MMMMM WWWW " a "end"
#define IDENT(a) a "26-0107.ABCDEFGH_012345" /* a long identifier */

typedef struct bench {
    mdr_machine machine;
    mdr_site site;
    kit_lot lot;
    mdr_roll rolls[ROLLS];
    mdr_material material[MATERIALS];
    const mdr_material *materials[MATERIALS];
    mdr_route_item items[MATERIALS];
    mdr_route_step steps[8];
    mdr_route_bath bath;
    mdr_route_stage stage;
    mdr_route_pass pass;
    mdr_route route;
    mdr_arena *arena;
    const mdr_plan *plan;
} bench;

static void make_materials(bench *b, const char *name)
{
    static const char *const IDS[MATERIALS] = {IDENT("A"), IDENT("B"), IDENT("C"), IDENT("D")};
    for (int i = 0; i < MATERIALS; i++) {
        b->material[i] = *kit_material("soap");
        b->material[i].material_id = IDS[i];
        b->material[i].name = name;
        b->material[i].cautions = (1u << MDR_CAUTION_COUNT) - 1u;
        b->materials[i] = &b->material[i];
        b->items[i] = kit_item(IDS[i], MDR_BASIS_G_PER_L, 1.25);
    }
}

static void make_lot(bench *b, const char *text)
{
    static const char *const IDS[ROLLS] = {IDENT("A"), IDENT("B"), IDENT("C"), IDENT("D"),
                                           IDENT("E"), IDENT("F"), IDENT("G"), IDENT("H"),
                                           IDENT("I"), IDENT("J"), IDENT("K"), IDENT("L")};
    kit_lot_make(&b->lot, 950, 20.88, true); /* 19 836 L, 1:20.88: as wide as they come */
    for (int i = 0; i < ROLLS; i++) {
        b->rolls[i] = b->lot.roll[0];
        b->rolls[i].roll_id = IDS[i];
        b->rolls[i].grey_kg = 950.0 / ROLLS;
    }
    b->lot.lot.rolls = b->rolls;
    b->lot.lot.n_rolls = ROLLS;
    b->lot.lot.lot_id = IDENT("L");
    b->lot.lot.order_id = IDENT("O");
    b->lot.lot.customer = text;
    b->lot.article.article_id = IDENT("A");
    b->lot.article.name = text;
    b->lot.shade.shade_id = IDENT("S");
    b->lot.shade.name = text;
}

static void make_route(bench *b, const char *text)
{
    mdr_route_step dose = kit_dose(b->items, 20);
    dose.n_items = MATERIALS;
    dose.note = text;
    const mdr_route_step steps[] = {kit_fill(40), dose, kit_heat(60, 1), kit_hold(30), kit_drain()};
    memcpy(b->steps, steps, sizeof steps);
    b->bath = (mdr_route_bath){text, b->steps, 5};
    b->stage = (mdr_route_stage){MDR_STAGE_PREPARE, text, "", "", &b->bath, 1};
    b->pass = (mdr_route_pass){.kind = MDR_ROUTE_PASS_STENTER, .note = text};
    b->route = (mdr_route){.route_id = IDENT("R"),
                           .name = text,
                           .purpose = text,
                           .version = 12,
                           .dye_class = MDR_CLASS_NONE,
                           .invented = true,
                           .stages = &b->stage,
                           .n_stages = 1,
                           .passes = &b->pass,
                           .n_passes = 1};
}

static void plan_with(bench *b, const char *text)
{
    mdr_err err = {0};
    memset(b, 0, sizeof *b);
    b->machine = kit_machine();
    b->machine.machine_id = IDENT("M");
    b->machine.name = text;
    b->machine.liquor_max_l = 20000;
    b->site = kit_site();
    make_materials(b, text);
    make_lot(b, text);
    make_route(b, text);
    b->arena = mdr_arena_new(ARENA);
    const mdr_plan_in in = {.lot = &b->lot.lot,
                            .machine = &b->machine,
                            .route = &b->route,
                            .site = &b->site,
                            .materials = b->materials,
                            .n_materials = MATERIALS,
                            .tables = kit_tables,
                            .n_tables = kit_tables_count};
    if (mdr_plan_make(&in, b->arena, &b->plan, &err) != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
}

static look look_of(bench *b, bool slips)
{
    unsigned char *bytes = NULL;
    size_t len = 0;
    mdr_err err = {0};
    const mdr_code rc = slips ? mdr_card_slips(b->plan, 0, &PRINT, b->arena, &bytes, &len, &err)
                              : mdr_card_batch(b->plan, &PRINT, b->arena, &bytes, &len, &err);
    if (rc != MDR_OK) {
        fail_msg("%s: %s", err.place, err.msg);
    }
    return look_at(bytes, len);
}

/* How often the last word of the long text stands on a page (0: on any). */
static int ends(const look *l, int page)
{
    return look_count(l, "Xend", page);
}

/* Texts of the card whose end is left out. A reader of the file does not see them: what an ellipsis
 * stands for is in the file too. So the card is put together here as mdr_card_batch does it. */
static int cut_in(bench *b)
{
    mdr_err err = {0};
    mdr_doc doc = {.plan = b->plan, .print = &PRINT, .arena = b->arena, .margin = 10 * MDR_MM};
    mdr_rows rows = {.arena = b->arena};
    assert_int_equal(mdr_doc_open(&doc, 210 * MDR_MM, 297 * MDR_MM, "", &err), MDR_OK);
    mdr_part_cover(&rows, &doc);
    mdr_part_warnings(&rows, &doc);
    mdr_part_baths(&rows, &doc);
    mdr_part_closing(&rows, &doc);
    assert_int_equal(mdr_rows_print(&rows, &doc, &err), MDR_OK);
    assert_int_equal(doc.unknown_glyphs, 0);
    assert_int_equal(mdr_doc_close(&doc, NULL, NULL, NULL), MDR_OK);
    return doc.cut_texts;
}

static void card_with(const char *text)
{
    bench b;
    assert_int_equal(strlen(text), 80);
    plan_with(&b, text);
    look l = look_of(&b, false);
    /* customer, article, machine, shade, route */
    assert_true(ends(&l, 1) >= 5);
    /* and bath, stage, note of the dose, four materials in the bath and in the list, pass,
     * stage in the footprint */
    assert_true(ends(&l, 0) >= 5 + 3 + 2 * MATERIALS + 1 + 1);
    assert_true(look_count(&l, "1:20.9", 1) > 0);
    assert_int_equal(look_faults(&l, "card"), 0);
    assert_int_equal(cut_in(&b), 0);
    look_free(&l);
    mdr_arena_free(b.arena);
}

/* Next to short names of machine and route, a long one of the shade goes furthest down. */
static void a_long_shade(void **state)
{
    (void)state;
    bench b;
    plan_with(&b, "Short");
    b.lot.shade.name = WIDE("X");
    look l = look_of(&b, false);
    assert_int_equal(ends(&l, 1), 1);
    assert_int_equal(look_faults(&l, "card"), 0);
    look_free(&l);
    mdr_arena_free(b.arena);
}

static void cards(void **state)
{
    (void)state;
    card_with(LONG("X"));
    card_with(WIDE("X"));
}

static void slips(void **state)
{
    (void)state;
    bench b;
    plan_with(&b, LONG("X"));
    look l = look_of(&b, true);
    assert_true(l.pages > 1);
    for (int page = 1; page <= l.pages; page++) { /* machine, shade, bath, at least one material */
        assert_true(ends(&l, page) >= 4);
        assert_int_equal(look_count(&l, "dosed", page), 1); /* the dose is named on each slip */
        assert_int_equal(look_count(&l, "Wear:", page), 1);
    }
    assert_int_equal(look_faults(&l, "slips"), 0);
    look_free(&l);
    mdr_arena_free(b.arena);
}

/* A slip of A6 that cannot hold its head and a material at once gives up the head, not the order. */
static void wide_slips(void **state)
{
    (void)state;
    bench b;
    plan_with(&b, WIDE("X"));
    look l = look_of(&b, true);
    assert_int_equal(look_count(&l, "24.80", 0), MATERIALS); /* D: 1.25 g/L x 950 kg x 20.88 L/kg */
    assert_int_equal(look_faults(&l, "slips"), 0);
    look_free(&l);
    mdr_arena_free(b.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(cards), cmocka_unit_test(a_long_shade),
                                       cmocka_unit_test(slips), cmocka_unit_test(wide_slips)};
    return cmocka_run_group_tests(tests, look_begin, look_end);
}
