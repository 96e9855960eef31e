/* messy.c - see messy.h. Shares no code with src/. */
#include "support/messy.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "support/run.h"
#include "support/tiny.h"

#define CARDS 860

static const char *const colours[] = {"amber", "coal", "moss", "slate"};
static const char *const themes[] = {"kites", "debts", "rails", "harvest", "echoes"};

typedef struct {
    char name[60];
    int colour[2], colours; /* 0 to 2 */
    int cost, power;        /* power in tenths; -1: unknown */
    int price;              /* cents; -1: unknown */
    unsigned themes;        /* a bit for each */
    bool removal;
} MessyCard;

static void make_cards(Dice *dice, MessyCard *card)
{
    static const char *const first[] = {"Iron",   "Old",     "Grey",  "Last",  "Salt",   "Quiet", "Seventh",
                                        "Broken", "Lantern", "North", "Paper", "Copper", "Hollow"},
                             *const second[] = {"Kiln",   "Ferry", "Warden", "Ledger", "Orchard", "Mill",   "Signal",
                                                "Barrow", "Choir", "Tiller", "Quarry", "Beacon",  "Porter", "Mason"},
                             *const third[] = {"of the Fen", "at Dusk", "in Exile", "with a Debt", "by Rail"};
    for (int i = 0; i < CARDS; i++) {
        MessyCard *c = &card[i];
        *c = (MessyCard){
            .cost = dice_roll(dice, 0, 7), .power = dice_roll(dice, 20, 95), .price = dice_roll(dice, 10, 600)};
        snprintf(c->name, sizeof c->name, "%s %s %s", first[i % 13], second[i / 13 % 14], third[i / 182 % 5]);
        c->colours = dice_chance(dice, 8) ? 0 : dice_chance(dice, 78) ? 1 : 2;
        c->colour[0] = dice_roll(dice, 0, 2);
        c->colour[1] = dice_roll(dice, c->colour[0] + 1, 3);
        if (c->colours == 1)
            c->colour[0] = dice_roll(dice, 0, 3);
        c->power = dice_chance(dice, 5) ? -1 : c->power;
        c->price = dice_chance(dice, 4) ? -1 : c->price;
        for (int t = 0; t < 5; t++)
            c->themes |= dice_chance(dice, 30) ? 1u << t : 0;
        c->removal = dice_chance(dice, 12);
    }
}

/* ---- the usual form ---- */

static void add_tags(const MessyCard *c, const char *between, char *out)
{
    out[0] = '\0';
    for (int t = 0; t < 5; t++)
        if (c->themes >> t & 1u)
            strcat(strcat(out, out[0] != '\0' ? between : ""), themes[t]);
    if (c->removal)
        strcat(strcat(out, out[0] != '\0' ? between : ""), "removal");
}

static void write_plain(const char *folder, const MessyCard *card)
{
    Page page = {0};
    char line[400], tags[200];
    page_add(&page, "name,colours,cost,power,price,tags\n");
    for (int i = 0; i < CARDS; i++) {
        const MessyCard *c = &card[i];
        char power[12] = "", price[12] = "";
        if (c->power >= 0)
            snprintf(power, sizeof power, "%d.%d", c->power / 10, c->power % 10);
        if (c->price >= 0)
            snprintf(price, sizeof price, "%d.%02d", c->price / 100, c->price % 100);
        add_tags(c, ";", tags);
        snprintf(line, sizeof line, "%s,%s%s%s,%d,%s,%s,%s\n", c->name, c->colours > 0 ? colours[c->colour[0]] : "",
                 c->colours > 1 ? "+" : "", c->colours > 1 ? colours[c->colour[1]] : "", c->cost, power, price, tags);
        page_add(&page, "%s", line);
    }
    page_save(&page, folder, "plain/cards.csv");
    folder_print(folder, "plain/model.yaml", "size: 360\ncolours: [amber, coal, moss, slate]\nunpriced: skip\n");
    folder_print(folder, "plain/scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
}

/* ---- as somebody keeps it ---- */

/* Another case, blanks around. */
static const char *strayed(Dice *dice, const char *word, char *out)
{
    const int how = dice_roll(dice, 0, 9);
    size_t at = 0;
    for (const char *c = word; *c != '\0'; c++)
        out[at++] = (char)(how == 0 || (how > 3 && c == word) ? toupper(*c) : how == 1 ? tolower(*c) : *c);
    out[at] = '\0';
    if (how == 2)
        strcat(out, "  ");
    return out;
}

static const char *one_of(Dice *dice, const char *const *word, int words)
{
    return word[dice_roll(dice, 0, words - 1)];
}

static void add_line(Dice *dice, const MessyCard *c, bool misspelt, bool again, Page *page)
{
    static const char *const nothing[] = {"", "", "n/a", "-", "?"}, *const note[] = {"", "", "", "try again",
                                                                                     "too slow?"};
    char name[80], first[40] = "", second[40] = "", power[20], tags[200], line[600];
    strayed(dice, c->name, name);
    if (c->colours > 0)
        strayed(dice, colours[c->colour[0]], first);
    if (misspelt)
        snprintf(first, sizeof first, "%s", c->colour[0] == 0 ? "ambre" : c->colour[0] == 3 ? "slaet" : "Amber");
    if (c->colours > 1)
        strayed(dice, colours[c->colour[1]], second);
    if (c->colours == 0)
        snprintf(first, sizeof first, "%s", one_of(dice, nothing, 5));
    if (c->power < 0 || again)
        snprintf(power, sizeof power, "%s", one_of(dice, nothing, 5));
    else if (dice_chance(dice, 40))
        snprintf(power, sizeof power, "\"%d,%d\"", c->power / 10, c->power % 10);
    else
        snprintf(power, sizeof power, "%d.%d", c->power / 10, c->power % 10);
    add_tags(c, ", ", tags);
    snprintf(line, sizeof line, "%s,%s%s%s,%d,%s,\"%s\",%s%s\r\n", name, first,
             c->colours > 1 ? (dice_chance(dice, 80) ? "/" : " + ") : "", second, c->cost, power, tags,
             again ? "again" : one_of(dice, note, 5), dice_chance(dice, 5) ? ",,," : "");
    page_add(page, "%s", line);
}

static void write_list(const char *folder, Dice *dice, const MessyCard *card, Messy *messy)
{
    Page page = {0};
    *messy = (Messy){.cards = CARDS};
    page_add(&page, "Card Name,Colour,Cost,My rating,Strategies,Notes\r\n");
    int misspelt = 0;
    for (int i = 0; i < CARDS; i++) {
        if (i % 300 == 0) {
            page_add(&page, "== box %d ==,,,,,\r\n,,,,,\r\n", i / 300 + 1);
            messy->passed++;
        }
        const bool wrong =
            misspelt < 3 && i > 100 && card[i].colours == 1 && (card[i].colour[0] == 0 || card[i].colour[0] == 3);
        misspelt += wrong;
        const size_t from = page.length;
        add_line(dice, &card[i], wrong, false, &page);
        if (dice_chance(dice, 2)) { /* the very line once more */
            char *copy = strndup(page.data + from, page.length - from);
            page_add(&page, "%s", copy);
            free(copy);
            messy->repeated++;
        } else if (i > 0 && dice_chance(dice, 2)) {
            add_line(dice, &card[i - 1], false, true, &page);
            messy->different++;
        }
    }
    page_add(&page, ",,,\"4,1\",,\r\n");
    page_add(&page, "Total,,2994,,,\r\n");
    messy->passed += 2;
    messy->lines = messy->cards + messy->repeated + messy->different + messy->passed;
    page_save(&page, folder, "list.csv");
}

static void write_prices(const char *folder, Dice *dice, const MessyCard *card)
{
    Page page = {0};
    char line[200];
    page_add(&page, "Karte;Preis;Stand\n");
    for (int i = 0; i < CARDS; i++) {
        if (card[i].price < 0)
            snprintf(line, sizeof line, "%s;%s;\n", card[i].name, dice_chance(dice, 50) ? "n/a" : "");
        else
            snprintf(line, sizeof line, "%s;%d,%02d \xE2\x82\xAC;2026-03-0%d\n", card[i].name, card[i].price / 100,
                     card[i].price % 100, dice_roll(dice, 1, 9));
        page_add(&page, "%s", line);
    }
    page_add(&page, "Summe;2.345,60 \xE2\x82\xAC;\n");
    page_save(&page, folder, "prices.csv");
}

static void write_owned(const char *folder, Dice *dice, const MessyCard *card)
{
    static const char *const count[] = {"1x", "2x", "x1", "1", "3"};
    Page page = {0};
    char line[200];
    page_add(&page, "What,How many\n");
    for (int i = 0; i < CARDS; i += 4) {
        snprintf(line, sizeof line, "%s,%s\n", card[i].name, one_of(dice, count, 5));
        page_add(&page, "%s", line);
    }
    page_save(&page, folder, "owned.csv");
}

void messy_write(const char *folder, uint64_t seed, Messy *messy)
{
    Dice dice;
    MessyCard *card = calloc(CARDS, sizeof *card);
    dice_seed(&dice, seed);
    make_cards(&dice, card);
    write_plain(folder, card);
    write_list(folder, &dice, card, messy);
    write_prices(folder, &dice, card);
    write_owned(folder, &dice, card);
    free(card);
}
