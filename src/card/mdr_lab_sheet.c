#include "card/mdr_lab_sheet.h"

#include "card/mdr_digits.h"
#include "card/mdr_parts.h"
#include "card/mdr_words.h"

static const double A4_W = 210.0 * MDR_MM, A4_H = 297.0 * MDR_MM, MARGIN = 10.0 * MDR_MM;
static const double QR_MODULE = 0.8 * MDR_MM, DIP_QR_MODULE = 0.55 * MDR_MM;
static const double LEAST_PT = 9.0, CODE_LEAST_PT = 4.0;

/* Columns, from the left margin; the width of a page is 538.6 pt. */
static const double TICK = 10.0, NAME_X = 18.0, NAME_W = 106.0, ASKED_X = 126.0, ASKED_W = 72.0,
                    FROM_X = 208.0, FROM_W = 132.0, TAKE_X = 340.0, TAKE_W = 78.0, OFF_X = 422.0,
                    OFF_W = 40.0;
static const double STRENGTH_X = 126.0, STRENGTH_W = 60.0, MAKE_X = 198.0, MAKE_W = 176.0,
                    NEED_X = 376.0, NEED_W = 58.0, MADE_X = 442.0;
static const double LINE_H = 17.5, FIELD_H = 12.0 * MDR_MM;

static const mdr_style KICKER = {.size_pt = 9.0, .weight = 600, .ink = 0.25, .lines = 1};
static const mdr_style SHADE = {.size_pt = 27.0, .weight = 700, .lines = 1};
static const mdr_style ABOUT = {.size_pt = 10.5, .weight = 500, .lines = 3};
static const mdr_style CODE = {.size_pt = 7.0, .weight = 500, .align = MDR_CENTRE, .lines = 1};
static const mdr_style WEAR = {.size_pt = 9.5, .weight = 600, .lines = 3};
static const mdr_style SMALL = {.size_pt = 8.0, .weight = 400, .ink = 0.2, .lines = 3};
static const mdr_style LABEL = {.size_pt = 7.0, .weight = 400, .ink = 0.25, .lines = 1};
static const mdr_style LABEL_RIGHT = {
    .size_pt = 7.0, .weight = 400, .ink = 0.25, .align = MDR_RIGHT, .lines = 1};
static const mdr_style NAME = {.size_pt = 10.5, .weight = 600, .lines = 1};
static const mdr_style FROM = {.size_pt = 9.5, .weight = 400, .lines = 1};
static const mdr_style NUMBER = {
    .size_pt = 9.5, .weight = 400, .align = MDR_RIGHT, .lines = 1, .even = true};
static const mdr_style TAKE = {
    .size_pt = 13.0, .weight = 700, .align = MDR_RIGHT, .lines = 1, .even = true};
static const mdr_style DIP_NUMBER = {
    .size_pt = 14.0, .weight = 700, .ink = 1.0, .align = MDR_CENTRE, .lines = 1};
static const mdr_style DIP_NAME = {.size_pt = 13.0, .weight = 700, .lines = 1};
static const mdr_style POT = {.size_pt = 9.5, .weight = 500, .align = MDR_RIGHT, .lines = 1};
static const mdr_style STEP = {.size_pt = 10.0, .weight = 400, .lines = 3};

static const mdr_lab_print *printed(const mdr_row *row)
{
    return row->in;
}

static const char *amount(mdr_doc *doc, double value, int least, int most, const char *unit)
{
    char digits[MDR_DIGITS_MAX];
    mdr_digits_trim(digits, value, least, most);
    return mdr_doc_say(doc, "%s\u00a0%s", digits, unit);
}

/* In the style, or smaller: an identifier that is cut is another one. */
static void fit(mdr_doc *doc, const mdr_style *style, double x, double base, double width,
                const char *text)
{
    static const double LEAST = 4.5;
    const mdr_style small = mdr_text_fit(doc, style, LEAST, width, text);
    (void)mdr_text_base(doc, &small, x, base, width, text);
}

/* The stock, or how often it was diluted. */
static const char *solution_name(mdr_doc *doc, const char *dye_id, int level)
{
    return level == 0 ? mdr_doc_say(doc, "%s stock", dye_id)
                      : mdr_doc_say(doc, "%s diluted %d", dye_id, level);
}

static const char *round_words(mdr_doc *doc, const mdr_lab_print *p)
{
    return p->round > 0 ? mdr_doc_say(doc, "round %d", p->round) : "";
}

/* What a scanner reads of the sheet, or of one dip; "" when nothing names it. */
static const char *code_of(mdr_doc *doc, const mdr_lab_print *p, int dip)
{
    if (dip >= 0 && p->dips[dip].id[0] != '\0') {
        return p->dips[dip].id;
    }
    if (p->shade[0] == '\0') {
        return "";
    }
    const char *round = p->round > 0 ? mdr_doc_say(doc, "/r%d", p->round) : "";
    return dip >= 0 ? mdr_doc_say(doc, "%s%s/d%d", p->shade, round, dip + 1)
                    : mdr_doc_say(doc, "%s%s", p->shade, round);
}

/* The code with its right edge at the margin; returns the width it takes. */
static double code_at_right(mdr_doc *doc, const char *code, double y, double module)
{
    const double quiet = 4.0 * module;
    const double side = code[0] != '\0' ? mdr_ink_qr_side(code, module) : 0.0;
    if (!(side > 0.0)) {
        return 0.0;
    }
    const double x = doc->margin + mdr_part_width(doc) - (side - quiet);
    mdr_ink_qr(doc, code, x, y - quiet, module);
    const mdr_style under = mdr_text_fit(doc, &CODE, CODE_LEAST_PT, side, code);
    (void)mdr_text_base(doc, &under, x, y - quiet + side + 5.0, side, code);
    return side;
}

/* -- what it is about -- */

static const char *about_words(mdr_doc *doc, const mdr_lab_print *p)
{
    const mdr_lab_dip *d = &p->dips[0];
    return mdr_doc_say(doc, "%d %s of %s at %s%s%s", p->doses->pots,
                       p->doses->pots == 1 ? "dip" : "dips", amount(doc, d->sample_g, 0, 3, "g"),
                       amount(doc, d->ratio_l_per_kg, 0, 2, "L/kg"),
                       p->cloth[0] != '\0' ? "  \u00b7  " : "", p->cloth);
}

static double title_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lab_print *p = printed(row);
    const double x = doc->margin, w = mdr_part_width(doc);
    const double code = code_at_right(doc, code_of(doc, p, -1), y + 7.0, QR_MODULE);
    const double left = w - code - 4.0;
    (void)mdr_text_base(doc, &KICKER, x, y + 11.0, left,
                        p->round > 0 ? mdr_doc_say(doc, "LABORATORY SHEET, %s", round_words(doc, p))
                                     : "LABORATORY SHEET");
    const char *shade = p->shade[0] != '\0' ? p->shade : "Laboratory dyeing";
    const mdr_style style = mdr_text_fit(doc, &SHADE, LEAST_PT, left, shade);
    (void)mdr_text_base(doc, &style, x - 1.0, y + 38.0, left, shade);
    const double below = 45.0 + mdr_text(doc, &ABOUT, x, y + 45.0, left, about_words(doc, p));
    const double under_code = code > 0.0 ? code + 7.0 : 0.0;
    return (below > under_code ? below : under_code) + 6.0;
}

static void fields(mdr_doc *doc, double y, const char *const *words, const double *parts, int n)
{
    double at = doc->margin;
    const double w = mdr_part_width(doc), gap = 6.0;
    for (int i = 0; i < n; i++) {
        const double wide = parts[i] * (w + gap) - gap;
        mdr_ink_field(doc, (mdr_box){at, y, wide, FIELD_H}, words[i]);
        at += wide + gap;
    }
}

static double who_row(mdr_doc *doc, const mdr_row *row, double y)
{
    static const char *const WORDS[] = {
        "cloth, lot or piece", "machine", "dyed on", "from", "until", "dyed by"};
    static const double PARTS[] = {0.28, 0.18, 0.16, 0.11, 0.11, 0.16};
    (void)row;
    fields(doc, y, WORDS, PARTS, 6);
    return FIELD_H + 5.0;
}

static double caution_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lab_print *p = printed(row);
    const double x = doc->margin, w = mdr_part_width(doc);
    char wear[MDR_WORDS_MAX];
    double at = y + 1.0 + mdr_part_cautions(doc, p->cautions, x, y + 1.0, w);
    mdr_words_wear(p->cautions, wear);
    if (wear[0] != '\0') {
        at += mdr_text(doc, &WEAR, x, at + 1.0, w, mdr_doc_say(doc, "Wear: %s.", wear)) + 1.0;
    }
    at += mdr_text(doc, &SMALL, x, at, w,
                   "Weigh dye powder under the exhaust and wipe up wet; alkali into water, never "
                   "water into alkali. The safety data sheets go before this sheet.");
    return at + 3.0 - y;
}

static void heading(mdr_rows *rows, const char *text)
{
    rows->group++;
    mdr_row *row = mdr_rows_add(rows, mdr_part_heading, text, NULL);
    row->head = row->glue = true;
}

/* -- solutions -- */

static double solution_head_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const double x = doc->margin;
    (void)row;
    (void)mdr_text_base(doc, &LABEL, x + NAME_X, y + 8.0, NAME_W, "solution");
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + STRENGTH_X, y + 8.0, STRENGTH_W, "strength");
    (void)mdr_text_base(doc, &LABEL, x + MAKE_X, y + 8.0, MAKE_W, "made of, water to the mark");
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + NEED_X, y + 8.0, NEED_W, "needed here");
    (void)mdr_text_base(doc, &LABEL, x + MADE_X, y + 8.0, 96.0, "weighed, made by");
    return 11.0;
}

static double solution_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lab_print *p = printed(row);
    const mdr_lab_solution *s = row->what;
    const double x = doc->margin, w = mdr_part_width(doc), base = y + 13.0;
    const char *dye = p->dye_id[s->dye];
    mdr_ink_tick(doc, x, y + 3.5, TICK);
    fit(doc, &NAME, x + NAME_X, base, NAME_W, solution_name(doc, dye, s->level));
    (void)mdr_text_base(doc, &NUMBER, x + STRENGTH_X, base, STRENGTH_W,
                        amount(doc, s->g_per_l, 0, 4, "g/L"));
    const char *of = s->level == 0
                         ? amount(doc, s->weigh_g, 2, 4, "g of dye")
                         : mdr_doc_say(doc, "%s of %s", amount(doc, s->take_ml, 0, 3, "mL"),
                                       solution_name(doc, dye, s->level - 1));
    const char *flasks = s->flasks > 1 ? mdr_doc_say(doc, ", %d times", s->flasks) : "";
    const char *make =
        mdr_doc_say(doc, "%s in %s%s", of, amount(doc, s->flask_ml, 0, 1, "mL"), flasks);
    fit(doc, &FROM, x + MAKE_X, base, MAKE_W, make);
    (void)mdr_text_base(doc, &NUMBER, x + NEED_X, base, NEED_W,
                        amount(doc, s->needed_ml, 0, 2, "mL"));
    mdr_ink_frame(doc, (mdr_box){x + MADE_X, y + 1.5, w - MADE_X, 14.5}, 0.5, 0.4);
    return LINE_H;
}

static void add_solutions(mdr_rows *rows, const mdr_lab_print *p)
{
    heading(rows, "Solutions, in the order to make them");
    mdr_row *row = mdr_rows_add(rows, solution_head_row, NULL, p);
    row->head = row->glue = true;
    for (int i = 0; i < p->doses->solutions; i++) {
        (void)mdr_rows_add(rows, solution_row, &p->doses->solution[i], p);
    }
}

/* -- one dip -- */

static double dip_head_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lab_print *p = printed(row);
    const mdr_lab_dip *dip = row->what;
    const double x = doc->margin, w = mdr_part_width(doc);
    mdr_ink_line(doc, x, y + 8.0, x + w, y + 8.0, 1.4, 0.0);
    mdr_ink_fill(doc, (mdr_box){x, y + 8.0, 24.0, 20.0}, 0.0);
    (void)mdr_text_base(doc, &DIP_NUMBER, x, y + 23.0, 24.0,
                        mdr_doc_say(doc, "%d", row->number + 1));
    fit(doc, &DIP_NAME, x + 32.0, y + 23.0, 200.0,
        dip->id[0] != '\0' ? dip->id : mdr_doc_say(doc, "Dip %d", row->number + 1));
    (void)mdr_text_base(doc, &POT, x + 236.0, y + 22.5, OFF_X + OFF_W - 236.0,
                        mdr_doc_say(doc, "%s of cloth in %s", amount(doc, dip->sample_g, 0, 3, "g"),
                                    amount(doc, p->doses->pot[row->number].liquor_ml, 0, 1, "mL")));
    (void)code_at_right(doc, code_of(doc, p, row->number), y + 15.0, DIP_QR_MODULE);
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + ASKED_X, y + 37.0, ASKED_W, "asked");
    (void)mdr_text_base(doc, &LABEL, x + FROM_X, y + 37.0, FROM_W, "from");
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + TAKE_X, y + 37.0, TAKE_W, "take");
    (void)mdr_text_base(doc, &LABEL_RIGHT, x + OFF_X, y + 37.0, OFF_W, "rounded by");
    return 40.0;
}

typedef struct line {
    const char *name, *asked, *from, *take;
    double off_pct;
} line;

static void put_line(mdr_doc *doc, const line *l, double y)
{
    const double x = doc->margin, base = y + 13.0;
    char off[MDR_DIGITS_MAX];
    mdr_ink_tick(doc, x, y + 3.5, TICK);
    fit(doc, &NAME, x + NAME_X, base, NAME_W, l->name);
    fit(doc, &NUMBER, x + ASKED_X, base, ASKED_W, l->asked);
    fit(doc, &FROM, x + FROM_X, base, FROM_W, l->from);
    fit(doc, &TAKE, x + TAKE_X, base, TAKE_W, l->take);
    mdr_digits_fixed(off, l->off_pct, 1);
    if (l->off_pct >= 0.05 || l->off_pct <= -0.05) {
        (void)mdr_text_base(doc, &NUMBER, x + OFF_X, base, OFF_W,
                            mdr_doc_say(doc, "%s%s\u00a0%%", l->off_pct > 0.0 ? "+" : "", off));
    }
}

static double dye_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lab_print *p = printed(row);
    const mdr_lab_dip *dip = row->what;
    const int pot = (int)(dip - p->dips), j = row->number;
    const mdr_lab_dose *d = &p->doses->pot[pot].dye[j];
    double g_per_l = p->stock_g_per_l[j];
    for (int i = 0; i < p->doses->solutions; i++) {
        const mdr_lab_solution *s = &p->doses->solution[i];
        g_per_l = s->dye == j && s->level == d->level ? s->g_per_l : g_per_l;
    }
    put_line(doc,
             &(line){p->dye_id[j], amount(doc, dip->depth_pct_owf[j], 2, 5, "% owf"),
                     mdr_doc_say(doc, "%s, %s", solution_name(doc, p->dye_id[j], d->level),
                                 amount(doc, g_per_l, 0, 4, "g/L")),
                     amount(doc, d->ml, 2, 4, "mL"), d->error_pct},
             y);
    return LINE_H;
}

static double aux_row(mdr_doc *doc, const mdr_row *row, double y)
{
    static const char *const NAMES[MDR_LAB_AUXES] = {"Salt", "Alkali"};
    const mdr_lab_print *p = printed(row);
    const mdr_lab_dip *dip = row->what;
    const int pot = (int)(dip - p->dips), k = row->number;
    const mdr_lab_dose *d = &p->doses->pot[pot].aux[k];
    put_line(doc,
             &(line){NAMES[k], amount(doc, dip->aux_g_per_l[k], 0, 2, "g/L"),
                     dip->aux_why[k][0] != '\0' ? dip->aux_why[k] : "weighed in",
                     d->ml > 0.0 ? amount(doc, d->ml, 2, 4, "mL") : amount(doc, d->g, 2, 4, "g"),
                     d->error_pct},
             y);
    return LINE_H;
}

static double water_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const mdr_lab_print *p = printed(row);
    const mdr_lab_dip *dip = row->what;
    const int pot = (int)(dip - p->dips);
    put_line(doc,
             &(line){"Water", "", "to top it up",
                     amount(doc, p->doses->pot[pot].water_ml, 2, 2, "mL"), 0.0},
             y);
    return LINE_H;
}

static double reading_row(mdr_doc *doc, const mdr_row *row, double y)
{
    static const char *const WORDS[] = {
        "L*", "a*", "b*", "difference, by which formula", "read on", "read by", "judgement"};
    static const double PARTS[] = {0.11, 0.11, 0.11, 0.22, 0.15, 0.13, 0.17};
    (void)row;
    fields(doc, y + 4.0, WORDS, PARTS, 7);
    return FIELD_H + 9.0;
}

static void add_line(mdr_rows *rows, mdr_row_draw draw, const mdr_lab_dip *dip, int number,
                     const mdr_lab_print *p)
{
    mdr_row *row = mdr_rows_add(rows, draw, dip, p);
    row->number = number;
    row->glue = true;
}

static void add_dip(mdr_rows *rows, const mdr_lab_print *p, int pot)
{
    const mdr_lab_dip *dip = &p->dips[pot];
    rows->group++;
    mdr_row *row = mdr_rows_add(rows, dip_head_row, dip, p);
    row->number = pot;
    row->head = row->glue = true;
    for (int j = 0; j < p->n_dyes; j++) {
        if (dip->depth_pct_owf[j] > 0.0) {
            add_line(rows, dye_row, dip, j, p);
        }
    }
    for (int k = 0; k < MDR_LAB_AUXES; k++) {
        if (dip->aux_g_per_l[k] > 0.0) {
            add_line(rows, aux_row, dip, k, p);
        }
    }
    add_line(rows, water_row, dip, pot, p);
    (void)mdr_rows_add(rows, reading_row, dip, p);
}

/* -- programme -- */

static double programme_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const double x = doc->margin, w = mdr_part_width(doc);
    mdr_ink_tick(doc, x, y + 2.5, TICK);
    return mdr_text(doc, &STEP, x + NAME_X, y + 1.0, w - NAME_X, row->what) + 3.0;
}

static void add_programme(mdr_rows *rows, const mdr_lab_print *p)
{
    if (p->n_programme == 0) {
        return;
    }
    heading(rows, "Programme");
    for (int i = 0; i < p->n_programme; i++) {
        (void)mdr_rows_add(rows, programme_row, p->programme[i], p);
    }
}

static void sheet_parts(mdr_rows *rows, const mdr_lab_print *p)
{
    rows->group++;
    (void)mdr_rows_add(rows, title_row, NULL, p);
    (void)mdr_rows_add(rows, who_row, NULL, p);
    (void)mdr_rows_add(rows, caution_row, NULL, p);
    add_solutions(rows, p);
    for (int i = 0; i < p->doses->pots; i++) {
        add_dip(rows, p, i);
    }
    add_programme(rows, p);
}

mdr_code mdr_card_laboratory(const mdr_lab_print *what, const mdr_card_print *print,
                             mdr_arena *arena, unsigned char **pdf, size_t *len, mdr_err *err)
{
    const bool named = what->shade[0] != '\0';
    const char *round =
        what->round > 0 ? mdr_arena_printf(arena, "round %d", what->round) : "laboratory dyeing";
    const char *title =
        mdr_arena_printf(arena, "Laboratory sheet%s%s", named ? " " : "", what->shade);
    if (round == NULL || title == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "document", "no memory left for the document");
    }
    const mdr_doc_about about = {.id = named ? what->shade : "Laboratory sheet",
                                 .words = round,
                                 .place = what->place,
                                 .invented = what->invented};
    mdr_doc doc = {.about = &about, .print = print, .arena = arena, .margin = MARGIN};
    MDR_TRY(mdr_doc_open(&doc, A4_W, A4_H, title, err));
    mdr_rows rows = {.arena = arena};
    sheet_parts(&rows, what);
    const mdr_code rc = mdr_rows_print(&rows, &doc, err);
    if (rc != MDR_OK) {
        (void)mdr_doc_close(&doc, NULL, NULL, NULL);
        return rc;
    }
    return mdr_doc_close(&doc, pdf, len, err);
}
