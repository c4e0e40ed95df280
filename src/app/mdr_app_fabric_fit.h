/*
 * mdr_app_fabric_fit.h - the fabric desk's question "constants". Layer: app, inside.
 */
#ifndef MDR_APP_FABRIC_FIT_H
#define MDR_APP_FABRIC_FIT_H

#include "app/mdr_desk.h"
#include "wire/mdr_fabric_ask.h"

/* errors: MDR_E_RANGE a sample outside what is known (place "samples[i].field"); MDR_E_NOMEM */
mdr_code mdr_fabric_fit(mdr_desk *d, const mdr_fabric_ask *q, mdr_err *err) MDR_MUST_CHECK;

#endif
