/* What is inconsistent within the tables. */
#include <stdio.h>
#include <string.h>

#include "mill/mdr_mill_rows.h"
#include "mill/mdr_mill_rules.h"

/* A question to the tables. Each row of its answer is a finding: id, value, allowed (may be
 * NULL). */
typedef struct question {
    const char *what; /* before the id in `place`: "lot" */
    const char *sql;
    const char *msg, *remedy;
} question;

static const question QUESTIONS[] = {
    {"site", "SELECT '', NULL, NULL WHERE NOT EXISTS (SELECT 1 FROM \"site\")",
     "the mill has no site: water, steam and prices are not known",
     "import the table of the site, with one row"},
    {"lot",
     "SELECT l.\"lot_id\", NULL, NULL FROM \"lot\" l WHERE NOT EXISTS"
     " (SELECT 1 FROM \"roll\" r WHERE r.\"lot_id\" = l.\"lot_id\") ORDER BY l.\"lot_id\"",
     "a lot without rolls",
     "gather rolls into it: import the table of rolls with the number of this lot"},
    {"roll",
     "SELECT r.\"roll_id\", r.\"article_id\", o.\"article_id\" || ', the article of lot ' || "
     "l.\"lot_id\" FROM \"roll\" r JOIN \"lot\" l ON l.\"lot_id\" = r.\"lot_id\""
     " JOIN \"customer_order\" o ON o.\"order_id\" = l.\"order_id\""
     " WHERE o.\"article_id\" <> r.\"article_id\" ORDER BY r.\"roll_id\"",
     "a roll of another article than its lot", "take the roll out of the lot, or correct it"},
    {"lot",
     "SELECT l.\"lot_id\", l.\"tubes_used\", 'at most ' || m.\"tubes\" || ', the tubes of ' || "
     "m.\"machine_id\" FROM \"lot\" l JOIN \"machine\" m ON m.\"machine_id\" = l.\"machine_id\""
     " WHERE l.\"tubes_used\" > m.\"tubes\" ORDER BY l.\"lot_id\"",
     "a lot uses more tubes than its machine has",
     "correct the number of tubes or choose another machine"},
    {"dye",
     "SELECT \"dye_id\", NULL, NULL FROM \"dye\" WHERE \"price_minor_per_kg\" IS NULL ORDER BY "
     "\"dye_id\"",
     "a dye without price", "give its price per kg: costs leave it out until then"},
    {"chemical",
     "SELECT \"chemical_id\", NULL, NULL FROM \"chemical\" WHERE \"price_minor_per_kg\" IS NULL"
     " ORDER BY \"chemical_id\"",
     "a chemical without price", "give its price per kg: costs leave it out until then"},
    {"dye",
     "SELECT d.\"dye_id\", NULL, NULL FROM \"dye\" d JOIN \"chemical\" c"
     " ON c.\"chemical_id\" = d.\"dye_id\" ORDER BY d.\"dye_id\"",
     "a dye and a chemical have the same number", "give one of them another number"},
    {"shade",
     "SELECT s.\"shade_id\", s.\"dye_class\", NULL FROM \"shade\" s WHERE s.\"dye_class\" <> 'none'"
     " AND NOT EXISTS (SELECT 1 FROM \"recipe\" r WHERE r.\"shade_id\" = s.\"shade_id\")"
     " ORDER BY s.\"shade_id\"",
     "a shade without recipe", "import the table of recipes with its dyes"},
    {"shade",
     "SELECT s.\"shade_id\", d.\"dye_id\" || ' (' || d.\"dye_class\" || ')', s.\"dye_class\""
     " FROM \"recipe\" r JOIN \"shade\" s ON s.\"shade_id\" = r.\"shade_id\""
     " JOIN \"dye\" d ON d.\"dye_id\" = r.\"dye_id\" WHERE d.\"dye_class\" <> s.\"dye_class\""
     " ORDER BY s.\"shade_id\", r.\"line\"",
     "a recipe with a dye of another class than the shade",
     "replace the dye, or correct the dye class of the shade"},
    {"shade",
     "SELECT r.\"shade_id\", r.\"dye_id\", NULL FROM \"recipe\" r GROUP BY r.\"shade_id\","
     " r.\"dye_id\" HAVING count(*) > 1 ORDER BY r.\"shade_id\", r.\"dye_id\"",
     "a recipe names the same dye twice", "add the two depths up in one line"},
    {"lab_sample",
     "SELECT s.\"sample_id\", s.\"substrate\", NULL FROM \"lab_sample\" s WHERE s.\"kind\" = 'rung'"
     " AND NOT EXISTS (SELECT 1 FROM \"lab_sample\" c WHERE c.\"kind\" = 'cloth'"
     " AND c.\"substrate\" = s.\"substrate\") ORDER BY s.\"sample_id\"",
     "a dyed sample of a substrate whose undyed cloth is not there",
     "measure the undyed cloth, or correct substrate"},
    {"lab_sample",
     "SELECT s.\"sample_id\", NULL, NULL FROM \"lab_sample\" s WHERE NOT EXISTS"
     " (SELECT 1 FROM \"lab_reading\" r WHERE r.\"sample_id\" = s.\"sample_id\""
     " AND r.\"wavelength_pm\" <= 420000) OR NOT EXISTS"
     " (SELECT 1 FROM \"lab_reading\" r WHERE r.\"sample_id\" = s.\"sample_id\""
     " AND r.\"wavelength_pm\" >= 660000) ORDER BY s.\"sample_id\"",
     "a sample whose readings do not reach from 420 to 660 nm",
     "import table lab_reading with its readings"},
    {"lab_sample",
     "SELECT s.\"sample_id\", s.\"shade_id\", o.\"shade_id\" || ', the shade of lot ' || "
     "l.\"lot_id\""
     " FROM \"lab_sample\" s JOIN \"lot\" l ON l.\"lot_id\" = s.\"lot_id\""
     " JOIN \"customer_order\" o ON o.\"order_id\" = l.\"order_id\""
     " WHERE o.\"shade_id\" <> s.\"shade_id\" ORDER BY s.\"sample_id\"",
     "a cutting of another shade than its lot", "correct shade_id or lot_id"},
    {"dip",
     "SELECT d.\"dip_id\", d.\"sample_id\", NULL FROM \"dip\" d JOIN \"lab_sample\" s"
     " ON s.\"sample_id\" = d.\"sample_id\" WHERE s.\"kind\" <> 'dip'"
     " OR s.\"shade_id\" <> d.\"shade_id\" OR s.\"substrate\" <> d.\"substrate\""
     " ORDER BY d.\"dip_id\"",
     "a dip whose sample is none of its shade and substrate", "correct sample_id"},
    {"dip",
     "SELECT d.\"dip_id\", NULL, NULL FROM \"dip\" d WHERE NOT EXISTS"
     " (SELECT 1 FROM \"dip_dye\" m WHERE m.\"dip_id\" = d.\"dip_id\") ORDER BY d.\"dip_id\"",
     "a dip without dyes", "import table dip_dye with its dyes"},
    {"dip",
     "SELECT d.\"dip_id\", y.\"dye_id\" || ' (' || y.\"dye_class\" || ')', s.\"dye_class\""
     " FROM \"dip_dye\" m JOIN \"dip\" d ON d.\"dip_id\" = m.\"dip_id\""
     " JOIN \"shade\" s ON s.\"shade_id\" = d.\"shade_id\""
     " JOIN \"dye\" y ON y.\"dye_id\" = m.\"dye_id\" WHERE y.\"dye_class\" <> s.\"dye_class\""
     " ORDER BY d.\"dip_id\", m.\"line\"",
     "a dip with a dye of another class than the shade", "correct the dye, or the shade"},
    {"dip",
     "SELECT m.\"dip_id\", m.\"dye_id\", NULL FROM \"dip_dye\" m GROUP BY m.\"dip_id\","
     " m.\"dye_id\" HAVING count(*) > 1 ORDER BY m.\"dip_id\", m.\"dye_id\"",
     "a dip names the same dye twice", "add the two depths up in one line"},
    {"dose table",
     "SELECT t.\"table_id\", NULL, NULL FROM \"dose_table\" t WHERE NOT EXISTS"
     " (SELECT 1 FROM \"dose_band\" b WHERE b.\"table_id\" = t.\"table_id\")"
     " ORDER BY t.\"table_id\"",
     "a dose table without bands", "import table dose_band with its bands"},
    {"route",
     "SELECT r.\"route_id\", NULL, NULL FROM \"route\" r WHERE NOT EXISTS"
     " (SELECT 1 FROM \"route_version\" v WHERE v.\"route_id\" = r.\"route_id\")"
     " ORDER BY r.\"route_id\"",
     "a route without a document", "save a version of it"},
};

typedef struct check {
    mdr_mill *mill;
    mdr_err_list *found;
    const char *what, *id; /* of the row whose rules are checked */
} check;

static const char *text_at(sqlite3_stmt *stmt, int at)
{
    const char *text = (const char *)sqlite3_column_text(stmt, at);
    return text != NULL ? text : "";
}

static mdr_code ask(const check *c, const question *q, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row = true;
    MDR_TRY(mdr_mill_sql_prepare(c->mill, q->sql, &stmt, err));
    mdr_code rc = MDR_OK;
    while (rc == MDR_OK && row) {
        rc = mdr_mill_sql_step(c->mill, stmt, &row, err);
        if (rc == MDR_OK && row) {
            mdr_err e;
            char place[sizeof e.place];
            const char *id = text_at(stmt, 0);
            (void)snprintf(place, sizeof place, "%s%s%s", q->what, id[0] != '\0' ? " " : "", id);
            (void)MDR_FAIL(&e, MDR_E_CONFLICT, place, "%s", q->msg);
            mdr_err_value(&e, "%s", text_at(stmt, 1));
            mdr_err_allowed(&e, "%s", text_at(stmt, 2));
            mdr_err_remedy(&e, "%s", q->remedy);
            mdr_err_list_add(c->found, &e);
        }
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

/* -- rows one by one: what another program may have written ----------------------------------- */

static void take_fault(void *context, mdr_err *fault)
{
    const check *c = context;
    mdr_err_within(fault, "%s %s", c->what, c->id);
    mdr_err_list_add(c->found, fault);
}

static void check_row(check *c, const mdr_table *table, sqlite3_stmt *stmt)
{
    mdr_mill_cell cells[MDR_MILL_COLS_MAX];
    mdr_err e;
    c->what = table->name;
    c->id = text_at(stmt, 0);
    for (int i = 0; i < table->n_cols; i++) {
        cells[i] = (mdr_mill_cell){0};
        if (mdr_mill_cell_fetch(&table->cols[i], stmt, i, &cells[i], &e) != MDR_OK) {
            cells[i].bad = true;
            take_fault(c, &e);
        }
    }
    mdr_mill_rules(table, cells, (mdr_mill_sink){take_fault, c});
}

static mdr_code check_rows(check *c, const mdr_table *table, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row = true;
    mdr_code rc = mdr_mill_select(c->mill, &(mdr_mill_query){.table = table}, &stmt, err);
    while (rc == MDR_OK && row) {
        rc = mdr_mill_sql_step(c->mill, stmt, &row, err);
        if (rc == MDR_OK && row) {
            check_row(c, table, stmt);
        }
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

/* -- the file as a whole ---------------------------------------------------------------------- */

/* Rows that another program wrote against the rules are no damage: what is wrong in them is
 * found below, with the record's name. */
static bool is_broken_rule(const char *words)
{
    return strncmp(words, "CHECK constraint failed", 23) == 0 ||
           strncmp(words, "NULL value in", 13) == 0;
}

static bool note_damage(const check *c, const char *words)
{
    mdr_err e;
    const bool rule = is_broken_rule(words);
    (void)MDR_FAIL(&e, MDR_E_PARSE, c->mill->path, "%s: %s",
                   rule ? "a row breaks a rule of its table" : "the mill file is damaged", words);
    mdr_err_remedy(&e, rule ? "import the record anew; no program but this one should write the "
                              "file"
                            : "go back to a backup copy");
    mdr_err_list_add(c->found, &e);
    return !rule;
}

static mdr_code check_file(const check *c, bool *damaged, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row = true;
    MDR_TRY(mdr_mill_sql_prepare(c->mill, "PRAGMA integrity_check(100)", &stmt, err));
    mdr_code rc = MDR_OK;
    while (rc == MDR_OK && row) {
        rc = mdr_mill_sql_step(c->mill, stmt, &row, err);
        if (rc == MDR_OK && row && strcmp(text_at(stmt, 0), "ok") != 0) {
            *damaged = note_damage(c, text_at(stmt, 0)) || *damaged;
        }
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

static mdr_code check_references(const check *c, mdr_err *err)
{
    sqlite3_stmt *stmt;
    bool row = true;
    MDR_TRY(mdr_mill_sql_prepare(c->mill, "PRAGMA foreign_key_check", &stmt, err));
    mdr_code rc = MDR_OK;
    while (rc == MDR_OK && row) {
        rc = mdr_mill_sql_step(c->mill, stmt, &row, err);
        if (rc == MDR_OK && row) {
            mdr_err e;
            (void)MDR_FAIL(&e, MDR_E_CONFLICT, text_at(stmt, 0),
                           "row %s refers to a record of table %s that does not exist",
                           text_at(stmt, 1), text_at(stmt, 2));
            mdr_err_remedy(&e, "import the missing record, or correct this row");
            mdr_err_list_add(c->found, &e);
        }
    }
    (void)sqlite3_finalize(stmt);
    return rc;
}

static mdr_code check_all(check *c, mdr_err *err)
{
    bool damaged = false;
    MDR_TRY(check_file(c, &damaged, err));
    if (damaged) {
        return MDR_OK; /* what a damaged file answers means nothing */
    }
    MDR_TRY(check_references(c, err));
    for (int i = 0; i < mdr_tables_count; i++) {
        MDR_TRY(check_rows(c, &mdr_tables[i], err));
    }
    for (size_t i = 0; i < sizeof QUESTIONS / sizeof QUESTIONS[0]; i++) {
        MDR_TRY(ask(c, &QUESTIONS[i], err));
    }
    return MDR_OK;
}

mdr_code mdr_mill_check(mdr_mill *mill, mdr_err_list *found, mdr_err *err)
{
    mdr_err e;
    check c = {.mill = mill, .found = found};
    MDR_TRY(mdr_mill_snapshot_begin(mill, err));
    const mdr_code rc = check_all(&c, &e);
    mdr_mill_snapshot_end(mill);
    if (rc == MDR_E_PARSE) {
        mdr_err_list_add(found, &e);
        return MDR_OK;
    }
    if (rc != MDR_OK && err != NULL) {
        *err = e;
    }
    return rc;
}
