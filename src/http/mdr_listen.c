#define _POSIX_C_SOURCE 200809L
#include "http/mdr_listen.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

enum { BACKLOG = 64 };

mdr_code mdr_listen_check(const char *host, int port, mdr_err *err)
{
    if (host != NULL && strcmp(host, "127.0.0.1") != 0 && strcmp(host, "localhost") != 0) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, "host", "the server cannot listen on %s", host);
        mdr_err_value(err, "%s", host);
        mdr_err_allowed(err, "127.0.0.1");
        mdr_err_remedy(
            err,
            "listening on a network needs people who sign in, which this version does not have");
        return rc;
    }
    if (port < 0 || port > 65535) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "port", "this is no port");
        mdr_err_value(err, "%d", port);
        mdr_err_allowed(err, "0 (any free one) to 65535");
        return rc;
    }
    return MDR_OK;
}

static mdr_code no_port(int port, int why, mdr_err *err)
{
    if (why == EADDRINUSE) {
        (void)MDR_FAIL(err, MDR_E_CONFLICT, "port", "port %d is in use", port);
        mdr_err_value(err, "%d", port);
        mdr_err_remedy(err, "choose another with --port, or --port 0 for any free one");
        return MDR_E_CONFLICT;
    }
    (void)MDR_FAIL(err, MDR_E_IO, "port", "port %d cannot be opened", port);
    mdr_err_value(err, "%d", port);
    mdr_err_remedy(err, "%s; choose another with --port", strerror(why));
    return MDR_E_IO;
}

mdr_code mdr_listen_on(int port, int *fd_out, int *port_out, mdr_err *err)
{
    struct sockaddr_in at = {.sin_family = AF_INET, .sin_port = htons((uint16_t)port)};
    at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    socklen_t len = sizeof at;
    const int on = 1;
    const int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (fd < 0) {
        return no_port(port, errno, err);
    }
    (void)setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on);
    if (bind(fd, (struct sockaddr *)&at, sizeof at) != 0 || listen(fd, BACKLOG) != 0 ||
        getsockname(fd, (struct sockaddr *)&at, &len) != 0) {
        const int why = errno;
        (void)close(fd);
        return no_port(port, why, err);
    }
    *fd_out = fd;
    *port_out = ntohs(at.sin_port);
    return MDR_OK;
}
