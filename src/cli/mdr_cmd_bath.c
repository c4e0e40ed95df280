/* What a bath does. */
#include "cli/mdr_cmd_bath.h"

#include "app/mdr_app_bath.h"
#include "cli/mdr_cmd_ask.h"

static const char *const PLACES[MDR_ASK_COUNT] = {
    [MDR_ASK_PH] = "ph",
    [MDR_ASK_DOSE] = "dose",
    [MDR_ASK_PROBE] = "probe",
    [MDR_ASK_SAME_PH] = "same_ph",
    [MDR_ASK_NEUTRALISE] = "neutralise",
    [MDR_ASK_TITRATE] = "titrate",
    [MDR_ASK_HARDNESS] = "hardness",
    [MDR_ASK_SALT] = "salt",
    [MDR_ASK_VAT] = "vat",
    [MDR_ASK_RINSE] = "rinse",
};

static const mdr_ask_desk DESK = {.command = "bath",
                                  .places = PLACES,
                                  .n_places = MDR_ASK_COUNT,
                                  .options = mdr_bath_options,
                                  .answer = mdr_app_bath,
                                  .json = mdr_app_bath_json};

int mdr_cmd_bath(mdr_cli *c)
{
    return mdr_cmd_ask_named(c, &DESK);
}

int mdr_cmd_rinse(mdr_cli *c)
{
    return mdr_cmd_ask(c, &DESK, MDR_ASK_RINSE);
}
