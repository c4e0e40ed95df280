/* tls: a certificate of the mill's own, for tablets on its network. */
#include <stdio.h>
#include <string.h>

#include "cli/mdr_cmd_people.h"
#include "cli/mdr_jout.h"
#include "http/mdr_tls.h"

enum { OPT_NAME, OPT_ADDRESS };
const mdr_own_opt mdr_tls_options[] = {
    [OPT_NAME] = {"name", "NAME,...", "names of this machine on the network: mill.lan", "name", 1u,
                  true},
    [OPT_ADDRESS] = {"address", "ADDRESS,...", "its addresses: 192.168.1.5", "address", 1u, true},
    {NULL, NULL, NULL, NULL, 0, false},
};

int mdr_cli_split(mdr_cli *c, const char *list, const char **out, int most)
{
    int n = 0;
    bool more = list != NULL;
    while (more) {
        const size_t len = strcspn(list, ",");
        const char *one = len > 0 && n < most ? mdr_arena_text_n(c->arena, list, len) : NULL;
        if (one == NULL) {
            return -1;
        }
        out[n++] = one;
        more = list[len] == ',';
        list += len + 1;
    }
    return n;
}

static int take_names(mdr_cli *c, mdr_tls_ask *ask)
{
    for (int i = OPT_NAME; i <= OPT_ADDRESS; i++) {
        const int n = mdr_cli_split(c, c->own[i], ask->names + ask->n_names,
                                    MDR_TLS_NAMES_MOST - ask->n_names);
        if (n < 0) {
            return mdr_cli_misuse(c, "write them with commas between: mill.lan,mill.local",
                                  "--%s: an empty name, or more than %d", mdr_tls_options[i].name,
                                  (int)MDR_TLS_NAMES_MOST);
        }
        ask->n_names += n;
    }
    return MDR_EXIT_DONE;
}

static void say(const mdr_cli *c, const mdr_tls_ask *ask)
{
    if (c->json) {
        mdr_jout j = {.to = stdout};
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "folder", ask->dir);
        mdr_jout_number(&j, "days", MDR_TLS_DAYS);
        mdr_jout_end(&j, '}');
        (void)fputc('\n', stdout);
        return;
    }
    (void)printf("%s: a certificate for %d days, for", ask->dir, (int)MDR_TLS_DAYS);
    for (int i = 0; i < ask->n_names; i++) {
        (void)printf("%s %s", i > 0 ? "," : "", ask->names[i]);
    }
    (void)printf("\nserve with it:  madder serve --host 0.0.0.0 --tls %s\n"
                 "each tablet trusts %s/ca.crt once (the server offers it at /ca.crt);\n"
                 "keep %s/ca.key where only you can read it: who has it can pose as the mill\n",
                 ask->dir, ask->dir, ask->dir);
}

int mdr_cmd_tls(mdr_cli *c)
{
    mdr_tls_ask ask = {.dir = c->args[1]};
    if (strcmp(c->args[0], "init") != 0) {
        return mdr_cli_misuse(c, "write: madder tls init DIR --name mill.lan",
                              "`madder tls` knows no work %s", c->args[0]);
    }
    const int rc = take_names(c, &ask);
    if (rc != MDR_EXIT_DONE) {
        return rc;
    }
    if (mdr_tls_init(&ask, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    say(c, &ask);
    return MDR_EXIT_DONE;
}
