/* Each rule on numbers worked by hand, in the order in which its words name the inputs. */
#include "t.h"

#include "core/plan/mdr_fig.h"

static const struct {
    mdr_rule rule;
    double in[16];
    int n;
    double want, tol;
    const char *src;
} ROWS[] = {
    {MDR_RULE_SUM, {1, 2, 3.5}, 3, 6.5, 0, "D: 1 + 2 + 3.5"},
    {MDR_RULE_SUM, {0}, 0, 0, 0, "D: nothing adds up to nothing"},
    {MDR_RULE_PRODUCT, {2, 3, 4}, 3, 24, 0, "D: 2 x 3 x 4"},
    {MDR_RULE_QUOTIENT, {868.1, 300}, 2, 2.8937, 5e-5, "E17: 868.1 m at 300 m/min"},
    {MDR_RULE_ROPE_PER_TUBE, {3472.2, 4}, 2, 868.05, 1e-9, "E17: four ropes"},
    {MDR_RULE_ROPE_CYCLE, {868.1, 300}, 2, 2.8937, 5e-5, "E17: at 300 m/min"},
    {MDR_RULE_RATIO_TRUE, {8000, 1000}, 2, 8, 0, "D: the inverse of E16"},
    {MDR_RULE_DOSE_CYCLES, {30, 2.5}, 2, 12, 1e-12, "D: twelve turns of 2.5 min in half an hour"},
    {MDR_RULE_LEAST, {5, 3, 4}, 3, 3, 0, "D: the smallest"},
    {MDR_RULE_MOST, {5, 3, 8}, 3, 8, 0, "D: the greatest"},
    {MDR_RULE_WITHIN, {10, 15, 60}, 3, 15, 0, "D: below what there is"},
    {MDR_RULE_WITHIN, {70, 15, 60}, 3, 60, 0, "D: above what there is"},
    {MDR_RULE_WITHIN, {40, 15, 60}, 3, 40, 0, "D: within"},
    {MDR_RULE_ROPE_LENGTH, {1000, 160, 180}, 3, 3472.2, 0.05, "E17: 1000 kg, 160 g/m2, 1.80 m"},
    {MDR_RULE_ROPE_LENGTH,
     {500, 180, 180},
     3,
     1543.2,
     0.05,
     "handbook, rope: 500 kg, 180 g/m2, 1.80 m"},
    {MDR_RULE_LIQUOR_NOMINAL, {1000, 8}, 2, 8000, 0, "E16: 1000 kg at 1:8"},
    {MDR_RULE_FRESH_FILL, {8000, 2500, 300}, 3, 5200, 1e-9, "D: 8000 - 2500 - 300"},
    {MDR_RULE_FRESH_FILL, {2600, 2500, 300}, 3, 0, 0, "D: never below nothing"},
    {MDR_RULE_RETAINED, {1000, 2.5, 8000}, 3, 2500, 1e-9, "D: 2.5 L/kg of 1000 kg"},
    {MDR_RULE_RETAINED, {1000, 2.5, 2000}, 3, 2000, 1e-9, "D: not more than is there"},
    {MDR_RULE_DRAINED, {8000, 2500}, 2, 5500, 0, "D: the rest"},
    {MDR_RULE_RINSE_KEPT, {200, 20, 8000}, 3, 0.60653, 5e-6, "E19: exp(-200 x 20 / 8000)"},
    {MDR_RULE_CARRIED_SHARE, {100, 2500, 8000}, 3, 31.25, 1e-12, "D: 2500 of 8000 parts"},
    {MDR_RULE_CARRIED_SHARE, {100, 0, 0}, 3, 0, 0, "D: a dry vessel carries nothing"},
    {MDR_RULE_MASS_PER_L, {60, 8000, 100}, 3, 480, 1e-9, "E16: 60 g/L in 8000 L"},
    {MDR_RULE_MASS_PER_L, {60, 8000, 40}, 3, 192, 1e-9, "D: 40 % of it"},
    {MDR_RULE_VOLUME_PER_L, {2, 8000, 50}, 3, 8, 1e-12, "D: half of 2 mL/L in 8000 L"},
    {MDR_RULE_MASS_OWF, {2, 1000, 100}, 3, 20, 1e-12, "E16: 2 % of 1000 kg"},
    {MDR_RULE_MASS_OWF, {4, 100, 25}, 3, 1, 1e-12, "E11: 4 % of 100 kg are 4 kg; a quarter of it"},
    {MDR_RULE_MASS_LOAD, {12, 50}, 2, 6, 0, "D: half of 12 kg"},
    {MDR_RULE_DELIVERED, {16, 50}, 2, 32, 1e-12, "E26: 16 kg NaOH from 50 %"},
    {MDR_RULE_ACTIVE, {24, 50}, 2, 12, 1e-12, "E27: 24 kg of 50 % hold 12 kg H2O2"},
    {MDR_RULE_CONC, {480, 8000}, 2, 60, 1e-12, "D: 480 kg in 8000 L"},
    {MDR_RULE_BAUME_NAOH, {38}, 1, 32.21, 0.01, "S: Perry, 38 degBe is 32.21 %"},
    {MDR_RULE_BAUME_DENSITY,
     {40},
     1,
     1.381 * 0.99904,
     0.001,
     "E14: SG 1.381; water at 60 degF 0.99904"},
    {MDR_RULE_DISSOLVE, {480, 200}, 2, 2400, 1e-9, "D: 480 kg at 200 g/L"},
    {MDR_RULE_TANK_LOADS, {2400, 800}, 2, 3, 0, "D: three full tanks"},
    {MDR_RULE_TANK_LOADS, {2401, 800}, 2, 4, 0, "D: one more for a litre"},
    {MDR_RULE_DOSE_LEAST,
     {2400, 100, 3, 4},
     4,
     32,
     1e-9,
     "D: 24 min of pumping, 2 x 4 min between"},
    {MDR_RULE_HEAT_CAPACITY, {1000, 8000, 0}, 3, 34780, 1e-6, "E20: 1000 x 1.34 + 8000 x 4.18"},
    {MDR_RULE_STEAM_TEMP, {4}, 1, 151.94, 0.01, "S: IF97, 4 bar g"},
    {MDR_RULE_STEAM_HEAT, {4}, 1, 2107.6, 0.1, "S: IF97, 4 bar g"},
    {MDR_RULE_UA, {20, 0}, 2, 20, 0, "D: the flow does not limit"},
    {MDR_RULE_STEAM_MASS, {34780, 20, 60, 2107.6}, 4, 660.1, 0.1, "E20: 20 to 60 degC"},
    {MDR_RULE_STEAM_MASS, {34780, 60, 20, 2107.6}, 4, 0, 0, "D: cooling takes no steam"},
    {MDR_RULE_STEAM_DOSE, {100, 15, 60, 2107.6}, 4, 8.925, 0.001, "D: 100 x 4.18 x 45 / 2107.6"},
    {MDR_RULE_RATE_TIME, {20, 60, 2}, 3, 20, 1e-12, "D: 40 K at 2 degC/min"},
    {MDR_RULE_HEAT_TIME,
     {20, 58.50, 0, 34780, 20, 151.94, 1e6, 2107.6},
     8,
     10,
     0.01,
     "handbook 7: 58.50 degC after 600 s, UA 20 kW/K"},
    {MDR_RULE_COOL_TIME,
     {98, 78, 2, 34780, 50, 18},
     6,
     10,
     1e-6,
     "D: 20 K at 2 degC/min, which 50 kW/K can"},
    {MDR_RULE_MIX_TEMP, {4180, 80, 1000, 20}, 4, 50, 1e-9, "D: 1000 L at 80 and 1000 L at 20 degC"},
    {MDR_RULE_WATER_TEMP, {4180, 80, 1000, 50, 15, 60}, 6, 20, 1e-9, "D: the inverse"},
    {MDR_RULE_WATER_TEMP,
     {4180, 80, 1000, 75, 15, 60},
     6,
     60,
     0,
     "D: 70 degC would be needed, 60 is there"},
    {MDR_RULE_RINSE_TEMP,
     {4180, 60, 20, 100, 10},
     5,
     34.715,
     0.001,
     "D: 20 + 40 exp(-100 x 10 x 4.18 / 4180)"},
    {MDR_RULE_DURATION, {95, 20}, 2, 75, 0, "D: 95 - 20"},
    {MDR_RULE_COST, {32, 45}, 2, 1440, 0, "D: 32 kg at 0.45"},
    {MDR_RULE_POWER, {18, 120}, 2, 36, 1e-12, "D: 18 kW for two hours"},
    {MDR_RULE_PER_THOUSAND, {78000, 180}, 2, 14040, 1e-9, "D: 78 m3 at 1.80"},
    {MDR_RULE_PER_KG, {78000, 1000}, 2, 78, 0, "D: 78 L/kg"},
    {MDR_RULE_WEIGHTED, {2, 10, 3, 100}, 4, 320, 0, "D: 20 + 300"},
    {MDR_RULE_WEIGHTED, {0}, 0, 0, 0, "D: nothing adds up to nothing"},
    {MDR_RULE_LESS, {5, 3}, 2, 2, 0, "D: 5 - 3"},
    {MDR_RULE_LESS, {3, 5}, 2, 0, 0, "D: not below nothing"},
    {MDR_RULE_KG_OF_CONC, {2, 8000}, 2, 16, 1e-12, "D: the inverse of the concentration"},
    {MDR_RULE_BETWEEN, {1, 0.75, 30, 1.5, 40}, 5, 33.3333, 1e-4, "D: a third of the way"},
    {MDR_RULE_BETWEEN, {1, 1, 30, 1, 40}, 5, 30, 0, "D: no width, the first"},
    /* temperature, liquor, then NaOH, Na2CO3, NaHCO3, NaCl, Na2SO4, acetic, formic, citric,
       sulphuric acid, peroxide, dithionite in kg */
    {MDR_RULE_PH, {60, 1000, 0, 20, 0, 0, 50}, 13, 10.752, 0.10, "O: PHREEQC 3, pitzer.dat"},
    {MDR_RULE_PH, {60, 8000, 16}, 13, 11.623, 0.01, "O: PHREEQC 3, NaOH 2 g/kg"},
    {MDR_RULE_PH,
     {25, 1000, 0, 1, 0, 0, 0, 1.0},
     13,
     5.97,
     0.05,
     "handbook 5: acetic 1.0 on soda 1.0 g/L, Davies"},
    {MDR_RULE_NEED_ACETIC,
     {5.67, 1, 25, 1000, 0, 1},
     15,
     1.133,
     0.01,
     "handbook 5: equivalence of 1 g/L soda, pH 5.67"},
    {MDR_RULE_NEED_ACETIC,
     {6.3, 2, 25, 1000, 0, 0, 0, 0, 0, 1},
     15,
     0,
     0,
     "D: already more acid than that"},
    /* a caustic bath to pH 7: each acid gives all its protons but for the last of citric, which
       is 91 % gone at pH 7 (pKa 6.40 less 0.4 for its charges); NaOH 1 g/L is 0.025 mol/kg */
    {MDR_RULE_NEED_FORMIC, {7, 1, 25, 1000, 1}, 15, 1.1507, 0.001, "D: 0.025 x 46.025 g/mol"},
    {MDR_RULE_NEED_CITRIC, {7, 1, 25, 1000, 1}, 15, 1.65, 0.02, "D: 0.025 / 2.91 x 192.12 g/mol"},
    {MDR_RULE_NEED_SULPHURIC, {7, 1, 25, 1000, 1}, 15, 1.2261, 0.001, "D: 0.0125 x 98.08 g/mol"},
    {MDR_RULE_AS_ACETIC, {10, 3}, 2, 1.80156, 1e-5, "D: 30 mol of 60.052 g"},
    {MDR_RULE_BICARBONATE, {2}, 1, 0.168014, 1e-6, "D: 2 mmol of 84.007 mg"},
    {MDR_RULE_WATER_BRINGS, {8000, 2500, 0.5}, 3, 2750, 1e-9, "D: 5500 L"},
    {MDR_RULE_WATER_BRINGS, {2000, 2500, 0.5}, 3, 0, 0, "D: no fresh water"},
    {MDR_RULE_WATER_BRINGS_KG, {8000, 2500, 0.168}, 3, 0.924, 1e-9, "D: 5500 L of 0.168 g/L"},
    {MDR_RULE_RINSE_MIX, {100, 0.25, 1000, 0.4}, 4, 325, 1e-9, "D: 25 + 400 x 0.75"},
    {MDR_RULE_RINSE_MIX_KG, {1, 0.25, 1000, 0.4}, 4, 0.55, 1e-12, "D: 0.25 + 0.4 x 0.75"},
    {MDR_RULE_HARDNESS_OF_WATER, {1}, 1, 0.17832, 1e-5, "S: 1 dH is 17.85 ppm CaCO3"},
    {MDR_RULE_FABRIC_HARDNESS, {1000, 1000}, 2, 66.096, 0.001, "D: 1000/40.078 + 1000/24.305"},
    {MDR_RULE_FABRIC_LEFT, {60, 0.7}, 2, 18, 1e-12, "D: three tenths stay"},
    {MDR_RULE_BINDING, {1, 263.3}, 2, 2630.7, 0.2, "handbook 5: EDTA Na4, 2.630 mmol/g"},
    {MDR_RULE_DH, {66096, 10000}, 2, 37.07, 0.02, "handbook 0: 37 dH at LR 10"},
    {MDR_RULE_FREE_DH, {1783.2, 0, 1000}, 3, 10, 0.001, "D: 10 dH"},
    {MDR_RULE_FREE_DH, {1783.2, 5000, 1000}, 3, 0, 0, "D: all held"},
    {MDR_RULE_SEQUESTER, {2630.7, 0, 263.3, 1}, 4, 1, 1e-4, "handbook 5: EDTA Na4, inverse"},
    {MDR_RULE_WHITEN, {65, 2}, 2, 3.5, 1e-12, "P: 3.5 g/L of 50 % for W10 65, twice"},
    {MDR_RULE_PEROXIDE_LEFT, {10, 60, 98, 98}, 4, 3.4994, 1e-3, "D: 10 exp(-0.0175 x 60)"},
    {MDR_RULE_PEROXIDE_LEFT,
     {10, 30, 98, 98, 60, 88, 88},
     7,
     3.4994,
     1e-3,
     "D: half as fast 10 K colder"},
    {MDR_RULE_AFTER_CATALASE, {1, 0.5, 1500, 8000}, 4, 0.25, 1e-9, "D: 1 - 0.5 x 1.5"},
    {MDR_RULE_AFTER_CATALASE, {1, 1, 1500, 8000}, 4, 0, 0, "D: more than enough"},
    {MDR_RULE_CATALASE, {1, 1, 8000, 1500, 1}, 5, 0.661333, 1e-6, "D: (1 - 0.008) / 1.5"},
    {MDR_RULE_MG_PER_L, {0.04, 8000}, 2, 5, 1e-12, "D: 40 g in 8 m3"},
    {MDR_RULE_OXYGEN, {20}, 1, 9.09, 0.01, "APHA table, 20 degC"},
    {MDR_RULE_TAKEN_WATER,
     {8000, 0, 8},
     3,
     0.0435,
     0.0001,
     "handbook 1: 8 mg/L oxygen eat 44 mg/L dithionite"},
    {MDR_RULE_TAKEN_WATER, {8000, 8000, 8}, 3, 0, 0, "D: no fresh water"},
    {MDR_RULE_TAKEN_DYE, {30, 0.105, 8000}, 3, 0.39375, 1e-9, "D: 30 x 0.105 / 8 m3"},
    {MDR_RULE_AIR_LOSS, {6, 1000, 10000}, 3, 0.05441, 1e-4, "D: 6 x 5.441 / (60 x 10)"},
    {MDR_RULE_RESERVE, {6.5, 0.05, 0.45, 0.05, 60, 60, 0}, 7, 6, 1e-12, "D: no time yet"},
    {MDR_RULE_RESERVE, {6, 0, 0, 0, 60, 60, 60}, 7, 5.7074, 5e-4, "D: 6 exp(-0.05)"},
    {MDR_RULE_RESERVE, {1, 0, 0, 1, 60, 60, 60}, 7, 0, 0, "D: spent"},
    {MDR_RULE_RESERVE,
     {6, 0, 0, 0, 50, 70, 60},
     7,
     5.6837,
     5e-4,
     "D: the mean of 2^((T-60)/10) from 50 to 70 is 1.5/ln 4 = 1.0820"},
    /* 174.11 g/L used in 1000 L: 1000 mol */
    {MDR_RULE_ACID_MADE,
     {0, 174.11, 0, 174.11, 0, 0, 10, 1000},
     8,
     98.08,
     1e-6,
     "D: 1000 mol by water, 1 mol of acid each"},
    {MDR_RULE_ACID_MADE,
     {1, 174.11, 0, 0, 174.11, 0, 10, 1000},
     8,
     197.16,
     1e-6,
     "D: by the dye, 2 mol each, on top of what is there"},
    {MDR_RULE_ACID_MADE, {0, 174.11, 0, 0, 0, 17.411, 10, 1000}, 8, 98.08, 1e-6, "D: by air"},
    {MDR_RULE_ACID_MADE, {0, 174.11, 0, 0, 0, 0, 10, 1000}, 8, 49.04, 1e-6, "D: by heat, half"},
    {MDR_RULE_SULPHATE_MADE, {1, 174.11, 0}, 3, 143.04, 1e-6, "D: 1 + 142.04"},
    {MDR_RULE_OXIDANT_LEFT, {10, 0, 0, 0.105}, 4, 10, 0, "D: nothing to oxidise"},
    {MDR_RULE_OXIDANT_LEFT, {10, 5.804, 0, 0.105}, 4, 6.5984, 1e-3, "D: 5.804 x 0.5861"},
    {MDR_RULE_OXIDANT_LEFT, {1, 5.804, 9, 0.105}, 4, 0, 0, "D: not enough"},
    {MDR_RULE_REDUCER_LEFT, {5.861, 0.5861}, 2, 4.861, 1e-3, "D: a gram for 0.5861"},
    {MDR_RULE_REDUCER_LEFT, {1, 5}, 2, 0, 0, "D: all of it"},
    {MDR_RULE_LEUCO_LEFT, {10, 0.20513, 0, 0.105}, 4, 0, 1e-3, "D: 10 x 0.105 x 0.19536"},
    {MDR_RULE_LEUCO_LEFT,
     {10, 0.20513, 0.35, 0.105},
     4,
     10,
     1e-3,
     "D: the dithionite takes it first"},
    {MDR_RULE_MEAN_MG_PER_L, {75.457, 60000}, 2, 1257.6, 0.1, "D: 75.457 kg in 60 m3"},
    {MDR_RULE_MEAN_MG_PER_L, {1, 0}, 2, 0, 0, "D: no effluent"},
    {MDR_RULE_OXIDISE,
     {1, 174.11 / 34.0147, 0, 2, 0.1, 1000, 1},
     7,
     2,
     1e-9,
     "D: a dithionite, a quinone, a peroxide"},
    {MDR_RULE_OXIDISE, {0, 0.1, 174.11, 1, 1, 1000, 1}, 7, 102.044, 0.001, "D: three for one"},
    {MDR_RULE_OXIDISE, {0.1, 0.1, 0, 2, 1, 8000, 1}, 7, 8, 1e-12, "P: at least 1 g/L"},
    {MDR_RULE_LOOSE, {10, 85, 75}, 3, 1, 1e-12, "D: a tenth"},
    {MDR_RULE_LOOSE, {10, 75, 85}, 3, 0, 0, "D: not below nothing"},
    {MDR_RULE_UNFIXED, {10, 75}, 2, 2.5, 1e-12, "D: a quarter"},
    {MDR_RULE_WASH_OFF, {8, 0, 10, 95}, 4, 4, 1e-9, "P: half in 10 min at 95 degC"},
    {MDR_RULE_WASH_OFF, {8, 2, 10, 95, 10, 95}, 6, 4, 1e-9, "P: half as fast with 2 g/L of salt"},
    {MDR_RULE_CO2_OF,
     {3000, 180, 600, 380, 80000, 0.9, 10, 2},
     8,
     860,
     1e-9,
     "D: 540 + 228 + 72 + 20"},
    {MDR_RULE_G_PER_KG, {120, 1000}, 2, 120, 1e-12, "D: 120 kg on a tonne"},
};

static void rules(void **state)
{
    (void)state;
    for (size_t i = 0; i < N_OF(ROWS); i++) {
        const mdr_rule_info *rule = mdr_rule_of(ROWS[i].rule);
        const double got = rule->compute(ROWS[i].in, ROWS[i].n);
        if (!(fabs(got - ROWS[i].want) <= ROWS[i].tol)) {
            fail_msg("%s: got %.9g, want %.9g (%s)", rule->id, got, ROWS[i].want, ROWS[i].src);
        }
    }
}

/* Every rule but those that only pass a number on is in the table above. */
static void none_is_left_out(void **state)
{
    (void)state;
    static const mdr_rule PLAIN[] = {MDR_RULE_SAME, MDR_RULE_NOTHING, MDR_RULE_BAND};
    for (int r = 0; r < MDR_RULE_COUNT; r++) {
        const mdr_rule_info *rule = mdr_rule_of((mdr_rule)r);
        bool seen = false;
        for (size_t i = 0; i < N_OF(ROWS); i++) {
            seen = seen || mdr_rule_of(ROWS[i].rule)->compute == rule->compute;
        }
        for (size_t i = 0; i < N_OF(PLAIN); i++) {
            seen = seen || mdr_rule_of(PLAIN[i])->compute == rule->compute;
        }
        if (!seen && r != MDR_RULE_BAUME_NACL && r != MDR_RULE_BAUME_NA2SO4) { /* test_strength */
            fail_msg("rule %s is not tested", rule->id);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rules), cmocka_unit_test(none_is_left_out)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
