#include "cli/mdr_cmd_bath.h"

int mdr_cmd_rinse(mdr_cli *c)
{
    return mdr_cmd_bath_ask(c, MDR_ASK_RINSE);
}
