#define _POSIX_C_SOURCE 200809L
#include "http/mdr_http.h"

#include <arpa/inet.h>
#include <microhttpd.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/socket.h>
#include <time.h>
#include <unistd.h>

#include "http/mdr_beside.h"
#include "http/mdr_gzip.h"
#include "http/mdr_http_in.h"
#include "http/mdr_kept.h"
#include "http/mdr_listen.h"
#include "http/mdr_tls.h"

enum {
    IDLE_S = 15, /* a connection that says nothing this long is closed */
    CONNECTIONS_MAX = 256,
    REQUEST_BYTES = 160 << 20, /* cap of everything one request may allocate */
    PAPERS_BYTES = 1 << 20,    /* cap of key and certificates */
    FROM_ONE_MAX = 128,        /* connections from one address, where others reach the server */
    WAITING = 8,               /* calculations, besides one a core; invented */
    RETRY_S = 5,               /* for who comes when they are all there: about what one takes */
    GOODBYE_S = 5              /* for the last answers to go out when the server stops */
};

struct mdr_http {
    struct MHD_Daemon *daemon;
    mdr_app *app;
    mdr_arena *arena; /* of key and certificates */
    const char *names[MDR_HTTP_NAMES_MOST + MDR_TLS_NAMES_MOST + 1];
    mdr_guard_names ours;
    mdr_tls tls;
    bool on_net;
    mdr_kept kept;
    mdr_workers *workers;
    mdr_workers *hasher;  /* one thread: a hash takes 64 MiB */
    pthread_mutex_t lock; /* of what follows */
    pthread_cond_t less;
    int beside; /* requests that wait for a calculation, or for its answer to go out */
};

/* One request on its way in. */
typedef struct incoming {
    mdr_request request;
    const mdr_endpoint *endpoint;
    mdr_reply reply;
    bool decided; /* refused before its body was read, or calculated */
    bool beside;  /* is or was suspended for a calculation */
    mdr_beside calculation;
    bool hashes; /* suspended for a secret */
    mdr_hashing hashing;
    mdr_http *http;
    struct MHD_Connection *connection;
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
    if (!s.varies || !mdr_gzip_accepted(header(c, "Accept-Encoding")) ||
        !mdr_kept_pack(&http->kept, reply, in->request.arena, &packed)) {
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
    add(r, "Set-Cookie", reply->set_cookie);
    add(r, "Retry-After", reply->retry_after);
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
    mdr_reply_refuse(&in->request, &in->reply, &(mdr_refusal){status, code, place, msg, remedy});
    in->decided = true;
}

static void refuse_path(incoming *in, unsigned allowed)
{
    mdr_reply_no_path(&in->request, &in->reply, allowed);
    in->decided = true;
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
    if (!mdr_guard_type(header(c, "Content-Type"), e->body_type)) {
        refuse(in, 415, MDR_E_ARG, "Content-Type", "the body has another type than is taken here",
               e->body_type);
        return;
    }
    const char *told = header(c, "Content-Length");
    if (told != NULL && strtoull(told, NULL, 10) > e->body_max) {
        refuse(in, 413, MDR_E_RANGE, "body", "the body is larger than is taken here",
               "JSON up to 1 MiB, CSV up to 32 MiB; split it");
    }
}

/* An endpoint: does it come from our pages, may this person, is the body one? */
static void look_at_endpoint(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    mdr_request *q = &in->request;
    q->figure = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "figure");
    q->bath = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "bath");
    q->against = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "against");
    q->after = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "after");
    q->step = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "step");
    if (q->method != MDR_GET && !mdr_guard_origin(header(c, "Sec-Fetch-Site"), header(c, "Origin"),
                                                  header(c, "Host"), http->ours.tls)) {
        refuse(in, 403, MDR_E_ARG, "Origin", "changes are taken from this program's own pages only",
               "open the address that the server printed");
    } else if (!mdr_admit(in->endpoint, q, &in->reply)) {
        in->decided = true;
    } else {
        check_body(c, in);
    }
}

/* The certificate of the authority, for tablets that shall trust it. */
static bool is_ca(mdr_http *http, incoming *in)
{
    if (http->tls.ca == NULL || strcmp(in->request.path, "/ca.crt") != 0) {
        return false;
    }
    in->reply = (mdr_reply){.status = 200,
                            .type = "application/x-x509-ca-cert",
                            .body = {http->tls.ca, strlen(http->tls.ca)}};
    return true;
}

/* First look: may this be answered at all? */
static void look(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    mdr_request *q = &in->request;
    unsigned allowed = 0;
    if (!mdr_guard_host(header(c, "Host"), &http->ours)) {
        refuse(in, 421, MDR_E_ARG, "Host", "this server answers under its own names only",
               "open the address that the server printed");
    } else if (is_ca(http, in) || mdr_asset(q, &in->reply)) {
        in->decided = true;
        if (q->method != MDR_GET) {
            in->reply = (mdr_reply){.status = 0};
            refuse_path(in, 1u << MDR_GET);
        }
    } else if ((in->endpoint = mdr_endpoint_find(q, &allowed)) == NULL) {
        refuse_path(in, allowed);
    } else {
        look_at_endpoint(http, c, in);
    }
}

static const char *address_of(struct MHD_Connection *c, mdr_arena *arena)
{
    char text[INET6_ADDRSTRLEN] = "";
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(c, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    const struct sockaddr *at = info != NULL ? info->client_addr : NULL;
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

static mdr_from from_of(const mdr_http *http, struct MHD_Connection *c, bool is_get,
                        mdr_arena *arena)
{
    const char *device = header(c, "User-Agent");
    const char *address = address_of(c, arena);
    return (mdr_from){.token = mdr_cookie_token(header(c, "Cookie"), http->ours.tls, arena),
                      .address = address, /* NULL: no memory */
                      .device = device != NULL ? device : "",
                      .device_key = header(c, "Madder-Device"),
                      .link = is_get,
                      .now_utc_ms = mdr_now_utc_ms()};
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
                                .method = mdr_method_of(method),
                                .path = path,
                                .from = from_of(http, c, mdr_method_of(method) == MDR_GET, arena),
                                .who = {.person_id = "", .name = ""},
                                .tls = http->ours.tls,
                                .on_net = http->on_net,
                                .found = mdr_err_list_make(arena, MDR_FOUND_MAX)};
    if (in->request.from.address == NULL) { /* nobody is let in whose place is not known */
        mdr_arena_free(arena);
        free(in);
        return NULL;
    }
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

/* -- calculations beside -- */

/* In the thread of the calculation, when it is over. */
static void resume(void *about)
{
    const incoming *in = about;
    MHD_resume_connection(in->connection);
}

static void count_beside(mdr_http *http, int more)
{
    (void)pthread_mutex_lock(&http->lock);
    http->beside += more;
    (void)pthread_cond_signal(&http->less);
    (void)pthread_mutex_unlock(&http->lock);
}

/* What the endpoint began goes on beside; this request is taken up again when it is over. Nobody
 * else touches it until then. */
static enum MHD_Result set_aside(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    if (!mdr_workers_room(http->workers)) {
        refuse(in, 503, MDR_E_CONFLICT, in->request.path,
               "as much is being calculated as this machine can do, and more is waiting",
               "try again in some seconds");
        in->reply.retry_after = mdr_arena_printf(in->request.arena, "%d", (int)RETRY_S);
        return send_reply(http, c, in);
    }
    const union MHD_ConnectionInfo *socket =
        MHD_get_connection_info(c, MHD_CONNECTION_INFO_CONNECTION_FD);
    in->http = http;
    in->connection = c;
    in->calculation = (mdr_beside){.workers = http->workers,
                                   .client_fd = socket != NULL ? socket->connect_fd : -1,
                                   .work = in->request.work,
                                   .done = resume,
                                   .about = in};
    in->beside = true;
    count_beside(http, 1);
    MHD_suspend_connection(c);
    if (!mdr_workers_give(http->workers, mdr_beside_run, &in->calculation)) {
        /* closed since it was asked */
        in->calculation.rc =
            MDR_FAIL(&in->calculation.err, MDR_E_CONFLICT, "", "the server is stopping");
        MHD_resume_connection(c);
    }
    return MHD_YES;
}

/* -- secrets beside -- */

static void hash(void *about)
{
    incoming *in = about;
    mdr_hashing_run(&in->hashing);
    MHD_resume_connection(in->connection);
}

static enum MHD_Result busy(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    in->reply = (mdr_reply){0};
    refuse(in, 503, MDR_E_CONFLICT, in->request.path,
           "too many people are signing in, or the server is stopping",
           "try again in some seconds");
    in->reply.retry_after = mdr_arena_printf(in->request.arena, "%d", (int)RETRY_S);
    return send_reply(http, c, in);
}

/* The use case came to a secret: it is looked at beside, then the use case is asked again. */
static enum MHD_Result set_aside_secret(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    if (!mdr_workers_room(http->hasher)) {
        return busy(http, c, in);
    }
    in->http = http;
    in->connection = c;
    in->hashes = true;
    count_beside(http, 1);
    MHD_suspend_connection(c);
    if (!mdr_workers_give(http->hasher, hash, in)) { /* closed since it was asked */
        in->hashing.n = 0;
        MHD_resume_connection(c);
    }
    return MHD_YES;
}

/* Back from there; false: the server is stopping. */
static bool take_up_secret(mdr_http *http, incoming *in)
{
    in->hashes = false;
    count_beside(http, -1);
    in->reply = (mdr_reply){0};
    in->request.found = mdr_err_list_make(in->request.arena, MDR_FOUND_MAX);
    return in->hashing.n > 0;
}

static void end_work(mdr_http *http, incoming *in)
{
    mdr_app_work_end(http->app, in->request.work);
    in->request.work = NULL;
}

static void take_up(mdr_http *http, incoming *in)
{
    mdr_beside *b = &in->calculation;
    end_work(http, in);
    in->reply.body = b->out;
    if (b->rc != MDR_OK) {
        mdr_reply_error(&in->request, &in->reply, &b->err, b->begun ? 0 : 503);
    }
    in->decided = true;
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
    if (in->beside) {
        take_up(http, in);
    }
    if (in->hashes && !take_up_secret(http, in)) {
        return busy(http, c, in);
    }
    /* a body may have been long on its way: the session may have ended meanwhile */
    if (!in->decided && in->len > 0 && !mdr_admit(in->endpoint, &in->request, &in->reply)) {
        in->decided = true;
    }
    if (!in->decided) {
        in->request.body = (mdr_blob){.bytes = in->body, .len = in->len};
        in->request.from.hashing = &in->hashing;
        mdr_hashing_again(&in->hashing);
        mdr_endpoint_run(in->endpoint, &in->request, &in->reply);
        if (in->hashing.wanted) {
            return set_aside_secret(http, c, in);
        }
        if (in->request.work != NULL) {
            return set_aside(http, c, in);
        }
    }
    return send_reply(http, c, in);
}

static void finished(void *cls, struct MHD_Connection *c, void **state,
                     enum MHD_RequestTerminationCode why)
{
    mdr_http *http = cls;
    (void)c;
    (void)why;
    incoming *in = *state;
    if (in != NULL) {
        end_work(http, in);
        if (in->beside) {
            count_beside(http, -1);
        }
        if (in->hashes) {
            count_beside(http, -1);
        }
        mdr_hashing_forget(&in->hashing);
        mdr_arena_free(in->request.arena);
        free(in->body);
        free(in);
        *state = NULL;
    }
}

/* -- starting and stopping -- */

static void forget(mdr_http *http)
{
    mdr_workers_free(http->workers);
    mdr_workers_free(http->hasher);
    (void)pthread_cond_destroy(&http->less);
    (void)pthread_mutex_destroy(&http->lock);
    mdr_kept_free(&http->kept);
    mdr_arena_free(http->arena);
    free(http);
}

/* Names it may be called by: those of the certificate, those given, the address itself. */
static void gather_names(mdr_http *http, const mdr_http_options *o)
{
    int n = 0;
    for (int i = 0; i < http->tls.n_names; i++) {
        http->names[n++] = http->tls.names[i];
    }
    for (int i = 0; i < o->n_names && i < MDR_HTTP_NAMES_MOST; i++) {
        http->names[n++] = o->names[i];
    }
    if (http->on_net && strcmp(o->host, "0.0.0.0") != 0 && strcmp(o->host, "::") != 0) {
        http->names[n++] = o->host;
    }
    http->ours.names = http->names;
    http->ours.n = n;
}

static mdr_code prepare(mdr_http *http, const mdr_http_options *o, int *fd, mdr_err *err)
{
    http->app = o->app;
    http->on_net = !mdr_listen_is_loopback(o->host);
    http->arena = mdr_arena_new(PAPERS_BYTES);
    if (http->arena == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "serve", "no memory for the server");
    }
    MDR_TRY(mdr_kept_start(&http->kept, err));
    MDR_TRY(mdr_workers_start(mdr_workers_usual(), WAITING, &http->workers, err));
    MDR_TRY(mdr_workers_start(1, MDR_WORKERS_WAITING_MAX, &http->hasher, err));
    if (o->tls_dir != NULL) {
        MDR_TRY(mdr_tls_load(o->tls_dir, http->arena, &http->tls, err));
        http->ours.tls = true;
    }
    gather_names(http, o);
    return mdr_listen_open(o, fd, &http->ours.port, err);
}

static struct MHD_Daemon *start_daemon(mdr_http *http, int fd)
{
    union { /* the library only reads them */
        const char *in;
        char *out;
    } key = {.in = http->tls.key}, crt = {.in = http->tls.certificates};
    const struct MHD_OptionItem tls[] = {
        {MHD_OPTION_HTTPS_MEM_KEY, 0, key.out},
        {MHD_OPTION_HTTPS_MEM_CERT, 0, crt.out},
        {MHD_OPTION_HTTPS_PRIORITIES, 0, (char[]){"SECURE128:-VERS-ALL:+VERS-TLS1.3:+VERS-TLS1.2"}},
        {MHD_OPTION_END, 0, NULL}};
    const struct MHD_OptionItem none[] = {{MHD_OPTION_END, 0, NULL}};
    const unsigned from_one = http->on_net ? FROM_ONE_MAX : CONNECTIONS_MAX;
    return MHD_start_daemon(
        MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_POLL | MHD_ALLOW_SUSPEND_RESUME |
            (http->ours.tls ? MHD_USE_TLS : 0u),
        0, NULL, NULL, answer, http, MHD_OPTION_LISTEN_SOCKET, fd, MHD_OPTION_CONNECTION_TIMEOUT,
        (unsigned)IDLE_S, MHD_OPTION_CONNECTION_LIMIT, (unsigned)CONNECTIONS_MAX,
        MHD_OPTION_PER_IP_CONNECTION_LIMIT, from_one, MHD_OPTION_NOTIFY_COMPLETED, finished, http,
        MHD_OPTION_UNESCAPE_CALLBACK, unescape, NULL, MHD_OPTION_ARRAY, http->ours.tls ? tls : none,
        MHD_OPTION_END);
}

mdr_code mdr_http_start(const mdr_http_options *options, mdr_http **out, mdr_err *err)
{
    int fd = -1;
    MDR_TRY(mdr_listen_check(options, err));
    mdr_http *http = calloc(1, sizeof *http);
    if (http == NULL) {
        return MDR_FAIL(err, MDR_E_NOMEM, "serve", "no memory for the server");
    }
    (void)pthread_mutex_init(&http->lock, NULL);
    (void)pthread_cond_init(&http->less, NULL);
    const mdr_code rc = prepare(http, options, &fd, err);
    if (rc != MDR_OK) {
        forget(http);
        return rc;
    }
    http->daemon = start_daemon(http, fd);
    if (http->daemon == NULL) {
        (void)close(fd);
        forget(http);
        return MDR_FAIL(err, MDR_E_IO, "serve", "the server could not be started");
    }
    *out = http;
    return MDR_OK;
}

/* Nobody may be suspended when the daemon stops: whoever waits for a calculation gets what there is of
 * it, or is told. Who does not take the answer is not waited for. */
static void say_goodbye(mdr_http *http)
{
    struct timespec until;
    mdr_workers_finish(http->workers);
    mdr_workers_finish(http->hasher);
    (void)clock_gettime(CLOCK_REALTIME, &until);
    until.tv_sec += GOODBYE_S;
    (void)pthread_mutex_lock(&http->lock);
    while (http->beside > 0 && pthread_cond_timedwait(&http->less, &http->lock, &until) == 0) {
    }
    (void)pthread_mutex_unlock(&http->lock);
}

int mdr_http_port(const mdr_http *http)
{
    return http->ours.port;
}

const char *mdr_http_name(const mdr_http *http)
{
    return http->ours.n > 0 ? http->ours.names[0] : "127.0.0.1";
}

void mdr_http_stop(mdr_http *http)
{
    if (http != NULL) {
        say_goodbye(http);
        MHD_stop_daemon(http->daemon);
        forget(http);
    }
}
