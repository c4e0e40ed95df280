/*
 * mdr_table.h - the master tables of a mill, described once: CSV, SQL, JSON and checks follow.
 *
 * Layer: mill. A column is a field of a record with its unit in the name; the CSV header and the
 * JSON key are the same word. In the database a quantity is an integer in the smaller unit that
 * the SQL name tells (kg -> mg), so that sums are exact and the store can move to another engine.
 */
#ifndef MDR_TABLE_H
#define MDR_TABLE_H

#include <stddef.h>

typedef enum mdr_col_kind {
    MDR_COL_ID,       /* text key: 1..40 of A-Z a-z 0-9 - _ . */
    MDR_COL_REF,      /* the id of a record of table `ref` */
    MDR_COL_TEXT,     /* 0..200 bytes UTF-8, no control characters */
    MDR_COL_QUANTITY, /* double in the record, integer (x per_unit) in the database */
    MDR_COL_COUNT,    /* int */
    MDR_COL_ENUM,     /* int; its text ids in `choices`, in the order of the enum */
    MDR_COL_BOOL,     /* bool; "yes" / "no" */
    MDR_COL_DATE,     /* int64 UTC ms of midnight; "2026-12-15" */
    MDR_COL_SET       /* uint32 bits; ids from `choices` with spaces between */
} mdr_col_kind;

enum {
    MDR_COL_KEY = 1u,
    MDR_COL_MUST = 2u, /* may not be empty */
    /* came after the first files were written: a file may lack the column, as if all its cells
     * were empty; an ENUM is then its first choice */
    MDR_COL_LATER = 4u
};

typedef struct mdr_col {
    const char *name; /* CSV header and JSON key: "load_max_kg" */
    const char *sql;  /* "load_max_mg" */
    mdr_col_kind kind;
    unsigned flags;      /* MDR_COL_KEY, MDR_COL_MUST, MDR_COL_LATER */
    double per_unit;     /* QUANTITY: database units in one CSV unit */
    double least, most;  /* QUANTITY, COUNT: allowed when given */
    const char *choices; /* ENUM, SET: "winch|overflow|jet" */
    const char *ref;     /* REF: name of the other table */
    size_t offset;       /* in the record */
    const char *what;    /* one line for people */
} mdr_col;

typedef struct mdr_table {
    const char *name; /* "machine": file name, command argument, JSON */
    const char *sql;  /* table in the database */
    const char *title;
    size_t record_size;
    const mdr_col *cols;
    int n_cols;
} mdr_table;

/* In the order in which they can be imported: what is referred to comes first. */
extern const mdr_table mdr_tables[];
extern const int mdr_tables_count;

const mdr_table *mdr_table_find(const char *name); /* NULL when there is none */

/* Records that exist only as rows; the store gathers them into those of mdr_records.h. */
typedef struct mdr_row_dose_table {
    const char *table_id, *title, *source;
    int counted_as, between, ratio_rule, swap;
} mdr_row_dose_table;
typedef struct mdr_row_dose_band {
    const char *table_id;
    double depth_max_pct_owf, amount_g_per_l;
} mdr_row_dose_band;
typedef struct mdr_row_recipe {
    const char *shade_id;
    int line;
    const char *dye_id;
    double depth_pct_owf;
    /* laboratory to bulk, when it was chosen: the depth in per cent of the laboratory's (0: it is
     * that), of which machine, and what it rested on */
    double bulk_pct;
    const char *bulk_machine_id, *bulk_words;
} mdr_row_recipe;
typedef struct mdr_row_lot {
    const char *lot_id, *order_id, *machine_id, *route_id;
    double weighed_kg, ratio_l_per_kg, speed_m_per_min;
    int tubes_used, stage;
} mdr_row_lot;
typedef struct mdr_row_roll {
    const char *roll_id, *article_id, *lot_id;
    double grey_kg;
} mdr_row_roll;

#endif
