/* pH of a programme from a table along the planned order of its doses. */
#include <math.h>
#include <string.h>

#include "core/exhaust/mdr_dye_programme.h"

/* A middle this near to the straight line is good; it is kept as a node, so what remains is a
 * quarter of it. Once may be by chance, where the curve crosses its chord: twice, one in the other,
 * counts. */
static const double PH_TOLERANCE = 0.007;
/* Temperatures of the table: half of the curvature of pH over 5 degC is below 0.002. */
static const double TEMP_STEP_C = 5.0, TEMP_MOST_C = 100.0;
static const double NEUTRAL_PH = 7.0, NOT_SOLVED = -1.0;

enum { NODES_MAX = 96, TEMPS = 21, HALVINGS = 13, GOOD = 2 };

/* One step that changes what is dissolved; those before it are in, those behind it are not. */
typedef struct segment {
    int step;
    int n_nodes;
    double given[NODES_MAX];
    double ph[NODES_MAX][TEMPS];
} segment;

struct mdr_ph_table {
    int n_steps;
    double start_mol[MDR_TOTAL_COUNT], conc_l;
    double mol[MDR_DYE_STEPS_MAX][MDR_TOTAL_COUNT]; /* amounts it was made for */
    segment *segments;
    int n_segments;
    mdr_equil_model models[TEMPS];
    bool has_model[TEMPS];
    long solved;
};

static bool changes_bath(const double *mol)
{
    for (int t = 0; t < MDR_TOTAL_COUNT; t++) {
        if (mol[t] != 0.0) {
            return true;
        }
    }
    return false;
}

static void add(double *totals, const double *mol, double part)
{
    for (int t = 0; t < MDR_TOTAL_COUNT; t++) {
        totals[t] += mol[t] * part;
    }
}

static double solve(mdr_ph_table *table, const mdr_equil_model *model, const double *totals_mol,
                    double conc_l, double temp_c)
{
    mdr_mix mix = {.temp_c = temp_c};
    for (int t = 0; t < MDR_TOTAL_COUNT; t++) {
        mix.mol_per_kg[t] = fmax(0.0, totals_mol[t] / conc_l); /* what reacts ends a hair below 0 */
    }
    if (!mdr_mix_known(&mix)) {
        return NEUTRAL_PH;
    }
    mdr_equil e;
    mdr_equil_solve(model, &mix, -1.0, &e);
    table->solved++;
    return e.ph;
}

static const mdr_equil_model *model_of(mdr_ph_table *table, int k)
{
    if (!table->has_model[k]) {
        table->models[k] = mdr_equil_model_at(k * TEMP_STEP_C);
        table->has_model[k] = true;
    }
    return &table->models[k];
}

/* -- the table -- */

static double node(mdr_ph_table *table, segment *s, int i, int k)
{
    if (s->ph[i][k] == NOT_SOLVED) {
        double totals[MDR_TOTAL_COUNT];
        memcpy(totals, table->start_mol, sizeof totals);
        for (int j = 0; j < s->step; j++) {
            add(totals, table->mol[j], 1.0);
        }
        add(totals, table->mol[s->step], s->given[i]);
        s->ph[i][k] = solve(table, model_of(table, k), totals, table->conc_l, k * TEMP_STEP_C);
    }
    return s->ph[i][k];
}

static void insert(segment *s, int at, double given)
{
    for (int i = s->n_nodes; i > at; i--) {
        s->given[i] = s->given[i - 1];
        memcpy(s->ph[i], s->ph[i - 1], sizeof s->ph[i]);
    }
    s->given[at] = given;
    for (int k = 0; k < TEMPS; k++) {
        s->ph[at][k] = NOT_SOLVED;
    }
    s->n_nodes++;
}

/* Halves every interval whose middle a straight line misses. */
static void refine(mdr_ph_table *table, segment *s, int k)
{
    int good[NODES_MAX] = {
        0}; /* of the interval behind a node: halvings that hit, one in the other */
    insert(s, 0, 0.0);
    insert(s, 1, 0.5);
    insert(s, 2, 1.0);
    bool all_good = false;
    for (int pass = 0; pass < HALVINGS && !all_good; pass++) {
        all_good = true;
        for (int i = 0; i + 1 < s->n_nodes && s->n_nodes < NODES_MAX; i++) {
            if (good[i] >= GOOD) {
                continue;
            }
            const double straight = 0.5 * (node(table, s, i, k) + node(table, s, i + 1, k));
            insert(s, i + 1, 0.5 * (s->given[i] + s->given[i + 1]));
            memmove(&good[i + 1], &good[i], sizeof good[0] * (size_t)(NODES_MAX - i - 1));
            const bool hit = fabs(node(table, s, i + 1, k) - straight) <= PH_TOLERANCE;
            good[i] = good[i + 1] = hit ? good[i] + 1 : 0;
            all_good = all_good && good[i] >= GOOD;
            i++; /* its second half has its turn in the next pass */
        }
    }
}

mdr_code mdr_ph_table_make(const mdr_dye_programme *p, mdr_arena *arena, mdr_ph_table **out,
                           mdr_err *err)
{
    MDR_TRY(mdr_dye_programme_check(p, err));
    mdr_ph_table *table = MDR_NEW(arena, mdr_ph_table);
    int n = 0;
    for (int i = 0; i < p->n_steps; i++) {
        n += changes_bath(p->steps[i].mol) ? 1 : 0;
    }
    segment *segments = MDR_NEW_N(arena, segment, (size_t)n + 1);
    if (table == NULL || segments == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the pH of the programme");
    }
    table->segments = segments;
    table->n_steps = p->n_steps;
    table->conc_l = p->conc_l;
    memcpy(table->start_mol, p->start_mol, sizeof table->start_mol);
    mdr_dye_time times[MDR_DYE_STEPS_MAX];
    (void)mdr_dye_programme_times(p, times);
    for (int i = 0; i < p->n_steps; i++) {
        add(table->mol[i], p->steps[i].mol, p->steps[i].amount);
        if (!changes_bath(p->steps[i].mol)) {
            continue;
        }
        segment *s = &segments[table->n_segments++];
        const double temp_c = fmin(fmax(times[i].from_c, 0.0), TEMP_MOST_C);
        s->step = i;
        refine(table, s, (int)lround(temp_c / TEMP_STEP_C));
    }
    *out = table;
    return MDR_OK;
}

int mdr_ph_table_nodes(const mdr_ph_table *table, int step, const double **given)
{
    for (int i = 0; i < table->n_segments; i++) {
        if (table->segments[i].step == step) {
            *given = table->segments[i].given;
            return table->segments[i].n_nodes;
        }
    }
    return 0;
}

long mdr_ph_table_solved(const mdr_ph_table *table)
{
    return table->solved;
}

/* -- looking up -- */

static bool is_same(const mdr_ph_table *table, const mdr_dye_programme *p)
{
    if (table->n_steps != p->n_steps || table->conc_l != p->conc_l) {
        return false;
    }
    for (int t = 0; t < MDR_TOTAL_COUNT; t++) {
        if (table->start_mol[t] != p->start_mol[t]) {
            return false;
        }
    }
    for (int i = 0; i < p->n_steps; i++) {
        for (int t = 0; t < MDR_TOTAL_COUNT; t++) {
            if (table->mol[i][t] != p->steps[i].mol[t] * p->steps[i].amount) {
                return false;
            }
        }
    }
    return true;
}

/* The segment that this state lies on, or NULL: doses overlap. */
static segment *on_path(mdr_ph_table *table, const double *given, double *part)
{
    segment *on = NULL;
    bool open = false; /* a step was met that is not all in */
    for (int i = 0; i < table->n_segments; i++) {
        segment *s = &table->segments[i];
        if (given[s->step] > 0.0 && open) {
            return NULL;
        }
        if (on == NULL || given[s->step] > 0.0) {
            on = s;
        }
        open = open || given[s->step] < 1.0;
    }
    *part = on != NULL ? given[on->step] : 0.0;
    return on;
}

static double interpolate(mdr_ph_table *table, segment *s, double part, double temp_c)
{
    int i = 0;
    while (i + 2 < s->n_nodes && s->given[i + 1] <= part) {
        i++;
    }
    int k = (int)(temp_c / TEMP_STEP_C);
    k = k < TEMPS - 1 ? k : TEMPS - 2;
    const double u = (part - s->given[i]) / (s->given[i + 1] - s->given[i]);
    const double v = temp_c / TEMP_STEP_C - k;
    /* a corner without weight is not solved */
    double ph = 0.0;
    for (int corner = 0; corner < 4; corner++) {
        const double weight = ((corner & 1) != 0 ? u : 1.0 - u) * ((corner & 2) != 0 ? v : 1.0 - v);
        if (weight > 0.0) {
            ph += weight * node(table, s, i + (corner & 1), k + (corner >> 1));
        }
    }
    return ph;
}

double mdr_ph_table_at(mdr_ph_table *table, const mdr_dye_programme *p, const double *given,
                       double temp_c)
{
    const double at_c = fmin(fmax(temp_c, 0.0), TEMP_MOST_C);
    double part = 0.0;
    segment *s = is_same(table, p) ? on_path(table, given, &part) : NULL;
    if (s != NULL) {
        return interpolate(table, s, part, at_c);
    }
    double totals[MDR_TOTAL_COUNT];
    memcpy(totals, p->start_mol, sizeof totals);
    for (int i = 0; i < p->n_steps; i++) {
        add(totals, p->steps[i].mol, p->steps[i].amount * given[i]);
    }
    const mdr_equil_model model = mdr_equil_model_at(at_c);
    return solve(table, &model, totals, p->conc_l, at_c);
}
