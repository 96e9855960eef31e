/* role.h - what a card is to a theme: makes it happen, rewards it, or both. */
#ifndef POOLWRIGHT_CARDS_ROLE_H
#define POOLWRIGHT_CARDS_ROLE_H

#include <stdbool.h>

typedef enum { ROLE_NONE, ROLE_ENABLER, ROLE_PAYOFF, ROLE_BOTH } Role;
const char *role_name(Role role);  /* "", "enabler", "payoff", "both" */
Role role_named(const char *word); /* ROLE_NONE when the word is no role */
bool role_is_enabler(Role role);   /* enabler or both */
bool role_is_payoff(Role role);

#endif
