#define _POSIX_C_SOURCE 200809L
#include "http/mdr_http.h"

#include <arpa/inet.h>
#include <errno.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <unistd.h>

#include "http/mdr_gzip.h"
#include "http/mdr_http_in.h"

enum {
    IDLE_S = 15, /* a connection that says nothing this long is closed */
    CONNECTIONS_MAX = 256,
    REQUEST_BYTES = 160 << 20, /* cap of everything one request may allocate */
    KEPT_BYTES = 4 << 20,      /* cap of the packed files of the web app */
    KEPT_MAX = 64,
    BACKLOG = 64
};

/* A file of the web app in its gzip form, made when it is first asked for: the start does not wait
 * for it. Only the server's one thread comes here. */
typedef struct kept_file {
    const char *plain; /* its bytes in the program, by which it is known */
    mdr_blob packed;
} kept_file;

struct mdr_http {
    struct MHD_Daemon *daemon;
    mdr_app *app;
    int port;
    mdr_arena *arena; /* of the kept files */
    kept_file kept[KEPT_MAX];
    int n_kept;
};

/* One request on its way in. */
typedef struct incoming {
    mdr_request request;
    const mdr_endpoint *endpoint;
    mdr_reply reply;
    bool decided; /* refused before its body was read */
    char *body;
    size_t len, room;
} incoming;

static const char POLICY[] =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; frame-ancestors 'none'; "
    "base-uri 'none'";

static const char *header(struct MHD_Connection *c, const char *name)
{
    return MHD_lookup_connection_value(c, MHD_HEADER_KIND, name);
}

static void add(struct MHD_Response *r, const char *name, const char *value)
{
    if (value != NULL) {
        (void)MHD_add_response_header(r, name, value);
    }
}

/* The gzip form of an answer; false: there is none, send it as it is. */
static bool pack(mdr_http *http, const incoming *in, mdr_blob *out)
{
    const mdr_blob plain = in->reply.body;
    if (in->reply.etag == NULL) {
        return mdr_gzip_pack(plain, MDR_GZIP_FAST, in->request.arena, out);
    }
    for (int i = 0; i < http->n_kept; i++) {
        if (http->kept[i].plain == plain.bytes) {
            *out = http->kept[i].packed;
            return true;
        }
    }
    mdr_blob packed;
    if (!mdr_gzip_pack(plain, MDR_GZIP_SMALL, in->request.arena, &packed)) {
        return false;
    }
    const char *copy =
        http->n_kept < KEPT_MAX ? mdr_arena_text_n(http->arena, packed.bytes, packed.len) : NULL;
    if (copy != NULL) {
        http->kept[http->n_kept++] = (kept_file){plain.bytes, {copy, packed.len}};
    }
    *out = packed;
    return true;
}

/* What of an answer depends on the codings that the client takes. */
typedef struct sent {
    mdr_blob body;
    const char *etag;
    bool varies, packed;
} sent;

static sent choose(mdr_http *http, struct MHD_Connection *c, const incoming *in)
{
    const mdr_reply *reply = &in->reply;
    sent s = {.body = reply->body, .etag = reply->etag};
    s.varies = mdr_gzip_worth(reply->type, reply->body.len);
    mdr_blob packed;
    if (!s.varies || !mdr_gzip_accepted(header(c, "Accept-Encoding")) || !pack(http, in, &packed)) {
        return s;
    }
    /* other bytes must have another tag: RFC 9110 8.8.3.3 */
    const char *etag = s.etag == NULL ? NULL
                                      : mdr_arena_printf(in->request.arena, "%.*s-gzip\"",
                                                         (int)strlen(s.etag) - 1, s.etag);
    if ((etag == NULL) == (s.etag == NULL)) {
        s = (sent){.body = packed, .etag = etag, .varies = true, .packed = true};
    }
    return s;
}

static void add_headers(struct MHD_Response *r, const incoming *in, const sent *s)
{
    const mdr_reply *reply = &in->reply;
    const bool api = strncmp(in->request.path, "/api/", 5) == 0;
    add(r, "Content-Type", reply->type);
    add(r, "Content-Encoding", s->packed ? "gzip" : NULL);
    add(r, "Vary", s->varies ? "Accept-Encoding" : NULL);
    if (strcmp(reply->type, "application/pdf") != 0) { /* a browser's own viewer needs its parts */
        add(r, "Content-Security-Policy", POLICY);
    }
    add(r, "X-Content-Type-Options", "nosniff");
    add(r, "Referrer-Policy", "no-referrer");
    add(r, "Cross-Origin-Opener-Policy", "same-origin");
    add(r, "Cache-Control", api ? "no-store" : "no-cache"); /* the ETag spares the second time */
    add(r, "ETag", s->etag);
    add(r, "Allow", reply->allow);
    if (reply->file_name != NULL) {
        char text[MDR_PATH_PART_MAX + 64];
        (void)snprintf(text, sizeof text, "inline; filename=\"%s\"", reply->file_name);
        add(r, "Content-Disposition", text);
    }
}

static enum MHD_Result send_reply(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    sent s = choose(http, c, in);
    const char *known = header(c, "If-None-Match");
    const bool same = s.etag != NULL && known != NULL && strcmp(known, s.etag) == 0;
    s.packed = s.packed && !same; /* 304 has no body that could be */
    /* The library takes the bytes as not const, but with PERSISTENT only reads them. */
    union {
        const char *in;
        void *out;
    } bytes = {.in = s.body.bytes != NULL ? s.body.bytes : ""};
    struct MHD_Response *r =
        MHD_create_response_from_buffer(same ? 0 : s.body.len, bytes.out, MHD_RESPMEM_PERSISTENT);
    if (r == NULL) {
        return MHD_NO;
    }
    add_headers(r, in, &s);
    const enum MHD_Result queued =
        MHD_queue_response(c, same ? 304u : (unsigned)in->reply.status, r);
    MHD_destroy_response(r);
    return queued;
}

static void refuse(incoming *in, int status, mdr_code code, const char *place, const char *msg,
                   const char *remedy)
{
    mdr_err err = {0};
    (void)MDR_FAIL(&err, code, place, "%s", msg);
    mdr_err_remedy(&err, "%s", remedy);
    mdr_reply_error(&in->request, &in->reply, &err, status);
    in->decided = true;
}

static mdr_method method_of(const char *text)
{
    if (strcmp(text, "GET") == 0 || strcmp(text, "HEAD") == 0) {
        return MDR_GET;
    }
    return strcmp(text, "POST") == 0 ? MDR_POST : strcmp(text, "PUT") == 0 ? MDR_PUT : MDR_OTHER;
}

static void refuse_path(incoming *in, unsigned allowed)
{
    if (allowed == 0) {
        refuse(in, 404, MDR_E_NOTFOUND, in->request.path, "there is nothing here",
               "see docs/api.md for what there is");
        return;
    }
    in->reply.allow = mdr_arena_printf(
        in->request.arena, "%s%s%s", (allowed & 1u << MDR_GET) != 0 ? "GET, HEAD" : "",
        (allowed & 1u << MDR_POST) != 0 ? (allowed & 1u << MDR_GET) != 0 ? ", POST" : "POST" : "",
        (allowed & 1u << MDR_PUT) != 0
            ? (allowed & (1u << MDR_GET | 1u << MDR_POST)) != 0 ? ", PUT" : "PUT"
            : "");
    refuse(in, 405, MDR_E_ARG, in->request.path, "this cannot be done here",
           "see the header Allow for what can");
}

/* Clients with a large body ask whether they may send it. Who does not ask is heard to the end and
 * then refused: most of them read no answer while they still send. */
static bool asks_first(struct MHD_Connection *c)
{
    const char *expect = header(c, "Expect");
    return expect != NULL && strcasecmp(expect, "100-continue") == 0;
}

/* A path or argument with a NUL in it stays as it was sent: nothing of ours has such a name, while
 * what stands before the NUL may. */
static size_t unescape(void *cls, struct MHD_Connection *c, char *text)
{
    (void)cls;
    (void)c;
    return strstr(text, "%00") != NULL ? strlen(text) : MHD_http_unescape(text);
}

/* What the headers say of the body. */
static void check_body(struct MHD_Connection *c, incoming *in)
{
    const mdr_endpoint *e = in->endpoint;
    if (e->body_type == NULL) {
        return;
    }
    if (!mdr_guard_origin(header(c, "Sec-Fetch-Site"), header(c, "Origin"), header(c, "Host"))) {
        refuse(in, 403, MDR_E_ARG, "Origin", "changes are taken from this program's own pages only",
               "open the address that the server printed");
    } else if (!mdr_guard_type(header(c, "Content-Type"), e->body_type)) {
        refuse(in, 415, MDR_E_ARG, "Content-Type", "the body has another type than is taken here",
               e->body_type);
    } else {
        const char *told = header(c, "Content-Length");
        if (told != NULL && strtoull(told, NULL, 10) > e->body_max) {
            refuse(in, 413, MDR_E_RANGE, "body", "the body is larger than is taken here",
                   "JSON up to 1 MiB, CSV up to 32 MiB; split it");
        }
    }
}

/* First look: may this be answered at all? */
static void look(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    mdr_request *q = &in->request;
    unsigned allowed = 0;
    if (!mdr_guard_host(header(c, "Host"), http->port)) {
        refuse(in, 421, MDR_E_ARG, "Host", "this server answers under its loopback address only",
               "open the address that the server printed");
    } else if (mdr_asset(q, &in->reply)) {
        in->decided = true;
        if (q->method != MDR_GET) {
            in->reply = (mdr_reply){.status = 0};
            refuse_path(in, 1u << MDR_GET);
        }
    } else if ((in->endpoint = mdr_endpoint_find(q, &allowed)) == NULL) {
        refuse_path(in, allowed);
    } else {
        q->figure = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "figure");
        q->bath = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "bath");
        q->against = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "against");
        q->after = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "after");
        check_body(c, in);
    }
}

static incoming *begin(mdr_http *http, struct MHD_Connection *c, const char *url,
                       const char *method)
{
    incoming *in = calloc(1, sizeof *in);
    mdr_arena *arena = mdr_arena_new(REQUEST_BYTES);
    char *path = arena != NULL ? mdr_arena_text(arena, url) : NULL;
    if (in == NULL || path == NULL) {
        free(in);
        mdr_arena_free(arena);
        return NULL;
    }
    in->request = (mdr_request){.app = http->app,
                                .arena = arena,
                                .method = method_of(method),
                                .path = path,
                                .by = "demo",
                                .found = mdr_err_list_make(arena, MDR_FOUND_MAX)};
    look(http, c, in);
    return in;
}

/* Keeps the next piece of the body. */
static void take(incoming *in, const char *data, size_t n)
{
    if (in->decided || in->endpoint == NULL || in->endpoint->body_type == NULL) {
        return; /* read and forgotten */
    }
    if (n > in->endpoint->body_max - in->len) {
        refuse(in, 413, MDR_E_RANGE, "body", "the body is larger than is taken here",
               "JSON up to 1 MiB, CSV up to 32 MiB; split it");
        return;
    }
    if (in->len + n > in->room) {
        const size_t room = 2 * (in->len + n) + 4096;
        char *more = realloc(in->body, room);
        if (more == NULL) {
            refuse(in, 503, MDR_E_NOMEM, "body", "no memory for the body", "try again later");
            return;
        }
        in->body = more;
        in->room = room;
    }
    memcpy(in->body + in->len, data, n);
    in->len += n;
}

/* NOLINTNEXTLINE(readability-function-size) the library's own form of a callback */
static enum MHD_Result answer(void *cls, struct MHD_Connection *c, const char *url,
                              const char *method, const char *version, const char *data,
                              size_t *data_len, void **state)
{
    mdr_http *http = cls;
    (void)version;
    incoming *in = *state;
    if (in == NULL) {
        *state = in = begin(http, c, url, method);
        if (in == NULL) {
            return MHD_NO;
        }
        return in->decided && asks_first(c) ? send_reply(http, c, in) : MHD_YES;
    }
    if (*data_len > 0) {
        take(in, data, *data_len);
        *data_len = 0;
        return MHD_YES;
    }
    if (!in->decided) {
        in->request.body = (mdr_blob){.bytes = in->body, .len = in->len};
        mdr_endpoint_run(in->endpoint, &in->request, &in->reply);
    }
    return send_reply(http, c, in);
}

static void finished(void *cls, struct MHD_Connection *c, void **state,
                     enum MHD_RequestTerminationCode why)
{
    (void)cls;
    (void)c;
    (void)why;
    incoming *in = *state;
    if (in != NULL) {
        mdr_arena_free(in->request.arena);
        free(in->body);
        free(in);
        *state = NULL;
    }
}

/* -- starting and stopping -- */

static mdr_code check_options(const mdr_http_options *o, mdr_err *err)
{
    if (o->host != NULL && strcmp(o->host, "127.0.0.1") != 0 && strcmp(o->host, "localhost") != 0) {
        const mdr_code rc =
            MDR_FAIL(err, MDR_E_ARG, "host", "the server cannot listen on %s", o->host);
        mdr_err_value(err, "%s", o->host);
        mdr_err_allowed(err, "127.0.0.1");
        mdr_err_remedy(
            err,
            "listening on a network needs people who sign in, which this version does not have");
        return rc;
    }
    if (o->port < 0 || o->port > 65535) {
        const mdr_code rc = MDR_FAIL(err, MDR_E_ARG, "port", "this is no port");
        mdr_err_value(err, "%d", o->port);
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

static mdr_code listen_on(int port, int *fd_out, int *port_out, mdr_err *err)
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

static void forget(mdr_http *http)
{
    mdr_arena_free(http->arena);
    free(http);
}

mdr_code mdr_http_start(const mdr_http_options *options, mdr_http **out, mdr_err *err)
{
    int fd = -1;
    MDR_TRY(check_options(options, err));
    mdr_http *http = calloc(1, sizeof *http);
    if (http == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "serve", "no memory for the server");
    }
    http->app = options->app;
    http->arena = mdr_arena_new(KEPT_BYTES);
    const mdr_code rc = http->arena != NULL
                            ? listen_on(options->port, &fd, &http->port, err)
                            : MDR_FAIL(err, MDR_E_NOMEM, "serve", "no memory for the server");
    if (rc != MDR_OK) {
        forget(http);
        return rc;
    }
    http->daemon = MHD_start_daemon(
        MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL, 0, NULL, NULL, answer, http,
        MHD_OPTION_LISTEN_SOCKET, fd, MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)IDLE_S,
        MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTIONS_MAX, MHD_OPTION_NOTIFY_COMPLETED,
        finished, NULL, MHD_OPTION_UNESCAPE_CALLBACK, unescape, NULL, MHD_OPTION_END);
    if (http->daemon == NULL) {
        (void)close(fd);
        forget(http);
        return MDR_FAIL(err, MDR_E_IO, "serve", "the server could not be started");
    }
    *out = http;
    return MDR_OK;
}

int mdr_http_port(const mdr_http *http)
{
    return http->port;
}

void mdr_http_stop(mdr_http *http)
{
    if (http != NULL) {
        MHD_stop_daemon(http->daemon);
        forget(http);
    }
}
