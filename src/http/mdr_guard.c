#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "http/mdr_http_in.h"

static bool is_name(const char *host, const char *name, const mdr_guard_names *ours)
{
    char want[300];
    const bool six = strchr(name, ':') != NULL;
    const int n = snprintf(want, sizeof want, six ? "[%s]" : "%s", name);
    if (n < 0 || (size_t)n >= sizeof want || strncasecmp(host, want, (size_t)n) != 0) {
        return false;
    }
    char port[16];
    (void)snprintf(port, sizeof port, ":%d", ours->port);
    const bool usual = ours->port == (ours->tls ? 443 : 80); /* then a browser leaves it out */
    return strcmp(host + n, port) == 0 || (usual && host[n] == '\0');
}

bool mdr_guard_host(const char *host, const mdr_guard_names *ours)
{
    static const char *const OWN[] = {"127.0.0.1", "localhost", "::1"};
    bool known = false;
    for (size_t i = 0; host != NULL && i < sizeof OWN / sizeof OWN[0]; i++) {
        known = known || is_name(host, OWN[i], ours);
    }
    for (int i = 0; host != NULL && i < ours->n; i++) {
        known = known || is_name(host, ours->names[i], ours);
    }
    return known;
}

bool mdr_guard_origin(const char *fetch_site, const char *origin, const char *host, bool tls)
{
    if (fetch_site != NULL) {
        return strcmp(fetch_site, "same-origin") == 0;
    }
    const char *scheme = tls ? "https://" : "http://";
    const size_t n = strlen(scheme);
    return origin != NULL && host != NULL && strncmp(origin, scheme, n) == 0 &&
           strcasecmp(origin + n, host) == 0;
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
