#define _POSIX_C_SOURCE 200809L
#include "http/mdr_http.h"

#include <microhttpd.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

#include "http/mdr_house.h"
#include "http/mdr_incoming.h"
#include "http/mdr_listen.h"
#include "http/mdr_sent.h"

enum {
    IDLE_S = 15, /* a connection that says nothing this long is closed */
    CONNECTIONS_MAX =
        800, /* 200 tablets with what a browser keeps open, within the usual 1024 files */
    REQUEST_BYTES = 160 << 20, /* cap of everything one request may allocate */
    FROM_ONE_MAX = 128,        /* connections from one address, where others reach the server */
    RETRY_S = 5 /* for who comes when all calculations are taken: about what one takes */
};

typedef struct mdr_incoming incoming;

static const char *header(struct MHD_Connection *c, const char *name)
{
    return MHD_lookup_connection_value(c, MHD_HEADER_KIND, name);
}

static enum MHD_Result send_reply(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    const mdr_sent s = mdr_sent_make(&http->kept, &in->request, &in->reply,
                                     header(c, "Accept-Encoding"), header(c, "If-None-Match"));
    /* The library takes the bytes as not const, but with PERSISTENT only reads them. */
    union {
        const char *in;
        void *out;
    } bytes = {.in = s.body.bytes != NULL ? s.body.bytes : ""};
    struct MHD_Response *r =
        MHD_create_response_from_buffer(s.body.len, bytes.out, MHD_RESPMEM_PERSISTENT);
    if (r == NULL) {
        return MHD_NO;
    }
    for (int i = 0; i < s.n_headers; i++) {
        (void)MHD_add_response_header(r, s.headers[i].name, s.headers[i].value);
    }
    const enum MHD_Result queued = MHD_queue_response(c, (unsigned)s.status, r);
    MHD_destroy_response(r);
    return queued;
}

static void refuse(incoming *in, int status, mdr_code code, const char *place, const char *msg,
                   const char *remedy)
{
    mdr_incoming_refuse(in, &(mdr_refusal){status, code, place, msg, remedy});
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

/* An endpoint: does it come from our pages, may this person, is the body one? */
static void look_at_endpoint(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    mdr_request *q = &in->request;
    q->figure = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "figure");
    q->bath = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "bath");
    q->against = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "against");
    q->after = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "after");
    q->step = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "step");
    q->before = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "before");
    q->find = MHD_lookup_connection_value(c, MHD_GET_ARGUMENT_KIND, "find");
    if (q->method != MDR_GET && !mdr_guard_origin(header(c, "Sec-Fetch-Site"), header(c, "Origin"),
                                                  header(c, "Host"), http->ours.tls)) {
        refuse(in, 403, MDR_E_ARG, "Origin", "changes are taken from this program's own pages only",
               "open the address that the server printed");
    } else if (!mdr_admit(in->endpoint, q, &in->reply)) {
        in->decided = true;
    } else {
        mdr_incoming_check_body(in, header(c, "Content-Type"), header(c, "Content-Length"));
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
            mdr_incoming_refuse_path(in, 1u << MDR_GET);
        }
    } else if ((in->endpoint = mdr_endpoint_find(q, &allowed)) == NULL) {
        mdr_incoming_refuse_path(in, allowed);
    } else {
        look_at_endpoint(http, c, in);
    }
}

static const char *address_of(struct MHD_Connection *c, mdr_arena *arena)
{
    const union MHD_ConnectionInfo *info =
        MHD_get_connection_info(c, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    return mdr_listen_address(info != NULL ? info->client_addr : NULL, arena);
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

/* -- set aside: calculations, secrets, and entries to be stored with others -- */

/* In the thread of the calculation or of the group, when it is over. */
static void resume(void *about)
{
    const incoming *in = about;
    MHD_resume_connection(in->connection);
}

static void suspend(mdr_http *http, struct MHD_Connection *c, incoming *in, mdr_waits waits)
{
    in->http = http;
    in->connection = c;
    in->waits = waits;
    mdr_house_count(http, in->aside ? 0 : 1);
    in->aside = true;
    MHD_suspend_connection(c);
}

/* Stored with those that come at the same time; taken up again when it is on the disk. */
static enum MHD_Result set_in_group(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    in->entry = (mdr_group_member){.endpoint = in->endpoint,
                                   .request = &in->request,
                                   .reply = &in->reply,
                                   .done = resume,
                                   .about = in};
    suspend(http, c, in, MDR_WAITS_FOR_DISK);
    if (!mdr_group_give(http->group, &in->entry)) { /* the server is stopping */
        mdr_hashing_again(&in->hashing);
        mdr_endpoint_run(in->endpoint, &in->request, &in->reply);
        MHD_resume_connection(c);
    }
    return MHD_YES;
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
    in->calculation = (mdr_beside){.workers = http->workers,
                                   .client_fd = socket != NULL ? socket->connect_fd : -1,
                                   .work = in->request.work,
                                   .done = resume,
                                   .about = in};
    suspend(http, c, in, MDR_WAITS_FOR_WORK);
    if (!mdr_workers_give(http->workers, mdr_beside_run, &in->calculation)) {
        /* closed since it was asked */
        in->calculation.rc =
            MDR_FAIL(&in->calculation.err, MDR_E_CONFLICT, "", "the server is stopping");
        MHD_resume_connection(c);
    }
    return MHD_YES;
}

static void hash(void *about)
{
    incoming *in = about;
    mdr_hashing_run(&in->hashing);
    MHD_resume_connection(in->connection);
}

static void refuse_busy(incoming *in)
{
    in->reply = (mdr_reply){0};
    refuse(in, 503, MDR_E_CONFLICT, in->request.path,
           "too many people are signing in, or the server is stopping",
           "try again in some seconds");
    in->reply.retry_after = mdr_arena_printf(in->request.arena, "%d", (int)RETRY_S);
}

/* The use case came to a secret: it is looked at beside, then the use case is asked again. */
static enum MHD_Result set_aside_secret(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    if (!mdr_workers_room(http->hasher)) {
        refuse_busy(in);
        return send_reply(http, c, in);
    }
    suspend(http, c, in, MDR_WAITS_FOR_SECRET);
    if (!mdr_workers_give(http->hasher, hash, in)) { /* closed since it was asked */
        in->hashing.n = 0;
        MHD_resume_connection(c);
    }
    return MHD_YES;
}

static void end_work(mdr_http *http, incoming *in)
{
    mdr_app_work_end(http->app, in->request.work);
    in->request.work = NULL;
}

static void take_up_work(mdr_http *http, incoming *in)
{
    mdr_beside *b = &in->calculation;
    end_work(http, in);
    in->reply.body = b->out;
    if (b->rc != MDR_OK) {
        mdr_reply_error(&in->request, &in->reply, &b->err, b->begun ? 0 : 503);
    }
}

static void take_up(mdr_http *http, incoming *in)
{
    const mdr_waits waits = in->waits;
    in->waits = MDR_WAITS_NOT;
    if (waits == MDR_WAITS_FOR_WORK) {
        in->decided = true;
        take_up_work(http, in);
    } else if (waits == MDR_WAITS_FOR_DISK) {
        in->decided = !in->hashing.wanted; /* else it came to a secret, and is to be asked again */
    } else if (waits == MDR_WAITS_FOR_SECRET && in->hashing.n == 0) {
        refuse_busy(in);
    } else if (waits == MDR_WAITS_FOR_SECRET) {
        mdr_hashing_again(&in->hashing);
        in->reply = (mdr_reply){0};
        in->request.found = mdr_err_list_make(in->request.arena, MDR_FOUND_MAX);
    }
}

/* All of it has come, or it is taken up again. */
static enum MHD_Result reply_to(mdr_http *http, struct MHD_Connection *c, incoming *in)
{
    take_up(http, in);
    /* a body may have been long on its way: the session may have ended meanwhile */
    if (!in->decided && in->len > 0 && !mdr_admit(in->endpoint, &in->request, &in->reply)) {
        in->decided = true;
    }
    if (in->decided) {
        return send_reply(http, c, in);
    }
    if (!in->hashing.wanted) {
        in->request.body = (mdr_blob){.bytes = in->body, .len = in->len};
        in->request.from.hashing = &in->hashing;
        if (mdr_group_is_for(in->endpoint)) {
            return set_in_group(http, c, in);
        }
        mdr_hashing_again(&in->hashing);
        mdr_endpoint_run(in->endpoint, &in->request, &in->reply);
    }
    if (in->hashing.wanted) {
        return set_aside_secret(http, c, in);
    }
    return in->request.work != NULL ? set_aside(http, c, in) : send_reply(http, c, in);
}

/* NOLINTNEXTLINE(readability-function-size) the library's own form of a callback */
static enum MHD_Result answer(void *cls, struct MHD_Connection *c, const char *url,
                              const char *method, const char *version, const char *data,
                              size_t *data_len, void **state)
{
    mdr_http *http = cls;
    (void)version;
    incoming *in = *state;
    enum MHD_Result result = MHD_YES;
    if (in != NULL && *data_len > 0) {
        mdr_incoming_take(in, data, *data_len);
        *data_len = 0;
        return MHD_YES;
    }
    (void)pthread_mutex_lock(&http->app_lock);
    if (in == NULL) {
        *state = in = begin(http, c, url, method);
        if (in == NULL) {
            result = MHD_NO;
        } else if (in->decided && asks_first(c)) {
            result = send_reply(http, c, in);
        }
    } else {
        result = reply_to(http, c, in);
    }
    (void)pthread_mutex_unlock(&http->app_lock);
    return result;
}

static void finished(void *cls, struct MHD_Connection *c, void **state,
                     enum MHD_RequestTerminationCode why)
{
    mdr_http *http = cls;
    (void)c;
    (void)why;
    incoming *in = *state;
    if (in != NULL) {
        (void)pthread_mutex_lock(&http->app_lock);
        end_work(http, in);
        (void)pthread_mutex_unlock(&http->app_lock);
        if (in->aside) {
            mdr_house_count(http, -1);
        }
        mdr_incoming_free(in);
        *state = NULL;
    }
}

/* -- starting and stopping -- */

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
    /* epoll takes up to ten new connections a turn, poll one: a hall of tablets comes all at once */
    const unsigned waiting =
        MHD_is_feature_supported(MHD_FEATURE_EPOLL) == MHD_YES ? MHD_USE_EPOLL : MHD_USE_POLL;
    const unsigned from_one = http->on_net ? FROM_ONE_MAX : CONNECTIONS_MAX;
    return MHD_start_daemon(
        MHD_USE_INTERNAL_POLLING_THREAD | waiting | MHD_ALLOW_SUSPEND_RESUME |
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
    mdr_http *http = NULL;
    MDR_TRY(mdr_house_new(options, &http, &fd, err));
    http->daemon = start_daemon(http, fd);
    if (http->daemon == NULL) {
        (void)close(fd);
        mdr_house_free(http);
        return MDR_FAIL(err, MDR_E_IO, "serve", "the server could not be started");
    }
    *out = http;
    return MDR_OK;
}

void mdr_http_stop(mdr_http *http)
{
    if (http != NULL) {
        mdr_house_wait(http);
        MHD_stop_daemon(http->daemon);
        mdr_house_free(http);
    }
}
