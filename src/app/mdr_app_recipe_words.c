/* A recipe in words: "R-1=1.2,B-2=0.4". */
#include <string.h>

#include "app/mdr_app_recipe_in.h"
#include "wire/mdr_real.h"

static mdr_code bad_recipe(const char *text, mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_PARSE, "recipe", "this is no recipe");
    mdr_err_value(err, "%s", text);
    mdr_err_allowed(err,
                    "1 to 8 dyes, each once: DYE=DEPTH with commas between, above 0 to 30 %% owf");
    mdr_err_remedy(err, "write it like R-1=1.2,B-2=0.4");
    return rc;
}

mdr_code mdr_app_recipe_words(const char *text, mdr_arena *arena, mdr_dyelab_recipe *out,
                              mdr_err *err)
{
    mdr_dyelab_recipe r = {0};
    for (const char *at = text;; at++) {
        const size_t len = strcspn(at, ",");
        const char *equals = memchr(at, '=', len);
        double depth = 0.0;
        if (equals == NULL || equals == at || r.n == MDR_RECIPE_DYES_MAX ||
            !mdr_real_read(equals + 1, len - (size_t)(equals + 1 - at), &depth) ||
            !(depth > 0.0 && depth <= MDR_DEPTH_MAX_PCT_OWF)) {
            return bad_recipe(text, err);
        }
        const char *id = mdr_arena_text_n(arena, at, (size_t)(equals - at));
        if (id == NULL) {
            return MDR_FAIL(err, MDR_E_NOMEM, "recipe", "no memory for the recipe");
        }
        for (int i = 0; i < r.n; i++) {
            if (strcmp(r.dye_id[i], id) == 0) {
                return bad_recipe(text, err);
            }
        }
        r.dye_id[r.n] = id;
        r.depth_pct_owf[r.n++] = depth;
        at += len;
        if (*at == '\0') {
            break;
        }
    }
    *out = r;
    return MDR_OK;
}

mdr_code mdr_dyelab_recipe_read(mdr_dyelab *lab, mdr_dyelab_recipe *out, mdr_err *err)
{
    return mdr_app_recipe_words(lab->q->recipe, lab->desk.arena, out, err);
}
