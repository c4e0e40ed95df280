/* A mill with people in it, and a clock of the test's own. Include after t.h. */
#ifndef PEOPLE_KIT_H
#define PEOPLE_KIT_H

#include "app/mdr_app_in.h"
#include "app/mdr_app_people.h"
#include "mill_kit.h"

static const char MANAGER[] = "four words for anna", LAB[] = "another four for lena";
static const int64_t BEGIN = INT64_C(1790000000000), S = 1000, MIN = 60000;

typedef struct mill {
    kit_dir dir;
    mdr_app *app;
    mdr_arena *arena;
    int64_t now_utc_ms;
    mdr_err err;
} mill;

static inline mill open_mill(void)
{
    mill m = {.dir = kit_dir_make(), .now_utc_ms = BEGIN};
    KIT_OK(mdr_mill_create(m.dir.file, &m.err), &m.err);
    KIT_OK(mdr_app_open(m.dir.file, true, &m.app, &m.err), &m.err);
    m.arena = mdr_arena_new((size_t)8 << 20);
    return m;
}

static inline void close_mill(mill *m)
{
    mdr_arena_free(m->arena);
    mdr_app_close(m->app);
    kit_dir_remove(&m->dir);
}

static inline mdr_code add(mill *m, mdr_person_change c)
{
    return mdr_app_person_add(m->app, &c, m->now_utc_ms, m->arena, &m->err);
}

static char kept_folder[] = "/tmp/madder-people-XXXXXX";
static char kept[80]; /* a mill with people, made once: hashes take long */

static inline void copy_file(const char *from_path, const char *to_path)
{
    char bytes[4096];
    FILE *from_file = fopen(from_path, "rb"), *to_file = fopen(to_path, "wb");
    assert_true(from_file != NULL && to_file != NULL);
    for (size_t n = 1; n > 0;) {
        n = fread(bytes, 1, sizeof bytes, from_file);
        assert_int_equal(fwrite(bytes, 1, n, to_file), n);
    }
    (void)fclose(from_file);
    assert_int_equal(fclose(to_file), 0);
}

/* anna manages, lena is lab and quality with a badge, omar runs machines by badge only. */
static inline int make_people(void **state)
{
    (void)state;
    mill m = open_mill();
    const mdr_person_change PEOPLE[] = {
        {.person_id = "anna", .name = "Anna Berg", .roles = "manager", .password = MANAGER},
        {.person_id = "lena",
         .name = "Lena Ode",
         .roles = "lab,quality",
         .password = LAB,
         .badge = "U-LENA-01",
         .pin = "482913"},
        {.person_id = "omar",
         .name = "Omar Said",
         .roles = "operator",
         .badge = "U-OMAR-01",
         .pin = "739154"},
    };
    bool good = mkdtemp(kept_folder) != NULL;
    for (size_t i = 0; i < N_OF(PEOPLE) && good; i++) {
        good = add(&m, PEOPLE[i]) == MDR_OK;
    }
    (void)snprintf(kept, sizeof kept, "%s/people.mill", kept_folder);
    copy_file(m.dir.file, kept);
    close_mill(&m);
    return good ? 0 : -1;
}

static inline int drop_people(void **state)
{
    (void)state;
    return unlink(kept) + rmdir(kept_folder);
}

static inline mill with_people(void)
{
    mill m = {.dir = kit_dir_make(), .now_utc_ms = BEGIN};
    copy_file(kept, m.dir.file);
    KIT_OK(mdr_app_open(m.dir.file, true, &m.app, &m.err), &m.err);
    m.arena = mdr_arena_new((size_t)8 << 20);
    return m;
}

static inline mdr_from from(const mill *m, const char *token)
{
    return (mdr_from){.token = token,
                      .address = "192.168.1.20",
                      .device = "tablet 4",
                      .now_utc_ms = m->now_utc_ms};
}

static inline mdr_code change(mill *m, mdr_person_change c)
{
    return mdr_app_person_change(m->app, &c, NULL, m->arena, &m->err);
}

static inline mdr_who who(mill *m, const char *token)
{
    mdr_who w;
    const mdr_from f = from(m, token);
    KIT_OK(mdr_app_who(m->app, &f, m->arena, &w, &m->err), &m->err);
    return w;
}

static inline mdr_blob text_of(const char *text)
{
    return (mdr_blob){text, strlen(text)};
}

typedef struct in {
    mdr_code rc;
    char token[MDR_TOKEN_TEXT];
    mdr_who who;
} in;

static inline in sign_in_at(mill *m, const mdr_from *f, const char *body)
{
    in i = {.rc = MDR_OK};
    const mdr_people_ask ask = {f, text_of(body), m->arena, NULL};
    i.rc = mdr_app_sign_in(m->app, &ask, i.token, &i.who, &m->err);
    return i;
}

static inline in sign_in(mill *m, const char *body)
{
    const mdr_from f = from(m, NULL);
    return sign_in_at(m, &f, body);
}

#define ANNA       "{\"person_id\":\"anna\",\"password\":\"four words for anna\"}"
#define ANNA_WRONG "{\"person_id\":\"anna\",\"password\":\"four words for lena\"}"
#define LENA       "{\"person_id\":\"lena\",\"password\":\"another four for lena\"}"
#define LENA_BADGE "{\"badge\":\"U-LENA-01\",\"pin\":\"482913\"}"
#define OMAR       "{\"badge\":\"U-OMAR-01\",\"pin\":\"739154\"}"
#define OMAR_WRONG "{\"badge\":\"U-OMAR-01\",\"pin\":\"739155\"}"

#endif
