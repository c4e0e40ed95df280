#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "http/mdr_http_in.h"

bool mdr_guard_host(const char *host, int port)
{
    static const char *const NAMES[] = {"127.0.0.1", "localhost", "[::1]"};
    if (host == NULL) {
        return false;
    }
    for (size_t i = 0; i < sizeof NAMES / sizeof NAMES[0]; i++) {
        char ours[32];
        (void)snprintf(ours, sizeof ours, "%s:%d", NAMES[i], port);
        if (strcasecmp(host, ours) == 0) {
            return true;
        }
    }
    return false;
}

bool mdr_guard_origin(const char *fetch_site, const char *origin, const char *host)
{
    if (fetch_site != NULL) {
        return strcmp(fetch_site, "same-origin") == 0;
    }
    static const char SCHEME[] = "http://";
    return origin != NULL && host != NULL && strncmp(origin, SCHEME, sizeof SCHEME - 1) == 0 &&
           strcasecmp(origin + sizeof SCHEME - 1, host) == 0;
}

bool mdr_guard_type(const char *sent, const char *wanted)
{
    if (sent == NULL) {
        return false;
    }
    const size_t n = strlen(wanted);
    return strncasecmp(sent, wanted, n) == 0 &&
           (sent[n] == '\0' || sent[n] == ';' || sent[n] == ' ');
}
