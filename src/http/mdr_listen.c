#define _POSIX_C_SOURCE 200809L
#include "http/mdr_listen.h"

#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <string.h>
#include <sys/socket.h>
#include <unistd.h>

#include "app/mdr_app_people.h"

enum { BACKLOG = 64 };

/* An address of either family. */
typedef union address {
    struct sockaddr any;
    struct sockaddr_in four;
    struct sockaddr_in6 six;
} address;

static const char *host_of(const mdr_http_options *o)
{
    return o->host == NULL || strcmp(o->host, "localhost") == 0 ? "127.0.0.1" : o->host;
}

/* Numbers only: what a name stands for may change behind one's back. */
static bool read_address(const char *host, int port, address *out, socklen_t *len)
{
    memset(out, 0, sizeof *out);
    if (inet_pton(AF_INET, host, &out->four.sin_addr) == 1) {
        out->four.sin_family = AF_INET;
        out->four.sin_port = htons((uint16_t)port);
        *len = sizeof out->four;
        return true;
    }
    if (inet_pton(AF_INET6, host, &out->six.sin6_addr) == 1) {
        out->six.sin6_family = AF_INET6;
        out->six.sin6_port = htons((uint16_t)port);
        *len = sizeof out->six;
        return true;
    }
    return false;
}

bool mdr_listen_is_loopback(const char *host)
{
    return host == NULL || strcmp(host, "localhost") == 0 || strcmp(host, "::1") == 0 ||
           strcmp(host, "127.0.0.1") == 0;
}

const char *mdr_listen_address(const struct sockaddr *at, mdr_arena *arena)
{
    char text[INET6_ADDRSTRLEN] = "";
    const void *bytes =
        at == NULL ? NULL
        : at->sa_family == AF_INET6
            ? (const void *)&((const struct sockaddr_in6 *)(const void *)at)->sin6_addr
            : (const void *)&((const struct sockaddr_in *)(const void *)at)->sin_addr;
    if (bytes == NULL || inet_ntop(at->sa_family, bytes, text, sizeof text) == NULL) {
        return "unknown";
    }
    return mdr_arena_text(arena, text);
}

static mdr_code refuse_host(const mdr_http_options *o, mdr_code code, const char *msg,
                            const char *remedy, mdr_err *err)
{
    (void)MDR_FAIL(err, code, "host", "%s: %s", msg, o->host);
    mdr_err_value(err, "%s", o->host);
    mdr_err_allowed(err, "127.0.0.1");
    mdr_err_remedy(err, "%s", remedy);
    return code;
}

static mdr_code check_open(const mdr_http_options *o, mdr_err *err)
{
    bool people = false;
    MDR_TRY(mdr_app_has_people(o->app, &people, err));
    if (!people) {
        return refuse_host(
            o, MDR_E_CONFLICT, "nobody signs in yet, so nobody else may reach this",
            "add the first person: madder people add NAME --name ... --roles manager", err);
    }
    return o->tls_dir != NULL || o->plain_anyway
               ? MDR_OK
               : refuse_host(o, MDR_E_ARG, "passwords would go over the network as they are typed",
                             "make a certificate: madder tls init DIR --name ..., then serve --tls "
                             "DIR",
                             err);
}

mdr_code mdr_listen_check(const mdr_http_options *o, mdr_err *err)
{
    address at;
    socklen_t len = 0;
    if (!read_address(host_of(o), 0, &at, &len)) {
        return refuse_host(o, MDR_E_ARG, "the server cannot listen on this",
                           "give an address of this machine in numbers, or 0.0.0.0 for all", err);
    }
    if (o->port < 0 || o->port > 65535) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "port", "this is not a port number");
        mdr_err_value(err, "%d", o->port);
        mdr_err_allowed(err, "0 (any free one) to 65535");
        return rc;
    }
    return mdr_listen_is_loopback(o->host) ? MDR_OK : check_open(o, err);
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

mdr_code mdr_listen_open(const mdr_http_options *o, int *fd_out, int *port_out, mdr_err *err)
{
    address at;
    socklen_t len = 0;
    const int on = 1;
    (void)read_address(host_of(o), o->port, &at, &len);
    const int fd = socket(at.any.sa_family, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (fd < 0) {
        return no_port(o->port, errno, err);
    }
    (void)setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on);
    if (bind(fd, &at.any, len) != 0 || listen(fd, BACKLOG) != 0 ||
        getsockname(fd, &at.any, &len) != 0) {
        const int why = errno;
        (void)close(fd);
        return no_port(o->port, why, err);
    }
    *fd_out = fd;
    *port_out = ntohs(at.any.sa_family == AF_INET6 ? at.six.sin6_port : at.four.sin_port);
    return MDR_OK;
}
