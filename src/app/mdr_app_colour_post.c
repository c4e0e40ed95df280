/* A question about measured cloth and its files in one document. */
#include <string.h>

#include "app/mdr_app_colour.h"

static void take_file(mdr_colour_ask *ask, const mdr_file_text *f)
{
    if (f->name != NULL) {
        ask->file[ask->n_files++] = (mdr_colour_file){f->name, {f->text, strlen(f->text)}};
    }
}

static bool takes_two(mdr_colour_question question)
{
    return ((unsigned)MDR_COLOUR_OF_TWO >> question & 1u) != 0;
}

static mdr_code one_file(mdr_err *err)
{
    const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "files.standard_file",
                                 "this question looks at one file, and has no standard");
    mdr_err_remedy(err, "leave it out");
    return rc;
}

mdr_code mdr_app_colour_post(mdr_blob body, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                             mdr_err *err)
{
    mdr_colour_post *post = MDR_NEW(arena, mdr_colour_post);
    mdr_colour_ask *ask = MDR_NEW(arena, mdr_colour_ask);
    if (post == NULL || ask == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "", "no memory for the question");
    }
    MDR_TRY(mdr_wire_colour_post_read(body.bytes, body.len, arena, found, post, err));
    if (post->standard_file.name != NULL && !takes_two(post->question)) {
        return one_file(err);
    }
    ask->question = post->question;
    memcpy(ask->word, post->word, sizeof ask->word);
    memcpy(ask->number, post->number, sizeof ask->number);
    memcpy(ask->is, post->is, sizeof ask->is);
    take_file(ask, &post->standard_file); /* the standard's file is the first of two */
    take_file(ask, &post->samples);
    return mdr_app_colour_json(ask, arena, found, out, err);
}
