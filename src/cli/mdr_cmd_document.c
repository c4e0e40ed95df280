#define _POSIX_C_SOURCE 200809L
#include "cli/mdr_cmd_document.h"

#include <stdio.h>
#include <stdlib.h>

static int no_memory(mdr_cli *c)
{
    (void)MDR_FAIL(&c->err, MDR_E_NOMEM, "command line", "no memory");
    return mdr_cli_fail(c);
}

int mdr_cli_document(mdr_cli *c, mdr_put_members *put, const void *about, mdr_blob *out)
{
    char *text = NULL;
    size_t len = 0;
    FILE *memory = open_memstream(&text, &len);
    if (memory == NULL) {
        return no_memory(c);
    }
    mdr_jout j = {.to = memory};
    mdr_jout_begin(&j, NULL, '{');
    const bool fine = put(c, &j, about);
    mdr_jout_end(&j, '}');
    const bool closed = fclose(memory) == 0;
    const char *kept = closed ? mdr_arena_text_n(c->arena, text, len) : NULL;
    free(text);
    if (!fine) {
        return MDR_EXIT_USAGE;
    }
    if (kept == NULL) {
        return no_memory(c);
    }
    *out = (mdr_blob){kept, len};
    return MDR_EXIT_DONE;
}

int mdr_cli_word(mdr_cli *c, const char *const *words, int n, const char *what)
{
    int best = -1, least = 3; /* more than two typing errors is another word */
    for (int i = 0; i < n; i++) {
        const int d = mdr_word_distance(c->args[0], words[i]);
        if (d == 0) {
            return i;
        }
        if (d < least) {
            least = d;
            best = i;
        }
    }
    char remedy[80];
    if (best >= 0) {
        (void)snprintf(remedy, sizeof remedy, "did you mean `madder %s %s`?", c->command->name,
                       words[best]);
    } else {
        (void)snprintf(remedy, sizeof remedy, "`madder help %s` lists the %ss", c->command->name,
                       what);
    }
    (void)mdr_cli_misuse(c, remedy, "unknown %s %s", what, c->args[0]);
    return -1;
}
