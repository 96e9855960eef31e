/* deck_plan.h - a pool and what a good deck is, as tests read them: cards, rules and the rows that they come to. Shares
 * no code with src/. */
#ifndef POOLWRIGHT_SUPPORT_DECK_PLAN_H
#define POOLWRIGHT_SUPPORT_DECK_PLAN_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

enum { CARDS_MOST = 500, COLOURS_MOST = 4, RULES_MOST = 9, THEMES_MOST = 12 };

typedef struct {
    char name[120];
    unsigned part[COLOURS_MOST]; /* each must be paid by one of its colours */
    int parts, copies;
    bool crew, port, removal, has_cost;
    int cost, power;                            /* thousandths */
    int role[THEMES_MOST], weight[THEMES_MOST]; /* role: 0 none, 1 enabler, 2 payoff, 3 both; weight 0: no tag */
} TestCard;

typedef enum { ANY, CREW, PORT, REMOVAL, EARLY, LATE, ENABLERS, PAYOFFS, MONO } What;
typedef enum { COUNT, COST_SUM, COST_AVERAGE, POWER_SUM } How;

typedef struct {
    What what;
    How how;
    bool has_low, has_high;
    int low, high; /* copies; thousandths for the rest */
} TestRule;

typedef struct {
    int cards, colours, themes, rules, size, unscored;
    TestCard card[CARDS_MOST];
    const char *colour[COLOURS_MOST];
    const char *theme[THEMES_MOST];
    unsigned theme_colours[THEMES_MOST];
    int theme_weight[THEMES_MOST]; /* thousandths */
    TestRule rule[RULES_MOST];
} TestPool;

/* One row of a deck: what a copy adds, and its sides. */
typedef struct {
    bool has_low, has_high;
    int64_t low, high, unit;
    int64_t add[CARDS_MOST], add_high[CARDS_MOST]; /* of an average the two sides add differently */
    int rule;                                      /* -1: the size */
} Row;

bool deck_playable(const TestCard *card, unsigned mask);
/* In thousandths, rounded once, half away from zero. theme -1: of every theme with no colour beyond the mask. */
int64_t deck_worth_of(const TestPool *pool, const TestCard *card, unsigned mask, int theme);
/* The size's row, then those of the rules that hold in such a deck; how many. row[RULES_MOST * COLOURS_MOST + 1]. */
int deck_rows(const TestPool *pool, unsigned mask, int theme, Row *row);
/* The colours that are named in the text; the theme's number, -1 none. */
unsigned deck_mask(const TestPool *pool, const char *colours);
int deck_theme(const TestPool *pool, const char *name);
/* The rule as a line of a model. */
void deck_write_rule(FILE *to, const TestRule *rule, int r);

#endif
