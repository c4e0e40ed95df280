/* madder - the workbench. Everything is in cli/. */
#include "cli/mdr_cli.h"

int main(int argc, char **argv)
{
    return mdr_cli_main(argc, argv);
}
