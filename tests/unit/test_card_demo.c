/* The documents of every lot of the demo mill: nothing is left out, nothing lies on anything. */
#define _POSIX_C_SOURCE 200809L
#include "demo_made.h"
#include "t.h"

#include "app/mdr_app.h"
#include "card/mdr_card.h"
#include "card/mdr_digits.h"
#include "card/mdr_words.h"
#include "card_look.h"

static const mdr_card_print PRINT = {"2026-11-25 14:03", "", "0.0.0"};

static const double MARGIN = 10.0 * 72.0 / 25.4; /* of a card, points */

static char mill[96];

static int make_mill(void **state)
{
    mdr_err err = {0};
    if (look_begin(state) != 0) {
        return -1;
    }
    (void)snprintf(mill, sizeof mill, "%s/demo.mill", look_folder);
    return demo_made(mdr_app_new(mill, true, &err), &err);
}

/* Calls `see` with the plan of each lot that can be planned. */
static void each_plan(void (*see)(const mdr_plan *plan))
{
    mdr_app *app = NULL;
    mdr_app_lot *lots = NULL;
    int n = 0, seen = 0;
    mdr_err err = {0};
    mdr_arena *list = mdr_arena_new(16 << 20);
    assert_int_equal(mdr_app_open(mill, false, &app, &err), MDR_OK);
    assert_int_equal(mdr_app_lots(app, list, &lots, &n, &err), MDR_OK);
    for (int i = 0; i < n; i++) {
        mdr_arena *arena = mdr_arena_new(64 << 20);
        const mdr_plan *plan = NULL;
        if (mdr_app_plan(app, lots[i].lot_id, (mdr_blob){0}, arena, NULL, &plan, &err) == MDR_OK) {
            see(plan);
            seen++;
        }
        mdr_arena_free(arena);
    }
    assert_true(seen >= 20);
    mdr_app_close(app);
    mdr_arena_free(list);
}

enum { CARD, SLIPS, SETTINGS };

static look card_of(const mdr_plan *plan, int what)
{
    mdr_arena *arena = mdr_arena_new(64 << 20);
    unsigned char *bytes = NULL;
    size_t len = 0;
    mdr_err err = {0};
    const mdr_code rc = what == SLIPS ? mdr_card_slips(plan, 0, &PRINT, arena, &bytes, &len, &err)
                        : what == SETTINGS
                            ? mdr_card_settings(plan, &PRINT, arena, &bytes, &len, &err)
                            : mdr_card_batch(plan, &PRINT, arena, &bytes, &len, &err);
    if (rc != MDR_OK) {
        fail_msg("%s: %s", plan->lot->lot_id, err.msg);
    }
    const look l = look_at(bytes, len);
    mdr_arena_free(arena);
    return l;
}

/* The mass of every item, as a word and its unit; as often as it is to be weighed. */
static void masses(const mdr_plan *plan, const look *l)
{
    for (int b = 0; b < plan->n_baths; b++) {
        for (int s = 0; s < plan->baths[b].n_steps; s++) {
            const mdr_plan_step *step = &plan->baths[b].steps[s];
            for (int i = 0; i < step->n_items; i++) {
                char mass[MDR_DIGITS_MAX];
                mdr_digits_mass(mass, mdr_fig_value(&plan->figs, step->items[i].mass_kg));
                *strstr(mass, "\u00a0") = '\0'; /* pdftotext parts there */
                if (look_count(l, mass, 0) == 0) {
                    fail_msg("%s: %d.%d: %s of %s is not there", plan->lot->lot_id, b + 1, s + 1,
                             mass, step->items[i].material->material_id);
                }
            }
        }
    }
}

static bool is(const look *l, int i, const char *word)
{
    return i >= 0 && i < l->count && strcmp(l->words[i].text, word) == 0;
}

/* Ends of the headings that are no baths'. */
static bool ends_a_heading(const look *l, int i)
{
    return is(l, i, "start") || is(l, i, "use") || is(l, i, "passes") || is(l, i, "lot") ||
           is(l, i, "fabric");
}

/* Heads of the tables of baths: one each, and one more where a bath goes on, which says so. */
static void heads(const mdr_plan *plan, const look *l)
{
    int tables = 0, go_on = 0;
    for (int i = 0; i < l->count; i++) {
        go_on += is(l, i, "(continued)") && !ends_a_heading(l, i - 1);
        tables += is(l, i, "step") && fabs(l->words[i].x0 - MARGIN) < 1.0;
    }
    assert_int_equal(tables - plan->n_baths, go_on);
}

/* Every warning says which step or bath it is about, where its sentence begins. */
static void places(const mdr_plan *plan, const look *l)
{
    const double x = MARGIN + 72.0; /* the sentences' column in mdr_warnings.c */
    assert_int_equal(look_count(l, "Before", 1) > 0, plan->n_warns > 0); /* "you start" */
    for (int w = 0; w < plan->n_warns; w++) {
        const mdr_warn *warn = &plan->warns[w];
        char place[40] = "Bath";
        bool said = warn->at.bath == 0;
        if (warn->at.step > 0) {
            (void)snprintf(place, sizeof place, "%d.%d", warn->at.bath, warn->at.step);
        }
        for (int i = 0; i < l->count && !said; i++) {
            said = is(l, i, place) && fabs(l->words[i].x0 - x) < 2.0;
        }
        assert_true(said);
    }
}

/* Every line of the chemistry stands there as often as the plan has it. */
static void chemistry(const mdr_plan *plan, const look *l)
{
    int baths = 0, expected = 0, reserves = 0, ends = 0;
    char text[MDR_WORDS_MAX];
    for (int b = 0; b < plan->n_baths; b++) {
        const mdr_plan_bath *bath = &plan->baths[b];
        mdr_words_bath(plan, bath, text);
        baths += strstr(text, "\u2192") != NULL;
        for (int s = 0; s < bath->n_steps; s++) {
            const mdr_plan_step *step = &bath->steps[s];
            if (step->asked->kind == MDR_STEP_CHECK) {
                mdr_words_expected(plan, bath, step, text);
                expected += strncmp(text, "Expect ", 7) == 0;
            } else {
                mdr_words_after(plan, bath, step, text);
                ends += strncmp(text, "Ends ", 5) == 0;
            }
            reserves += strstr(text, "Reduction reserve") != NULL;
        }
    }
    assert_true(baths > 2 && expected > 2 && ends > 0);
    assert_int_equal(reserves > 5, plan->route->dye_class == MDR_CLASS_VAT);
    int arrows = 0, said_reserves = 0;
    for (int i = 0; i < l->count; i++) {
        /* pdftotext parts at the no-break spaces */
        arrows += is(l, i, "\u2192");
        said_reserves += is(l, i, "Reduction") && is(l, i + 1, "reserve");
    }
    assert_int_equal(arrows, baths);
    assert_int_equal(look_count(l, "Expect", 0), expected);
    assert_in_range(look_count(l, "Ends", 0), (unsigned)ends,
                    (unsigned)ends + 2); /* a lead twice */
    assert_in_range(said_reserves, (unsigned)reserves, (unsigned)reserves + 2);
    assert_true(look_count(l, "Footprint,", 0) >= 1);
}

static void see_card(const mdr_plan *plan)
{
    look l = card_of(plan, CARD);
    masses(plan, &l);
    char pages[16];
    (void)snprintf(pages, sizeof pages, "%d", l.pages);
    for (int page = 1; page <= l.pages; page++) {
        assert_true(look_count(&l, plan->lot->lot_id, page) > 0);
        assert_true(look_count(&l, pages, page) > 0); /* of "page n / m" */
    }
    for (int b = 0; b < plan->n_baths; b++) { /* every step has its number at its row */
        for (int s = 0; s < plan->baths[b].n_steps; s++) {
            char number[40];
            (void)snprintf(number, sizeof number, "%d.%d", plan->baths[b].number, s + 1);
            assert_true(look_count(&l, number, 0) > 0);
        }
    }
    heads(plan, &l);
    places(plan, &l);
    chemistry(plan, &l);
    assert_int_equal(look_faults(&l, plan->lot->lot_id), 0);
    look_free(&l);
}

static void see_slips(const mdr_plan *plan)
{
    look l = card_of(plan, SLIPS);
    masses(plan, &l);
    int baths = 0, cautious = 0, of_many = 0;
    for (int b = 0; b < plan->n_baths; b++) {
        int items = 0;
        uint32_t cautions = 0;
        for (int s = 0; s < plan->baths[b].n_steps; s++) {
            items += plan->baths[b].steps[s].n_items;
            for (int i = 0; i < plan->baths[b].steps[s].n_items; i++) {
                cautions |= plan->baths[b].steps[s].items[i].material->cautions;
            }
        }
        char code[96];
        (void)snprintf(code, sizeof code, "%s/b%d", plan->lot->lot_id, plan->baths[b].number);
        int there = 0;
        for (int i = 0; i < l.count; i++) {
            there += strcmp(l.words[i].text, code) == 0;
        }
        assert_true((items > 0) == (there > 0));
        baths += items > 0;
        cautious += cautions != 0 ? there : 0;
        of_many += there > 1 ? there : 0;
    }
    assert_true(l.pages >= baths);
    /* what to wear stands on every slip of a bath that has a danger, not on its last alone */
    assert_int_equal(look_count(&l, "Wear:", 0), cautious);
    assert_int_equal(look_count(&l, "SLIP,", 0), of_many); /* "WEIGH SLIP, 1 of 2 of this bath" */
    assert_int_equal(look_faults(&l, plan->lot->lot_id), 0);
    look_free(&l);
}

/* The setting sheet lies at another machine than the card: it says by itself whose it is, on one
 * page when the line has up to three machines, and each limit has its unit. */
static void see_settings(const mdr_plan *plan)
{
    look l = card_of(plan, SETTINGS);
    const mdr_plan_finish *f = plan->finish;
    char pages[16];
    (void)snprintf(pages, sizeof pages, "%d", l.pages);
    for (int page = 1; page <= l.pages; page++) {
        assert_true(look_count(&l, plan->lot->lot_id, page) > 0);
        assert_true(look_count(&l, pages, page) > 0); /* of "page n / m" */
    }
    assert_true(look_count(&l, plan->lot->article->article_id, 1) > 0);
    if (f->n_passes <= 3) {
        assert_int_equal(l.pages, 1);
    }
    int limits = 0, units = 0;
    for (int i = 0; i < l.count; i++) {
        if (is(&l, i, "to") && i > 0 &&
            strspn(l.words[i - 1].text, "-0123456789.") == strlen(l.words[i - 1].text)) {
            limits++;
            units += is(&l, i + 2, "cm") || is(&l, i + 2, "g/m\u00b2") || is(&l, i + 2, "%");
        }
    }
    assert_int_equal(limits, MDR_DEMAND_COUNT);
    assert_int_equal(units, limits);
    static const char *const FIELDS[] = {"until", "initials", "remarks", "done"};
    for (size_t i = 0; i < N_OF(FIELDS); i++) {
        assert_int_equal(look_count(&l, FIELDS[i], 0), f->n_passes);
    }
    assert_int_equal(look_faults(&l, plan->lot->lot_id), 0);
    look_free(&l);
}

static void settings(void **state)
{
    (void)state;
    each_plan(see_settings);
}

static void cards(void **state)
{
    (void)state;
    each_plan(see_card);
}

static void slips(void **state)
{
    (void)state;
    each_plan(see_slips);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(cards), cmocka_unit_test(slips),
                                       cmocka_unit_test(settings)};
    return cmocka_run_group_tests(tests, make_mill, look_end);
}
