#include "wire/mdr_file_text.h"

#include <stdio.h>
#include <string.h>

static const mdr_field FIELDS[] = {
    {.key = "name",
     .kind = MDR_FIELD_TEXT,
     .may = MDR_FIELD_ALWAYS,
     .must = MDR_FIELD_ALWAYS,
     .offset = offsetof(mdr_file_text, name)},
    {.key = "text",
     .kind = MDR_FIELD_TEXT,
     .may = MDR_FIELD_ALWAYS,
     .must = MDR_FIELD_ALWAYS,
     .offset = offsetof(mdr_file_text, text)},
};
const mdr_shape mdr_file_text_shape = {.what = "a file",
                                       .fields = FIELDS,
                                       .n_fields = (int)(sizeof FIELDS / sizeof FIELDS[0]),
                                       .size = sizeof(mdr_file_text)};

void mdr_file_text_check(mdr_reader *r, const char *key, mdr_file_text *f)
{
    if (f->name == NULL || f->text == NULL) {
        *f = (mdr_file_text){NULL, NULL}; /* a fault of it has been told */
        return;
    }
    if (strlen(f->name) > MDR_FILE_NAME_MAX) {
        mdr_err e;
        char place[40];
        (void)snprintf(place, sizeof place, "files.%s.name", key);
        (void)MDR_FAIL(&e, MDR_E_RANGE, "", "the name of a file is too long");
        mdr_err_value(&e, "%.60s...", f->name);
        mdr_err_allowed(&e, "at most %d bytes", MDR_FILE_NAME_MAX);
        mdr_err_remedy(&e, "give it a shorter name");
        mdr_reader_fault(r, place, &e);
    } else if (f->name[0] == '\0') {
        f->name = key;
    }
}
