/* Any bytes as a question of the laboratory, files and all: refused with a reason, or answered with
 * JSON or a PDF. */
#include <stdint.h>
#include <string.h>

#include "app/mdr_app_colour.h"
#include "app/mdr_app_recipe.h"
#include "wire/mdr_recipe_post.h"
#include "wire/mdr_wire.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void require(int condition)
{
    if (!condition) {
        MDR_UNREACHABLE();
    }
}

static mdr_arena *room(void)
{
    mdr_arena *arena = mdr_arena_new((size_t)256 << 20);
    require(arena != NULL);
    return arena;
}

static mdr_code recipe(mdr_blob body, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                       mdr_err *err)
{
    return mdr_app_recipe_json(NULL, body, arena, found, out, err);
}

typedef mdr_code desk(mdr_blob body, mdr_arena *arena, mdr_err_list *found, mdr_blob *out,
                      mdr_err *err);

static void ask(desk *json, mdr_blob body)
{
    mdr_arena *arena = room();
    mdr_err_list found = mdr_err_list_make(arena, 50);
    mdr_err err = {0};
    mdr_blob answer = {0};
    if (json(body, arena, &found, &answer, &err) == MDR_OK) {
        require(answer.len > 2 && answer.bytes[0] == '{');
    } else {
        require(err.msg[0] != '\0');
        require(mdr_wire_error(&err, &found, arena)[0] == '{');
    }
    mdr_arena_free(arena);
}

/* What is read is whole: a file has name and text, and the question is an object of its own. */
static void read_recipe(mdr_blob body)
{
    mdr_arena *arena = room();
    mdr_recipe_post post;
    mdr_err err = {0};
    if (mdr_wire_recipe_post_read(body.bytes, body.len, arena, NULL, &post, &err) == MDR_OK) {
        require(post.question_len > 1 && post.question[0] == '{');
        require(strlen(post.question) == post.question_len);
        for (int i = 0; i < MDR_RECIPE_TEXT_COUNT; i++) {
            require((post.files[i].name == NULL) == (post.files[i].text == NULL));
            require(post.files[i].name == NULL || post.files[i].name[0] != '\0');
        }
    }
    mdr_arena_free(arena);
}

static void read_colour(mdr_blob body)
{
    mdr_arena *arena = room();
    mdr_colour_post post;
    mdr_err err = {0};
    if (mdr_wire_colour_post_read(body.bytes, body.len, arena, NULL, &post, &err) == MDR_OK) {
        require(post.question < MDR_COLOUR_QUESTION_COUNT);
        require(post.standard_file.name == NULL || post.samples.name != NULL);
        for (int i = 0; i < MDR_COLOUR_NUMBER_COUNT; i++) {
            require(post.number[i].n >= 0 && post.number[i].n <= MDR_COLOUR_LIST_MAX);
        }
    }
    mdr_arena_free(arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const mdr_blob body = {.bytes = (const char *)data, .len = size};
    read_recipe(body);
    read_colour(body);
    ask(recipe, body);
    ask(mdr_app_colour_post, body);
    return 0;
}
