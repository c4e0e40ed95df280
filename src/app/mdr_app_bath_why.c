/* What the answers about a bath rest on: rule in words, source, section of the methods. */
#include "app/mdr_app_bath_in.h"

static const mdr_answer_why WHYS[MDR_WHY_COUNT] = {
    [MDR_WHY_PH] = {"pH",
                    "the pH at which the charges of all ions balance, with the dissociation "
                    "constants of the bath's temperature, closed to the air",
                    "usgs-pitzer", "bath-ph.md#balance"},
    [MDR_WHY_ACTIVITY] = {"Activity",
                          "in salt an ion acts weaker than its concentration: Pitzer's "
                          "equations, single ions by the convention of the pH standards",
                          "pitzer-1991", "bath-ph.md#activity"},
    [MDR_WHY_UNCERTAINTY] = {"Uncertainty",
                             "the spread between two published models on the same baths",
                             "usgs-phreeqc", "bath-ph.md#uncertainty"},
    [MDR_WHY_NEED] = {"Amount for a pH",
                      "the amount with which the charges balance at the pH asked for",
                      "usgs-pitzer", "bath-ph.md#acid-to-ph"},
    [MDR_WHY_CURVE] = {"Dose curve",
                       "part of the dose = part of the time to the power of the exponent",
                       "definition", "time.md#dose-curves"},
    [MDR_WHY_DELIVERED] = {"Product", "active mass x 100 / strength %", "mass-balance",
                           "amounts.md#delivered-mass"},
    [MDR_WHY_EQUIVALENTS] = {"Equivalents", "mL of titrant x eq/L / mL of sample", "stoichiometry",
                             "titration.md#equivalents-by-titration"},
    [MDR_WHY_PEROXIDE] = {"Peroxide", "two electrons a molecule: 17.007 g of H2O2 an equivalent",
                          "aatcc-102", "titration.md#peroxide"},
    [MDR_WHY_HOLD_POINT] = {"Verdict", "at most 5 mg/L before the dye, 1 mg/L is the aim",
                            "common-practice", "peroxide.md#peroxide-hold-point"},
    [MDR_WHY_CATALASE] = {"Catalase", "(measured - aim) x liquor / what 1 g of it destroys",
                          "mass-balance", "peroxide.md#catalase-need"},
    [MDR_WHY_ALKALI] = {"Alkali", "equivalents x molar mass / equivalents a mole", "aatcc-98",
                        "titration.md#alkali"},
    [MDR_WHY_TWO_ALKALIS] = {"Two alkalis",
                             "P > M/2: NaOH 2P - M, soda 2(M - P); else soda 2P, "
                             "hydrogen carbonate M - 2P",
                             "double-indicator", "titration.md#two-alkalis"},
    [MDR_WHY_DITHIONITE] = {"Dithionite",
                            "four electrons a molecule after formaldehyde: 43.53 g an equivalent",
                            "iodine-dithionite", "titration.md#dithionite"},
    [MDR_WHY_SALT_TITRE] = {"Salt", "one silver ion a chloride: 58.44 g an equivalent",
                            "mohr-chloride", "titration.md#salt"},
    [MDR_WHY_ACID] = {"Acid", "equivalents of alkali x liquor / equivalents in 1 kg of acid",
                      "stoichiometry", "titration.md#acid-for-the-alkali-found"},
    [MDR_WHY_COTTON] = {"Cotton", "Ca / 40.078 + Mg / 24.305 mmol/kg", "cotton-metals",
                        "hardness.md#hardness-of-the-cotton"},
    [MDR_WHY_HARDNESS] = {"Hardness",
                          "water + what the bath takes out of the cotton / liquor ratio",
                          "mass-balance", "hardness.md#hardness-of-the-bath"},
    [MDR_WHY_FREE] = {"Free hardness", "total - product x capacity; 3 dH a remark, 5 dH a warning",
                      "common-practice", "hardness.md#held-and-free-hardness"},
    [MDR_WHY_SEQUESTRANT] = {"Sequestrant", "(total - allowed) in mg CaCO3/L / capacity",
                             "stoichiometry", "hardness.md#sequestrant-needed"},
    [MDR_WHY_SWAP] = {"Salt for salt",
                      "equal mass by habit, equal sodium or equal ionic strength by "
                      "chemistry: they differ",
                      "stoichiometry", "salt-and-alkali.md#one-salt-for-another"},
    [MDR_WHY_IONS] = {"Ions", "fully dissociated", "stoichiometry",
                      "salt-and-alkali.md#ions-in-solution"},
    [MDR_WHY_OXYGEN] = {"Oxygen of the water",
                        "water in balance with air at the temperature it came in",
                        "oxygen-saturation", "vat.md#oxygen-in-water"},
    [MDR_WHY_VAT_DYE] = {"Dye", "one dithionite reduces one quinone", "vat-practice",
                         "vat.md#dithionite-for-the-dye"},
    [MDR_WHY_AIR] = {"Air",
                     "oxygen that the running rope draws in x 5.44; invented by kind of machine",
                     "stoichiometry", "vat.md#air-on-the-rope"},
    [MDR_WHY_DECAY] = {"Decay", "5 % in an hour at 60 degC, twice as fast every 10 K",
                       "vat-practice", "vat.md#decay-by-heat"},
    [MDR_WHY_RESERVE] = {"Reserve", "dD/dt = -air - decay x D until nothing is left",
                         "common-practice", "vat.md#reserve-over-time"},
    [MDR_WHY_BUDGET] = {"Dithionite",
                        "water and dye at once, air and decay over the time, and the reserve",
                        "stoichiometry", "vat.md#dithionite-budget"},
    [MDR_WHY_OXIDANT] = {"Oxidation", "one peroxide a leuco, three a dithionite, twice that",
                         "stoichiometry", "vat.md#oxidation"},
    [MDR_WHY_FILL_DRAIN] = {"Fill and drain", "(retained / ratio) to the power of the baths",
                            "mass-balance", "rinsing.md#fill-and-drain"},
    [MDR_WHY_OVERFLOW] = {"Overflow", "exp(-flow x time / liquor) after the fill",
                          "perfectly-mixed-tank", "rinsing.md#one-overflow"},
};

const mdr_answer_why *mdr_app_bath_whys(int *n)
{
    *n = MDR_WHY_COUNT;
    return WHYS;
}

void mdr_bath_because(mdr_bath_desk *d, mdr_bath_why why)
{
    mdr_desk_because(&d->desk, &WHYS[why]);
}
