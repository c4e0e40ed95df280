#include <string.h>

#include "mill/mdr_mill_cell.h"

const char *mdr_mill_choice_text(const char *choices, int index, size_t *len)
{
    const char *p = choices;
    for (; index > 0 && p != NULL; index--) {
        p = strchr(p, '|');
        p = p == NULL ? NULL : p + 1;
    }
    if (p == NULL || index < 0) {
        return NULL;
    }
    *len = strcspn(p, "|");
    return p;
}

int mdr_mill_choice_index(const char *choices, const char *text, size_t len)
{
    size_t n;
    const char *id;
    for (int i = 0; (id = mdr_mill_choice_text(choices, i, &n)) != NULL; i++) {
        if (n == len && memcmp(id, text, n) == 0) {
            return i;
        }
    }
    return -1;
}

/* Longest first where one ends in another. */
static const struct {
    const char *ending, *words;
} UNITS[] = {
    {"_minor_per_mwh", "minor currency units (cents) per megawatt-hour"},
    {"_minor_per_m3", "minor currency units (cents) per cubic metre"},
    {"_minor_per_kg", "minor currency units (cents) per kilogram"},
    {"_minor_per_t", "minor currency units (cents) per tonne"},
    {"_w_per_m2_k", "watts per square metre and kelvin"},
    {"_g_o2_per_kg_h", "grams of oxygen per kilogram of fabric and hour"},
    {"_kg_per_mwh", "kilograms per megawatt-hour"},
    {"_mmol_per_l", "millimoles per litre"},
    {"_mol_per_kg", "moles per kilogram"},
    {"_g_per_mol", "grams per mole"},
    {"_mg_per_kg", "milligrams per kilogram"},
    {"_kg_per_m3", "kilograms per cubic metre"},
    {"_kg_per_kg", "kilograms per kilogram"},
    {"_kg_per_t", "kilograms per tonne"},
    {"_mg_per_g", "milligrams per gram"},
    {"_g_per_g", "grams per gram"},
    {"_m_per_min", "metres per minute"},
    {"_l_per_min", "litres per minute"},
    {"_c_per_min", "kelvin (degrees Celsius) per minute"},
    {"_kg_per_h", "kilograms per hour"},
    {"_kg_per_l", "kilograms per litre"},
    {"_kw_per_k", "kilowatts per kelvin"},
    {"_l_per_kg", "litres per kilogram"},
    {"_g_per_l", "grams per litre"},
    {"_per_inch", "per inch"},
    {"_per_cm", "per centimetre"},
    {"_pct_owf", "percent on the mass of fabric"},
    {"_divisions", "divisions"},
    {"charge", "charges"},
    {"_inch", "inches"},
    {"_barg", "bar, gauge"},
    {"gsm", "grams per square metre"},
    {"_min", "minutes"},
    {"_pct", "percent"},
    {"baume", "degrees Baume"},
    {"_cm", "centimetres"},
    {"_de", "units of colour difference"},
    {"_dh", "degrees of German hardness"},
    {"_kg", "kilograms"},
    {"_kw", "kilowatts"},
    {"_mm", "millimetres"},
    {"_ne", "English cotton count"},
    {"_nm", "nanometres"},
    {"_c", "degrees Celsius"},
    {"_g", "grams"},
    {"_l", "litres"},
    {"_m", "metres"},
};

const char *mdr_mill_unit_words(const mdr_col *col)
{
    const size_t n = strlen(col->name);
    if (col->kind != MDR_COL_QUANTITY || strncmp(col->name, "lab_", 4) == 0) {
        return "";
    }
    for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++) {
        const size_t m = strlen(UNITS[i].ending);
        if (n >= m && strcmp(col->name + n - m, UNITS[i].ending) == 0) {
            return UNITS[i].words;
        }
    }
    return "";
}
