/*
 * mdr_http_in.h - a request and its reply as the endpoints see them; nothing of the transport.
 * Layer: http, inside only.
 */
#ifndef MDR_HTTP_IN_H
#define MDR_HTTP_IN_H

#include "app/mdr_app_people.h"
#include "app/mdr_app_work.h"

enum {
    MDR_BODY_JSON_MAX = 1 << 20,
    MDR_BODY_CSV_MAX = 32 << 20,
    MDR_PATH_PART_MAX = 80, /* one id in a path */
    MDR_FOUND_MAX = 200     /* faults listed in one answer */
};

typedef enum mdr_method { MDR_GET, MDR_POST, MDR_PUT, MDR_DELETE, MDR_OTHER } mdr_method;

typedef struct mdr_request {
    mdr_app *app;
    mdr_arena *arena;
    mdr_method method;
    const char *path;
    char id[MDR_PATH_PART_MAX]; /* what stood for {id} in the path */
    const char *figure, *bath, *against, *after, *step, *before, *find; /* of the query, or NULL */
    mdr_blob body;
    mdr_err_list found;
    mdr_from from;      /* where it comes from */
    mdr_who who;        /* whose it is; filled by mdr_admit */
    bool tls;           /* it came over TLS */
    bool on_net;        /* the server listens to more than this machine */
    mdr_app_work *work; /* what the handler began and leaves to be calculated; the reply is that */
} mdr_request;

typedef struct mdr_reply {
    int status;
    const char *type;                     /* content type */
    mdr_blob body;                        /* lives in the request's arena, or for ever */
    const char *file_name;                /* offered as a file of this name, or NULL */
    const char *etag;                     /* or NULL */
    const char *allow;                    /* with 405 */
    const char *set_cookie, *retry_after; /* or NULL */
} mdr_reply;

typedef mdr_code mdr_handler(mdr_request *request, mdr_reply *reply, mdr_err *err);

typedef struct mdr_endpoint {
    mdr_method method;
    mdr_action action;   /* who may: app/mdr_rights.h. 0 is nobody */
    const char *pattern; /* "{id}" stands for one part of the path */
    mdr_handler *handler;
    const char *body_type; /* what a body must be, or NULL: none is taken */
    size_t body_max;
    const char *what; /* one line, for docs/api.md */
} mdr_endpoint;

extern const mdr_endpoint mdr_endpoints[];
extern const int mdr_endpoints_count;

/* The endpoint of this path and method, with request->id filled; NULL: *allowed tells the methods
 * the path does know (a bit each, 1u << mdr_method), 0 when the path is unknown. */
const mdr_endpoint *mdr_endpoint_find(mdr_request *request, unsigned *allowed);
/* Runs it; failures become error replies. When it leaves request->work, the body is still to come. */
void mdr_endpoint_run(const mdr_endpoint *endpoint, mdr_request *request, mdr_reply *reply);
/* An error as a reply with the status that fits its code, or `status` when that is not 0. */
void mdr_reply_error(mdr_request *request, mdr_reply *reply, const mdr_err *err, int status);

/* The answer of a handler is JSON. */
mdr_code mdr_reply_json(mdr_reply *reply, mdr_code rc);

/* -- who asks: mdr_admit.c, mdr_session.c -- */
/* Fills q->who; false: the reply says why this is refused. */
bool mdr_admit(const mdr_endpoint *endpoint, mdr_request *q, mdr_reply *reply);
/* The session's token among the cookies, or NULL; none when there are two. */
const char *mdr_cookie_token(const char *cookies, bool tls, mdr_arena *arena);
const char *mdr_method_name(mdr_method method);
mdr_method mdr_method_of(const char *text); /* HEAD is a GET */
/* "GET, HEAD, POST" of such bits, for the header Allow. */
const char *mdr_allow_text(unsigned allowed, mdr_arena *arena);
int64_t mdr_now_utc_ms(void);
mdr_handler mdr_get_session, mdr_post_session, mdr_delete_session, mdr_post_lock, mdr_post_unlock,
    mdr_put_password, mdr_get_people, mdr_save_person, mdr_delete_sessions, mdr_get_rights;
/* -- batches: mdr_batches.c -- */
mdr_handler mdr_get_remedies, mdr_get_report, mdr_get_report_pdf, mdr_get_record_lines,
    mdr_get_record_csv;
enum { MDR_LOCAL_TIME_TEXT = 32 };
/* "2026-11-26 14:05", "" when the clock tells nothing. */
void mdr_local_time(char *out, size_t size);
mdr_handler mdr_get_record, mdr_post_batch, mdr_get_hall, mdr_get_batch, mdr_get_batch_events,
    mdr_post_entry;
mdr_handler mdr_get_learn;
/* -- weigh room: mdr_weigh_room.c -- */
mdr_handler mdr_get_stock, mdr_get_weighing, mdr_get_labels, mdr_post_judge, mdr_post_scan,
    mdr_post_stock;

/* -- refusals: mdr_refuse.c -- */
/* What a request is refused with. */
typedef struct mdr_refusal {
    int status;
    mdr_code code;
    const char *place, *msg, *remedy;
} mdr_refusal;
void mdr_reply_refuse(mdr_request *request, mdr_reply *reply, const mdr_refusal *r);
/* No such path, or not with this method: `allowed` as mdr_endpoint_find gives it. */
void mdr_reply_no_path(mdr_request *request, mdr_reply *reply, unsigned allowed);

/* An embedded file of the web app by its path; false: there is none. */
bool mdr_asset(mdr_request *request, mdr_reply *reply);

/* -- guards against pages from elsewhere -- */
/* What the server may be called: besides 127.0.0.1, localhost and [::1] the names it was given. */
typedef struct mdr_guard_names {
    const char *const *names; /* host names and addresses; an IPv6 one without brackets */
    int n, port;
    bool tls; /* then port 443 may be left out, else port 80 */
} mdr_guard_names;
/* "127.0.0.1:8123", "mill.lan:8123". */
bool mdr_guard_host(const char *host, const mdr_guard_names *ours);
/* A change must come from our own page: Sec-Fetch-Site same-origin, or Origin equal to ours. */
bool mdr_guard_origin(const char *fetch_site, const char *origin, const char *host, bool tls);
/* "application/json; charset=utf-8" is the type "application/json". */
bool mdr_guard_type(const char *sent, const char *wanted);

#endif
