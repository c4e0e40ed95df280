/*
 * mdr_run_report.h - what was done to a lot beside what was planned: times, temperatures, amounts,
 * readings, remedies, interruptions, cost and water, and whether it was right first time or why not.
 *
 * Layer: core/run (pure). Made from a batch and its events; nothing is stored.
 * Methods: docs/methods/record.md#lot-report
 */
#ifndef MDR_RUN_REPORT_H
#define MDR_RUN_REPORT_H

#include "core/run/mdr_batch.h"

/* Where the actual heat of a step is from. */
typedef enum mdr_heat_from {
    MDR_HEAT_FROM_NOTHING, /* it takes no steam, or has not been run */
    MDR_HEAT_FROM_PLAN,    /* run, and nobody recorded how hot it became */
    MDR_HEAT_FROM_RECORD   /* its end was recorded */
} mdr_heat_from;
/* "record", "plan"; NULL: nothing. */
const char *mdr_heat_from_id(mdr_heat_from k);

/* One step. */
typedef struct mdr_report_step {
    const mdr_batch_step *step;
    double actual_min;
    double temp_begun_c, temp_ended_c; /* as recorded, or as corrected */
    double planned_steam_kg, actual_steam_kg;
    mdr_heat_from heat_from;
    bool timed; /* begun and ended */
    bool has_temp_begun, has_temp_ended;
} mdr_report_step;

/* One material of one dose. */
typedef struct mdr_report_item {
    const mdr_batch_step *step;
    const mdr_control_item *asked;
    const mdr_batch_item *done;
    int number;     /* 1.. in the step */
    double off_pct; /* weighed from asked, % of asked; 0 while not weighed */
    int weighings;  /* how often it was weighed */
} mdr_report_item;

/* One reading. */
typedef struct mdr_report_reading {
    const mdr_event *event;
    const mdr_control_check *check;
    double value; /* as corrected in time, see `corrected` */
    bool inside, corrected;
    const mdr_event *decision; /* newest on it, or NULL */
} mdr_report_reading;

/* Why a batch is not right first time: X(enumerator, id, words) */
#define MDR_NOT_FIRSTS(X)                                                              \
    X(MDR_NOT_FIRST_REMEDY, "remedy", "a remedy was needed")                           \
    X(MDR_NOT_FIRST_ACCEPTED, "accepted", "a reading outside its limits was accepted") \
    X(MDR_NOT_FIRST_REJECTED, "rejected", "the batch was rejected")                    \
    X(MDR_NOT_FIRST_STOPPED, "stopped", "the batch was stopped")                       \
    X(MDR_NOT_FIRST_OPEN, "open", "the batch is not over")
typedef enum mdr_not_first { MDR_NOT_FIRSTS(MDR_ENUM_MEMBER) MDR_NOT_FIRST_COUNT } mdr_not_first;
const char *mdr_not_first_id(mdr_not_first k);
const char *mdr_not_first_words(mdr_not_first k);

typedef struct mdr_run_report {
    const mdr_batch *batch;
    const mdr_event *events; /* all, in their order */
    int n_events;
    mdr_report_step *steps; /* as many as the batch has */
    mdr_report_item *items;
    int n_items;
    mdr_report_reading *readings;
    int n_readings;
    double planned_min, actual_min,
        interrupted_min;           /* actual: begun to ended, or to the newest event */
    double planned_kg, weighed_kg; /* of everything to be weighed */
    double planned_products_minor, actual_products_minor;
    bool all_priced; /* else products without a price are left out of both */
    double planned_water_l, actual_water_l;
    bool has_steam; /* else the control recipe is of before what it takes was frozen */
    double planned_steam_kg, actual_steam_kg;
    double planned_heat_mj, actual_heat_mj;
    int n_heating, n_heat_recorded; /* steps run that took steam; of them with their end recorded */
    int n_watering, n_water_run;    /* fills and rinses of the plan; of them run */
    bool right_first;
    unsigned not_first; /* why not: a bit each, 1u << mdr_not_first */
} mdr_run_report;

/* `events` are all of the batch, from its first. errors: MDR_E_NOMEM */
mdr_code mdr_run_report_make(const mdr_batch *batch, const mdr_event *events, int n_events,
                             mdr_arena *arena, const mdr_run_report **out,
                             mdr_err *err) MDR_MUST_CHECK;

#endif
