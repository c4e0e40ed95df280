#include <stdio.h>
#include <string.h>

#include "cli/mdr_cmd.h"

typedef struct opt_info {
    const char *name, *value, *words;
} opt_info;

static const opt_info OPTS[] = {
#define X(member, name, value, words) {name, value, words},
    MDR_OPTS(X)
#undef X
};

const char *mdr_opt_name(mdr_opt opt)
{
    return OPTS[opt].name;
}

const char *mdr_opt_value_name(mdr_opt opt)
{
    return OPTS[opt].value;
}

const char *mdr_opt_words(mdr_opt opt)
{
    return OPTS[opt].words;
}

static int least_of(int a, int b)
{
    return a < b ? a : b;
}

/* The optimal string alignment distance (Damerau-Levenshtein without edits of swapped pairs). */
int mdr_word_distance(const char *a, const char *b)
{
    enum { MAX = 32 };
    const int n = (int)strlen(a);
    const int m = (int)strlen(b);
    int d[MAX + 1][MAX + 1];
    if (n > MAX || m > MAX) {
        return MAX;
    }
    for (int i = 0; i <= n; i++) {
        for (int j = 0; j <= m; j++) {
            if (i == 0 || j == 0) {
                d[i][j] = i + j;
                continue;
            }
            const int cost = a[i - 1] == b[j - 1] ? 0 : 1;
            int best = least_of(d[i - 1][j], d[i][j - 1]) + 1;
            best = least_of(best, d[i - 1][j - 1] + cost);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
                best = least_of(best, d[i - 2][j - 2] + 1);
            }
            d[i][j] = best;
        }
    }
    return d[n][m];
}

/* Option of this name (up to '=' when there is one), or MDR_OPT_COUNT. */
static mdr_opt find(const char *name, size_t len)
{
    for (int i = 0; i < MDR_OPT_COUNT; i++) {
        if (strlen(OPTS[i].name) == len && strncmp(OPTS[i].name, name, len) == 0) {
            return (mdr_opt)i;
        }
    }
    return MDR_OPT_COUNT;
}

const mdr_own_opt *mdr_own_next(const mdr_command *command, int *i)
{
    const mdr_own_opt *own = command != NULL ? command->own : NULL;
    for (; own != NULL && own[*i].name != NULL; ++*i) {
        if ((own[*i].of & command->own_of) != 0) {
            return &own[*i];
        }
    }
    return NULL;
}

/* The command's own option of this name; NULL: it has none, or no command is named yet. */
static const mdr_own_opt *find_own(const mdr_command *command, const char *name, size_t len,
                                   int *place)
{
    *place = 0;
    for (const mdr_own_opt *o = NULL; (o = mdr_own_next(command, place)) != NULL; ++*place) {
        if (strlen(o->name) == len && strncmp(o->name, name, len) == 0) {
            return o;
        }
    }
    return NULL;
}

static int unknown(mdr_cli *c, const char *typed)
{
    char word[40];
    (void)snprintf(word, sizeof word, "%.*s", (int)strcspn(typed + 2, "="), typed + 2);
    const char *best = NULL;
    int least = 3;
    for (int i = 0; i < MDR_OPT_COUNT; i++) {
        const int d = mdr_word_distance(word, OPTS[i].name);
        if (d < least) {
            least = d;
            best = OPTS[i].name;
        }
    }
    int place = 0;
    for (const mdr_own_opt *o = NULL; (o = mdr_own_next(c->command, &place)) != NULL; place++) {
        const int d = mdr_word_distance(word, o->name);
        if (d < least) {
            least = d;
            best = o->name;
        }
    }
    char remedy[80] = "`madder help` lists the commands and their options";
    if (best != NULL) {
        (void)snprintf(remedy, sizeof remedy, "did you mean --%s?", best);
    }
    return mdr_cli_misuse(c, remedy, "unknown option %s", typed);
}

/* Where the value of an option goes. */
typedef struct slot {
    const char *name, *value;
    const char **at;
} slot;

/* `rest` is what stands behind the name in argv[i]: "" or "=VALUE". */
static int take_value(mdr_cli *c, int argc, char **argv, int i, const char *rest, slot s)
{
    if (*s.at != NULL) {
        (void)mdr_cli_misuse(c, "give it once", "option --%s is given twice", s.name);
        return 0;
    }
    if (s.value == NULL) {
        if (*rest == '=') {
            (void)mdr_cli_misuse(c, "write it without =", "option --%s takes no value", s.name);
            return 0;
        }
        *s.at = "";
        return 1;
    }
    if (*rest == '=') {
        *s.at = rest + 1;
        return 1;
    }
    if (i + 1 >= argc) {
        (void)mdr_cli_misuse(c, "put the value after it", "option --%s needs a value: --%s %s",
                             s.name, s.name, s.value);
        return 0;
    }
    *s.at = argv[i + 1];
    return 2;
}

/* argv[i] is an option; returns how many arguments it took, or 0 after a complaint. */
static int take_option(mdr_cli *c, int argc, char **argv, int i)
{
    const char *word = argv[i];
    if (strcmp(word, "-o") == 0) {
        word = "--out";
    } else if (strcmp(word, "-h") == 0) {
        word = "--help";
    } else if (word[1] != '-') {
        (void)mdr_cli_misuse(c, "options are written in full, as --json; `madder help` lists them",
                             "unknown option %s", word);
        return 0;
    }
    const char *name = word + 2;
    const size_t len = strcspn(name, "=");
    int place = 0;
    const mdr_own_opt *own = find_own(c->command, name, len, &place);
    if (own != NULL) {
        return take_value(c, argc, argv, i, name + len,
                          (slot){own->name, own->value, &c->own[place]});
    }
    const mdr_opt opt = find(name, len);
    if (opt == MDR_OPT_COUNT) {
        (void)unknown(c, word);
        return 0;
    }
    return take_value(c, argc, argv, i, name + len,
                      (slot){OPTS[opt].name, OPTS[opt].value, &c->opts[opt]});
}

static int take_word(mdr_cli *c, const char *word)
{
    if (c->command == NULL) {
        c->command = mdr_command_find(word);
        if (c->command == NULL) {
            const char *near = mdr_command_near(word);
            char remedy[80] = "`madder help` lists the commands";
            if (near != NULL) {
                (void)snprintf(remedy, sizeof remedy, "did you mean `madder %s`?", near);
            }
            return mdr_cli_misuse(c, remedy, "unknown command %s", word);
        }
        return MDR_EXIT_DONE;
    }
    if (c->n_args == c->command->most_args || c->n_args == MDR_ARGS_MAX) {
        return mdr_cli_misuse(c, "leave it out, or put quotes around names with spaces",
                              "`madder %s` has no use for the argument %s", c->command->name, word);
    }
    c->args[c->n_args++] = word;
    return MDR_EXIT_DONE;
}

static int check_use(mdr_cli *c)
{
    const uint32_t always = MDR_OPT_BIT(MDR_OPT_JSON) | MDR_OPT_BIT(MDR_OPT_HELP) |
                            MDR_OPT_BIT(MDR_OPT_VERSION) | MDR_OPT_BIT(MDR_OPT_MILL);
    if (c->command == NULL || c->opts[MDR_OPT_HELP] != NULL) {
        return MDR_EXIT_DONE;
    }
    for (int i = 0; i < MDR_OPT_COUNT; i++) {
        if (c->opts[i] != NULL && ((c->command->opts | always) & MDR_OPT_BIT(i)) == 0) {
            char remedy[80];
            (void)snprintf(remedy, sizeof remedy, "`madder help %s` lists its options",
                           c->command->name);
            return mdr_cli_misuse(c, remedy, "`madder %s` has no option --%s", c->command->name,
                                  OPTS[i].name);
        }
    }
    if (c->n_args < c->command->least_args) {
        char remedy[120];
        (void)snprintf(remedy, sizeof remedy, "write: madder %s %s", c->command->name,
                       c->command->synopsis);
        return mdr_cli_misuse(c, remedy, "`madder %s` needs %d argument%s, got %d",
                              c->command->name, c->command->least_args,
                              c->command->least_args == 1 ? "" : "s", c->n_args);
    }
    return MDR_EXIT_DONE;
}

int mdr_args_read(mdr_cli *c, int argc, char **argv)
{
    /* --json decides how complaints look, so it is looked for first */
    for (int i = 1; i < argc && strcmp(argv[i], "--") != 0; i++) {
        c->json |= strcmp(argv[i], "--json") == 0;
    }
    bool options = true;
    for (int i = 1; i < argc;) {
        const char *word = argv[i];
        if (options && strcmp(word, "--") == 0) {
            options = false;
            i++;
        } else if (options && word[0] == '-' && word[1] != '\0') {
            const int taken = take_option(c, argc, argv, i);
            if (taken == 0) {
                return MDR_EXIT_USAGE;
            }
            i += taken;
        } else {
            if (take_word(c, word) != MDR_EXIT_DONE) {
                return MDR_EXIT_USAGE;
            }
            i++;
        }
    }
    return check_use(c);
}
