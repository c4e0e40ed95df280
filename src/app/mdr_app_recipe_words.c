/* A recipe in words: "R-1=1.2,B-2=0.4". */
#include <string.h>

#include "app/mdr_app_recipe_in.h"
#include "wire/mdr_real.h"

static mdr_code bad_recipe(const char *text, size_t n, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_PARSE, "recipe", "this is not a recipe");
    mdr_err_value(err, "%.*s", (int)n, text);
    mdr_err_allowed(err,
                    "1 to 8 dyes, each once: DYE=DEPTH with commas between, above 0 to 30 %% owf");
    mdr_err_remedy(err, "write it like R-1=1.2,B-2=0.4");
    return rc;
}

/* "R-1=1.2" */
static bool read_part(const char *at, size_t len, const char **equals, double *depth_pct_owf)
{
    *equals = memchr(at, '=', len);
    return *equals != NULL && *equals > at &&
           mdr_real_read(*equals + 1, len - (size_t)(*equals + 1 - at), depth_pct_owf) &&
           *depth_pct_owf > 0.0 && *depth_pct_owf <= MDR_DEPTH_MAX_PCT_OWF;
}

static bool is_in(const mdr_dyelab_recipe *r, const char *id)
{
    for (int i = 0; i < r->n; i++) {
        if (strcmp(r->dye_id[i], id) == 0) {
            return true;
        }
    }
    return false;
}

static mdr_code words_of(const char *text, size_t len, mdr_arena *arena, mdr_dyelab_recipe *out,
                         mdr_err *err)
{
    mdr_dyelab_recipe r = {0};
    const char *end = text + len;
    for (const char *at = text;; at++) {
        const char *comma = memchr(at, ',', (size_t)(end - at));
        const size_t n = (size_t)((comma != NULL ? comma : end) - at);
        const char *equals = NULL;
        double depth = 0.0;
        if (r.n == MDR_RECIPE_DYES_MAX || !read_part(at, n, &equals, &depth)) {
            return bad_recipe(text, len, err);
        }
        const char *id = mdr_arena_text_n(arena, at, (size_t)(equals - at));
        if (id == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, "recipe", "no memory for the recipe");
        }
        if (is_in(&r, id)) {
            return bad_recipe(text, len, err);
        }
        r.dye_id[r.n] = id;
        r.depth_pct_owf[r.n++] = depth;
        at += n;
        if (at == end) {
            break;
        }
    }
    *out = r;
    return MDR_OK;
}

mdr_code mdr_app_recipe_words(const char *text, mdr_arena *arena, mdr_dyelab_recipe *out,
                              mdr_err *err)
{
    return words_of(text, strlen(text), arena, out, err);
}

mdr_code mdr_dyelab_recipe_of(mdr_dyelab *lab, const char *text, size_t len, mdr_dyelab_recipe *out,
                              mdr_err *err)
{
    return words_of(text, len, lab->desk.arena, out, err);
}

mdr_code mdr_dyelab_recipe_read(mdr_dyelab *lab, mdr_dyelab_recipe *out, mdr_err *err)
{
    return mdr_app_recipe_words(lab->q->recipe, lab->desk.arena, out, err);
}
