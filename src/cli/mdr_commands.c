#include <string.h>

#include "cli/mdr_cmd.h"
#include "cli/mdr_cmd_bath.h"
#include "cli/mdr_cmd_fabric.h"
#include "cli/mdr_cmd_footprint.h"

#define MILL  MDR_OPT_BIT(MDR_OPT_MILL)
#define FORCE MDR_OPT_BIT(MDR_OPT_FORCE)
#define OUT   MDR_OPT_BIT(MDR_OPT_OUT)
#define WHAT_IF                                                                              \
    (MDR_OPT_BIT(MDR_OPT_LOAD) | MDR_OPT_BIT(MDR_OPT_RATIO) | MDR_OPT_BIT(MDR_OPT_MACHINE) | \
     MDR_OPT_BIT(MDR_OPT_ROUTE) | MDR_OPT_BIT(MDR_OPT_SPEED) | MDR_OPT_BIT(MDR_OPT_TUBES))

#define NO_OWN NULL, 0

/* In the order in which a newcomer meets them. */
const mdr_command mdr_commands[] = {
    {"new", "FILE", "make a new mill file", 1, 1, MDR_OPT_BIT(MDR_OPT_DEMO), mdr_cmd_new, NO_OWN},
    {"lots", "", "list the lots", 0, 0, MILL, mdr_cmd_lots, NO_OWN},
    {"orders", "", "list the orders", 0, 0, MILL, mdr_cmd_orders, NO_OWN},
    {"machines", "", "list the machines", 0, 0, MILL, mdr_cmd_machines, NO_OWN},
    {"routes", "", "list the routes", 0, 0, MILL, mdr_cmd_routes, NO_OWN},
    {"plan", "LOT", "plan a lot: baths, amounts, times, warnings", 1, 1, MILL | WHAT_IF,
     mdr_cmd_plan, NO_OWN},
    {"why", "LOT FIGURE", "show what a number of the plan comes from", 2, 2, MILL, mdr_cmd_why,
     NO_OWN},
    {"footprint", "LOT", "show what a lot takes and gives off, also against another route", 1, 1,
     MILL, mdr_cmd_footprint, mdr_footprint_options, MDR_FOOTPRINT_ASK_ALL},
    {"card", "LOT", "write the batch card (PDF)", 1, 1, MILL | OUT | FORCE, mdr_cmd_card, NO_OWN},
    {"slips", "LOT", "write the weigh slips (PDF)", 1, 1,
     MILL | OUT | FORCE | MDR_OPT_BIT(MDR_OPT_BATH), mdr_cmd_slips, NO_OWN},
    {"advise", "ORDER", "split an order into lots over the machines", 1, 1, MILL, mdr_cmd_advise,
     NO_OWN},
    {"bath", "QUESTION", "pH, alkali, acid, titration, hardness, salt, vat: what a bath does", 1, 1,
     0, mdr_cmd_bath, mdr_bath_options, MDR_BATH_ASK_ALL},
    {"rinse", "", "how many fills or how long an overflow a rinse takes", 0, 0, 0, mdr_cmd_rinse,
     mdr_bath_options, MDR_BATH_ASK_RINSE},
    {"fabric", "QUESTION", "can a specification be met: width, weight, shrinkage", 1, 1, 0,
     mdr_cmd_fabric, mdr_fabric_options, MDR_FABRIC_ASK_ALL},
    {"check", "", "find what is inconsistent in the mill", 0, 0, MILL, mdr_cmd_check, NO_OWN},
    {"import", "TABLE FILE", "read a table (CSV) or `route` (JSON); - reads standard input", 2, 2,
     MILL, mdr_cmd_import, NO_OWN},
    {"export", "TABLE [FILE] | route ID [FILE]", "write a table (CSV) or a route (JSON)", 1, 3,
     MILL | FORCE, mdr_cmd_export, NO_OWN},
    {"serve", "", "serve the app to a browser", 0, 0,
     MILL | MDR_OPT_BIT(MDR_OPT_PORT) | MDR_OPT_BIT(MDR_OPT_HOST), mdr_cmd_serve, NO_OWN},
    {"version", "", "print the version", 0, 0, 0, mdr_cmd_version, NO_OWN},
    {"help", "[COMMAND]", "explain a command", 0, 1, 0, mdr_cmd_help, NO_OWN},
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
