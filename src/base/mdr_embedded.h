/*
 * mdr_embedded.h - files compiled into the program. Layer: base. Written by tools/embed.c.
 */
#ifndef MDR_EMBEDDED_H
#define MDR_EMBEDDED_H

#include <stddef.h>

typedef struct mdr_embedded {
    const char *name;           /* path below its root, "/" between; NULL ends the array */
    const unsigned char *bytes; /* a NUL that is not counted follows */
    size_t len;
} mdr_embedded;

#endif
