/* test_import_layouts.c - one list of an invented game, written in many ways that people write lists: import, without
 * an answer, finds the same cards in all of them. POOLWRIGHT_SCENARIOS and POOLWRIGHT_SEED ask for more. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "support/run.h"

#define CARDS 90
#define COLOURS 4
#define THEMES 3
#define SHEETS (COLOURS + COLOURS * (COLOURS - 1) / 2 + 1)

static const char *const colour_name[COLOURS] = {"Amber", "Coal", "Moss", "Rime"};
static const char *const theme_name[THEMES] = {"kites", "mills", "night boats"};

typedef struct {
    int colour[2];          /* the second -1: mono; both -1: colourless */
    int cost, power, price; /* cents */
    int theme;              /* -1: none */
    int role;               /* 0 none, 1 enabler, 2 payoff, 3 both */
    bool removal;
} Truth;

typedef enum {
    BY_NAMES,
    BY_TWO_COLUMNS,
    BY_SHEETS,
    BY_HEADINGS,
    BY_MARKS,
    BY_LETTERS,
    BY_PICTURES,
    COLOUR_WAYS
} ColourWay;
typedef enum { BEHIND_TAGS, ROLE_COLUMN, MARKED_ROLES, ENABLES, THEME_COLUMNS, ROLE_WAYS } RoleWay;

typedef struct {
    ColourWay colours;
    RoleWay roles;
    char separator;
    bool commas;  /* decimal ones */
    int words;    /* which headers */
    int between;  /* which mark between colours */
    bool counted; /* headings and sheets say how many cards there are */
    bool wide;    /* in UTF-16 */
    int groups;   /* what parts thousands */
} Layout;

static const char *const between[] = {"+", " + ", " & ", ", ", " ", " and ", "/", "-"};
#define BETWEEN ((int)(sizeof between / sizeof *between))

static Truth *draw(Dice *dice)
{
    Truth *card = calloc(CARDS, sizeof *card);
    for (int c = 0; c < CARDS; c++) {
        Truth *t = &card[c];
        const int kind = dice_roll(dice, 0, 99);
        *t = (Truth){.colour = {-1, -1},
                     .cost = dice_roll(dice, 1, 7),
                     .power = dice_roll(dice, 1, 20),
                     .price = dice_chance(dice, 90) ? dice_roll(dice, 5, 900) : dice_roll(dice, 100000, 99999999),
                     .theme = dice_chance(dice, 70) ? dice_roll(dice, 0, THEMES - 1) : -1,
                     .removal = dice_chance(dice, 12)};
        t->role = t->theme >= 0 ? dice_roll(dice, 1, 3) : 0;
        if (kind >= 5)
            t->colour[0] = c % COLOURS;
        if (kind >= 75) {
            t->colour[1] = (t->colour[0] + dice_roll(dice, 1, COLOURS - 1)) % COLOURS;
            if (t->colour[1] < t->colour[0]) {
                const int first = t->colour[1];
                t->colour[1] = t->colour[0];
                t->colour[0] = first;
            }
        }
    }
    return card;
}

/* ---- writing ---- */

static void cell(Text *out, const Layout *l, const char *text)
{
    const char quoted[] = {l->separator, '"', '\0'};
    if (out->length > 0 && out->data[out->length - 1] != '\n')
        text_add_char(out, l->separator);
    text_printf(out, strpbrk(text, quoted) != NULL ? "\"%s\"" : "%s", text[0] == '\0' ? " " : text);
}

static void number(Text *out, const Layout *l, int number)
{
    char text[40];
    snprintf(text, sizeof text, "%d", number);
    cell(out, l, text);
}

static void money(Text *out, const Layout *l, int cents)
{
    const char *const groups[] = {"", l->commas ? "." : ",", "'", "\xC2\xA0", "\xE2\x80\xAF"};
    char text[60];
    if (cents < 100000)
        snprintf(text, sizeof text, "%d%c%02d", cents / 100, l->commas ? ',' : '.', cents % 100);
    else
        snprintf(text, sizeof text, "%d%s%03d%c%02d", cents / 100000, groups[l->groups], cents / 100 % 1000,
                 l->commas ? ',' : '.', cents % 100);
    cell(out, l, text);
}

static void colours(Text *out, const Layout *l, const Truth *t)
{
    static const char *const picture[COLOURS] = {"\U0001F7E0", "\U0001F535", "\U0001F7E2", "\u26AA"};
    char text[80] = "";
    for (int k = 0; k < 2 && l->colours != BY_TWO_COLUMNS && l->colours != BY_MARKS; k++) {
        const int c = t->colour[k];
        if (c < 0)
            continue;
        if (l->colours == BY_LETTERS)
            snprintf(text + strlen(text), sizeof text - strlen(text), "%c", colour_name[c][0]);
        else
            snprintf(text + strlen(text), sizeof text - strlen(text), "%s%s",
                     l->colours == BY_NAMES && k > 0 ? between[l->between] : "",
                     l->colours == BY_PICTURES ? picture[c] : colour_name[c]);
    }
    for (int k = 0; k < 2 && l->colours == BY_TWO_COLUMNS; k++)
        cell(out, l, t->colour[k] < 0 ? "" : colour_name[t->colour[k]]);
    for (int c = 0; c < COLOURS && l->colours == BY_MARKS; c++)
        cell(out, l, t->colour[0] == c || t->colour[1] == c ? "x" : "");
    if (l->colours == BY_NAMES || l->colours == BY_LETTERS || l->colours == BY_PICTURES)
        cell(out, l, text);
}

static void themes(Text *out, const Layout *l, const Truth *t)
{
    static const char *const role[] = {"", "enabler", "payoff", "both"};
    const char *theme = t->theme < 0 ? "" : theme_name[t->theme], *removal = t->removal ? "removal" : "";
    char text[80] = "";
    for (int k = 0; k < THEMES && l->roles == THEME_COLUMNS; k++)
        cell(out, l, t->theme == k ? role[t->role] : "");
    if (l->roles == ENABLES) {
        cell(out, l, t->role & 1 ? theme : "");
        cell(out, l, t->role & 2 ? theme : "");
    }
    if (l->roles == BEHIND_TAGS && t->theme >= 0)
        snprintf(text, sizeof text, "%s %s", theme, role[t->role]);
    if (l->roles == ROLE_COLUMN || l->roles == MARKED_ROLES)
        snprintf(text, sizeof text, "%s", theme);
    snprintf(text + strlen(text), sizeof text - strlen(text), "%s%s", text[0] != '\0' && t->removal ? "; " : "",
             removal);
    cell(out, l, text);
    if (l->roles == ROLE_COLUMN)
        cell(out, l, role[t->role]);
    if (l->roles == MARKED_ROLES) {
        cell(out, l, t->role & 1 ? "x" : "");
        cell(out, l, t->role & 2 ? "x" : "");
    }
}

static void header(Text *out, const Layout *l)
{
    static const char *const name[] = {"Card", "name", "Karte"}, *const colour[] = {"Colour", "color", "Farbe"},
                             *const cost[] = {"Cost", "cost", "Kosten"}, *const power[] = {"Rating", "power", "Punkte"},
                             *const price[] = {"Price", "price", "Preis"}, *const tags[] = {"Themes", "tags", "Thema"};
    const int w = l->words;
    cell(out, l, name[w]);
    if (l->colours == BY_TWO_COLUMNS) {
        char second[40];
        cell(out, l, colour[w]);
        snprintf(second, sizeof second, "%s 2", colour[w]);
        cell(out, l, second);
    }
    for (int c = 0; c < COLOURS && l->colours == BY_MARKS; c++)
        cell(out, l, colour_name[c]);
    if (l->colours == BY_NAMES || l->colours == BY_LETTERS || l->colours == BY_PICTURES)
        cell(out, l, colour[w]);
    cell(out, l, cost[w]);
    cell(out, l, power[w]);
    cell(out, l, price[w]);
    for (int k = 0; k < THEMES && l->roles == THEME_COLUMNS; k++)
        cell(out, l, theme_name[k]);
    if (l->roles == ENABLES) {
        cell(out, l, "Enabler for");
        cell(out, l, "Payoff for");
    }
    cell(out, l, tags[w]);
    if (l->roles == ROLE_COLUMN)
        cell(out, l, w == 2 ? "Rolle" : "Role");
    if (l->roles == MARKED_ROLES) {
        cell(out, l, "Enabler");
        cell(out, l, "Payoff");
    }
    text_add_char(out, '\n');
}

static void line(Text *out, const Layout *l, const Truth *t, int card)
{
    char name[40];
    snprintf(name, sizeof name, "Card %d", card);
    cell(out, l, name);
    colours(out, l, t);
    number(out, l, t->cost);
    number(out, l, t->power);
    money(out, l, t->price);
    themes(out, l, t);
    text_add_char(out, '\n');
}

/* "Amber", "Amber-Coal", "Colourless". */
static void group_name(const Layout *l, int a, int b, int cards, char name[60])
{
    snprintf(name, 60, "%s%s%s", a < 0 ? "Colourless" : colour_name[a], b < 0 ? "" : "-", b < 0 ? "" : colour_name[b]);
    if (l->counted)
        snprintf(name + strlen(name), 60 - strlen(name), l->words == 1 ? " cards (%d)" : " (%d)", cards);
}

static void write_sheet(const char *folder, const char *name, const Layout *l, const Text *out)
{
    if (l->wide)
        folder_write_utf16(folder, name, text_cstr(out), l->words == 0);
    else
        folder_write(folder, name, text_cstr(out), out->length);
}

/* The sheets' names; their number. */
static int write_list(const char *folder, const Layout *l, const Truth *card, char name[SHEETS][80])
{
    const bool by_group = l->colours == BY_SHEETS || l->colours == BY_HEADINGS;
    int sheets = 0;
    Text out = {0};
    for (int a = -1; a < (by_group ? COLOURS : 0); a++)
        for (int b = -1; b < (by_group && a >= 0 ? COLOURS : 0); b++) {
            int cards = 0, in_group = 0;
            char group[60];
            if (b >= 0 && b <= a)
                continue;
            for (int c = 0; c < CARDS; c++)
                in_group += card[c].colour[0] == a && card[c].colour[1] == b;
            group_name(l, a, b, in_group, group);
            if (l->colours == BY_SHEETS || out.length == 0)
                header(&out, l);
            for (int c = 0; c < CARDS; c++) {
                if (by_group && (card[c].colour[0] != a || card[c].colour[1] != b))
                    continue;
                if (cards++ == 0 && l->colours == BY_HEADINGS)
                    text_printf(&out, "%s\n", group);
                line(&out, l, &card[c], c);
            }
            if (l->colours == BY_SHEETS && cards > 0) {
                snprintf(name[sheets], sizeof name[sheets], "%s.csv", group);
                write_sheet(folder, name[sheets++], l, &out);
            }
            if (l->colours == BY_SHEETS)
                text_clear(&out);
        }
    if (l->colours != BY_SHEETS) {
        strcpy(name[sheets], "list.csv");
        write_sheet(folder, name[sheets++], l, &out);
    }
    text_release(&out);
    return sheets;
}

/* ---- what was read ---- */

static void expect_card(const json_t *found, const Layout *l, const Truth *t, const char *about)
{
    static const char *const role[] = {"", "enabler", "payoff", "both"};
    static const char *const picture[COLOURS] = {"\U0001F7E0", "\U0001F535", "\U0001F7E2", "\u26AA"};
    const char *colours_read = json_string_value(json_object_get(found, "colours"));
    size_t parts = 1, k;
    for (const char *c = colours_read; *c != '\0'; c++)
        parts += *c == '+';
    const size_t expected = t->colour[0] < 0 ? 0 : t->colour[1] < 0 ? 1 : 2;
    bool good = expected == 0 ? strcmp(colours_read, "colourless") == 0
                              : parts == expected && strchr(colours_read, '/') == NULL;
    for (int i = 0; i < 2 && good; i++) {
        const int c = t->colour[i];
        char letter[2] = {c < 0 ? '\0' : colour_name[c][0], '\0'};
        good = c < 0 || strstr(colours_read, l->colours == BY_LETTERS    ? letter
                                             : l->colours == BY_PICTURES ? picture[c]
                                                                         : colour_name[c]) != NULL;
    }
    good = good && json_number_value(json_object_get(found, "power")) == t->power &&
           json_number_value(json_object_get(found, "cost")) == t->cost &&
           (int)(json_number_value(json_object_get(found, "price")) * 100 + 0.5) == t->price;
    const json_t *tag;
    size_t tags = 0;
    json_array_foreach (json_object_get(found, "tags"), k, tag) {
        const char *name = json_string_value(json_object_get(tag, "tag")),
                   *its = json_string_value(json_object_get(tag, "role"));
        const bool theme = t->theme >= 0 && strcmp(name, theme_name[t->theme]) == 0;
        good = good && ((theme && strcmp(its, role[t->role]) == 0) || (t->removal && strcmp(name, "removal") == 0));
        tags++;
    }
    good = good && tags == (size_t)(t->theme >= 0) + (size_t)t->removal;
    if (!good) {
        char *text = json_dumps(found, 0);
        fail_msg("%s: expected %s%s%s, cost %d, power %d, price %d, %s %s%s, found %s", about,
                 t->colour[0] < 0 ? "colourless" : colour_name[t->colour[0]], t->colour[1] < 0 ? "" : "+",
                 t->colour[1] < 0 ? "" : colour_name[t->colour[1]], t->cost, t->power, t->price,
                 t->theme < 0 ? "-" : theme_name[t->theme], role[t->role], t->removal ? "; removal" : "", text);
    }
}

static void try_layout(const Layout *l, const Truth *card, const char *about)
{
    char *folder = folder_new(), name[SHEETS][80];
    const char *argument[SHEETS + 8] = {"import", "-o", "p"};
    const int sheets = write_list(folder, l, card, name);
    Run run;
    for (int k = 0; k < sheets; k++)
        argument[3 + k] = name[k];
    run_poolwright(folder, argument, NULL, &run);
    if (run.code != 0)
        fail_msg("%s: %s", about, run.err);
    run_forget(&run);
    run_poolwright(folder, (const char *const[]){"find", "p", "--top", "1000", "--json", NULL}, NULL, &run);
    if (run.code != 0)
        fail_msg("%s: %s", about, run.err);
    json_t *root = json_loads(run.out, 0, NULL);
    const json_t *list = json_object_get(root, "cards"), *found;
    size_t k;
    if (json_array_size(list) != CARDS)
        fail_msg("%s: %d cards", about, (int)json_array_size(list));
    json_array_foreach (list, k, found)
        expect_card(found, l, &card[atoi(json_string_value(json_object_get(found, "name")) + 5)], about);
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

static void layouts_of_one_list_are_read_alike(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), count = scenarios_wanted(70);
    for (uint64_t seed = first; seed < first + count; seed++) {
        Dice dice;
        dice_seed(&dice, seed);
        Truth *card = draw(&dice);
        Layout l = {.colours = (ColourWay)(seed % COLOUR_WAYS),
                    .roles = (RoleWay)(seed / COLOUR_WAYS % ROLE_WAYS),
                    .separator = ",;\t"[dice_roll(&dice, 0, 2)],
                    .words = dice_roll(&dice, 0, 2),
                    .between = (int)(seed % BETWEEN),
                    .counted = dice_chance(&dice, 50)};
        l.commas = l.separator != ',' && dice_chance(&dice, 50);
        l.wide = dice_chance(&dice, 30);
        l.groups = dice_roll(&dice, 0, 4);
        char about[120];
        snprintf(about, sizeof about, "seed %d, colours %d, roles %d, words %d", (int)seed, (int)l.colours,
                 (int)l.roles, l.words);
        try_layout(&l, card, about);
        free(card);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(layouts_of_one_list_are_read_alike)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
