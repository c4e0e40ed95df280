/* How rows are broken into pages: in one piece where that costs no page, with their heads where not,
 * nothing below the foot. Rows here are bare heights; what they were drawn at is written down. */
#include "t.h"

#include <string.h>

#include "card/mdr_rows.h"
#include "plan_kit.h"

enum { SEEN = 400 };

typedef struct seen {
    const mdr_row *row;
    int page, part, parts;
    double y;
} seen;

static seen log_of[SEEN];
static int n_seen;

/* row->number: its height in points. */
static double bare(mdr_doc *doc, const mdr_row *row, double y)
{
    if (!doc->dry) {
        assert_true(n_seen < SEEN);
        log_of[n_seen++] = (seen){row, doc->page, doc->part, doc->parts, y};
    }
    return row->number;
}

typedef struct bench {
    mdr_site site;
    mdr_machine machine;
    kit_lot lot;
    mdr_plan plan;
    mdr_card_print print;
    mdr_doc doc;
    mdr_rows rows;
    mdr_arena *arena;
    double room; /* of a page from the second on */
} bench;

static void begin(bench *b)
{
    memset(b, 0, sizeof *b);
    b->site = kit_site();
    b->machine = kit_machine();
    kit_lot_make(&b->lot, 100, 8, false);
    b->plan.site = &b->site;
    b->plan.machine = &b->machine;
    b->plan.lot = &b->lot.lot;
    b->print = (mdr_card_print){"2026-11-25 14:03", "", "0"};
    b->arena = mdr_arena_new(16 << 20);
    b->doc = (mdr_doc){.plan = &b->plan, .print = &b->print, .arena = b->arena, .margin = 30};
    b->rows.arena = b->arena;
    assert_int_equal(mdr_doc_open(&b->doc, 595, 842, "rows", NULL), MDR_OK);
    b->room = mdr_page_bottom(&b->doc) - mdr_page_top(&b->doc, 2);
    n_seen = 0;
}

/* A group with a head of 40 and rows of `each`, `parts_of_100` of a page high in all. */
static void add_group(bench *b, double parts_of_100, int each)
{
    b->rows.group++;
    mdr_row *row = mdr_rows_add(&b->rows, bare, NULL, NULL);
    row->number = 40;
    row->head = row->glue = true;
    for (double left = parts_of_100 * b->room / 100.0 - 40.0; left >= each; left -= each) {
        mdr_rows_add(&b->rows, bare, NULL, NULL)->number = each;
    }
}

static mdr_code print(bench *b)
{
    mdr_err err = {0};
    const mdr_code rc = mdr_rows_print(&b->rows, &b->doc, &err);
    const mdr_code closed = mdr_doc_close(&b->doc, NULL, NULL, NULL);
    assert_int_equal(closed, MDR_OK);
    return rc;
}

/* Every row once, heads oftener, in order, between top and foot, none on another. */
static void must_be_sound(const bench *b)
{
    const mdr_row *next = b->rows.items;
    for (int i = 0; i < n_seen; i++) {
        const seen *s = &log_of[i];
        assert_true(s->y >= mdr_page_top(&b->doc, s->page) - 0.01);
        assert_true(s->y + s->row->height <= mdr_page_bottom(&b->doc) + 0.01);
        if (i > 0 && log_of[i - 1].page == s->page) {
            CHECK_NEAR(s->y, log_of[i - 1].y + log_of[i - 1].row->height, 0.01, "D: stacked");
        } else {
            assert_int_equal(s->page, i == 0 ? 1 : log_of[i - 1].page + 1);
        }
        assert_true(s->part >= 1 && s->part <= s->parts);
        if (s->row == next) {
            next++;
        } else {
            assert_true(s->row->head || s->row->lead);
            assert_true(s->part > 1);
        }
    }
    assert_ptr_equal(next, b->rows.items + b->rows.count);
}

static int parts_of(int group)
{
    for (int i = 0; i < n_seen; i++) {
        if (log_of[i].row->group == group) {
            return log_of[i].parts;
        }
    }
    return 0;
}

static void in_one_piece_when_free(void **state)
{
    (void)state;
    bench b;
    begin(&b);
    add_group(&b, 60, 20); /* page 1 has more room: it has no head */
    add_group(&b, 60, 20); /* 40 % are left: too little. Broken or not, two pages */
    assert_int_equal(print(&b), MDR_OK);
    must_be_sound(&b);
    assert_int_equal(b.doc.pages, 2);
    assert_int_equal(parts_of(2), 1);
    mdr_arena_free(b.arena);
}

static void broken_when_that_saves_a_page(void **state)
{
    (void)state;
    bench b;
    begin(&b);
    for (int i = 0; i < 3; i++) {
        add_group(&b, 60, 20); /* in one piece: three pages. 180 % and a head are two */
    }
    assert_int_equal(print(&b), MDR_OK);
    must_be_sound(&b);
    assert_int_equal(b.doc.pages, 2);
    assert_int_equal(parts_of(1), 1);
    assert_int_equal(parts_of(2), 2);
    assert_int_equal(parts_of(3), 1);
    mdr_arena_free(b.arena);
}

static void longer_than_a_page(void **state)
{
    (void)state;
    bench b;
    begin(&b);
    add_group(&b, 20, 20);
    add_group(&b, 250, 20);
    assert_int_equal(print(&b), MDR_OK);
    must_be_sound(&b);
    assert_int_equal(b.doc.pages, 3);
    assert_int_equal(parts_of(2), 3);
    mdr_arena_free(b.arena);
}

/* A dose with more materials than a page holds: parted after all, its first line leads each part. */
static void glued_longer_than_a_page(void **state)
{
    (void)state;
    bench b;
    begin(&b);
    add_group(&b, 150, 30);
    for (int i = 1; i < b.rows.count; i++) {
        b.rows.items[i].glue = i + 1 < b.rows.count;
    }
    b.rows.items[1].lead = true;
    assert_int_equal(print(&b), MDR_OK);
    must_be_sound(&b);
    assert_int_equal(b.doc.pages, 2);
    int leads = 0;
    for (int i = 0; i < n_seen; i++) {
        leads += log_of[i].row->lead;
    }
    assert_int_equal(leads, 2);
    mdr_arena_free(b.arena);
}

static void heads_that_leave_no_room(void **state)
{
    (void)state;
    bench b;
    begin(&b);
    add_group(&b, 120, 400);
    b.rows.items[0].number = 600; /* with a row of 400: more than a page */
    assert_int_equal(print(&b), MDR_OK);
    must_be_sound(&b);
    mdr_arena_free(b.arena);
}

static void a_row_higher_than_a_page(void **state)
{
    (void)state;
    bench b;
    begin(&b);
    add_group(&b, 20, 20);
    b.rows.items[1].number = 1000;
    assert_int_equal(print(&b), MDR_E_RANGE);
    mdr_arena_free(b.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(in_one_piece_when_free),   cmocka_unit_test(broken_when_that_saves_a_page),
        cmocka_unit_test(longer_than_a_page),       cmocka_unit_test(glued_longer_than_a_page),
        cmocka_unit_test(heads_that_leave_no_room), cmocka_unit_test(a_row_higher_than_a_page)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
