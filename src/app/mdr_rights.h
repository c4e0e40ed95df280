/*
 * mdr_rights.h - who may do what: one table, an action a row.
 *
 * Layer: app. What is in no row, nobody may. The server asks it before a handler runs; docs/people.md
 * shows the table (a test compares).
 */
#ifndef MDR_RIGHTS_H
#define MDR_RIGHTS_H

#include <stdbool.h>
#include <stdint.h>

#include "mill/mdr_people.h"

#define MDR_R_T MDR_ROLE_BIT(MDR_ROLE_TECHNOLOGIST)
#define MDR_R_L MDR_ROLE_BIT(MDR_ROLE_LAB)
#define MDR_R_W MDR_ROLE_BIT(MDR_ROLE_WEIGH_ROOM)
#define MDR_R_O MDR_ROLE_BIT(MDR_ROLE_OPERATOR)
#define MDR_R_F MDR_ROLE_BIT(MDR_ROLE_FINISHER)
#define MDR_R_P MDR_ROLE_BIT(MDR_ROLE_PLANNER)
#define MDR_R_Q MDR_ROLE_BIT(MDR_ROLE_QUALITY)
#define MDR_R_M MDR_ROLE_BIT(MDR_ROLE_MANAGER)

/* X(enumerator, id, roles that may, words). The ways of a mill differ: these are common practice. */
#define MDR_ACTIONS(X)                                                                           \
    X(MDR_ACT_READ, "read", MDR_ROLES_ALL, "look at everything, work out without storing")       \
    X(MDR_ACT_PLAN_CHANGE, "plan-change", MDR_R_T | MDR_R_P | MDR_R_M, "change lots")            \
    X(MDR_ACT_ROUTE_CHANGE, "route-change", MDR_R_T | MDR_R_M, "save versions of routes")        \
    X(MDR_ACT_TABLE_IMPORT, "table-import", MDR_R_T | MDR_R_P | MDR_R_M,                         \
      "import tables of the mill")                                                               \
    X(MDR_ACT_LAB_ENTER, "lab-enter", MDR_R_T | MDR_R_L | MDR_R_Q | MDR_R_M,                     \
      "store samples and dips, measure and submit them")                                         \
    X(MDR_ACT_LAB_APPROVE, "lab-approve", MDR_R_T | MDR_R_Q | MDR_R_M,                           \
      "approve and reject dips, set the recipe of a shade")                                      \
    X(MDR_ACT_RUN_START, "run-start", MDR_R_T | MDR_R_O | MDR_R_P | MDR_R_M,                     \
      "begin and end the run of a lot")                                                          \
    X(MDR_ACT_RUN_ENTER, "run-enter", MDR_R_T | MDR_R_L | MDR_R_W | MDR_R_O | MDR_R_F | MDR_R_M, \
      "enter steps, doses, readings")                                                            \
    X(MDR_ACT_RECORD, "record", MDR_ROLES_ALL,                                                   \
      "write remarks into the record of a run; every other entry asks for a right of its own")   \
    X(MDR_ACT_WEIGH, "weigh", MDR_R_T | MDR_R_W | MDR_R_M, "weigh against a slip")               \
    X(MDR_ACT_REMEDY_APPROVE, "remedy-approve", MDR_R_T | MDR_R_Q | MDR_R_M,                     \
      "approve what a lot gets beside its plan")                                                 \
    X(MDR_ACT_RELEASE, "release", MDR_R_Q | MDR_R_M, "release, block and downgrade lots")        \
    X(MDR_ACT_RECORD_EXPORT, "record-export", MDR_R_T | MDR_R_Q | MDR_R_M,                       \
      "take records out as files")                                                               \
    X(MDR_ACT_PEOPLE_CHANGE, "people-change", MDR_R_M, "add people, give roles, end sessions")   \
    X(MDR_ACT_BACKUP, "backup", MDR_R_M, "make backup copies")

/* The first three stand in no table: nobody; anybody, also who is not signed in; anybody who is
 * signed in, also behind a locked screen. */
typedef enum mdr_action {
    MDR_ACT_NONE = 0,
    MDR_ACT_OPEN,
    MDR_ACT_SELF,
#define X(member, id, roles, words) member,
    MDR_ACTIONS(X)
#undef X
        MDR_ACT_END
} mdr_action;

enum { MDR_ACT_FIRST = MDR_ACT_SELF + 1 };

const char *mdr_action_id(mdr_action action); /* "none", "open", "self", or as in the table */
const char *mdr_action_words(mdr_action action);
uint32_t mdr_action_roles(mdr_action action); /* bits; 0 for the first three */
bool mdr_roles_may(uint32_t roles, mdr_action action);

/* Roles that a badge and a PIN are enough for. */
uint32_t mdr_roles_of_pin(void);

/* How long a session of these roles lasts: the shortest of them counts. */
typedef struct mdr_session_times {
    int64_t idle_ms; /* then it ends */
    int64_t lock_ms; /* then the screen locks; 0: never before the end */
    int64_t most_ms; /* then it ends whatever is done */
} mdr_session_times;
mdr_session_times mdr_roles_times(uint32_t roles);

#endif
