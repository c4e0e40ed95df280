#include <string.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_cmd_bath.h"
#include "cli/mdr_cmd_colour.h"
#include "cli/mdr_cmd_fabric.h"
#include "cli/mdr_cmd_finish.h"
#include "cli/mdr_cmd_footprint.h"
#include "cli/mdr_cmd_hold.h"
#include "cli/mdr_cmd_lab.h"
#include "cli/mdr_cmd_learn.h"
#include "cli/mdr_cmd_line.h"
#include "cli/mdr_cmd_people.h"
#include "cli/mdr_cmd_recipe.h"
#include "cli/mdr_cmd_record.h"
#include "cli/mdr_cmd_simulate.h"
#include "cli/mdr_cmd_weigh.h"

#define MILL  MDR_OPT_BIT(MDR_OPT_MILL)
#define FORCE MDR_OPT_BIT(MDR_OPT_FORCE)
#define OUT   MDR_OPT_BIT(MDR_OPT_OUT)
#define WHAT_IF                                                                              \
    (MDR_OPT_BIT(MDR_OPT_LOAD) | MDR_OPT_BIT(MDR_OPT_RATIO) | MDR_OPT_BIT(MDR_OPT_MACHINE) | \
     MDR_OPT_BIT(MDR_OPT_ROUTE) | MDR_OPT_BIT(MDR_OPT_SPEED) | MDR_OPT_BIT(MDR_OPT_TUBES))

/* In the order in which a newcomer meets them. */
const mdr_command mdr_commands[] = {
    {"new", "FILE", "make a new mill file", 1, 1, MDR_OPT_BIT(MDR_OPT_DEMO), 0, mdr_cmd_new, NULL,
     NULL},
    {"lots", "", "list the lots", 0, 0, MILL, 0, mdr_cmd_lots, NULL, NULL},
    {"orders", "", "list the orders", 0, 0, MILL, 0, mdr_cmd_orders, NULL, NULL},
    {"machines", "", "list the machines", 0, 0, MILL, 0, mdr_cmd_machines, NULL, NULL},
    {"routes", "", "list the routes", 0, 0, MILL, 0, mdr_cmd_routes, NULL, NULL},
    {"plan", "LOT", "plan a lot: baths, amounts, times, warnings", 1, 1, MILL | WHAT_IF, 0,
     mdr_cmd_plan, NULL, NULL},
    {"simulate", "LOT", "the dyeing minute by minute: uptake, strike, levelness, what if", 1, 1,
     MILL | WHAT_IF | MDR_OPT_BIT(MDR_OPT_BATH), MDR_SIMULATE_ASK_ALL, mdr_cmd_simulate,
     mdr_simulate_options, NULL},
    {"shorten", "LOT", "find the shortest dyeing that stays safe, and what keeps each step", 1, 1,
     MILL | WHAT_IF | MDR_OPT_BIT(MDR_OPT_BATH), MDR_SHORTEN_ASK_ALL, mdr_cmd_shorten,
     mdr_simulate_options, NULL},
    {"why", "LOT FIGURE", "show where a number of the plan comes from", 2, 2, MILL, 0, mdr_cmd_why,
     NULL, NULL},
    {"footprint", "LOT", "show what a lot consumes and discharges, also against another route", 1,
     1, MILL, MDR_FOOTPRINT_ASK_ALL, mdr_cmd_footprint, mdr_footprint_options, NULL},
    {"card", "LOT", "write the batch card (PDF)", 1, 1, MILL | OUT | FORCE, 0, mdr_cmd_card, NULL,
     NULL},
    {"finish", "LOT", "show how to set the finishing line, also from readings", 1, 1, MILL,
     MDR_FINISH_ASK_ALL, mdr_cmd_finish, mdr_finish_options, NULL},
    {"settings", "LOT", "write the setting sheet of the finishing line (PDF)", 1, 1,
     MILL | OUT | FORCE, 0, mdr_cmd_settings, NULL, NULL},
    {"slips", "LOT", "write the weigh slips (PDF)", 1, 1,
     MILL | OUT | FORCE | MDR_OPT_BIT(MDR_OPT_BATH), 0, mdr_cmd_slips, NULL, NULL},
    {"advise", "ORDER", "split an order into lots over the machines", 1, 1, MILL, 0, mdr_cmd_advise,
     NULL, NULL},
    {"dye", "DYE", "what a dye does in the bath: rates, how well known, a course", 1, 1, MILL, 0,
     mdr_cmd_dye, NULL, NULL},
    {"bath", "QUESTION", "pH, alkali, acid, titration, hardness, salt, vat: what a bath does", 1, 1,
     0, MDR_BATH_ASK_ALL, mdr_cmd_bath, mdr_bath_options, &mdr_bath_more},
    {"rinse", "", "how many fills or how long an overflow a rinse takes", 0, 0, 0,
     MDR_BATH_ASK_RINSE, mdr_cmd_rinse, mdr_bath_options, NULL},
    {"hold", "", "a reading at a hold point: go on, correct or stop; what to give now", 0, 0, 0,
     MDR_HOLD_ASK_ALL, mdr_cmd_hold, mdr_hold_options, &mdr_hold_more},
    {"colour", "QUESTION [FILE [FILE]]", "measured samples: colour, difference, whiteness, rolls",
     1, 3, 0, MDR_COLOUR_ASK_ALL, mdr_cmd_colour, mdr_colour_options, &mdr_colour_more},
    {"fabric", "QUESTION", "can a specification be met: width, weight, shrinkage", 1, 1, 0,
     MDR_FABRIC_ASK_ALL, mdr_cmd_fabric, mdr_fabric_options, &mdr_fabric_more},
    {"line", "QUESTION", "set the finishing line, dry, pad; results, inspection, grey need", 1, 1,
     0, MDR_LINE_ASK_ALL, mdr_cmd_line, mdr_line_options, &mdr_line_more},
    {"recipe", "QUESTION", "from measured samples to recipes, corrections, laboratory dyeings", 1,
     1, MILL | FORCE, MDR_RECIPE_ASK_ALL, mdr_cmd_recipe, mdr_recipe_options, &mdr_recipe_more},
    {"lab", "WORK [FILE] | WORK DIP | WORK SHADE",
     "samples, dips and recipes of the mill's laboratory", 1, 2, MILL, MDR_LAB_ASK_ALL, mdr_cmd_lab,
     mdr_lab_options, &mdr_lab_more},
    {"learn", "", "right first time, control charts, laboratory to bulk: what the lots teach", 0, 0,
     MILL, MDR_LEARN_ASK_ALL, mdr_cmd_learn, mdr_learn_options, NULL},
    {"batches", "", "list the batches under way", 0, 0, MILL, 0, mdr_cmd_batches, NULL, NULL},
    {"report", "BATCH", "write the lot report (PDF): done beside planned", 1, 1, MILL | OUT | FORCE,
     0, mdr_cmd_report, NULL, NULL},
    {"record", "[FILE]", "write every entry, one a line: JSON or CSV", 0, 1, MILL | FORCE, 1,
     mdr_cmd_record, mdr_record_options, NULL},
    {"verify", "", "check that nobody changed the record of the batches", 0, 0, MILL, 0,
     mdr_cmd_verify, NULL, NULL},
    {"backup", "FILE", "copy the mill, even while it is served, and check the copy", 1, 1, MILL, 0,
     mdr_cmd_backup, NULL, NULL},
    {"weigh", "WORK [MATERIAL | TEXT | BATCH]", "what is to be weighed; judge, scan, print labels",
     1, 2, MILL | OUT | FORCE, MDR_WEIGH_ASK_ALL, mdr_cmd_weigh, mdr_weigh_options,
     &mdr_weigh_more},
    {"check", "", "find what is inconsistent in the mill", 0, 0, MILL, 0, mdr_cmd_check, NULL,
     NULL},
    {"import", "TABLE FILE", "read a table (CSV) or `route` (JSON); - reads standard input", 2, 2,
     MILL, 0, mdr_cmd_import, NULL, &mdr_tables_more},
    {"export", "TABLE [FILE] | route ID [FILE]", "write a table (CSV) or a route (JSON)", 1, 3,
     MILL | FORCE, 0, mdr_cmd_export, NULL, &mdr_tables_more},
    {"serve", "", "serve the app to a browser", 0, 0,
     MILL | MDR_OPT_BIT(MDR_OPT_PORT) | MDR_OPT_BIT(MDR_OPT_HOST), 1, mdr_cmd_serve,
     mdr_serve_options, NULL},
    {"people", "WORK [PERSON]", "who signs in, and as what: roles, passwords, badges", 1, 2, MILL,
     MDR_PEOPLE_ALL, mdr_cmd_people, mdr_people_options, &mdr_people_more},
    {"tls", "init DIR", "make a certificate for serving on the mill's network", 2, 2, 0, 1,
     mdr_cmd_tls, mdr_tls_options, NULL},
    {"version", "", "print the version", 0, 0, 0, 0, mdr_cmd_version, NULL, NULL},
    {"help", "[COMMAND]", "explain a command", 0, 1, 0, 1, mdr_cmd_help, mdr_help_options,
     &mdr_help_more},
};
const int mdr_commands_count = (int)(sizeof mdr_commands / sizeof mdr_commands[0]);

const mdr_command *mdr_command_find(const char *name)
{
    for (int i = 0; i < mdr_commands_count; i++) {
        if (strcmp(mdr_commands[i].name, name) == 0) {
            return &mdr_commands[i];
        }
    }
    return NULL;
}

const char *mdr_command_near(const char *typed)
{
    const char *best = NULL;
    int least = 3; /* more than two typing errors is another word */
    for (int i = 0; i < mdr_commands_count; i++) {
        const int d = mdr_word_distance(typed, mdr_commands[i].name);
        if (d < least) {
            least = d;
            best = mdr_commands[i].name;
        }
    }
    return best;
}
