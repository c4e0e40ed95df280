/* The question and its files in one document; and invented files to try it with. */
#include <string.h>

#include "app/mdr_app_recipe.h"
#include "base/mdr_embedded.h"
#include "wire/mdr_json.h"
#include "wire/mdr_recipe_post.h"

extern const mdr_embedded mdr_embed_demo[];

_Static_assert((int)MDR_RECIPE_TEXT_COUNT == (int)MDR_RECIPE_FILE_COUNT,
               "files in one order: read by place");

mdr_code mdr_app_recipe_json(mdr_app *app, mdr_blob body, mdr_arena *arena, mdr_err_list *found,
                             mdr_blob *out, mdr_err *err)
{
    mdr_recipe_post post;
    const mdr_answer *a = NULL;
    MDR_TRY(mdr_wire_recipe_post_read(body.bytes, body.len, arena, found, &post, err));
    if (post.has_from) {
        const mdr_recipe_from from = {post.from.substrate, post.from.shade};
        MDR_TRY(mdr_app_recipe_of_mill(app, &from, (mdr_blob){post.question, post.question_len},
                                       arena, found, &a, err));
        return mdr_answer_json(a, arena, out, err);
    }
    mdr_recipe_case asked = {.question = {post.question, post.question_len}};
    for (int i = 0; i < MDR_RECIPE_FILE_COUNT; i++) {
        const mdr_recipe_text *f = &post.files[i];
        if (f->name != NULL) {
            asked.files[i] = (mdr_recipe_file){f->name, {f->text, strlen(f->text)}};
        }
    }
    MDR_TRY(mdr_app_recipe(&asked, arena, found, &a, err));
    return mdr_answer_json(a, arena, out, err);
}

mdr_code mdr_app_recipe_demo_json(mdr_arena *arena, mdr_blob *out, mdr_err *err)
{
    static const struct {
        const char *key, *path;
    } FILES[] = {{"spectra", "lab/samples.csv"},
                 {"standard_file", "lab/standards.csv"},
                 {"dyes", "lab/dyes.csv"}};
    enum { SIZE_HINT = 1 << 14 };
    char *text = NULL;
    size_t len = 0;
    mdr_json j = mdr_json_make(arena, SIZE_HINT, false);
    mdr_json_object(&j, NULL);
    mdr_json_object(&j, "files");
    for (size_t i = 0; i < sizeof FILES / sizeof FILES[0]; i++) {
        for (const mdr_embedded *e = mdr_embed_demo; e->name != NULL; e++) {
            if (strcmp(e->name, FILES[i].path) == 0) {
                mdr_json_object(&j, FILES[i].key);
                mdr_json_text(&j, "name", strrchr(e->name, '/') + 1);
                mdr_json_text(&j, "text", (const char *)e->bytes);
                mdr_json_end_object(&j);
            }
        }
    }
    mdr_json_end_object(&j);
    mdr_json_end_object(&j);
    MDR_TRY(mdr_json_done(&j, &text, &len, err));
    *out = (mdr_blob){.bytes = text, .len = len};
    return MDR_OK;
}
