#include "core/colour/mdr_weights.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

/* data/colour: wavelength nm, then ... */
enum { NM, CMF_COLS = 4 };                  /* x, y, z */
enum { TABLE5_COLS = 7, TABLE5_10DEG = 4 }; /* x, y, z of 2 degree, x, y, z of 10 degree */
enum { DAY_COLS = 7, F_COLS = 13, LED_COLS = 10 };
extern const double cmf_2deg[][CMF_COLS], cmf_10deg[][CMF_COLS];
extern const double e308_a[][TABLE5_COLS], e308_c[][TABLE5_COLS], e308_d50[][TABLE5_COLS],
    e308_d55[][TABLE5_COLS], e308_d65[][TABLE5_COLS], e308_d75[][TABLE5_COLS],
    e308_f2[][TABLE5_COLS], e308_f7[][TABLE5_COLS], e308_f11[][TABLE5_COLS];
extern const int e308_d65_rows; /* all nine have as many: 360 to 780 nm */
extern const double spd_day[][DAY_COLS], spd_fluorescent[][F_COLS], spd_led[][LED_COLS];
extern const int spd_day_rows, spd_fluorescent_rows, spd_led_rows;

/* [astm-e308] the range of the sums */
static const double SUM_FROM_NM = 360.0, SUM_TO_NM = 780.0;
static const double SPD_STEP_NM = 5.0;
static const double WHITE_Y = 100.0;
static const double GRID_SLACK = 1e-9; /* invented: rounding of (nm - start) / step */

const char *mdr_illuminant_name(mdr_illuminant illuminant)
{
    static const char *const NAMES[] = {
#define X(name, text) text,
        MDR_ILLUMINANTS(X)
#undef X
    };
    if ((int)illuminant < 0 || illuminant >= MDR_ILL_COUNT) {
        MDR_UNREACHABLE();
    }
    return NAMES[illuminant];
}

static char upper(char c)
{
    const char big = (char)(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
    return (char)(big == '_' ? '-' : big);
}

static bool same_name(const char *text, size_t len, const char *name)
{
    for (size_t i = 0; i < len; i++) {
        if (name[i] == '\0' || upper(text[i]) != name[i]) {
            return false;
        }
    }
    return name[len] == '\0';
}

mdr_code mdr_illuminant_of_name(const char *text, size_t len, mdr_illuminant *out, mdr_err *err)
{
    const bool long_f = len > 2 && upper(text[0]) == 'F' && upper(text[1]) == 'L';
    for (int i = 0; i < MDR_ILL_COUNT; i++) {
        const char *name = mdr_illuminant_name((mdr_illuminant)i);
        if (same_name(text, len, name) ||
            (long_f && name[0] == 'F' && same_name(text + 2, len - 2, name + 1))) {
            *out = (mdr_illuminant)i;
            return MDR_OK;
        }
    }
    const mdr_code rc = MDR_FAIL(err, MDR_E_NOTFOUND, "illuminant", "no such illuminant here");
    mdr_err_value(err, "%.*s", (int)(len < 32 ? len : 32), text);
    mdr_err_allowed(err,
                    "A, C, D50, D55, D65, D75, F1 to F12, LED-B1 to B5, -BH1, -RGB1, -V1, -V2");
    return rc;
}

mdr_code mdr_observer_of_degree(int degree, mdr_observer *out, mdr_err *err)
{
    if (degree != MDR_OBSERVER_2 && degree != MDR_OBSERVER_10) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_RANGE, "observer", "there is no such observer");
        mdr_err_value(err, "%d", degree);
        mdr_err_allowed(err, "2 or 10 (degree)");
        return rc;
    }
    *out = (mdr_observer)degree;
    return MDR_OK;
}

static const double (*table5_of(mdr_illuminant illuminant))[TABLE5_COLS]
{
    static const struct {
        mdr_illuminant illuminant;
        const double (*rows)[TABLE5_COLS];
    } TABLES[] = {{MDR_ILL_A, e308_a},     {MDR_ILL_C, e308_c},     {MDR_ILL_D50, e308_d50},
                  {MDR_ILL_D55, e308_d55}, {MDR_ILL_D65, e308_d65}, {MDR_ILL_D75, e308_d75},
                  {MDR_ILL_F2, e308_f2},   {MDR_ILL_F7, e308_f7},   {MDR_ILL_F11, e308_f11}};
    for (size_t i = 0; i < sizeof TABLES / sizeof TABLES[0]; i++) {
        if (TABLES[i].illuminant == illuminant) {
            return TABLES[i].rows;
        }
    }
    return NULL;
}

/* One column of a table of illuminants every 5 nm. */
typedef struct spd {
    const double *at; /* the first row's value */
    int cols, rows;
    double start_nm;
    bool straight; /* lines between the rows, not cubics */
} spd;

static spd spd_of(mdr_illuminant illuminant)
{
    if (illuminant >= MDR_ILL_LED_B1) {
        return (spd){&spd_led[0][1 + illuminant - MDR_ILL_LED_B1], LED_COLS, spd_led_rows,
                     spd_led[0][NM], false};
    }
    if (illuminant >= MDR_ILL_F1) {
        return (spd){&spd_fluorescent[0][1 + illuminant - MDR_ILL_F1], F_COLS, spd_fluorescent_rows,
                     spd_fluorescent[0][NM], false};
    }
    return (spd){&spd_day[0][1 + illuminant - MDR_ILL_A], DAY_COLS, spd_day_rows, spd_day[0][NM],
                 illuminant == MDR_ILL_D65};
}

static double row_of(const spd *s, int row)
{
    return s->at[(ptrdiff_t)row * s->cols];
}

/* 0 outside the table, where nothing is published. */
static double power_at(const spd *s, double nm)
{
    const double p = (nm - s->start_nm) / SPD_STEP_NM;
    if (p < 0.0 || p > s->rows - 1.0) {
        return 0.0;
    }
    if (s->straight) {
        const int i = (int)fmin(floor(p), s->rows - 2.0);
        return (i + 1.0 - p) * row_of(s, i) + (p - i) * row_of(s, i + 1);
    }
    double w[4], sum = 0.0;
    const int first = mdr_lagrange_weights(p, s->rows, w);
    for (int k = 0; k < 4 && first + k < s->rows; k++) {
        sum += w[k] * row_of(s, first + k);
    }
    return sum;
}

/* Where the weights go: n values from start_nm on. */
typedef struct sums {
    double *x, *y, *z;
    double start_nm, step_nm;
    int n;
} sums;

static void add(const sums *s, int i, const double w[3])
{
    const int kept = i < 0 ? 0 : i < s->n ? i : s->n - 1; /* [astm-e308] beyond the range */
    s->x[kept] += w[0];
    s->y[kept] += w[1];
    s->z[kept] += w[2];
}

static void from_table5(const double (*rows)[TABLE5_COLS], mdr_observer observer, const sums *s)
{
    const int first = observer == MDR_OBSERVER_10 ? TABLE5_10DEG : 1;
    for (int r = 0; r < e308_d65_rows; r++) {
        add(s, (int)lround((rows[r][NM] - s->start_nm) / s->step_nm), &rows[r][first]);
    }
}

/* The measured steps, continued on both sides as far as the sum goes: nodes low..high. */
static void computed(mdr_illuminant illuminant, mdr_observer observer, const sums *s)
{
    const double(*cmf)[CMF_COLS] = observer == MDR_OBSERVER_10 ? cmf_10deg : cmf_2deg;
    const spd light = spd_of(illuminant);
    const int low = (int)ceil((SUM_FROM_NM - s->start_nm) / s->step_nm - GRID_SLACK);
    const int high = (int)floor((SUM_TO_NM - s->start_nm) / s->step_nm + GRID_SLACK);
    double sum_y = 0.0;
    for (int nm = (int)SUM_FROM_NM; nm <= (int)SUM_TO_NM; nm++) {
        sum_y += power_at(&light, nm) * cmf[nm - (int)cmf[0][NM]][2];
    }
    for (int nm = (int)SUM_FROM_NM; nm <= (int)SUM_TO_NM; nm++) {
        const double *seen = cmf[nm - (int)cmf[0][NM]];
        const double share = power_at(&light, nm) * WHITE_Y / sum_y;
        const double p = (nm - s->start_nm) / s->step_nm - low;
        double w[4];
        const int first = mdr_lagrange_weights(fmin(fmax(p, 0.0), high - low), high - low + 1, w);
        for (int k = 0; k < 4; k++) {
            const double part[3] = {w[k] * share * seen[1], w[k] * share * seen[2],
                                    w[k] * share * seen[3]};
            add(s, low + first + k, part);
        }
    }
}

static bool on_table5(double start_nm, double step_nm)
{
    return fabs(step_nm - 10.0) < GRID_SLACK &&
           fabs(start_nm - 10.0 * round(start_nm / 10.0)) < GRID_SLACK;
}

static double total(const double *w, int n)
{
    double sum = 0.0;
    for (int i = 0; i < n; i++) {
        sum += w[i];
    }
    return sum;
}

static void weigh(mdr_illuminant illuminant, mdr_observer observer, const sums *s)
{
    const double(*rows)[TABLE5_COLS] = table5_of(illuminant);
    if (rows != NULL && on_table5(s->start_nm, s->step_nm)) {
        from_table5(rows, observer, s);
    } else {
        computed(illuminant, observer, s);
    }
}

mdr_weights mdr_weights_of(mdr_illuminant illuminant, mdr_observer observer)
{
    mdr_weights w = {.white_x = 0.0};
    const sums s = {w.x, w.y, w.z, MDR_BAND_START_NM, MDR_BAND_STEP_NM, MDR_BANDS};
    weigh(illuminant, observer, &s);
    w.white_x = total(w.x, MDR_BANDS);
    w.white_y = total(w.y, MDR_BANDS);
    w.white_z = total(w.z, MDR_BANDS);
    return w;
}

void mdr_grid_weights_of(mdr_illuminant illuminant, mdr_observer observer, const mdr_spectrum *s,
                         mdr_grid_weights *out)
{
    memset(out, 0, sizeof *out);
    out->start_nm = s->start_nm;
    out->step_nm = s->step_nm;
    out->n = s->n;
    const sums to = {out->x, out->y, out->z, s->start_nm, s->step_nm, s->n};
    weigh(illuminant, observer, &to);
    out->white_x = total(out->x, s->n);
    out->white_y = total(out->y, s->n);
    out->white_z = total(out->z, s->n);
}
