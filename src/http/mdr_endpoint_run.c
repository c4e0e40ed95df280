#define _POSIX_C_SOURCE 200809L
/* From a path to its endpoint, from a failure to its status. */
#include <string.h>
#include <time.h>

#include "http/mdr_http.h"
#include "http/mdr_http_in.h"

static const char JSON_TYPE[] = "application/json; charset=utf-8";

static const char *const METHODS[] = {"GET", "POST", "PUT", "DELETE"}; /* as mdr_method */

const char *mdr_method_name(mdr_method method)
{
    return method < MDR_OTHER ? METHODS[method] : "";
}

mdr_method mdr_method_of(const char *text)
{
    for (mdr_method m = MDR_GET; m < MDR_OTHER; m++) {
        if (strcmp(text, METHODS[m]) == 0) {
            return m;
        }
    }
    return strcmp(text, "HEAD") == 0 ? MDR_GET : MDR_OTHER;
}

const char *mdr_allow_text(unsigned allowed, mdr_arena *arena)
{
    const char *list = "";
    for (mdr_method m = MDR_GET; m < MDR_OTHER && list != NULL; m++) {
        if ((allowed & 1u << m) != 0) {
            list = mdr_arena_printf(arena, "%s%s%s", list, list[0] != '\0' ? ", " : "",
                                    m == MDR_GET ? "GET, HEAD" : METHODS[m]);
        }
    }
    return list;
}

int64_t mdr_now_utc_ms(void)
{
    enum { MS_PER_S = 1000, NS_PER_MS = 1000000 };
    struct timespec now = {0};
    (void)clock_gettime(CLOCK_REALTIME, &now);
    return (int64_t)now.tv_sec * MS_PER_S + now.tv_nsec / NS_PER_MS;
}

mdr_code mdr_reply_json(mdr_reply *reply, mdr_code rc)
{
    reply->status = 200;
    reply->type = JSON_TYPE;
    return rc;
}

/* Does the path fit the pattern? What stands for {id} goes to `id`. */
static bool fits(const char *pattern, const char *path, char *id, size_t id_size)
{
    while (*pattern != '\0') {
        if (*pattern != '{') {
            if (*pattern++ != *path++) {
                return false;
            }
            continue;
        }
        pattern = strchr(pattern, '}') + 1;
        const size_t n = strcspn(path, "/");
        if (n == 0 || n >= id_size) {
            return false;
        }
        memcpy(id, path, n);
        id[n] = '\0';
        path += n;
    }
    return *path == '\0';
}

/* Tables are offered under a file name: /api/tables/machine.csv is /api/tables/machine. */
static void drop_csv(const char *pattern, char *id)
{
    const size_t n = strlen(id);
    if (strcmp(pattern, "/api/tables/{id}") == 0 && n > 4 && strcmp(id + n - 4, ".csv") == 0) {
        id[n - 4] = '\0';
    }
}

const mdr_endpoint *mdr_endpoint_find(mdr_request *request, unsigned *allowed)
{
    *allowed = 0;
    for (int i = 0; i < mdr_endpoints_count; i++) {
        const mdr_endpoint *e = &mdr_endpoints[i];
        if (fits(e->pattern, request->path, request->id, sizeof request->id)) {
            *allowed |= 1u << (unsigned)e->method;
            if (e->method == request->method) {
                drop_csv(e->pattern, request->id);
                return e;
            }
        }
    }
    return NULL;
}

bool mdr_http_row_at(int i, mdr_http_row *out)
{
    if (i < 0 || i >= mdr_endpoints_count) {
        return false;
    }
    const mdr_endpoint *e = &mdr_endpoints[i];
    *out = (mdr_http_row){.method = mdr_method_name(e->method),
                          .pattern = e->pattern,
                          .action = mdr_action_id(e->action),
                          .what = e->what,
                          .body_type = e->body_type,
                          .body_most = e->body_max};
    return true;
}

static int status_of(mdr_code code)
{
    switch (code) {
    case MDR_E_SIGN_IN:
        return 401;
    case MDR_E_DENIED:
        return 403;
    case MDR_E_WAIT:
        return 429;
    case MDR_E_NOTFOUND:
        return 404;
    case MDR_E_CONFLICT:
        return 409;
    case MDR_E_ARG:
    case MDR_E_PARSE:
    case MDR_E_RANGE:
    case MDR_E_UNIT:
    case MDR_E_INFEAS:
        return 422;
    case MDR_E_NOMEM:
        return 503;
    case MDR_E_IO:
        return 507;
    case MDR_OK:
    case MDR_E_CONVERGE:
    case MDR_E_VERSION:
        return 500;
    }
    return 500;
}

void mdr_reply_error(mdr_request *request, mdr_reply *reply, const mdr_err *err, int status)
{
    const char *text = mdr_app_error_json(err, &request->found, request->arena);
    *reply = (mdr_reply){.status = status != 0 ? status : status_of(err->code),
                         .type = JSON_TYPE,
                         .body = {.bytes = text, .len = strlen(text)},
                         .allow = reply->allow};
}

void mdr_endpoint_run(const mdr_endpoint *endpoint, mdr_request *request, mdr_reply *reply)
{
    mdr_err err = {0};
    const mdr_code rc = endpoint->handler(request, reply, &err);
    if (rc != MDR_OK) {
        mdr_reply_error(request, reply, &err, 0);
        if (rc == MDR_E_WAIT) {
            reply->retry_after = mdr_arena_text(request->arena, err.value);
        }
    }
}
