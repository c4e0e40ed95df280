#include <stdio.h>

#include "card/mdr_parts.h"
#include "card/mdr_words.h"
#include "core/plan/mdr_say.h"

static const mdr_style HEADING = {.size_pt = 11.0, .weight = 700, .lines = 1};
static const mdr_style WORD = {.size_pt = 9.0, .weight = 700, .lines = 1};
static const mdr_style SENTENCE = {.size_pt = 9.5, .weight = 400, .lines = 6};
static const mdr_style CAUTION = {.size_pt = 8.0, .weight = 400, .lines = 4};
static const mdr_style CAUTION_WORD = {.size_pt = 8.0, .weight = 600, .lines = 1};
static const mdr_style TINY = {.size_pt = 7.5, .weight = 500, .lines = 1};

double mdr_part_heading(mdr_doc *doc, const mdr_row *row, double y)
{
    const double x = doc->margin, w = mdr_part_width(doc);
    const char *text = row->what;
    if (doc->part > 1) {
        text = mdr_doc_say(doc, "%s (continued)", text);
    }
    mdr_ink_line(doc, x, y + 8.0, x + w, y + 8.0, 1.2, 0.0);
    (void)mdr_text_base(doc, &HEADING, x, y + 22.5, w, text);
    return 29.0;
}

static double warning_row(mdr_doc *doc, const mdr_row *row, double y)
{
    static const char *const WORDS[] = {"NOTE", "WARNING", "STOP"};
    const mdr_warn *warn = row->what;
    const mdr_severity severity = mdr_warn_severity(warn->id);
    const double x = doc->margin, w = mdr_part_width(doc);
    const char *said = mdr_say_warn(warn, doc->arena);
    doc->sink.no_memory = doc->sink.no_memory || said == NULL;
    said = said != NULL ? said : "";
    const char *text = said;
    if (warn->at.bath > 0 && warn->at.step > 0) {
        text = mdr_doc_say(doc, "%d.%d  %s", warn->at.bath, warn->at.step, said);
    } else if (warn->at.bath > 0) {
        text = mdr_doc_say(doc, "Bath %d  %s", warn->at.bath, said);
    }
    mdr_ink_severity(doc, severity, x, y + 1.0, 11.0);
    (void)mdr_text_base(doc, &WORD, x + 17.0, y + 10.0, 52.0, WORDS[severity]);
    const double below = mdr_text_base(doc, &SENTENCE, x + 72.0, y + 10.0, w - 72.0, text);
    const double h = 10.0 + below + 3.0;
    return h > 16.0 ? h : 16.0;
}

static uint32_t all_cautions(const mdr_plan *plan)
{
    uint32_t set = 0;
    for (int b = 0; b < plan->n_baths; b++) {
        for (int s = 0; s < plan->baths[b].n_steps; s++) {
            const mdr_plan_step *step = &plan->baths[b].steps[s];
            set |= step->cautions;
            for (int i = 0; i < step->n_items; i++) {
                set |= step->items[i].material->cautions;
            }
        }
    }
    return set;
}

static double one_caution(mdr_doc *doc, mdr_caution caution, mdr_box box)
{
    char word[MDR_WORDS_MAX];
    mdr_words_caution(caution, word);
    mdr_ink_caution(doc, caution, box.x, box.y, 13.0);
    (void)mdr_text_base(doc, &CAUTION_WORD, box.x + 18.0, box.y + 9.0, box.w - 18.0, word);
    return 12.0 + mdr_text(doc, &CAUTION, box.x + 18.0, box.y + 11.5, box.w - 18.0,
                           mdr_say_caution(caution));
}

/* Two cautions side by side: row->number holds the two, the second may be none. */
static double caution_row(mdr_doc *doc, const mdr_row *row, double y)
{
    const int left = row->number % 64, right = row->number / 64;
    const double w = (mdr_part_width(doc) - 16.0) / 2.0;
    double h = one_caution(doc, (mdr_caution)left, (mdr_box){doc->margin, y, w, 0.0});
    if (right < MDR_CAUTION_COUNT) {
        const mdr_box box = {doc->margin + w + 16.0, y, w, 0.0};
        const double other = one_caution(doc, (mdr_caution)right, box);
        h = other > h ? other : h;
    }
    return h + 3.0;
}

static void add_cautions(mdr_rows *rows, uint32_t set)
{
    if (set == 0) {
        return;
    }
    rows->group++;
    mdr_rows_add(rows, mdr_part_heading, "Cautions", NULL)->glue = true;
    int waiting = -1;
    for (int c = 0; c < MDR_CAUTION_COUNT; c++) {
        if ((set & (1u << c)) == 0) {
            continue;
        }
        if (waiting < 0) {
            waiting = c;
        } else {
            mdr_rows_add(rows, caution_row, NULL, NULL)->number = waiting + 64 * c;
            waiting = -1;
        }
    }
    if (waiting >= 0) {
        mdr_rows_add(rows, caution_row, NULL, NULL)->number = waiting + 64 * MDR_CAUTION_COUNT;
    }
}

void mdr_part_warnings(mdr_rows *rows, mdr_doc *doc)
{
    const mdr_plan *plan = doc->plan;
    if (plan->n_warns > 0) {
        rows->group++;
        mdr_row *heading = mdr_rows_add(rows, mdr_part_heading, "Before you start", NULL);
        heading->glue = true;
        heading->head = true;
        heading->loose = true; /* the gravest stand on page 1 */
    }
    for (int severity = MDR_SEV_STOP; severity >= MDR_SEV_NOTE; severity--) {
        for (int i = 0; i < plan->n_warns; i++) {
            if ((int)mdr_warn_severity(plan->warns[i].id) == severity) {
                (void)mdr_rows_add(rows, warning_row, &plan->warns[i], NULL);
            }
        }
    }
    add_cautions(rows, all_cautions(plan));
}

double mdr_part_cautions(mdr_doc *doc, uint32_t cautions, double x, double y, double width)
{
    double at = x, line = y;
    if (cautions == 0) {
        return 0.0;
    }
    for (int c = 0; c < MDR_CAUTION_COUNT; c++) {
        if ((cautions & (1u << c)) == 0) {
            continue;
        }
        char word[MDR_WORDS_MAX];
        mdr_words_caution((mdr_caution)c, word);
        const double w = mdr_text_width(doc, &TINY, word, NULL) + 14.0;
        if (at > x && at + w > x + width) {
            at = x;
            line += 12.0;
        }
        mdr_ink_caution(doc, (mdr_caution)c, at, line + 0.5, 10.5);
        (void)mdr_text_base(doc, &TINY, at + 13.0, line + 8.5, w, word);
        at += w + 8.0;
    }
    return line + 12.0 - y;
}
