/*
 * mdr_app_new.h - what fills the demo mill besides its tables. Layer: app, inside only.
 */
#ifndef MDR_APP_NEW_H
#define MDR_APP_NEW_H

#include "app/mdr_app.h"

/* Readings of the samples in table lab_sample, within the transaction that is open. */
mdr_code mdr_app_demo_readings(mdr_app *app, mdr_arena *arena, mdr_err *err) MDR_MUST_CHECK;

#endif
