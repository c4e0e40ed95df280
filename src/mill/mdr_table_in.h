/*
 * mdr_table_in.h - how the columns of a table are written down; those of laboratory and weigh room.
 *
 * Layer: mill, inside only.
 */
#ifndef MDR_TABLE_IN_H
#define MDR_TABLE_IN_H

#include "mill/mdr_bench.h"
#include "mill/mdr_table.h"

#define FIRST(a, ...)      a
#define TEXT_ID(name, ...) "|" FIRST(__VA_ARGS__, 0)
/* "|a|b": the leading bar is skipped by CHOICES. */
#define CHOICES(LIST) (&(LIST(TEXT_ID))[1])

#define ID(rec, f, what_)                                                               \
    {                                                                                   \
        .name = #f, .sql = #f, .kind = MDR_COL_ID, .flags = MDR_COL_KEY | MDR_COL_MUST, \
        .offset = offsetof(rec, f), .what = (what_)                                     \
    }
#define REF(rec, f, table_, flags_, what_)                                              \
    {                                                                                   \
        .name = #f, .sql = #f, .kind = MDR_COL_REF, .flags = (flags_), .ref = (table_), \
        .offset = offsetof(rec, f), .what = (what_)                                     \
    }
#define TXT(rec, f, flags_, what_)                                      \
    {                                                                   \
        .name = #f, .sql = #f, .kind = MDR_COL_TEXT, .flags = (flags_), \
        .offset = offsetof(rec, f), .what = (what_)                     \
    }
#define QTY(rec, f, sql_, per_, least_, most_, flags_, what_)                               \
    {                                                                                       \
        .name = #f, .sql = (sql_), .kind = MDR_COL_QUANTITY, .flags = (flags_),             \
        .per_unit = (per_), .least = (least_), .most = (most_), .offset = offsetof(rec, f), \
        .what = (what_)                                                                     \
    }
#define CNT(rec, f, least_, most_, flags_, what_)                                           \
    {                                                                                       \
        .name = #f, .sql = #f, .kind = MDR_COL_COUNT, .flags = (flags_), .least = (least_), \
        .most = (most_), .offset = offsetof(rec, f), .what = (what_)                        \
    }
#define ENM(rec, f, LIST, what_)                                              \
    {                                                                         \
        .name = #f, .sql = #f, .kind = MDR_COL_ENUM, .flags = MDR_COL_MUST,   \
        .choices = CHOICES(LIST), .offset = offsetof(rec, f), .what = (what_) \
    }
/* Empty: the first choice. */
#define ENM_LATER(rec, f, LIST, what_)                                        \
    {                                                                         \
        .name = #f, .sql = #f, .kind = MDR_COL_ENUM, .flags = MDR_COL_LATER,  \
        .choices = CHOICES(LIST), .offset = offsetof(rec, f), .what = (what_) \
    }
#define YES(rec, f, what_)                                                  \
    {                                                                       \
        .name = #f, .sql = #f, .kind = MDR_COL_BOOL, .flags = MDR_COL_MUST, \
        .offset = offsetof(rec, f), .what = (what_)                         \
    }
#define DAT(rec, f, name_, what_)                                                \
    {                                                                            \
        .name = (name_), .sql = #f, .kind = MDR_COL_DATE, .flags = MDR_COL_MUST, \
        .offset = offsetof(rec, f), .what = (what_)                              \
    }
#define DAT_OPEN(rec, f, name_, what_)                                                \
    {                                                                                 \
        .name = (name_), .sql = #f, .kind = MDR_COL_DATE, .offset = offsetof(rec, f), \
        .what = (what_)                                                               \
    }
#define SET(rec, f, LIST, what_)                                              \
    {                                                                         \
        .name = #f, .sql = #f, .kind = MDR_COL_SET, .choices = CHOICES(LIST), \
        .offset = offsetof(rec, f), .what = (what_)                           \
    }

#define MG    1e6
#define ML    1e3
#define MILLI 1e3
#define MICRO 1e6
#define MUST  MDR_COL_MUST
#define LATER MDR_COL_LATER

/* mdr_table_bench.c; sized here, because a descriptor counts them. */
enum {
    MDR_COLS_LAB_SAMPLE = 11,
    MDR_COLS_LAB_READING = 3,
    MDR_COLS_DIP = 10,
    MDR_COLS_DIP_DYE = 4,
    /* mdr_table_weigh.c */
    MDR_COLS_WEIGHING_CLASS = 8,
    MDR_COLS_SCALE = 8
};
extern const mdr_col mdr_cols_lab_sample[MDR_COLS_LAB_SAMPLE];
extern const mdr_col mdr_cols_lab_reading[MDR_COLS_LAB_READING];
extern const mdr_col mdr_cols_dip[MDR_COLS_DIP];
extern const mdr_col mdr_cols_dip_dye[MDR_COLS_DIP_DYE];
extern const mdr_col mdr_cols_weighing_class[MDR_COLS_WEIGHING_CLASS];
extern const mdr_col mdr_cols_scale[MDR_COLS_SCALE];

#endif
