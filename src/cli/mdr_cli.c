#define _POSIX_C_SOURCE 200809L
#include "cli/mdr_cli.h"

#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_jout.h"

enum { SHOWN_MAX = 40 }; /* faults shown on a terminal; JSON has them all */

static void json_record(mdr_jout *j, const mdr_err *e)
{
    mdr_jout_text(j, "code", mdr_code_id(e->code));
    mdr_jout_text(j, "message", e->msg);
    mdr_jout_text(j, "place", e->place);
    mdr_jout_text(j, "value", e->value);
    mdr_jout_text(j, "allowed", e->allowed);
    mdr_jout_text(j, "remedy", e->remedy);
}

static void json_fail(const mdr_cli *c)
{
    mdr_jout j = {.to = stdout};
    mdr_jout_begin(&j, NULL, '{');
    mdr_jout_begin(&j, "error", '{');
    json_record(&j, &c->err);
    mdr_jout_begin(&j, "more", '[');
    for (int i = 0; i < c->found.count; i++) {
        mdr_jout_begin(&j, NULL, '{');
        json_record(&j, &c->found.items[i]);
        mdr_jout_end(&j, '}');
    }
    mdr_jout_end(&j, ']');
    mdr_jout_number(&j, "total", (double)c->found.total);
    mdr_jout_end(&j, '}');
    mdr_jout_end(&j, '}');
    (void)fputc('\n', stdout);
}

/* What somebody typed, or a file held, must not steer the terminal: U+0000..1F, 7F and 80..9F. */
static void tame(char *text)
{
    for (unsigned char *p = (unsigned char *)text; *p != '\0'; p++) {
        if (*p < 0x20u || *p == 0x7Fu) {
            *p = '?';
        } else if (p[0] == 0xC2u && p[1] >= 0x80u && p[1] < 0xA0u) {
            p[0] = p[1] = '?';
        }
    }
}

mdr_err mdr_cli_tamed(const mdr_err *e)
{
    mdr_err tamed = *e;
    tame(tamed.msg);
    tame(tamed.place);
    tame(tamed.value);
    tame(tamed.allowed);
    tame(tamed.remedy);
    return tamed;
}

static void say(const mdr_err *e)
{
    char text[1024];
    const mdr_err tamed = mdr_cli_tamed(e);
    (void)mdr_err_format(&tamed, text, (int)sizeof text);
    (void)fprintf(stderr, "%s\n", text);
}

int mdr_cli_fail(mdr_cli *c)
{
    if (c->json) {
        json_fail(c);
        return MDR_EXIT_BAD;
    }
    (void)fflush(stdout);
    /* the first of `found` is also in err */
    if (c->found.count == 0) {
        (void)fputs("madder: ", stderr);
        say(&c->err);
        return MDR_EXIT_BAD;
    }
    const int shown = c->found.count < SHOWN_MAX ? c->found.count : SHOWN_MAX;
    for (int i = 0; i < shown; i++) {
        say(&c->found.items[i]);
    }
    if (c->found.total > shown) {
        (void)fprintf(stderr, "... and %ld more\n", c->found.total - shown);
    }
    (void)fprintf(stderr, "madder: %ld fault%s; nothing was changed\n", c->found.total,
                  c->found.total == 1 ? "" : "s");
    return MDR_EXIT_BAD;
}

int mdr_cli_misuse(mdr_cli *c, const char *remedy, const char *fmt, ...)
{
    char text[sizeof c->err.msg];
    va_list ap;
    va_start(ap, fmt);
    (void)vsnprintf(text, sizeof text, fmt, ap);
    va_end(ap);
    (void)MDR_FAIL(&c->err, MDR_E_ARG, "command line", "%s", text);
    mdr_err_remedy(&c->err, "%s", remedy);
    if (c->json) {
        json_fail(c);
    } else {
        tame(c->err.msg);
        (void)fprintf(stderr, "madder: %s\n  %s\n", c->err.msg, remedy);
    }
    return MDR_EXIT_USAGE;
}

int mdr_cli_put_json(mdr_cli *c, mdr_blob json)
{
    (void)c;
    (void)fwrite(json.bytes, 1, json.len, stdout);
    if (json.len == 0 || json.bytes[json.len - 1] != '\n') {
        (void)fputc('\n', stdout);
    }
    return MDR_EXIT_DONE;
}

bool mdr_cli_number_of(mdr_cli *c, const char *option, const char *text, double *out)
{
    char *end = NULL;
    const double v = strtod(text, &end); /* no setlocale anywhere: always a point */
    const bool plain = text[strspn(text, "+-.0123456789eE")] == '\0';
    if (end == text || *end != '\0' || !plain || !isfinite(v)) {
        (void)mdr_cli_misuse(c, "give a number such as 850 or 6.5, with a point and without unit",
                             "--%s: %s is not a number", option, text);
        return false;
    }
    *out = v;
    return true;
}

bool mdr_cli_number(mdr_cli *c, mdr_opt opt, double *out)
{
    return mdr_cli_number_of(c, mdr_opt_name(opt), c->opts[opt], out);
}

bool mdr_cli_whole(mdr_cli *c, mdr_opt opt, long least, long most, long *out)
{
    char *end = NULL;
    const char *text = c->opts[opt];
    errno = 0;
    const long v = strtol(text, &end, 10);
    if (end == text || *end != '\0' || errno != 0 || v < least || v > most) {
        char remedy[80];
        (void)snprintf(remedy, sizeof remedy, "give a whole number from %ld to %ld", least, most);
        (void)mdr_cli_misuse(c, remedy, "--%s: %s is outside what it can be", mdr_opt_name(opt),
                             text);
        return false;
    }
    *out = v;
    return true;
}

int mdr_cli_open(mdr_cli *c, bool for_writing)
{
    const char *path = c->opts[MDR_OPT_MILL];
    if (path == NULL) {
        path = getenv("MADDER_MILL");
    }
    if (path == NULL || path[0] == '\0') {
        return mdr_cli_misuse(c,
                              "name it: --mill FILE, or set MADDER_MILL; `madder new FILE --demo` "
                              "makes one to look at",
                              "which mill file?");
    }
    if (mdr_app_open(path, for_writing, &c->app, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    return MDR_EXIT_DONE;
}

static int run(mdr_cli *c, int argc, char **argv)
{
    const int rc = mdr_args_read(c, argc, argv);
    if (rc != MDR_EXIT_DONE) {
        return rc;
    }
    if (c->opts[MDR_OPT_HELP] != NULL) {
        return mdr_cmd_help(c);
    }
    if (c->opts[MDR_OPT_VERSION] != NULL) {
        return mdr_cmd_version(c);
    }
    if (c->command == NULL) {
        (void)mdr_cmd_help(c);
        return MDR_EXIT_USAGE;
    }
    return c->command->run(c);
}

int mdr_cli_main(int argc, char **argv)
{
    enum { ARENA_MAX = 1 << 29 };
    mdr_arena_keep_memory();
    mdr_cli c = {.arena = mdr_arena_new(ARENA_MAX)};
    if (c.arena == NULL) {
        (void)fputs("madder: no memory\n", stderr);
        return MDR_EXIT_BAD;
    }
    c.found = mdr_err_list_make(c.arena, MDR_FOUND_MAX);
    int rc = run(&c, argc, argv);
    mdr_app_close(c.app);
    mdr_arena_free(c.arena);
    const bool broken = ferror(stdout) != 0;
    if (fflush(stdout) != 0 || broken) {
        (void)fprintf(stderr, "madder: the standard output could not be written: %s\n",
                      strerror(errno));
        rc = rc == MDR_EXIT_DONE ? MDR_EXIT_BAD : rc;
    }
    return rc;
}
