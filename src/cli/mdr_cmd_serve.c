#define _POSIX_C_SOURCE 200809L
#include <signal.h>
#include <stdio.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_jout.h"
#include "http/mdr_http.h"

enum { PORT_USUAL = 8123 };

static void say_where(const mdr_cli *c, const char *host, int port)
{
    char url[160];
    (void)snprintf(url, sizeof url, "http://%s:%d", host, port);
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
    const mdr_http_options options = {.app = c->app, .host = host, .port = (int)port};
    if (mdr_http_start(&options, &http, &c->err) != MDR_OK) {
        return mdr_cli_fail(c);
    }
    say_where(c, host, mdr_http_port(http));
    int which = 0;
    while (sigwait(&stop, &which) != 0) {
    }
    mdr_http_stop(http);
    return MDR_EXIT_DONE;
}
