#include "card/mdr_setting_cells.h"

const mdr_setting_cell *mdr_setting_nth(const mdr_setting_cell *cells, int n)
{
    for (int i = 0; i < MDR_SETTING_CELLS; i++) {
        if (cells[i].id != MDR_FIG_NONE && n-- == 0) {
            return &cells[i];
        }
    }
    return NULL;
}

/* What is hot on the machine. */
static const char *heat_of(const mdr_plan_pass *pass)
{
    if (pass->machine == NULL) {
        return "temperature";
    }
    const mdr_pass_kind kind = (mdr_pass_kind)pass->machine->kind;
    return kind == MDR_PASS_COMPACT || kind == MDR_PASS_TUBE_COMPACT ? "felt or shoe"
           : kind == MDR_PASS_STENTER || kind == MDR_PASS_RELAX_DRY  ? "air"
                                                                     : "temperature";
}

void mdr_setting_values(const mdr_plan_pass *pass, mdr_setting_cell out[MDR_SETTING_CELLS])
{
    const bool tube = pass->set_layflat_cm != MDR_FIG_NONE;
    const mdr_setting_cell all[MDR_SETTING_CELLS] = {
        {tube ? "flat width" : "width", "cm", tube ? pass->set_layflat_cm : pass->set_width_cm, 1},
        {"overfeed", "%", pass->overfeed_pct, 1},
        {"= length taken", "%", pass->length_loss_pct, 1},
        {heat_of(pass), "\u00b0C", pass->temp_c, 0},
        {"at temperature", "s", pass->dwell_s, 0},
        {"speed", "m/min", pass->speed_m_per_min, 1},
    };
    for (int i = 0; i < MDR_SETTING_CELLS; i++) {
        out[i] = all[i];
    }
}

void mdr_setting_readings(const mdr_plan_pass *pass, mdr_setting_cell out[MDR_SETTING_CELLS])
{
    const bool tube = pass->layflat_cm != MDR_FIG_NONE;
    const mdr_setting_cell all[MDR_SETTING_CELLS] = {
        {tube ? "flat width" : "width", "cm", tube ? pass->layflat_cm : pass->width_cm, 1},
        {"courses", "/cm", pass->courses_per_cm, 2},
        {"moisture, on bone dry", "%", pass->moisture_pct, 0},
        {"as it comes out", "g/m\u00b2", pass->wet_gsm, 0},
        {"conditioned", "g/m\u00b2", pass->conditioned_gsm, 1},
        {"length of the lot", "m", pass->length_m, 0},
    };
    for (int i = 0; i < MDR_SETTING_CELLS; i++) {
        out[i] = all[i];
    }
}

int mdr_setting_count(const mdr_plan_pass *pass)
{
    mdr_setting_cell settings[MDR_SETTING_CELLS];
    mdr_setting_values(pass, settings);
    int n = 0;
    while (pass->shapes && mdr_setting_nth(settings, n) != NULL) {
        n++;
    }
    return n;
}

int mdr_setting_lines(const mdr_plan_pass *pass)
{
    mdr_setting_cell readings[MDR_SETTING_CELLS];
    mdr_setting_readings(pass, readings);
    int n = mdr_setting_count(pass);
    while (mdr_setting_nth(readings, n) != NULL) {
        n++;
    }
    return n;
}
