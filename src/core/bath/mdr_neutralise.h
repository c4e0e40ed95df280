/*
 * mdr_neutralise.h - the acid that answers the alkali a rope carries along.
 *
 * Layer: core/bath (pure). Counted in equivalents (mol of H+ or of what takes it up), as if
 * nothing had been used up and everything reacted: an upper estimate, to be checked by titration.
 * Methods: docs/methods/amounts.md#neutralise-need
 * Source: stoichiometry; equivalents per kg from mdr_strength.h
 */
#ifndef MDR_NEUTRALISE_H
#define MDR_NEUTRALISE_H

/* Equivalents in a liquor: g/L of a substance with this many equivalents per kg. */
double mdr_neutralise_carried_mol(double liquor_l, double conc_g_per_l, double mol_per_kg);
/* Equivalents of alkali left when acid was carried along too; never below 0 (acid in excess
 * needs no acid). */
double mdr_neutralise_open_mol(double alkali_mol, double acid_mol);
/* Acid (100 %) that takes up this much alkali, kg; acid_mol_per_kg > 0. */
double mdr_neutralise_acid_kg(double alkali_mol, double acid_mol_per_kg);

#endif
