#define _GNU_SOURCE /* POLLRDHUP */
#include "http/mdr_beside.h"

#include <poll.h>
#include <time.h>

static double now_s(void)
{
    struct timespec t;
    (void)clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static bool is_gone(int fd)
{
    struct pollfd p = {.fd = fd, .events = POLLRDHUP};
    return fd >= 0 && poll(&p, 1, 0) > 0 && (p.revents & (POLLRDHUP | POLLHUP | POLLERR)) != 0;
}

static bool wanted(void *about)
{
    const mdr_beside *b = about;
    return now_s() < b->until_s && !mdr_workers_closed(b->workers) && !is_gone(b->client_fd);
}

void mdr_beside_run(void *beside)
{
    mdr_beside *b = beside;
    const mdr_go_on go_on = {wanted, b};
    b->until_s = now_s() + MDR_BESIDE_BUDGET_S;
    b->begun = wanted(b);
    if (b->begun) {
        b->rc = mdr_app_work_run(b->work, &go_on, &b->out, &b->err);
    } else {
        b->rc = MDR_FAIL(&b->err, MDR_E_CONFLICT, "", "the server is stopping");
        mdr_err_remedy(&b->err, "ask again when it has been started");
    }
    b->done(b->about);
}
