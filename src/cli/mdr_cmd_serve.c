#define _POSIX_C_SOURCE 200809L
#include <signal.h>
#include <stdio.h>
#include <string.h>

#include "app/mdr_app_chain.h"
#include "cli/mdr_cmd.h"
#include "cli/mdr_cmd_people.h"
#include "cli/mdr_jout.h"
#include "http/mdr_http.h"

enum { PORT_USUAL = 8123 };

const mdr_own_opt mdr_serve_options[] = {
    [MDR_SERVE_TLS] = {"tls", "DIR", "with the certificate that `madder tls init DIR` made", "tls",
                       1u, true},
    [MDR_SERVE_NAME] = {"name", "NAME,...", "answer to these names too: mill.lan", "name", 1u,
                        true},
    [MDR_SERVE_PLAIN] = {"plain-anyway", NULL,
                         "no TLS although others reach it: only behind a proxy that does it", NULL,
                         1u, true},
    {NULL, NULL, NULL, NULL, 0, false},
};

static void say_where(const mdr_cli *c, const mdr_http_options *o, const mdr_http *http)
{
    char url[300];
    const bool loopback = strcmp(o->host, "127.0.0.1") == 0 || strcmp(o->host, "localhost") == 0;
    const char *name = loopback && o->tls_dir == NULL ? o->host : mdr_http_name(http);
    const bool six = strchr(name, ':') != NULL;
    (void)snprintf(url, sizeof url, six ? "%s://[%s]:%d" : "%s://%s:%d",
                   o->tls_dir != NULL ? "https" : "http", name, mdr_http_port(http));
    if (!loopback && o->tls_dir == NULL) {
        (void)fputs("madder: without TLS: passwords and records can be read on the network\n",
                    stderr);
    }
    if (c->json) {
        mdr_jout j = {.to = stdout};
        mdr_jout_begin(&j, NULL, '{');
        mdr_jout_text(&j, "listening", url);
        mdr_jout_end(&j, '}');
        (void)fputc('\n', stdout);
    } else {
        (void)printf("listening on %s\n", url);
    }
    (void)fflush(stdout); /* whoever started us waits for this line, also through a pipe */
}

int mdr_cmd_serve(mdr_cli *c)
{
    const char *host = c->opts[MDR_OPT_HOST] != NULL ? c->opts[MDR_OPT_HOST] : "127.0.0.1";
    long port = PORT_USUAL;
    if (c->opts[MDR_OPT_PORT] != NULL && !mdr_cli_whole(c, MDR_OPT_PORT, 0, 65535, &port)) {
        return MDR_EXIT_USAGE;
    }
    const int opened = mdr_cli_open(c, true);
    if (opened != MDR_EXIT_DONE) {
        return opened;
    }
    /* Blocked before the server's thread begins, so that it inherits the mask and the signal
     * always arrives here. A browser that goes away must not end the program. */
    sigset_t stop;
    (void)sigemptyset(&stop);
    (void)sigaddset(&stop, SIGINT);
    (void)sigaddset(&stop, SIGTERM);
    (void)sigaddset(&stop, SIGHUP);
    (void)sigprocmask(SIG_BLOCK, &stop, NULL);
    (void)signal(SIGPIPE, SIG_IGN);

    mdr_http *http = NULL;
    mdr_http_options options = {.app = c->app,
                                .host = host,
                                .port = (int)port,
                                .tls_dir = c->own[MDR_SERVE_TLS],
                                .plain_anyway = c->own[MDR_SERVE_PLAIN] != NULL};
    options.n_names = mdr_cli_split(c, c->own[MDR_SERVE_NAME], options.names, MDR_HTTP_NAMES_MOST);
    if (options.n_names < 0) {
        return mdr_cli_misuse(c, "write them with commas between: mill.lan,mill.local",
                              "--name: an empty name, or too many");
    }
    /* Beside the server, which answers from its first moment on; without it the record says so itself. */
    mdr_err unseen;
    if (mdr_app_chain_start(c->app, true, &unseen) != MDR_OK) {
        (void)fprintf(stderr, "madder: %s\n", unseen.msg);
    }
    if (mdr_http_start(&options, &http, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    say_where(c, &options, http);
    int which = 0;
    while (sigwait(&stop, &which) != 0) {
    }
    mdr_http_stop(http);
    return MDR_EXIT_DONE;
}
