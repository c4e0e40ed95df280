/*
 * mdr_cmd.h - what the commands share: options, the running command, the table of commands.
 *
 * Layer: cli, private to it. A command is one file mdr_cmd_NAME.c with one function, named in the
 * table of mdr_commands.c; help, the options' check and --json come from the table.
 */
#ifndef MDR_CMD_H
#define MDR_CMD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "app/mdr_app.h"
#include "base/mdr_arena.h"
#include "base/mdr_err.h"
#include "base/mdr_list.h"

/* X(enumerator, name, name of its value or NULL for a switch, words) */
#define MDR_OPTS(X)                                                                      \
    X(MDR_OPT_MILL, "mill", "FILE", "the mill file; else the environment's MADDER_MILL") \
    X(MDR_OPT_JSON, "json", NULL, "print JSON")                                          \
    X(MDR_OPT_HELP, "help", NULL, "explain the command")                                 \
    X(MDR_OPT_VERSION, "version", NULL, "print the version")                             \
    X(MDR_OPT_DEMO, "demo", NULL, "fill it with the invented demo mill")                 \
    X(MDR_OPT_FORCE, "force", NULL, "overwrite a file that is there")                    \
    X(MDR_OPT_LOAD, "load-kg", "KG", "plan with this load")                              \
    X(MDR_OPT_RATIO, "ratio", "L/KG", "plan with this liquor ratio")                     \
    X(MDR_OPT_MACHINE, "machine", "ID", "plan for this machine")                         \
    X(MDR_OPT_ROUTE, "route", "ID", "plan by this route")                                \
    X(MDR_OPT_SPEED, "speed", "M/MIN", "plan with this rope speed")                      \
    X(MDR_OPT_TUBES, "tubes", "N", "plan with so many ropes")                            \
    X(MDR_OPT_BATH, "bath", "N", "only this bath")                                       \
    X(MDR_OPT_OUT, "out", "FILE", "write here (-o FILE); - is the standard output")      \
    X(MDR_OPT_PORT, "port", "N", "listen on this port (8123); 0 takes a free one")       \
    X(MDR_OPT_HOST, "host", "ADDRESS", "listen on this address (127.0.0.1)")

typedef enum mdr_opt {
#define MDR_OPT_MEMBER(name, text, value, words) name,
    MDR_OPTS(MDR_OPT_MEMBER)
#undef MDR_OPT_MEMBER
        MDR_OPT_COUNT
} mdr_opt;

enum {
    MDR_EXIT_DONE = 0,
    MDR_EXIT_BAD = 1,   /* the job failed or found something bad */
    MDR_EXIT_USAGE = 2, /* asked in a wrong way */
    MDR_ARGS_MAX = 4,
    MDR_OWN_MAX = 144, /* options of one command alone */
    MDR_FOUND_MAX = 1000
};

#define MDR_OPT_BIT(opt) (1u << (opt))

typedef struct mdr_cli mdr_cli;

/* An option that only one command has, told apart from those of all by standing behind its name.
 * It becomes a member of the document that the command asks with. */
typedef struct mdr_own_opt {
    const char *name, *value, *words; /* as in MDR_OPTS; a comma in `value`: several numbers */
    const char *key;                  /* of the member */
    uint32_t of;                      /* which of the command's questions know it, a bit each */
    bool is_word;                     /* a text, not a number */
} mdr_own_opt;

/* What help, the manual page and completion say of a command besides its options. */
typedef struct mdr_command_more {
    void (*notes)(void); /* prints them, a blank line first; or NULL */
    const char *(*first)(
        int i); /* the words its first argument may be, NULL behind the last; or NULL */
} mdr_command_more;

typedef struct mdr_command {
    const char *name;
    const char *synopsis; /* its arguments: "LOT FIGURE" */
    const char *words;    /* one line */
    int least_args, most_args;
    uint32_t opts;   /* besides --json and --help */
    uint32_t own_of; /* of `own` only those of these questions */
    int (*run)(mdr_cli *c);
    const mdr_own_opt *own; /* at most MDR_OWN_MAX, the last one without name; or NULL */
    const mdr_command_more *more;
} mdr_command;

/* One run of the program. */
struct mdr_cli {
    const mdr_command *command;
    const char *args[MDR_ARGS_MAX];
    int n_args;
    const char *opts[MDR_OPT_COUNT]; /* NULL: not given; a switch that was given: "" */
    const char *own[MDR_OWN_MAX];    /* by place in the command's table; NULL: not given */
    bool json;
    mdr_arena *arena;
    mdr_app *app;       /* open after mdr_cli_open */
    mdr_err_list found; /* what an import, a check, a route complains of */
    mdr_err err;
};

extern const mdr_command mdr_commands[];
extern const int mdr_commands_count;
const mdr_command *mdr_command_find(const char *name);
/* The command's name that is nearest to what was typed, or NULL. */
const char *mdr_command_near(const char *typed);

const char *mdr_opt_name(mdr_opt opt);
const char *mdr_opt_value_name(mdr_opt opt); /* NULL: a switch */
const char *mdr_opt_words(mdr_opt opt);

/* Sorts argv into command, arguments and options. Returns MDR_EXIT_DONE, or MDR_EXIT_USAGE after
 * having said what is wrong. A missing command is left NULL. */
int mdr_args_read(mdr_cli *c, int argc, char **argv);

/* The command's next own option from place *i on, and *i its place in c->own; NULL: none left. */
const mdr_own_opt *mdr_own_next(const mdr_command *command, int *i);

/* Typing errors between two words: insertions, removals, changes, swaps of neighbours. */
int mdr_word_distance(const char *a, const char *b);

/* Opens the mill file named by --mill or MADDER_MILL. Returns MDR_EXIT_DONE or the exit status
 * after having said what is wrong. */
int mdr_cli_open(mdr_cli *c, bool for_writing);

/* Says c->err and what was found besides; returns MDR_EXIT_BAD. */
int mdr_cli_fail(mdr_cli *c);
/* The record as a terminal may see it: without characters that steer it. */
mdr_err mdr_cli_tamed(const mdr_err *e);
/* Says what was wrong with the arguments; returns MDR_EXIT_USAGE. */
int mdr_cli_misuse(mdr_cli *c, const char *remedy, const char *fmt, ...) MDR_PRINTF(3, 4);
/* Prints the JSON text on a line of its own; returns MDR_EXIT_DONE. */
int mdr_cli_put_json(mdr_cli *c, mdr_blob json);
/* The number behind an option. Returns false after having said what is wrong. */
bool mdr_cli_number(mdr_cli *c, mdr_opt opt, double *out);
/* The same for an option of this name with this text behind it. */
bool mdr_cli_number_of(mdr_cli *c, const char *option, const char *text, double *out);
/* Local time as documents show it. */
void mdr_cli_now(char *out, size_t size);
/* Writes a document and says so; returns the exit status. */
int mdr_cli_put_pdf(mdr_cli *c, const char *path, mdr_blob pdf);
bool mdr_cli_whole(mdr_cli *c, mdr_opt opt, long least, long most, long *out);

int mdr_cmd_new(mdr_cli *c);
int mdr_cmd_import(mdr_cli *c);
int mdr_cmd_export(mdr_cli *c);
int mdr_cmd_check(mdr_cli *c);
int mdr_cmd_lots(mdr_cli *c);
int mdr_cmd_orders(mdr_cli *c);
int mdr_cmd_machines(mdr_cli *c);
int mdr_cmd_routes(mdr_cli *c);
int mdr_cmd_plan(mdr_cli *c);
int mdr_cmd_why(mdr_cli *c);
int mdr_cmd_card(mdr_cli *c);
int mdr_cmd_settings(mdr_cli *c);
int mdr_cmd_slips(mdr_cli *c);
int mdr_cmd_advise(mdr_cli *c);
int mdr_cmd_dye(mdr_cli *c);
int mdr_cmd_bath(mdr_cli *c);
int mdr_cmd_rinse(mdr_cli *c);
int mdr_cmd_hold(mdr_cli *c);
int mdr_cmd_fabric(mdr_cli *c);
int mdr_cmd_line(mdr_cli *c);
int mdr_cmd_serve(mdr_cli *c);
int mdr_cmd_version(mdr_cli *c);
int mdr_cmd_help(mdr_cli *c);

extern const mdr_own_opt mdr_help_options[];
extern const mdr_command_more mdr_help_more, mdr_tables_more;
/* The manual page madder(1), and what a shell completes: both from the table of commands. */
void mdr_put_manual(void);
bool mdr_put_completion(const char *shell); /* false: not a shell it knows */

#endif
