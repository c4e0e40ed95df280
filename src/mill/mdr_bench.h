/*
 * mdr_bench.h - what the laboratory keeps in the mill: measured samples, dips of the shades.
 *
 * A *sample* is something that was measured: the undyed cloth of a substrate, a rung of a dye's
 * ladder, the standard of a shade, a dip, a cutting of a lot. A *substrate* is the cloth and the
 * process together, as a text of the mill's own; a ladder holds for one of them only. A *dip* is a
 * laboratory dyeing for a shade: made, submitted, approved or rejected. A mix of dyes becomes the
 * recipe of a shade by mdr_mill_recipe_take only, or by import of table recipe.
 *
 * Layer: mill. Reflectances are stored as they were read, in millionths of a per cent, so that the
 * instrument's own start and step are kept.
 */
#ifndef MDR_BENCH_H
#define MDR_BENCH_H

#include "core/colour/mdr_spectrum.h"
#include "mill/mdr_mill.h"

/* X(enumerator, id, words) */
#define MDR_BENCH_KINDS(X)                                       \
    X(MDR_BENCH_CLOTH, "cloth", "Undyed cloth")                  \
    X(MDR_BENCH_RUNG, "rung", "Dyed with one dye, for a ladder") \
    X(MDR_BENCH_STANDARD, "standard", "Standard of a shade")     \
    X(MDR_BENCH_DIP, "dip", "Laboratory dip")                    \
    X(MDR_BENCH_BULK, "bulk", "Cutting of a lot")

#define MDR_DIP_STATES(X)                                  \
    X(MDR_DIP_MADE, "made", "Made in the laboratory")      \
    X(MDR_DIP_SUBMITTED, "submitted", "With the customer") \
    X(MDR_DIP_APPROVED, "approved", "Approved")            \
    X(MDR_DIP_REJECTED, "rejected", "Rejected")

/* In the order of mdr_specular. */
#define MDR_BENCH_SPECULARS(X)                                \
    X(MDR_SPECULAR_UNKNOWN, "unknown", "Not said")            \
    X(MDR_SPECULAR_INCLUDED, "included", "Specular included") \
    X(MDR_SPECULAR_EXCLUDED, "excluded", "Specular excluded") \
    X(MDR_SPECULAR_NONE, "none", "45/0")

#define MDR_BENCH_MEMBER(name, ...) name,
typedef enum mdr_bench_kind { MDR_BENCH_KINDS(MDR_BENCH_MEMBER) } mdr_bench_kind;
typedef enum mdr_dip_state { MDR_DIP_STATES(MDR_BENCH_MEMBER) } mdr_dip_state;

/* NULL for a value outside the list. */
const char *mdr_bench_kind_id(mdr_bench_kind k);
const char *mdr_dip_state_id(mdr_dip_state s);
const char *mdr_dip_state_words(mdr_dip_state s);

enum { MDR_DIP_DYES_MAX = 8 }; /* as lines of a recipe */

/* Texts are "" when not given. */
typedef struct mdr_bench_sample {
    const char *sample_id, *name;
    const char *substrate;                  /* "" is allowed for a standard */
    const char *dye_id, *shade_id, *lot_id; /* which of them: by kind, see docs/formats.md */
    const char *remark;
    double depth_pct_owf; /* rungs */
    int64_t measured_utc_ms;
    int kind, specular; /* mdr_bench_kind, mdr_specular */
    /* not columns: from its readings */
    const mdr_spectrum *spectrum; /* NULL: no readings, or they make none */
} mdr_bench_sample;

typedef struct mdr_dip_dye {
    const char *dip_id;
    int line;
    const char *dye_id;
    double depth_pct_owf; /* dye of standard strength, as in a recipe */
} mdr_dip_dye;

typedef struct mdr_dip {
    const char *dip_id, *shade_id, *substrate;
    const char *sample_id; /* "": not measured yet */
    const char *decided_by, *remark;
    int64_t made_utc_ms, decided_utc_ms; /* 0: not decided */
    int round, state;                    /* state: mdr_dip_state */
    /* not columns */
    const mdr_dip_dye *dyes;
    int n_dyes, revision;
} mdr_dip;

typedef struct mdr_row_lab_reading {
    const char *sample_id;
    double wavelength_nm, reflectance_pct;
} mdr_row_lab_reading;

/* All of it; samples and dips sorted by id. */
typedef struct mdr_bench {
    const mdr_bench_sample *samples;
    const mdr_dip *dips;
    int n_samples, n_dips;
} mdr_bench;
mdr_code mdr_mill_bench(mdr_mill *mill, mdr_arena *arena, mdr_bench *out,
                        mdr_err *err) MDR_MUST_CHECK;
/* NULL when there is none. */
const mdr_bench_sample *mdr_bench_sample_of(const mdr_bench *b, const char *sample_id);
const mdr_bench_sample *mdr_bench_cloth_of(const mdr_bench *b, const char *substrate);
const mdr_bench_sample *mdr_bench_standard_of(const mdr_bench *b, const char *shade_id);
const mdr_dip *mdr_bench_dip_of(const mdr_bench *b, const char *dip_id);

/* Stores a measured sample with its readings (sample->spectrum), in place of one of this number.
 *   errors  MDR_E_PARSE, MDR_E_RANGE, MDR_E_NOTFOUND, MDR_E_CONFLICT: place is the column, or the
 *           file when a rule between rows is broken */
mdr_code mdr_mill_sample_put(mdr_mill *mill, const mdr_bench_sample *sample,
                             mdr_err *err) MDR_MUST_CHECK;

/* A new dip, with its dyes.
 *   errors  as above; MDR_E_CONFLICT "dip_id" there is one of this number; MDR_E_RANGE
 *           "recipe" a dye of another class than the shade, a depth, a dye twice */
mdr_code mdr_mill_dip_add(mdr_mill *mill, const mdr_masters *masters, const mdr_dip *dip,
                          mdr_err *err) MDR_MUST_CHECK;

/* Which states may follow, as bits 1 << state. */
unsigned mdr_dip_state_next(mdr_dip_state state);

/* What is changed of a dip; NULL and -1 stay as they are. */
typedef struct mdr_dip_change {
    const char *by, *remark, *sample_id;
    int64_t today_utc_ms; /* the day of the decision */
    int state, revision;
} mdr_dip_change;
/*
 *   errors  MDR_E_NOTFOUND dip or sample; MDR_E_CONFLICT "revision" changed meanwhile, "state" a
 *           step that cannot be or another dip of the shade is approved, "sample_id" belongs to
 *           another dip or shade, or the dip is decided; MDR_E_ARG "by" nobody is named
 */
mdr_code mdr_mill_dip_change(mdr_mill *mill, const mdr_bench *bench, const char *dip_id,
                             const mdr_dip_change *change, mdr_err *err) MDR_MUST_CHECK;

/* What a shade is to be dyed with: dye_id and depth of each are looked at. */
typedef struct mdr_shade_mix {
    const char *shade_id;
    const mdr_dip_dye *dyes; /* as they are to be weighed: with the factors */
    int n;
    const mdr_recipe_bulk *bulk; /* which factors are in them; NULL: none */
} mdr_shade_mix;

/*
 * Makes it the recipe of the shade, whole. `was` is the recipe text that the change was made from.
 *   errors  MDR_E_NOTFOUND "shade_id", "recipe" no such dye; MDR_E_CONFLICT "was" it is another one
 *           by now, "shade_id" a lot of the shade is on a machine; MDR_E_RANGE "recipe" another
 *           class, a depth, too many, twice
 */
mdr_code mdr_mill_recipe_take(mdr_mill *mill, const mdr_masters *masters, const mdr_shade_mix *mix,
                              const char *was, mdr_err *err) MDR_MUST_CHECK;

/* "2026-11-26" as UTC ms of its midnight; false: no date between 2000 and 2099. */
bool mdr_bench_day(const char *text, int64_t *utc_ms);

/* "RY-1=0.42,RB-1=0.1", depths in their shortest form; "" without dyes. NULL: no memory. */
const char *mdr_dip_recipe_text(const mdr_dip_dye *dyes, int n, mdr_arena *arena);
const char *mdr_shade_recipe_text(const mdr_shade *shade, mdr_arena *arena);

/* Checks dyes as the mix of a shade, place "recipe". */
mdr_code mdr_dip_dyes_check(const mdr_masters *masters, const mdr_shade *shade,
                            const mdr_dip_dye *dyes, int n, mdr_err *err) MDR_MUST_CHECK;

#endif
