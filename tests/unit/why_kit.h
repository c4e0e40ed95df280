/* That what answers rest on is there to be read: a section of the methods, a source. */
#ifndef WHY_KIT_H
#define WHY_KIT_H

#include "t.h"

#include <stdio.h>
#include <string.h>

#include "anchor_kit.h"
#include "app/mdr_answer.h"

static inline int why_kit_lines_like(const char *path, const char *want, bool heading)
{
    char line[4096], got[4096];
    FILE *in = fopen(path, "r");
    if (in == NULL) {
        return -1;
    }
    int found = 0;
    while (fgets(line, sizeof line, in) != NULL) {
        anchor_of_heading(line, got, sizeof got);
        found += heading ? line[0] == '#' && strcmp(got, want) == 0
                         : strncmp(line, want, strlen(want)) == 0;
    }
    (void)fclose(in);
    return found;
}

static inline void why_kit_check(const mdr_answer_why *whys, int n)
{
    for (int i = 0; i < n; i++) {
        char path[512], want[128];
        const char *hash = strchr(whys[i].anchor, '#');
        assert_non_null(hash);
        assert_true(whys[i].label[0] != '\0' && whys[i].words[0] != '\0');
        (void)snprintf(path, sizeof path, MDR_SOURCE_DIR "/docs/methods/%.*s",
                       (int)(hash - whys[i].anchor), whys[i].anchor);
        if (why_kit_lines_like(path, hash + 1, true) != 1) {
            fail_msg("%s: %s needs one heading \"%s\"", whys[i].label, path, hash + 1);
        }
        (void)snprintf(want, sizeof want, "- `%s`:", whys[i].source);
        if (why_kit_lines_like(MDR_SOURCE_DIR "/docs/sources.md", want, false) != 1) {
            fail_msg("%s: docs/sources.md has no %s", whys[i].label, whys[i].source);
        }
    }
}

#endif
