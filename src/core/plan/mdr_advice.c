#include "core/plan/mdr_advice.h"

#include <math.h>
#include <string.h>

#include "core/bath/mdr_rope.h"
#include "core/plan/mdr_planner.h"

static const double RATIO_LOW_L_PER_KG = 6.0; /* short liquor; common practice */
enum { LOTS_MANY = 4 }; /* from here on more lots are worth a word; common practice */

double mdr_grey_need_kg(double finished_kg, double loss_pct)
{
    return finished_kg / (1.0 - loss_pct / 100.0);
}

static void reason(mdr_advice *a, mdr_warn_id id, int n_args, const mdr_arg *args)
{
    if (a->n_reasons == (int)(sizeof a->reasons / sizeof a->reasons[0])) {
        return;
    }
    mdr_warn *w = &a->reasons[a->n_reasons++];
    *w = (mdr_warn){.id = id, .fig = MDR_FIG_NONE, .n_args = n_args};
    memcpy(w->args, args, (size_t)n_args * sizeof *args);
    a->suits = a->suits && mdr_warn_severity(id) != MDR_SEV_STOP && id != MDR_ADVICE_LIQUOR_OVER &&
               id != MDR_ADVICE_CYCLE;
}

#define REASON(a, id, ...)                                                             \
    reason((a), (id), (int)(sizeof((const mdr_arg[]){__VA_ARGS__}) / sizeof(mdr_arg)), \
           (const mdr_arg[]){__VA_ARGS__})

/* The heaviest lot this machine runs of this fabric: load, liquor and rope cycle each set a
 * limit. */
static double largest_lot(const mdr_advice_in *in, const mdr_machine *m, double ratio)
{
    const double by_liquor = m->liquor_max_l / ratio;
    const double by_cycle =
        mdr_rope_load_kg(m->cycle_max_min * m->speed_max_m_per_min, m->tubes, in->article->grey_gsm,
                         in->article->grey_width_cm / 100.0);
    return fmin(m->load_max_kg, fmin(by_liquor, by_cycle));
}

static void judge(mdr_advice *a, double asked_ratio)
{
    const mdr_machine *m = a->machine;
    const double bath_l = a->liquor_l / a->lots;
    if (a->lot_kg < m->load_min_kg) {
        REASON(a, MDR_ADVICE_TOO_LIGHT, mdr_arg_number(a->lot_kg, 0),
               mdr_arg_number(m->load_min_kg, 0));
    }
    if (bath_l > m->liquor_max_l * (1.0 + 1e-9)) {
        REASON(a, MDR_ADVICE_LIQUOR_OVER, mdr_arg_number(bath_l, 0),
               mdr_arg_number(m->liquor_max_l, 0));
    }
    if (a->cycle_min > m->cycle_max_min * (1.0 + 1e-9)) {
        REASON(a, MDR_ADVICE_CYCLE, mdr_arg_number(a->cycle_min, 1),
               mdr_arg_number(m->cycle_max_min, 1));
    }
    if (a->ratio_l_per_kg > asked_ratio * (1.0 + 1e-9)) {
        REASON(a, MDR_ADVICE_RATIO_RAISED, mdr_arg_number(m->liquor_min_l, 0),
               mdr_arg_number(a->ratio_l_per_kg, 1), mdr_arg_number(asked_ratio, 1));
    }
    if (a->lots >= LOTS_MANY) {
        REASON(a, MDR_ADVICE_MANY_LOTS, mdr_arg_number(a->lots, 0));
    }
    if (a->suits) {
        REASON(a, MDR_ADVICE_FITS, mdr_arg_text(""));
        REASON(a, MDR_ADVICE_FULL, mdr_arg_number(a->fill_pct, 0));
    }
    if (a->suits && a->ratio_l_per_kg <= RATIO_LOW_L_PER_KG) {
        REASON(a, MDR_ADVICE_LOW_RATIO, mdr_arg_number(a->ratio_l_per_kg, 1));
    }
}

static mdr_advice advise(const mdr_advice_in *in, const mdr_machine *m)
{
    mdr_advice a = {.machine = m, .suits = true};
    const double asked = in->ratio_l_per_kg > 0.0 ? in->ratio_l_per_kg : m->ratio_min_l_per_kg;
    const double ratio = fmax(asked, m->ratio_min_l_per_kg);
    a.lots = (int)fmin(ceil(in->order_kg / largest_lot(in, m, ratio) - 1e-9), 10000.0);
    a.lots = a.lots > 1 ? a.lots : 1;
    a.lot_kg = in->order_kg / a.lots;
    a.fill_pct = 100.0 * a.lot_kg / m->load_max_kg;
    a.ratio_l_per_kg = fmax(ratio, m->liquor_min_l / a.lot_kg);
    a.liquor_l = a.ratio_l_per_kg * in->order_kg;
    a.rope_m = mdr_rope_per_tube_m(
        mdr_rope_fabric_m(a.lot_kg, in->article->grey_gsm, in->article->grey_width_cm / 100.0),
        m->tubes);
    a.cycle_min = mdr_rope_cycle_min(a.rope_m, m->speed_max_m_per_min);
    judge(&a, ratio);
    return a;
}

static int rank(double left, double right)
{
    return left < right ? -1 : left > right ? 1 : 0;
}

static int compare(const mdr_advice *a, const mdr_advice *b)
{
    if (a->suits != b->suits) {
        return a->suits ? -1 : 1;
    }
    if (a->lots != b->lots) {
        return a->lots < b->lots ? -1 : 1;
    }
    const int water = rank(a->liquor_l, b->liquor_l);
    if (water != 0) {
        return water;
    }
    const int fuller = rank(b->fill_pct, a->fill_pct);
    return fuller != 0 ? fuller : strcmp(a->machine->machine_id, b->machine->machine_id);
}

/* A mill has some dozen machines: putting each in its place is quick enough. */
static void insert(mdr_advice *list, int n, const mdr_advice *a)
{
    int at = n;
    while (at > 0 && compare(a, &list[at - 1]) < 0) {
        list[at] = list[at - 1];
        at--;
    }
    list[at] = *a;
}

static mdr_code check(const mdr_advice_in *in, mdr_err *err)
{
    if (!(in->order_kg > 0.0 && in->order_kg <= 1e6)) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_RANGE, "order_kg", "the order has no mass to split");
        mdr_err_value(err, "%g", in->order_kg);
        mdr_err_allowed(err, "more than 0 to 1000000 kg");
        mdr_err_remedy(err, "enter the ordered kilograms");
        return rc;
    }
    if (!(in->article->grey_gsm > 0.0 && in->article->grey_width_cm > 0.0)) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "article.grey_gsm",
                                     "the article has no grey mass per area or width");
        mdr_err_remedy(err, "enter grey_gsm and grey_width_cm of the article");
        return rc;
    }
    return MDR_OK;
}

mdr_code mdr_advice_make(const mdr_advice_in *in, mdr_arena *arena, mdr_advice **out, int *n_out,
                         mdr_err *err)
{
    MDR_TRY(check(in, err));
    mdr_advice *list = MDR_NEW_N(arena, mdr_advice, (size_t)in->n_machines + 1);
    if (list == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "advice", "no memory for the advice");
    }
    int n = 0;
    for (int i = 0; i < in->n_machines; i++) {
        if (!in->leave_sample_machines || in->machines[i].kind != MDR_MACHINE_SAMPLE) {
            const mdr_advice way = advise(in, &in->machines[i]);
            insert(list, n++, &way);
        }
    }
    *out = list;
    *n_out = n;
    return MDR_OK;
}
