/* Anchors of headings in the docs. */
#ifndef ANCHOR_KIT_H
#define ANCHOR_KIT_H

#include <ctype.h>
#include <stddef.h>
#include <string.h>

/* "## Rope per tube" -> "rope-per-tube", as the usual renderers do it. */
static inline void anchor_of_heading(const char *heading, char *out, size_t room)
{
    size_t n = 0;
    heading += strspn(heading, "# ");
    for (; *heading != '\0' && *heading != '\n' && n + 1 < room; heading++) {
        const unsigned char c = (unsigned char)*heading;
        if (isalnum(c)) {
            out[n++] = (char)tolower(c);
        } else if (c == ' ' || c == '-') {
            out[n++] = '-';
        }
    }
    out[n] = '\0';
}

#endif
