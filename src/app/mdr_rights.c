#include "app/mdr_rights.h"

#include <stddef.h>

typedef struct action_row {
    const char *id, *words;
    uint32_t roles;
} action_row;

static const action_row ACTIONS[] = {[MDR_ACT_NONE] = {"none", "nobody may", 0},
                                     [MDR_ACT_OPEN] = {"open", "anybody may", 0},
                                     [MDR_ACT_SELF] = {"self", "anybody who is signed in may", 0},
#define X(member, id, roles, words) [member] = {id, words, roles},
                                     MDR_ACTIONS(X)
#undef X
};

static const action_row *row_of(mdr_action action)
{
    return &ACTIONS[(unsigned)action < MDR_ACT_END ? action : MDR_ACT_NONE];
}

const char *mdr_action_id(mdr_action action)
{
    return row_of(action)->id;
}

const char *mdr_action_words(mdr_action action)
{
    return row_of(action)->words;
}

uint32_t mdr_action_roles(mdr_action action)
{
    return row_of(action)->roles;
}

bool mdr_roles_may(uint32_t roles, mdr_action action)
{
    return (roles & mdr_action_roles(action)) != 0;
}

uint32_t mdr_roles_of_pin(void)
{
    return MDR_R_O | MDR_R_W | MDR_R_L;
}

/* Minutes. Short for those who decide and change who may what, a shift for those at machines, whose
 * screens lock instead: common practice, to be tried on the floor. */
typedef struct minutes {
    int idle, lock;
} minutes;
static const minutes MINUTES[MDR_ROLE_COUNT] = {
    [MDR_ROLE_TECHNOLOGIST] = {60, 0}, [MDR_ROLE_LAB] = {120, 15},
    [MDR_ROLE_WEIGH_ROOM] = {720, 10}, [MDR_ROLE_OPERATOR] = {720, 10},
    [MDR_ROLE_FINISHER] = {720, 10},   [MDR_ROLE_PLANNER] = {60, 0},
    [MDR_ROLE_QUALITY] = {15, 0},      [MDR_ROLE_MANAGER] = {15, 0},
};

mdr_session_times mdr_roles_times(uint32_t roles)
{
    enum { MS_PER_MIN = 60000, MOST_MIN = 720 };
    int idle = MOST_MIN, lock = 0;
    for (int i = 0; i < MDR_ROLE_COUNT; i++) {
        if ((roles & MDR_ROLE_BIT(i)) == 0) {
            continue;
        }
        idle = MINUTES[i].idle < idle ? MINUTES[i].idle : idle;
        if (MINUTES[i].lock > 0 && (lock == 0 || MINUTES[i].lock < lock)) {
            lock = MINUTES[i].lock;
        }
    }
    return (mdr_session_times){.idle_ms = (int64_t)idle * MS_PER_MIN,
                               .lock_ms = (int64_t)lock * MS_PER_MIN,
                               .most_ms = (int64_t)MOST_MIN * MS_PER_MIN};
}
