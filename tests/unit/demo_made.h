/* A demo mill is made before the tests of a file; when data/demo is at fault, it is said where. */
#ifndef DEMO_MADE_H
#define DEMO_MADE_H

#include <stdio.h>

#include "base/mdr_err.h"

static inline int demo_made(mdr_code rc, const mdr_err *err)
{
    if (rc != MDR_OK) {
        (void)fprintf(stderr, "data/demo makes no mill: %s: %s (%s); %s\n", err->place, err->msg,
                      err->value, err->remedy);
    }
    return rc == MDR_OK ? 0 : -1;
}

#endif
