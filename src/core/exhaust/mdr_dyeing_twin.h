/*
 * mdr_dyeing_twin.h - second names for what is compiled twice; for the files of this folder only.
 *
 * Layer: core/exhaust (pure).
 *
 * The way of a slice (mdr_dyeing_run_base and all below it) is compiled for every processor and, where the
 * build can, once more for one with AVX2: mdr_dyeing_run takes the one that the machine has. Nothing is
 * contracted or reordered: both give the same bits (test_dyeing_twin).
 */
#ifndef MDR_DYEING_TWIN_H
#define MDR_DYEING_TWIN_H

#ifdef MDR_DYEING_WIDE
#define mdr_dyeing_run_base   mdr_dyeing_run_wide
#define mdr_drift_lost        mdr_drift_lost_wide
#define mdr_drift_heat_make   mdr_drift_heat_make_wide
#define mdr_drift_make        mdr_drift_make_wide
#define mdr_slice_tables      mdr_slice_tables_wide
#define mdr_slice_zone_tables mdr_slice_zone_tables_wide
#define mdr_slice_climate     mdr_slice_climate_wide
#define mdr_slice_pace        mdr_slice_pace_wide
#define mdr_slice_charge      mdr_slice_charge_wide
#define mdr_slice_partitions  mdr_slice_partitions_wide
#define mdr_slice_middle      mdr_slice_middle_wide
#define mdr_run_make          mdr_run_make_wide
#define mdr_run_alone         mdr_run_alone_wide
#define mdr_run_look          mdr_run_look_wide
#define mdr_run_store         mdr_run_store_wide
#define mdr_run_on_fibre      mdr_run_on_fibre_wide
#define mdr_run_events        mdr_run_events_wide
#define mdr_run_to            mdr_run_to_wide
#define mdr_watch_way         mdr_watch_way_wide
#define mdr_watch_still       mdr_watch_still_wide
#define mdr_watch_come        mdr_watch_come_wide
#define mdr_watch_go          mdr_watch_go_wide
#define mdr_watch_end         mdr_watch_end_wide
#endif

#endif
