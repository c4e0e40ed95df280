/* The documents: what they say, that a scanner and any script read right, that they are the same
 * every time. Looked at from outside by pdftotext, pdffonts, pdfinfo (poppler) and zbarimg. */
#define _POSIX_C_SOURCE 200809L
#include "t.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "card/mdr_card.h"
#include "card/mdr_digits.h"
#include "core/units/mdr_swatch.h"
#include "plan_kit.h"

enum { ARENA = 64 << 20, TEXT = 1 << 17 };

static char folder[] = "/tmp/madder-card-XXXXXX";

static int make_folder(void **state)
{
    (void)state;
    return mkdtemp(folder) == NULL ? -1 : 0;
}

static int drop_folder(void **state)
{
    (void)state;
    char command[96];
    (void)snprintf(command, sizeof command, "rm -rf %s", folder);
    return system(command);
}

/* A small lot with two baths, planned. */
typedef struct bench {
    mdr_machine machine;
    mdr_site site;
    kit_lot lot;
    mdr_route_item items[3];
    mdr_route_step steps[2][8];
    mdr_route_bath baths[2];
    mdr_route_stage stage;
    mdr_route_pass pass;
    mdr_route route;
    mdr_arena *arena;
    const mdr_plan *plan;
} bench;

static void plan_for(bench *b, const char *customer, const char *machine_name)
{
    memset(b, 0, sizeof *b);
    b->machine = kit_machine();
    b->machine.name = machine_name;
    b->site = kit_site();
    kit_lot_make(&b->lot, 1000, 8, false);
    b->lot.lot.lot_id = "L26-0107";
    b->lot.lot.customer = customer;
    b->items[0] = kit_item("salt", MDR_BASIS_G_PER_L, 60);
    b->items[1] = kit_item("", MDR_BASIS_RECIPE, 1);
    b->items[2] = kit_item("soap", MDR_BASIS_G_PER_L, 1);
    const mdr_route_step first[] = {kit_fill(40),
                                    kit_dose(&b->items[0], 20),
                                    kit_dose(&b->items[1], 30),
                                    kit_heat(60, 1),
                                    kit_hold(30),
                                    kit_drain()};
    const mdr_route_step second[] = {kit_fill(60), kit_dose(&b->items[2], 5), kit_hold(10),
                                     kit_drain()};
    memcpy(b->steps[0], first, sizeof first);
    memcpy(b->steps[1], second, sizeof second);
    b->baths[0] = (mdr_route_bath){"Dyeing", b->steps[0], 6};
    b->baths[1] = (mdr_route_bath){"Hot soap", b->steps[1], 4};
    b->stage = (mdr_route_stage){MDR_STAGE_DYEING, "Dyeing", "", "", b->baths, 2};
    b->pass = (mdr_route_pass){.kind = MDR_ROUTE_PASS_STENTER, .note = "Dry only"};
    b->route = (mdr_route){.route_id = "R1",
                           .name = "Test route",
                           .purpose = "",
                           .version = 1,
                           .dye_class = MDR_CLASS_REACTIVE,
                           .invented = true,
                           .stages = &b->stage,
                           .n_stages = 1,
                           .passes = &b->pass,
                           .n_passes = 1};
    b->arena = mdr_arena_new(ARENA);
    const mdr_plan_in in = {.lot = &b->lot.lot,
                            .machine = &b->machine,
                            .route = &b->route,
                            .site = &b->site,
                            .materials = kit_materials,
                            .n_materials = kit_materials_count,
                            .tables = kit_tables,
                            .n_tables = kit_tables_count};
    assert_int_equal(mdr_plan_make(&in, b->arena, &b->plan, NULL), MDR_OK);
}

static const mdr_card_print PRINT = {"2026-11-25 14:03", "", "0.0.0"};

typedef struct document {
    unsigned char *bytes;
    size_t len;
} document;

static document card_of(bench *b)
{
    document d = {NULL, 0};
    mdr_err err = {0};
    if (mdr_card_batch(b->plan, &PRINT, b->arena, &d.bytes, &d.len, &err) != MDR_OK) {
        fail_msg("%s", err.msg);
    }
    return d;
}

/* Writes it and runs a command on it: "%s" stands for the file. Gives back what that prints. */
static const char *seen_by(const document *d, const char *command)
{
    static char text[TEXT];
    char path[64];
    char line[256];
    (void)snprintf(path, sizeof path, "%s/x.pdf", folder);
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(d->bytes, 1, d->len, f), d->len);
    assert_int_equal(fclose(f), 0);
    (void)snprintf(line, sizeof line, "cd %s && %s", folder, command);
    FILE *p = popen(line, "r");
    assert_non_null(p);
    const size_t n = fread(text, 1, sizeof text - 1, p);
    text[n] = '\0';
    assert_int_equal(pclose(p), 0);
    return text;
}

static void must_say(const char *text, const char *word)
{
    if (strstr(text, word) == NULL) {
        fail_msg("the document does not say \"%s\"", word);
    }
}

static void the_card_says_it_all(void **state)
{
    (void)state;
    bench b;
    plan_for(&b, "Test customer", "Test winch");
    const document d = card_of(&b);
    const char *text = seen_by(&d, "pdftotext -layout x.pdf -");
    static const char *const WORDS[] = {
        "L26-0107",  "Test customer", "Test winch",       "INVENTED",
        "Test salt", "480.00 kg",     "Test dye",         "20.00 kg",
        "Test soap", "8.000 kg",      "Hot soap",         "Stenter",
        "page 1 / ", "page 2 / ",     "2026-11-25 14:03", "Footprint, per kg of fabric"};
    for (size_t i = 0; i < N_OF(WORDS); i++) {
        must_say(text, WORDS[i]);
    }
    int pages = 0;
    const char *info = strstr(seen_by(&d, "pdfinfo x.pdf"), "Pages:");
    assert_non_null(info);
    pages = atoi(info + 6);
    int banners = 0;
    text = seen_by(&d, "pdftotext -layout x.pdf -");
    for (const char *at = strstr(text, "INVENTED"); at != NULL; at = strstr(at + 1, "INVENTED")) {
        banners++;
    }
    assert_int_equal(banners, pages); /* on every page */
    mdr_arena_free(b.arena);
}

static void a_scanner_reads_the_lot(void **state)
{
    (void)state;
    bench b;
    plan_for(&b, "Test customer", "Test winch");
    const document d = card_of(&b);
    const char *code =
        seen_by(&d, "pdftoppm -r 100 -f 1 -l 1 -png x.pdf p && zbarimg -q --raw p-*.png");
    assert_string_equal(code, "L26-0107\n");
    mdr_arena_free(b.arena);
}

/* Every script that a customer may be written in has its letters, embedded. */
static void every_script(void **state)
{
    (void)state;
    static const char *const NAMES[] = {
        "\u09ac\u09be\u0982\u09b2\u09be \u0995\u09be\u09aa\u09a1\u09bc",
        "\u0939\u093f\u0928\u094d\u0926\u0940 \u0915\u092a\u0921\u093c\u093e",
        "\u0642\u0645\u0627\u0634 \u0642\u0637\u0646\u064a",
        "\u68c9\u5e03\u516c\u53f8",
        "\u0130\u011fne Kuma\u015f\u00e7\u0131l\u0131k",
        "\u0ba4\u0bae\u0bbf\u0bb4\u0bcd",
        "\u0422\u043a\u0430\u043d\u044c",
        "Conf. S\u00e3o Jo\u00e3o"};
    for (size_t i = 0; i < N_OF(NAMES); i++) {
        bench b;
        plan_for(&b, NAMES[i], "Test winch");
        const document d = card_of(&b);
        /* the page warns when no font on the computer has a letter */
        if (strstr(seen_by(&d, "pdftotext -layout x.pdf -"), "no font") != NULL) {
            fail_msg("letters are missing for %s", NAMES[i]);
        }
        const char *fonts =
            seen_by(&d, "pdffonts x.pdf | tail -n +3 | awk '{ print $(NF-4) }' | sort -u");
        assert_string_equal(fonts, "yes\n"); /* column emb */
        mdr_arena_free(b.arena);
    }
}

static void the_same_every_time(void **state)
{
    (void)state;
    bench b;
    plan_for(&b, "Test customer", "Test winch");
    const document one = card_of(&b);
    const document two = card_of(&b);
    assert_int_equal(one.len, two.len);
    assert_memory_equal(one.bytes, two.bytes, one.len);
    mdr_arena_free(b.arena);
}

static void slips(void **state)
{
    (void)state;
    bench b;
    document d = {NULL, 0};
    mdr_err err = {0};
    plan_for(&b, "Test customer", "Test winch");
    assert_int_equal(mdr_card_slips(b.plan, 0, &PRINT, b.arena, &d.bytes, &d.len, NULL), MDR_OK);
    must_say(seen_by(&d, "pdfinfo x.pdf"), "Pages:           2"); /* both baths take something */
    assert_int_equal(mdr_card_slips(b.plan, 2, &PRINT, b.arena, &d.bytes, &d.len, NULL), MDR_OK);
    const char *text = seen_by(&d, "pdftotext -layout x.pdf -");
    must_say(text, "Test soap");
    assert_null(strstr(text, "Test dye"));
    assert_string_equal(seen_by(&d, "pdftoppm -r 110 -png x.pdf s && zbarimg -q --raw s-1.png"),
                        "L26-0107/b2\n");
    assert_int_equal(mdr_card_slips(b.plan, 9, &PRINT, b.arena, &d.bytes, &d.len, &err),
                     MDR_E_NOTFOUND);
    assert_string_equal(err.place, "bath");
    mdr_arena_free(b.arena);
}

static void small_memory(void **state)
{
    (void)state;
    bench b;
    plan_for(&b, "Test customer", "Test winch");
    for (size_t bytes = 1000; bytes < 60000; bytes += 7000) {
        mdr_arena *arena = mdr_arena_new(bytes);
        document d = {NULL, 0};
        mdr_err err = {0};
        assert_int_equal(mdr_card_batch(b.plan, &PRINT, arena, &d.bytes, &d.len, &err),
                         MDR_E_NOMEM);
        assert_null(d.bytes);
        mdr_arena_free(arena);
    }
    mdr_arena_free(b.arena);
}

/* Whichever allocation fails, the document fails, says so, and gives everything back. */
static void nth_allocation(void **state)
{
    (void)state;
    bench b;
    plan_for(&b, "Test customer", "Test winch");
    bool done = false;
    for (unsigned n = 1; !done; n += n < 8 ? 1 : 4) {
        mdr_arena *arena = mdr_arena_new(ARENA);
        document d = {NULL, 0};
        mdr_err err = {0};
        assert_non_null(arena);
        mdr_arena_fail_at(n);
        const mdr_code rc = mdr_card_slips(b.plan, 0, &PRINT, arena, &d.bytes, &d.len, &err);
        mdr_arena_fail_at(0);
        done = rc == MDR_OK;
        assert_true(done || rc == MDR_E_NOMEM);
        assert_true(done == (d.bytes != NULL));
        assert_true(n < 400);
        mdr_arena_free(arena);
    }
    mdr_arena_free(b.arena);
}

static void digits(void **state)
{
    (void)state;
    static const struct {
        double kg;
        const char *shown;
    } ROWS[] = {{41.904, "41.90\u00a0kg"}, {10, "10.00\u00a0kg"},    {4.19, "4.190\u00a0kg"},
                {1, "1.000\u00a0kg"},      {0.8824, "882.4\u00a0g"}, {0.0123, "12.3\u00a0g"},
                {0.0004, "0.400\u00a0g"}};
    char out[MDR_DIGITS_MAX];
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        mdr_digits_mass(out, ROWS[i].kg);
        assert_string_equal(out, ROWS[i].shown);
    }
    mdr_digits_clock(out, 75.4);
    assert_string_equal(out, "1:15");
    mdr_digits_fixed(out, -0.001, 1);
    assert_string_equal(out, "0.0");
}

/* Anchors of sRGB, IEC 61966-2-1: its white is the white of D65, and greys stay grey. */
static void swatches(void **state)
{
    (void)state;
    char hex[8];
    bool inside = false;
    mdr_swatch_hex(100, 0, 0, hex, &inside);
    assert_string_equal(hex, "#ffffff");
    assert_true(inside);
    mdr_swatch_hex(0, 0, 0, hex, &inside);
    assert_string_equal(hex, "#000000");
    /* D: L* = 50 is Y = ((50 + 16) / 116)^3 = 0.18419; encoded 1.055 Y^(1/2.4) - 0.055 = 0.46632, x 255 = 118.9 */
    mdr_swatch_hex(50, 0, 0, hex, &inside);
    assert_string_equal(hex, "#777777");
    mdr_swatch_hex(50, 120, -120, hex, &inside);
    assert_false(inside);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(the_card_says_it_all),
                                       cmocka_unit_test(a_scanner_reads_the_lot),
                                       cmocka_unit_test(every_script),
                                       cmocka_unit_test(the_same_every_time),
                                       cmocka_unit_test(slips),
                                       cmocka_unit_test(small_memory),
                                       cmocka_unit_test(nth_allocation),
                                       cmocka_unit_test(digits),
                                       cmocka_unit_test(swatches)};
    return cmocka_run_group_tests(tests, make_folder, drop_folder);
}
