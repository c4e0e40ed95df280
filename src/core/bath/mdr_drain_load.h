/*
 * mdr_drain_load.h - what a lot sends to the drain: oxygen demand and dissolved solids of what was
 * given and of what came off the cotton; and the bands a lot's use of water, heat and power is
 * held against.
 *
 * Layer: core/bath (pure). Substances are mdr_substance of core/plan/mdr_records.h.
 * Methods: docs/methods/footprint.md
 *
 * Sources (keys of docs/sources.md)
 *   [cod-theoretical]  oxygen for full oxidation, nitrogen staying as ammonia
 *   [ciaaw]            molar masses
 *   [eu-bat-2022]      bands of the European decision: ALL from memory, to be confirmed
 *   [common-practice]  the other bands, demand of cotton's impurities
 *
 * Theoretical demand is the most that dichromate can find; nothing is counted as destroyed in the
 * bath, only what a caller leaves out.
 */
#ifndef MDR_DRAIN_LOAD_H
#define MDR_DRAIN_LOAD_H

#include <stdbool.h>

/* Oxygen demand of wax, pectin, protein and dust that scouring takes off 1 kg of raw cotton:
 * about 4 % at about 1.5 g/g. Common practice, weak. */
#define MDR_DRAIN_COTTON_COD_G_PER_KG 60.0

/* Oxygen (g) that 1 g takes up when one mole takes o2_mol; molar_g_per_mol > 0. */
double mdr_drain_cod_of_oxygen(double o2_mol, double molar_g_per_mol);
/* The same for CcHhNnOo, all carbon to CO2 and nitrogen to ammonia: o2 = c + (h - 3n)/4 - o/2 mol.
 * A sodium that stands in place of a hydrogen counts as one. 0 or negative when there is nothing
 * left to oxidise. */
double mdr_drain_cod_of_formula(double c, double h, double n, double o, double molar_g_per_mol);

/* Demand of 1 g of the pure substance, into *cod_g_per_g: 0 for minerals and for peroxide.
 * False, and nothing written, where the name says nothing about the make-up: other, dye, enzyme,
 * sequestrant, catalase. */
bool mdr_drain_cod_g_per_g(int substance, double *cod_g_per_g);
/* Part of the given mass that counts as dissolved solids: 1 for salts, alkalis, dithionite,
 * sulphuric and citric acid; 0 for what boils off with the water or falls to water and gas, and
 * for products whose make-up is not known. */
double mdr_drain_solids_fraction(int substance);

/* Mean over all the water that was used, mg/L; water_l > 0. */
double mdr_drain_mean_mg_per_l(double mass_kg, double water_l);
typedef enum mdr_band_id {
    MDR_BAND_WATER_BLEACH,
    MDR_BAND_WATER_SCOUR,
    MDR_BAND_WATER_DYE,
    MDR_BAND_WATER_LOT,
    MDR_BAND_STEAM_LOT,
    MDR_BAND_POWER_LOT,
    MDR_BAND_COD_DISCHARGE,
    MDR_BAND_COUNT
} mdr_band_id;

typedef struct mdr_band {
    const char *what, *unit;
    double low, high;   /* in `unit` */
    const char *source; /* key of docs/sources.md */
    bool to_confirm;    /* not read in its source: show it so */
} mdr_band;

/* All bands, at the place of their mdr_band_id; *n = MDR_BAND_COUNT. */
const mdr_band *mdr_drain_bands(int *n);

typedef enum mdr_band_verdict {
    MDR_BAND_BELOW,
    MDR_BAND_WITHIN, /* its ends included */
    MDR_BAND_ABOVE
} mdr_band_verdict;

/* `value` in the unit of the band. */
mdr_band_verdict mdr_drain_band_verdict(const mdr_band *band, double value);

#endif
