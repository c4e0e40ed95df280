#include "wire/mdr_limit.h"

#include <stdio.h>
#include <string.h>

void mdr_limit_fault(mdr_reader *r, const char *key, double value, const char *allowed)
{
    mdr_err e;
    (void)MDR_FAIL(&e, MDR_E_RANGE, "", "%s is out of range", key);
    mdr_err_value(&e, "%.15g", value);
    mdr_err_allowed(&e, "%s", allowed);
    mdr_err_remedy(&e, "give a value in this range; look at the unit and at the decimal point");
    mdr_reader_fault(r, key, &e);
}

static void check_one(mdr_reader *r, const mdr_limit *l, const char *key, double v)
{
    if (v >= l->least && v <= l->most && !(l->over && v <= l->least)) {
        return;
    }
    char allowed[sizeof((mdr_err *)NULL)->allowed];
    (void)snprintf(allowed, sizeof allowed, "%s%g %s %.15g%s%s", l->over ? "more than " : "",
                   l->least, l->over ? "up to" : "to", l->most, l->unit[0] != '\0' ? " " : "",
                   l->unit);
    mdr_limit_fault(r, key, v, allowed);
}

static void check_list(mdr_reader *r, const json_t *list, const mdr_limit *l)
{
    size_t i;
    const json_t *element;
    json_array_foreach(list, i, element)
    {
        if (json_is_number(element)) {
            char key[80];
            (void)snprintf(key, sizeof key, "%.48s[%zu]", l->key, i);
            check_one(r, l, key, json_number_value(element));
        }
    }
}

static void check(mdr_reader *r, const json_t *doc, const void *record, const mdr_limit *l)
{
    const json_t *given = json_object_get(doc, l->key);
    if (json_is_array(given)) {
        check_list(r, given, l);
    } else if (json_is_number(given)) {
        double v = 0;
        memcpy(&v, (const char *)record + l->offset, sizeof v);
        check_one(r, l, l->key, v);
    }
}

void mdr_limits_check(mdr_reader *r, const json_t *doc, const void *record, const mdr_limit *limits,
                      int n)
{
    for (int i = 0; i < n; i++) {
        check(r, doc, record, &limits[i]);
    }
}
