/* What a bath does. */
#include "cli/mdr_cmd_bath.h"

#include <stdio.h>

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

static void notes(void)
{
    (void)puts("\nQuestions, and what each needs at least:\n"
               "  ph            --temp and what is in the bath: pH hot and of the cooled sample\n"
               "  dose          --temp --dose --amount: pH while alkali or acid runs in\n"
               "  probe         --temp --reading --unknown: how much there is, pH in the bath\n"
               "  same-ph       --temp --soda --mixed-soda: caustic that makes up for less soda\n"
               "  neutralise    --temp --liquor --acid: acid, and what too much of it does\n"
               "  titrate       --kind --sample --titrant --normality: what the burette says\n"
               "  hardness      --calcium --magnesium --ratio: hardness, sequestrant\n"
               "  salt          --from --to --amount: one salt in place of another\n"
               "  vat           --temp --dye --caustic --dithionite --minutes --machine\n"
               "                --load --liquor\n"
               "  rinse         as `madder rinse`\n"
               "Example:  madder bath ph --temp 60 --soda 20 --sulphate 50");
}

static const char *first(int i)
{
    return i < MDR_ASK_COUNT ? PLACES[i] : NULL;
}

const mdr_command_more mdr_bath_more = {notes, first};

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
