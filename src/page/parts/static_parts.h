/* static_parts.h - the parts of the page that are readable without scripts, one file each. They only count and write;
 * what they count is in the answers. */
#ifndef POOLWRIGHT_PAGE_PARTS_STATIC_PARTS_H
#define POOLWRIGHT_PAGE_PARTS_STATIC_PARTS_H

#include "page/data.h"
#include "page/html.h"

/* ---- words ---- */

/* A spot and a name for each colour: "brass+tar". */
void colours_words(const PageData *data, const char *colours, Text *out);
/* A card's name, and how many copies where there are several. */
void card_words(const char *name, int64_t copies, Text *out);
/* Names of a list of cards ({"name", "copies"}), with semicolons between; "none". */
void cards_words(const json_t *list, Text *out);
/* A row for the card: its name with its copies, its colours. More cells and row_end follow. */
void card_row_begin(const PageData *data, const PoolCard *card, Text *out);
/* The two alone: a row with the card's name; a cell with its colours. */
void card_row_name(const PoolCard *card, Text *out);
void card_colours_cell(const PageData *data, const PoolCard *card, Text *out);
void cost_cell(const PoolCard *card, Text *out); /* empty where it has none */
/* "1.7", "1.7 to 2.35", "at least 3". */
void range_words(const json_t *range, Text *out);
/* "mono cards (brass)". */
void limit_name_words(const json_t *limit, Text *out);
/* Which of the many files and lines said it: "four-360.yaml:43". */
void source_words(const json_t *limit, Text *out);
/* "1 card", "3 cards". */
void count_words(int64_t number, const char *one, Text *out);
/* "+1.5", "-0.22" with a true minus. */
void signed_words(double number, Text *out);

/* ---- pictures: SVG with a title; the table behind it is the caller's ---- */

/* How many cards at each cost. most: of the fullest cost of all such pictures; hue: the colour's place. */
#define NO_HUE 16
void curve_picture(const char *title, const int curve[COSTS_MOST + 1], int highest, int most, int hue, Text *out);
/* A bar within a table's row; of 1. */
void share_picture(double share, Text *out);

typedef struct {
    double cap, fit;
    bool knee;
} PlottedCap;

/* Fit against the cap: point[count], at least one, ascending; here: the pool of the page, NULL: none. */
void frontier_picture(const char *title, const PlottedCap *point, size_t count, const PlottedCap *here, Text *out);

/* What seats see of some cards of a theme. */
typedef struct {
    const char *name;
    int copies, sure; /* in the pool; of them so many at least see nine seats of ten */
    double mean;      /* that pass a seat */
} SeenRow;

/* A bar for each theme: full up to `sure`, lighter up to the mean; what one drafter needs, and what two need. */
void seen_picture(const char *title, const SeenRow *row, size_t count, int need, Text *out);

/* ---- parts ---- */

/* part_first.c: one sentence, or why there is no pool; since last time; wishes; money. */
void first_part(PageData *data, Text *out);
void wishes_part(const PageData *data, Text *out);
void money_part(const PageData *data, Text *out);
/* part_themes.c: themes, theme by colour, colours and curves, places and engines. */
void themes_part(PageData *data, Text *out);
void colours_part(const PageData *data, Text *out);
void structure_part(const PageData *data, Text *out);
/* part_seats.c: what the drafter of each theme sees, which one will be short, of what. */
void seats_part(const PageData *data, Text *out);
/* part_limits.c */
void limits_part(const PageData *data, Text *out);
/* part_cases.c: the frontier, cases side by side, changes against the present pool. */
void frontier_part(const PageData *data, Text *out);
void cases_part(const PageData *data, Text *out);
void changes_part(const PageData *data, Text *out);
/* part_list.c: what to buy; the whole list with texts. */
void shopping_part(const PageData *data, Text *out);
void list_part(const PageData *data, Text *out);

#endif
