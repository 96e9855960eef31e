/* role.c - roles and their words. */
#include "cards/role.h"

#include <string.h>

#include "base/memory.h"
#include "base/text.h"

static const char *const role_names[] = {
    [ROLE_NONE] = "", [ROLE_ENABLER] = "enabler", [ROLE_PAYOFF] = "payoff", [ROLE_BOTH] = "both"};

const char *role_name(Role role)
{
    return role_names[role];
}

bool role_is_enabler(Role role)
{
    return role == ROLE_ENABLER || role == ROLE_BOTH;
}

bool role_is_payoff(Role role)
{
    return role == ROLE_PAYOFF || role == ROLE_BOTH;
}

Role role_named(const char *word)
{
    Role found = ROLE_NONE;
    char *folded = text_fold(word);
    for (Role role = ROLE_ENABLER; role <= ROLE_BOTH; role++)
        if (strcmp(folded, role_names[role]) == 0)
            found = role;
    mem_free(folded);
    return found;
}
