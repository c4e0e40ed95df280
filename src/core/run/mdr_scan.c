#include "core/run/mdr_scan.h"

#include <string.h>

#include "core/plan/mdr_pick.h"
#include "core/run/mdr_control.h"
#include "core/run/mdr_scan_in.h"

#define SCAN_ID(name, prefix, id, words)    id,
#define SCAN_WORDS(name, prefix, id, words) words,
MDR_PICK(mdr_scan_kind_id, mdr_scan_kind, MDR_SCANS(SCAN_ID))
MDR_PICK(mdr_scan_kind_words, mdr_scan_kind, MDR_SCANS(SCAN_WORDS))

#define SCAN_PREFIX(name, prefix, id, words) prefix,
static const char PREFIX[] = {MDR_SCANS(SCAN_PREFIX)};

/* -- check character -------------------------------------------------------------------------- */

enum { BASE = 36, CHECK_LEFT = 1 }; /* [iso-7064]: MOD 37,36; the sum leaves 1 */
static const char DIGITS[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

/* -1: takes no part in the check. */
static int value_of(char c)
{
    if (c >= '0' && c <= '9') {
        return c - '0';
    }
    if (c >= 'A' && c <= 'Z') {
        return c - 'A' + 10;
    }
    return c >= 'a' && c <= 'z' ? c - 'a' + 10 : -1;
}

char mdr_scan_check_char(const char *text, size_t len)
{
    int p = BASE;
    bool any = false;
    for (size_t i = 0; i < len; i++) {
        const int v = value_of(text[i]);
        if (v >= 0) {
            const int s = (p + v) % BASE;
            p = 2 * (s == 0 ? BASE : s) % (BASE + 1);
            any = true;
        }
    }
    return DIGITS[any ? (BASE + CHECK_LEFT - p) % BASE : 0];
}

/* -- writing ---------------------------------------------------------------------------------- */

enum { ID_MOST = 40, BATCH_MOST = 48 }; /* a batch is called LOT.N */

static bool is_id_char(char c)
{
    return value_of(c) >= 0 || c == '-' || c == '_' || c == '.';
}

static bool good_id(const char *id, size_t most)
{
    bool any = false;
    size_t n = 0;
    for (; id != NULL && id[n] != '\0'; n++) {
        any = any || value_of(id[n]) >= 0;
        if (!is_id_char(id[n])) {
            return false;
        }
    }
    return any && n <= most;
}

static mdr_code refuse(const char *place, const char *msg, const char *allowed, mdr_err *err)
{
    (void)MDR_FAIL(err, MDR_E_ARG, place, "%s", msg);
    mdr_err_allowed(err, "%s", allowed);
    return MDR_E_ARG;
}

static mdr_code with_check(const char *text, mdr_arena *arena, const char **out, mdr_err *err)
{
    const char *all = text == NULL ? NULL
                                   : mdr_arena_printf(arena, "%s-%c", text,
                                                      mdr_scan_check_char(text, strlen(text)));
    if (all == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the text of a label");
    }
    *out = all;
    return MDR_OK;
}

static const char ID_ALLOWED[] = "1 to 40 of A-Z a-z 0-9 - _ . with a letter or a digit";
static const char BATCH_ALLOWED[] = "1 to 48 of A-Z a-z 0-9 - _ . with a letter or a digit";

mdr_code mdr_scan_write(mdr_scan_kind kind, const char *id, mdr_arena *arena, const char **out,
                        mdr_err *err)
{
    if ((unsigned)kind >= MDR_SCAN_WEIGHING) {
        return refuse("kind", "such a label is not written here",
                      "lot, machine, stock-lot, material, vessel, person", err);
    }
    if (!good_id(id, ID_MOST)) {
        return refuse("id", "this is no id", ID_ALLOWED, err);
    }
    return with_check(mdr_arena_printf(arena, "%c-%s", PREFIX[kind], id), arena, out, err);
}

/* "3.4", "R2.1" */
static bool good_step(const char *step, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        const bool letter = step[i] == 'R' && i == 0;
        if (!letter && step[i] != '.' && (step[i] < '0' || step[i] > '9')) {
            return false;
        }
    }
    return n > 0 && n < MDR_CONTROL_KEY_MAX;
}

mdr_code mdr_scan_write_weighing(const char *batch_id, const char *step, int item, mdr_arena *arena,
                                 const char **out, mdr_err *err)
{
    if (!good_id(batch_id, BATCH_MOST)) {
        return refuse("id", "this is no id of a batch", BATCH_ALLOWED, err);
    }
    if (step == NULL || !good_step(step, strlen(step))) {
        return refuse("step", "this is no key of a step", "as 3.4 or R2.1", err);
    }
    if (item < 1 || item > MDR_SCAN_ITEM_MAX) {
        return refuse("item", "no number of an item in a step", "1 to 99", err);
    }
    return with_check(mdr_arena_printf(arena, "W-%s/%s/%d", batch_id, step, item), arena, out, err);
}

/* -- reading ---------------------------------------------------------------------------------- */

mdr_code mdr_scan_fail(const mdr_scan_text *t, size_t at, mdr_code code, const char *msg,
                       mdr_err *err)
{
    char shown[40];
    size_t n = 0;
    for (size_t i = 0; i < t->len && n + 1 < sizeof shown; i++) {
        shown[n++] = t->text[i];
        if ((unsigned char)t->text[i] < 0x20 || (unsigned char)t->text[i] >= 0x7F) {
            shown[n - 1] = '?'; /* never raw bytes on a terminal */
        }
    }
    shown[n] = '\0';
    (void)mdr_err_set(err, code, "", __FILE__, __LINE__, "%s", msg);
    mdr_err_within(err, "scan:%zu", t->before + at + 1);
    mdr_err_value(err, "%s", shown);
    return code;
}

static mdr_code no_label(const mdr_scan_text *t, size_t at, const char *msg, mdr_err *err)
{
    (void)mdr_scan_fail(t, at, MDR_E_PARSE, msg, err);
    mdr_err_allowed(err, "letter L M C P V U W, dash, id, dash, check character; or GS1");
    mdr_err_remedy(err, "scan again; when it goes on, set the scanner to the keyboard layout of "
                        "this computer and switch Caps Lock off");
    return MDR_E_PARSE;
}

static mdr_scan_kind kind_of(char prefix)
{
    int k = 0;
    while (k < MDR_SCAN_GOODS && PREFIX[k] != prefix) {
        k++;
    }
    return (mdr_scan_kind)k;
}

static mdr_code take_id(const mdr_scan_text *t, size_t at, size_t end, mdr_arena *arena,
                        mdr_scan *s, mdr_err *err)
{
    const char *id = mdr_arena_text_n(arena, t->text + at, end - at);
    if (id == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to read a label");
    }
    const size_t most = s->kind == MDR_SCAN_WEIGHING ? BATCH_MOST : ID_MOST;
    if (end - at > most) {
        (void)mdr_scan_fail(t, at, MDR_E_RANGE, "the id is too long", err);
        mdr_err_allowed(err, "at most %zu characters", most);
        return MDR_E_RANGE;
    }
    for (size_t i = at; i < end; i++) {
        if (!is_id_char(t->text[i])) {
            return no_label(t, i, "this character stands in no id", err);
        }
    }
    if (!good_id(id, most)) {
        return no_label(t, at, "there is no id on the label", err);
    }
    s->id = id;
    return MDR_OK;
}

/* "B26-7/3.4/2" between the dashes */
static mdr_code take_weighing(const mdr_scan_text *t, size_t end, mdr_arena *arena, mdr_scan *s,
                              mdr_err *err)
{
    size_t first = 2, second;
    while (first < end && t->text[first] != '/') {
        first++;
    }
    second = first + 1;
    while (second < end && t->text[second] != '/') {
        second++;
    }
    if (second >= end || !good_step(t->text + first + 1, second - first - 1)) {
        return no_label(t, first, "the label of a weighed portion names batch/step/item", err);
    }
    MDR_TRY(take_id(t, 2, first, arena, s, err));
    for (size_t i = second + 1; i < end; i++) {
        const int v = value_of(t->text[i]);
        if (v < 0 || v > 9 || (v == 0 && s->item == 0) || s->item * 10 + v > MDR_SCAN_ITEM_MAX) {
            return no_label(t, i, "no number of an item in a step", err);
        }
        s->item = s->item * 10 + v;
    }
    s->step = mdr_arena_text_n(arena, t->text + first + 1, second - first - 1);
    if (s->step == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory to read a label");
    }
    return s->item > 0 ? MDR_OK : no_label(t, second, "no number of an item in a step", err);
}

static mdr_code take_own(const mdr_scan_text *t, mdr_arena *arena, mdr_scan *s, mdr_err *err)
{
    s->kind = t->len > 1 && t->text[1] == '-' ? kind_of(t->text[0]) : MDR_SCAN_GOODS;
    if (s->kind == MDR_SCAN_GOODS) {
        return no_label(t, 0, "this is no label of ours and none of GS1", err);
    }
    if (t->len < 5 || t->text[t->len - 2] != '-') {
        return no_label(t, t->len - 1, "the label ends before its check character", err);
    }
    const size_t end = t->len - 2;
    MDR_TRY(s->kind == MDR_SCAN_WEIGHING ? take_weighing(t, end, arena, s, err)
                                         : take_id(t, 2, end, arena, s, err));
    if (t->text[t->len - 1] != mdr_scan_check_char(t->text, end)) {
        (void)mdr_scan_fail(t, t->len - 1, MDR_E_PARSE,
                            "the label was misread: its check character does not fit", err);
        mdr_err_remedy(err, "scan again, or type it again from below the code");
        return MDR_E_PARSE;
    }
    return MDR_OK;
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

/* Where data of GS1 begin: behind a symbology identifier or a leading FNC1; len: it is none. */
static size_t goods_at(const mdr_scan_text *t)
{
    static const char *const SYMBOLOGY[] = {"]C1", "]e0", "]d2", "]Q3", "]J1"};
    for (size_t i = 0; i < sizeof SYMBOLOGY / sizeof SYMBOLOGY[0]; i++) {
        if (t->len >= 3 && memcmp(t->text, SYMBOLOGY[i], 3) == 0) {
            return 3;
        }
    }
    if (t->len > 0 && t->text[0] == 29) {
        return 1;
    }
    return t->len > 0 && t->text[0] >= '0' && t->text[0] <= '9' ? 0 : t->len;
}

mdr_code mdr_scan_read(const char *text, size_t len, int year, mdr_arena *arena, mdr_scan *out,
                       mdr_err *err)
{
    mdr_scan s = {.id = "", .step = "", .gtin = "", .supplier_lot = "", .serial = ""};
    mdr_scan_text t = {text, len, 0};
    while (t.len > 0 && is_blank(t.text[t.len - 1])) {
        t.len--;
    }
    while (t.len > 0 && is_blank(t.text[0])) {
        t.text++;
        t.len--;
        t.before++;
    }
    if (t.len == 0) {
        return no_label(&t, 0, "nothing was scanned", err);
    }
    if (t.len > MDR_SCAN_TEXT_MAX) {
        (void)mdr_scan_fail(&t, MDR_SCAN_TEXT_MAX, MDR_E_RANGE, "this is too long for a label",
                            err);
        mdr_err_allowed(err, "at most %d bytes", (int)MDR_SCAN_TEXT_MAX);
        return MDR_E_RANGE;
    }
    const size_t at = goods_at(&t);
    s.kind = MDR_SCAN_GOODS;
    MDR_TRY(at < t.len ? mdr_scan_goods(&t, at, year, arena, &s, err)
                       : take_own(&t, arena, &s, err));
    *out = s;
    return MDR_OK;
}
