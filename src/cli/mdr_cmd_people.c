/* people: who may sign in to the mill, and what they are. */
#include "cli/mdr_cmd_people.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

#include "app/mdr_app_people.h"
#include "cli/mdr_cmd_document.h"
#include "cli/mdr_jout.h"
#include "cli/mdr_secret_read.h"
#include "cli/mdr_term.h"

#define ADD      (1u << MDR_PEOPLE_ADD)
#define ROLES    (1u << MDR_PEOPLE_ROLES)
#define PASSWORD (1u << MDR_PEOPLE_PASSWORD)
#define BADGE    (1u << MDR_PEOPLE_BADGE)

enum { OPT_NAME, OPT_ROLES, OPT_PASSWORD_STDIN, OPT_NO_PASSWORD, OPT_BADGE_STDIN, OPT_NO_BADGE };

const mdr_own_opt mdr_people_options[] = {
    [OPT_NAME] = {"name", "NAME", "as it stands under records: \"Anna Berg\"", "name", ADD, true},
    [OPT_ROLES] = {"roles", "ROLE,...",
                   "technologist, lab, weigh-room, operator, finisher, planner, quality, manager",
                   "roles", ADD | ROLES, true},
    [OPT_PASSWORD_STDIN] = {"password-stdin", NULL, "read the password from the standard input",
                            NULL, ADD | PASSWORD, true},
    [OPT_NO_PASSWORD] = {"no-password", NULL, "without one: a badge will do", NULL, ADD, true},
    [OPT_BADGE_STDIN] = {"badge-stdin", NULL, "read badge and PIN, a line each, from there", NULL,
                         BADGE, true},
    [OPT_NO_BADGE] = {"no-badge", NULL, "take the badge and its PIN away", NULL, BADGE, true},
    {NULL, NULL, NULL, NULL, 0, false},
};

static const char *const WORKS[MDR_PEOPLE_COUNT] = {
    [MDR_PEOPLE_LIST] = "list",   [MDR_PEOPLE_ADD] = "add",
    [MDR_PEOPLE_ROLES] = "roles", [MDR_PEOPLE_PASSWORD] = "password",
    [MDR_PEOPLE_BADGE] = "badge", [MDR_PEOPLE_REMOVE] = "remove",
    [MDR_PEOPLE_BACK] = "back",   [MDR_PEOPLE_END] = "sign-out",
};

static void notes(void)
{
    (void)puts("\nWorks, and what each needs:\n"
               "  list                nothing: people, roles, how they sign in\n"
               "  add PERSON          --name --roles; asks for the password without showing it.\n"
               "                      With the first person, a manager, signing in begins\n"
               "  roles PERSON        --roles: these from now on\n"
               "  password PERSON     nothing: asks for the new one\n"
               "  badge PERSON        nothing: asks for the badge's code and a PIN;\n"
               "                      for operator, weigh-room and lab\n"
               "  remove PERSON       nothing: signs in no more; the name stays under\n"
               "                      its records\n"
               "  back PERSON         nothing: may sign in again\n"
               "  sign-out PERSON     nothing: ends every session of the person\n"
               "Example:  madder people add anna --name \"Anna Berg\" --roles manager,quality");
}

static const char *first(int i)
{
    return i < MDR_PEOPLE_COUNT ? WORKS[i] : NULL;
}

const mdr_command_more mdr_people_more = {notes, first};

static int check_arguments(mdr_cli *c, int work)
{
    if (work != MDR_PEOPLE_LIST && c->n_args < 2) {
        return mdr_cli_misuse(c, "`madder help people` shows how",
                              "`madder people %s` needs a PERSON", WORKS[work]);
    }
    if (work == MDR_PEOPLE_LIST && c->n_args > 1) {
        return mdr_cli_misuse(c, "leave it out",
                              "`madder people list` has no use for the argument %s", c->args[1]);
    }
    for (int i = 0; mdr_people_options[i].name != NULL; i++) {
        if (c->own[i] != NULL && (mdr_people_options[i].of & (1u << work)) == 0) {
            return mdr_cli_misuse(c, "`madder help people` lists its options",
                                  "`madder people %s` has no option --%s", WORKS[work],
                                  mdr_people_options[i].name);
        }
    }
    if (work == MDR_PEOPLE_ADD && (c->own[OPT_NAME] == NULL || c->own[OPT_ROLES] == NULL)) {
        return mdr_cli_misuse(c, "give --name \"Anna Berg\" --roles lab",
                              "`madder people add` needs --name and --roles");
    }
    if (work == MDR_PEOPLE_ROLES && c->own[OPT_ROLES] == NULL) {
        return mdr_cli_misuse(c, "give --roles lab,quality", "which roles?");
    }
    return MDR_EXIT_DONE;
}

/* -- secrets -- */

typedef struct secrets {
    char password[MDR_SECRET_LINE], badge[MDR_SECRET_LINE], pin[MDR_SECRET_LINE];
} secrets;

static int ask_password(mdr_cli *c, secrets *s, mdr_person_change *change)
{
    if (c->own[OPT_NO_PASSWORD] != NULL) {
        return MDR_EXIT_DONE;
    }
    change->password = s->password;
    return c->own[OPT_PASSWORD_STDIN] != NULL
               ? mdr_secret_line(c, s->password)
               : mdr_secret_ask(c, "password (12 characters or more)", true, s->password);
}

static int ask_badge(mdr_cli *c, secrets *s, mdr_person_change *change)
{
    change->badge = s->badge; /* "" takes it away */
    if (c->own[OPT_NO_BADGE] != NULL) {
        return MDR_EXIT_DONE;
    }
    change->pin = s->pin;
    const bool piped = c->own[OPT_BADGE_STDIN] != NULL;
    const int rc = piped ? mdr_secret_line(c, s->badge)
                         : mdr_secret_ask(c, "badge (scan it)", false, s->badge);
    if (rc != MDR_EXIT_DONE) {
        return rc;
    }
    if (s->badge[0] == '\0') {
        return mdr_cli_misuse(c, "scan it, or --no-badge takes the old one away",
                              "the code of the badge is missing");
    }
    return piped ? mdr_secret_line(c, s->pin)
                 : mdr_secret_ask(c, "PIN (6 digits or more)", true, s->pin);
}

/* -- works -- */

static void put_line(const mdr_person *p)
{
    char roles[160] = "";
    size_t n = 0;
    for (int i = 0; i < MDR_ROLE_COUNT; i++) {
        if ((p->roles & MDR_ROLE_BIT(i)) != 0) {
            n += (size_t)snprintf(roles + n, sizeof roles - n, "%s%s", n > 0 ? "," : "",
                                  mdr_role_id((mdr_role)i));
        }
    }
    const char *by = p->password_hash != NULL
                         ? p->badge_hash != NULL ? "password, badge" : "password"
                     : p->badge_hash != NULL ? "badge"
                                             : "nothing yet";
    mdr_text_pad(p->person_id, 14);
    mdr_text_pad(p->name, 26);
    mdr_text_pad(p->active ? by : "inactive", 17);
    mdr_text_cut(roles, 39);
    (void)fputc('\n', stdout);
}

static int64_t now_utc_ms(void)
{
    return (int64_t)time(NULL) * 1000;
}

static int list(mdr_cli *c)
{
    mdr_person *people = NULL;
    mdr_blob out = {0};
    int n = 0;
    if (c->json) {
        return mdr_app_people_json(c->app, now_utc_ms(), c->arena, &out, &c->err) == MDR_OK
                   ? mdr_cli_put_json(c, out)
                   : mdr_cli_fail(c);
    }
    if (mdr_app_people(c->app, c->arena, &people, &n, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    for (int i = 0; i < n; i++) {
        put_line(&people[i]);
    }
    if (n == 0) {
        (void)puts("(nobody: whoever reaches this mill may do everything)");
    }
    return MDR_EXIT_DONE;
}

static mdr_code work_on(mdr_cli *c, int work, const mdr_person_change *change)
{
    if (work == MDR_PEOPLE_ADD) {
        return mdr_app_person_add(c->app, change, now_utc_ms(), c->arena, &c->err);
    }
    if (work == MDR_PEOPLE_END) {
        return mdr_app_sessions_end(c->app, change->person_id, c->arena, &c->err);
    }
    return mdr_app_person_change(c->app, change, NULL, c->arena, &c->err);
}

static const char *const DONE[MDR_PEOPLE_COUNT] = {
    [MDR_PEOPLE_LIST] = "",
    [MDR_PEOPLE_ADD] = "may sign in",
    [MDR_PEOPLE_ROLES] = "has these roles, and signs in again for them",
    [MDR_PEOPLE_PASSWORD] = "has a new password; every session has ended",
    [MDR_PEOPLE_BADGE] = "has this badge and PIN",
    [MDR_PEOPLE_REMOVE] = "may no longer sign in",
    [MDR_PEOPLE_BACK] = "may sign in again",
    [MDR_PEOPLE_END] = "is signed out everywhere",
};

static int say(mdr_cli *c, int work)
{
    const char *words = work == MDR_PEOPLE_BADGE && c->own[OPT_NO_BADGE] != NULL
                            ? "has no badge any more"
                            : DONE[work];
    if (c->json) {
        mdr_jout j = {.to = stdout};
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "person_id", c->args[1]);
        mdr_jout_text(&j, "done", WORKS[work]);
        mdr_jout_end(&j, '}');
        (void)fputc('\n', stdout);
    } else {
        (void)printf("%s %s\n", c->args[1], words);
    }
    return MDR_EXIT_DONE;
}

static int change_person(mdr_cli *c, int work, secrets *s)
{
    mdr_person_change change = {.person_id = c->args[1],
                                .name = c->own[OPT_NAME],
                                .roles = c->own[OPT_ROLES],
                                .active = work != MDR_PEOPLE_REMOVE,
                                .has_active = work == MDR_PEOPLE_REMOVE || work == MDR_PEOPLE_BACK};
    int rc = MDR_EXIT_DONE;
    if (work == MDR_PEOPLE_ADD || work == MDR_PEOPLE_PASSWORD) {
        rc = ask_password(c, s, &change);
    } else if (work == MDR_PEOPLE_BADGE) {
        rc = ask_badge(c, s, &change);
    }
    if (rc != MDR_EXIT_DONE) {
        return rc;
    }
    return work_on(c, work, &change) == MDR_OK ? say(c, work) : mdr_cli_fail(c);
}

int mdr_cmd_people(mdr_cli *c)
{
    secrets s = {.password = ""};
    const int work = mdr_cli_word(c, WORKS, MDR_PEOPLE_COUNT, "work");
    if (work < 0) {
        return MDR_EXIT_USAGE;
    }
    int rc = check_arguments(c, work);
    rc = rc == MDR_EXIT_DONE ? mdr_cli_open(c, work != MDR_PEOPLE_LIST) : rc;
    if (rc != MDR_EXIT_DONE) {
        return rc;
    }
    rc = work == MDR_PEOPLE_LIST ? list(c) : change_person(c, work, &s);
    mdr_wipe(&s, sizeof s);
    return rc;
}
