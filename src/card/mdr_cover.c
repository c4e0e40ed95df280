#include <stdio.h>
#include <stdlib.h>

#include "card/mdr_chart.h"
#include "card/mdr_digits.h"
#include "card/mdr_parts.h"
#include "core/units/mdr_swatch.h"

static const mdr_style KICKER = {.size_pt = 9.0, .weight = 600, .ink = 0.25, .lines = 1};
static const mdr_style LABEL = {.size_pt = 7.5, .weight = 400, .ink = 0.25, .lines = 1};
static const mdr_style VALUE = {.size_pt = 11.5, .weight = 600};
static const mdr_style BIG = {.size_pt = 23.0, .weight = 600, .lines = 1};
static const mdr_style LOT = {.size_pt = 54.0, .weight = 700, .lines = 1};
static const mdr_style PARTY = {.size_pt = 15.0, .weight = 500};
static const mdr_style UNDER_QR = {.size_pt = 9.0, .weight = 600, .align = MDR_CENTRE, .lines = 1};
static const mdr_style SHADE = {.size_pt = 19.0, .weight = 700};
static const mdr_style SMALL = {.size_pt = 7.5, .weight = 400, .ink = 0.2, .lines = 3};

static const double LOT_LEAST_PT = 12.0, CODE_LEAST_PT = 4.0; /* of a very long number */
static const double QR_MODULE = 1.0 * MDR_MM;
static const double SWATCH_W = 40.0 * MDR_MM, SWATCH_H = 24.0 * MDR_MM;

double mdr_part_width(const mdr_doc *doc)
{
    return doc->width - 2.0 * doc->margin;
}

static double larger(double a, double b)
{
    return a > b ? a : b;
}

static double figure(const mdr_doc *doc, mdr_fig_id id)
{
    return mdr_fig_value(&doc->plan->figs, id);
}

static void lot_number(mdr_doc *doc, double baseline, double width)
{
    const char *lot_id = doc->plan->lot->lot_id;
    const mdr_style style = mdr_text_fit(doc, &LOT, LOT_LEAST_PT, width, lot_id);
    (void)mdr_text_base(doc, &style, doc->margin - 2.0, baseline, width, lot_id);
}

/* Lot, customer, order, due day; QR code at the right. Its quiet zone may lie on the margin. */
static double title_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const mdr_lot *lot = doc->plan->lot;
    const double x = doc->margin, w = mdr_part_width(doc);
    const double side = mdr_ink_qr_side(lot->lot_id, QR_MODULE), quiet = 4.0 * QR_MODULE;
    const double code_x = x + w - (side - quiet);
    const double left = w - side - 4.0;
    char day[MDR_DIGITS_MAX];
    mdr_digits_day(day, (long long)lot->due_utc_ms);
    const double code_y = y + 7.0 - quiet;
    if (side > 0.0) {
        mdr_ink_qr(doc, lot->lot_id, code_x, code_y, QR_MODULE);
        const mdr_style under = mdr_text_fit(doc, &UNDER_QR, CODE_LEAST_PT, side, lot->lot_id);
        (void)mdr_text_base(doc, &under, code_x, code_y + side + 7.0, side, lot->lot_id);
    }
    (void)mdr_text_base(doc, &KICKER, x, y + 11.0, left, "BATCH CARD");
    lot_number(doc, y + 55.0, left);
    double below = 61.5 + mdr_text(doc, &PARTY, x, y + 61.5, left, lot->customer);
    below += mdr_text(doc, &VALUE, x, y + below + 1.0, left,
                      mdr_doc_say(doc, "Order %s%s%s", lot->order_id,
                                  day[0] == '\0' ? "" : "  \u00b7  due ", day));
    return larger(side - quiet + 20.0, below + 7.0);
}

static void swatch(mdr_doc *doc, double x, double y)
{
    const mdr_shade *shade = doc->plan->lot->shade;
    char hex[8];
    mdr_swatch_hex(shade->lab_l, shade->lab_a, shade->lab_b, hex, NULL);
    const unsigned long rgb = strtoul(hex + 1, NULL, 16); /* after the # */
    if (!doc->dry) {
        cairo_set_source_rgb(doc->cr, (double)(rgb >> 16 & 255u) / 255.0,
                             (double)(rgb >> 8 & 255u) / 255.0, (double)(rgb & 255u) / 255.0);
        cairo_rectangle(doc->cr, x, y, SWATCH_W, SWATCH_H);
        cairo_fill(doc->cr);
    }
    mdr_ink_frame(doc, (mdr_box){x, y, SWATCH_W, SWATCH_H}, 0.5, 0.35);
}

/* "laboratory × factor" of each dye that has one; "" when the depths are the laboratory's. */
static const char *bulk_words(mdr_doc *doc)
{
    const mdr_shade *shade = doc->plan->lot->shade;
    const char *text = "";
    char factor[MDR_DIGITS_MAX];
    for (int i = 0; shade->bulk != NULL && i < shade->n_dyes && i < MDR_RECIPE_LINES_MAX; i++) {
        if (shade->bulk->factor[i] != 1.0) {
            mdr_digits_trim(factor, shade->bulk->factor[i], 1, 3);
            text = mdr_doc_say(doc, "%s%s%s\u00a0\u00d7\u00a0%s", text, text[0] != '\0' ? ", " : "",
                               shade->dyes[i].dye->material_id, factor);
        }
    }
    return text[0] == '\0'
               ? ""
               : mdr_doc_say(doc, "Laboratory to bulk, %s: %s", shade->bulk->machine_id, text);
}

static double shade_words(mdr_doc *doc, double x, double y, double w)
{
    const mdr_shade *shade = doc->plan->lot->shade;
    char l[MDR_DIGITS_MAX], a[MDR_DIGITS_MAX], b[MDR_DIGITS_MAX], hex[8];
    bool inside = true;
    double at = y - 1.5 + mdr_text(doc, &SHADE, x, y - 1.5, w, shade->name);
    mdr_digits_trim(l, figure(doc, doc->plan->depth_pct_owf), 1, 3);
    const char *depth =
        shade->n_dyes > 0 ? mdr_doc_say(doc, "  \u00b7  depth %s\u00a0%% owf", l) : "";
    at += mdr_text(doc, &VALUE, x, at, w,
                   mdr_doc_say(doc, "%s  \u00b7  %s%s", shade->shade_id,
                               mdr_dye_class_words((mdr_dye_class)shade->dye_class), depth));
    const char *bulk = bulk_words(doc);
    at += bulk[0] != '\0' ? mdr_text(doc, &VALUE, x, at, w, bulk) : 0.0;
    mdr_digits_fixed(l, shade->lab_l, 1);
    mdr_digits_fixed(a, shade->lab_a, 1);
    mdr_digits_fixed(b, shade->lab_b, 1);
    mdr_swatch_hex(shade->lab_l, shade->lab_a, shade->lab_b, hex, &inside);
    at += 3.0;
    at += mdr_text(doc, &SMALL, x, at, w,
                   mdr_doc_say(doc,
                               "L* %s  a* %s  b* %s, D65/10\u00b0. Print colour only, not for "
                               "judgement%s",
                               l, a, b,
                               inside ? "." : "; outside what sRGB can show, cut to the nearest."));
    return at - y;
}

typedef struct fact {
    const char *label;
    const char *value;
    double x, w; /* as parts of the width */
} fact;

static double put_fact(mdr_doc *doc, const fact *f, const mdr_style *style, double y)
{
    const double x = doc->margin + f->x * mdr_part_width(doc);
    const double w = f->w * mdr_part_width(doc) - 8.0;
    (void)mdr_text_base(doc, &LABEL, x, y + 8.0, w, f->label);
    return 11.0 + mdr_text(doc, style, x, y + 11.0, w, f->value);
}

static double shade_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const mdr_plan *plan = doc->plan;
    const double x = doc->margin, w = mdr_part_width(doc);
    mdr_ink_line(doc, x, y, x + w, y, 1.2, 0.0);
    swatch(doc, x, y + 8.0);
    const double text_x = x + SWATCH_W + 12.0;
    const double words = shade_words(doc, text_x, y + 8.0, w * 0.68 - SWATCH_W - 20.0);
    const char *machine =
        mdr_doc_say(doc, "%s  %s", plan->machine->machine_id, plan->machine->name);
    const char *route =
        mdr_doc_say(doc, "%s, version %d%s", plan->route->name, plan->route->version,
                    plan->route->invented ? " (invented)" : "");
    /* one under the other by what they really take */
    double below = 6.0 + put_fact(doc, &(fact){"Machine", machine, 0.70, 0.30}, &VALUE, y + 6.0);
    below += 4.0;
    below += put_fact(doc, &(fact){"Route", route, 0.70, 0.30}, &VALUE, y + below);
    return larger(larger(SWATCH_H, words) + 16.0, below + 6.0);
}

static double article_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const mdr_plan *plan = doc->plan;
    const mdr_article *article = plan->lot->article;
    const double x = doc->margin, w = mdr_part_width(doc);
    char gsm[MDR_DIGITS_MAX], width[MDR_DIGITS_MAX], speed[MDR_DIGITS_MAX];
    mdr_ink_line(doc, x, y, x + w, y, 0.4, 0.3);
    mdr_digits_fixed(gsm, article->finished_gsm, 0);
    mdr_digits_fixed(width, article->finished_width_cm, 0);
    mdr_digits_fixed(speed, figure(doc, plan->speed_m_per_min), 0);
    const int used = plan->lot->tubes_used > 0 ? plan->lot->tubes_used : plan->machine->tubes;
    const fact facts[] = {
        {"Article", mdr_doc_say(doc, "%s  %s", article->article_id, article->name), 0.0, 0.36},
        {"Construction, finished to",
         mdr_doc_say(doc, "%s, %s\u00a0g/\u2060m\u00b2\u00a0\u00d7\u00a0%s\u00a0cm",
                     mdr_construction_words((mdr_construction)article->construction), gsm, width),
         0.36, 0.34},
        {"Ropes side by side, speed", mdr_doc_say(doc, "%d at %s\u00a0m/min", used, speed), 0.70,
         0.30}};
    double h = 0.0;
    for (size_t i = 0; i < sizeof facts / sizeof facts[0]; i++) {
        h = larger(h, put_fact(doc, &facts[i], &VALUE, y + 3.0));
    }
    return h + 7.0;
}

/* The numbers somebody looks for from the other side of the machine. */
static double numbers_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const mdr_plan *plan = doc->plan;
    const double x = doc->margin, w = mdr_part_width(doc);
    char load[MDR_DIGITS_MAX], ratio[MDR_DIGITS_MAX], liquor[MDR_DIGITS_MAX], rope[MDR_DIGITS_MAX],
        cycle[MDR_DIGITS_MAX], total[MDR_DIGITS_MAX], rolls[16], ratio_text[MDR_DIGITS_MAX + 4];
    mdr_digits_trim(load, figure(doc, plan->load_kg), 0, 1);
    const double ratio_l_per_kg = figure(doc, plan->ratio_l_per_kg);
    mdr_digits_trim(ratio, ratio_l_per_kg, 0, ratio_l_per_kg < 10.0 ? 2 : 1);
    mdr_digits_whole(liquor, figure(doc, plan->liquor_l));
    mdr_digits_fixed(rope, figure(doc, plan->rope_m), 0);
    mdr_digits_fixed(cycle, figure(doc, plan->cycle_min), 1);
    mdr_digits_clock(total, figure(doc, plan->total_min));
    (void)snprintf(rolls, sizeof rolls, "%d", plan->lot->n_rolls);
    (void)snprintf(ratio_text, sizeof ratio_text, "1:%s", ratio);
    const fact facts[] = {
        {"Load, kg", load, 0.0, 0.155},     {"Liquor ratio", ratio_text, 0.155, 0.155},
        {"Liquor, L", liquor, 0.31, 0.155}, {"Rope per tube, m", rope, 0.465, 0.155},
        {"Cycle, min", cycle, 0.62, 0.12},  {"Total time, h:mm", total, 0.74, 0.16},
        {"Rolls", rolls, 0.90, 0.12},
    };
    mdr_ink_line(doc, x, y, x + w, y, 0.4, 0.3);
    for (size_t i = 0; i < sizeof facts / sizeof facts[0]; i++) {
        (void)put_fact(doc, &facts[i], &BIG, y + 3.0);
    }
    return 48.0;
}

static double curve_row(mdr_doc *doc, const mdr_row *row, double y)
{
    (void)row;
    const double x = doc->margin, w = mdr_part_width(doc);
    mdr_ink_line(doc, x, y, x + w, y, 1.2, 0.0);
    return 6.0 + mdr_chart_draw(doc, x, y + 6.0, w - 8.0) + 8.0;
}

void mdr_part_cover(mdr_rows *rows, mdr_doc *doc)
{
    (void)doc;
    rows->group++;
    (void)mdr_rows_add(rows, title_row, NULL, NULL);
    (void)mdr_rows_add(rows, shade_row, NULL, NULL);
    (void)mdr_rows_add(rows, article_row, NULL, NULL);
    (void)mdr_rows_add(rows, numbers_row, NULL, NULL);
    (void)mdr_rows_add(rows, curve_row, NULL, NULL);
}
