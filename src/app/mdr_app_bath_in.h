/*
 * mdr_app_bath_in.h - how the answers about a bath are put together. Layer: app, inside only.
 */
#ifndef MDR_APP_BATH_IN_H
#define MDR_APP_BATH_IN_H

#include "app/mdr_app_bath.h"
#include "app/mdr_desk.h"
#include "wire/mdr_bath_ask.h"

/* What answers rest on. Order of the table in mdr_app_bath_why.c. */
typedef enum mdr_bath_why {
    MDR_WHY_PH,
    MDR_WHY_ACTIVITY,
    MDR_WHY_UNCERTAINTY,
    MDR_WHY_NEED,
    MDR_WHY_CURVE,
    MDR_WHY_DELIVERED,
    MDR_WHY_EQUIVALENTS,
    MDR_WHY_PEROXIDE,
    MDR_WHY_HOLD_POINT,
    MDR_WHY_CATALASE,
    MDR_WHY_ALKALI,
    MDR_WHY_TWO_ALKALIS,
    MDR_WHY_DITHIONITE,
    MDR_WHY_SALT_TITRE,
    MDR_WHY_ACID,
    MDR_WHY_COTTON,
    MDR_WHY_HARDNESS,
    MDR_WHY_FREE,
    MDR_WHY_SEQUESTRANT,
    MDR_WHY_SWAP,
    MDR_WHY_IONS,
    MDR_WHY_OXYGEN,
    MDR_WHY_VAT_DYE,
    MDR_WHY_AIR,
    MDR_WHY_DECAY,
    MDR_WHY_RESERVE,
    MDR_WHY_BUDGET,
    MDR_WHY_OXIDANT,
    MDR_WHY_FILL_DRAIN,
    MDR_WHY_OVERFLOW,
    MDR_WHY_COUNT
} mdr_bath_why;

/* A question and its answer in the making. */
typedef struct mdr_bath_desk {
    mdr_desk desk;
    const mdr_bath_ask *q;
} mdr_bath_desk;

void mdr_bath_because(mdr_bath_desk *d, mdr_bath_why why);

/* One a question. */
typedef mdr_code mdr_bath_answer(mdr_bath_desk *d, mdr_err *err);
mdr_bath_answer mdr_answer_ph, mdr_answer_dose, mdr_answer_probe, mdr_answer_same_ph,
    mdr_answer_neutralise, mdr_answer_titrate, mdr_answer_hardness, mdr_answer_salt, mdr_answer_vat,
    mdr_answer_rinse;

#endif
