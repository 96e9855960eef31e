/* test_side_layouts.c - prices, owned cards and lists of what was bought, of an invented game, written in many ways
 * that people write such sheets: all ways mean the same. POOLWRIGHT_SCENARIOS and POOLWRIGHT_SEED ask for more. */
#include <setjmp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "base/text.h"
#include "support/desk.h"

#define CARDS 12

static const char *const card_name[CARDS] = {
    "Ash Kite", "\xC3\x85se's Ward",    "Bell Cart",     "Coal Lamp, Lit", "Drift Net",
    "Eel Pot",  "Fog\xE2\x80\x99s End", "Ga\xC3\xABlle", "Hull 7",         "Ink Trade",
    "Jetty",    "Kelp; and Salt"};

/* What all ways of writing say. Money in cents; -1: the sheet says nothing of the card. Days and months of 2026. */
typedef struct {
    int price[CARDS], owned[CARDS], paid[CARDS], day[CARDS], month[CARDS];
} Truth;

typedef enum {
    COUNT_COLUMN,
    COUNT_TIMES,
    COUNT_BEFORE,
    COUNT_BEHIND,
    COUNT_BRACKETS,
    COUNT_LINES,
    COUNT_WAYS
} CountWay;

typedef enum {
    UNDATED,
    YEAR_DASHES,
    YEAR_SLASHES,
    DAY_DOTS,
    DAY_SLASHES,
    MONTH_SLASHES,
    DAY_DASHES,
    DATE_WAYS
} DateWay;
typedef enum { AS_IT_IS, UTF16_LITTLE, UTF16_BIG, ENCODINGS } Encoding;

typedef struct {
    char separator;
    bool commas;    /* decimal ones */
    int money;      /* where the currency stands */
    int words;      /* which headers */
    CountWay count; /* how copies are said */
    DateWay dates;  /* of prices */
    Encoding encoding;
    const char *groups; /* what parts thousands: NULL, the mark that is not decimal; "": nothing */
    bool title, blanks, total, heading, behind, marked, latin, crlf, spoilt, reversed, extra;
} Layout;

static Truth draw(Dice *dice)
{
    Truth truth;
    for (int c = 0; c < CARDS; c++) {
        truth.price[c] = dice_chance(dice, 80) ? dice_roll(dice, 1, dice_chance(dice, 20) ? 299999999 : 1999) : -1;
        truth.owned[c] = dice_chance(dice, 60) ? dice_roll(dice, 1, 4) : 0;
        truth.paid[c] = dice_chance(dice, 50) ? dice_roll(dice, 0, dice_chance(dice, 20) ? 299999 : 1500) : -1;
        truth.day[c] = dice_roll(dice, 1, 28);
        truth.month[c] = dice_roll(dice, 1, 12);
    }
    truth.day[0] = dice_roll(dice, 13, 31); /* in January */
    truth.month[0] = 1;
    truth.price[0] = truth.paid[0] = 250; /* no sheet is empty */
    truth.owned[0] = 2;
    return truth;
}

static Layout draw_layout(Dice *dice)
{
    static const char *const groups[] = {"", NULL, "'", " ", "\xC2\xA0", "\xE2\x80\xAF"};
    Layout l = {.separator = ",;\t"[dice_roll(dice, 0, 2)],
                .money = dice_roll(dice, 0, 4),
                .words = dice_roll(dice, 0, 5),
                .count = (CountWay)dice_roll(dice, 0, COUNT_WAYS - 1),
                .title = dice_chance(dice, 30),
                .blanks = dice_chance(dice, 30),
                .total = dice_chance(dice, 40),
                .heading = dice_chance(dice, 30),
                .behind = dice_chance(dice, 30),
                .marked = dice_chance(dice, 30),
                .latin = dice_chance(dice, 20),
                .crlf = dice_chance(dice, 40),
                .spoilt = dice_chance(dice, 40),
                .reversed = dice_chance(dice, 40),
                .extra = dice_chance(dice, 40)};
    l.commas = dice_chance(dice, 50);
    l.dates = (DateWay)dice_roll(dice, 0, DATE_WAYS - 1);
    l.groups = groups[dice_roll(dice, 0, l.latin ? 3 : 5)];
    l.encoding = l.latin || dice_chance(dice, 50) ? AS_IT_IS : (Encoding)dice_roll(dice, 1, ENCODINGS - 1);
    l.marked = l.marked && !l.latin;
    return l;
}

/* ---- writing ---- */

typedef struct {
    const Layout *layout;
    Dice *dice;
    Text out;
    int cells;
} Writer;

static void cell(Writer *w, const char *text)
{
    const char quoted[] = {w->layout->separator, '"', '\0'};
    if (w->cells++ > 0)
        text_add_char(&w->out, w->layout->separator);
    text_printf(&w->out, strpbrk(text, quoted) != NULL ? "\"%s\"" : "%s", text);
}

static void end_line(Writer *w)
{
    for (int k = 0; k < 3 && w->layout->behind; k++)
        text_add_char(&w->out, w->layout->separator);
    text_add(&w->out, w->layout->crlf ? "\r\n" : "\n");
    w->cells = 0;
}

/* Whole thousands and what is below them, if there are any. */
static void with_groups(const Layout *l, int whole, char text[40])
{
    const char *const mark = l->groups != NULL ? l->groups : l->commas ? "." : ",";
    char below[40];
    if (whole < 1000) {
        snprintf(text, 40, "%d", whole);
        return;
    }
    with_groups(l, whole / 1000, below);
    snprintf(text, 40, "%.30s%.3s%03d", below, mark, whole % 1000);
}

static void money(Writer *w, int cents)
{
    static const char *const form[] = {"%s", "\xE2\x82\xAC %s", "%s \xE2\x82\xAC", "EUR %s", "%s EUR"};
    char whole[40], number[60], text[80];
    with_groups(w->layout, cents / 100, whole);
    snprintf(number, sizeof number, "%s%c%02d", whole, w->layout->commas ? ',' : '.', cents % 100);
    if (cents % 100 == 0 && dice_chance(w->dice, 50))
        snprintf(number, sizeof number, "%d", cents / 100);
    snprintf(text, sizeof text, form[w->layout->latin && w->layout->money < 3 ? 0 : w->layout->money], number);
    cell(w, text);
}

/* The name as somebody else writes it: in capitals, with other apostrophes, without accents, with blanks around. */
static void spoil(const Writer *w, int card, char name[60])
{
    static const char *const plain[CARDS] = {"ASH KITE",  "Ase's ward", "bell  cart", "COAL LAMP, LIT",
                                             "Drift net", NULL,         "Fog's End",  "GAELLE",
                                             NULL,        "ink trade",  NULL,         NULL};
    const bool spoilt = w->layout->spoilt && plain[card] != NULL && dice_chance(w->dice, 60);
    snprintf(name, 60, "%s%s", spoilt ? plain[card] : card_name[card], spoilt && dice_chance(w->dice, 40) ? "  " : "");
}

static void date(Writer *w, int day, int month)
{
    char text[40] = "";
    switch (w->layout->dates) {
    case YEAR_DASHES: snprintf(text, sizeof text, "2026-%02d-%02d", month, day); break;
    case YEAR_SLASHES: snprintf(text, sizeof text, "2026/%d/%d", month, day); break;
    case DAY_DOTS: snprintf(text, sizeof text, "%02d.%02d.2026", day, month); break;
    case DAY_SLASHES: snprintf(text, sizeof text, "%d/%d/2026", day, month); break;
    case MONTH_SLASHES: snprintf(text, sizeof text, "%d/%d/2026 14:05", month, day); break;
    case DAY_DASHES: snprintf(text, sizeof text, "%02d-%02d-2026", day, month); break;
    case UNDATED:
    case DATE_WAYS: break;
    }
    cell(w, text);
}

typedef enum { OF_PRICES, OF_OWNED, OF_BOUGHT, SORTS } Sort;

static bool has_count_column(const Layout *l, Sort sort)
{
    return sort != OF_PRICES && l->count <= COUNT_TIMES;
}

static void header(Writer *w, Sort sort)
{
    static const char *const name[] = {"name", "Card", "Karte", "Nom", "Carta", "Nazwa"},
                             *const price[] = {"price", "Price (EUR)", "Preis", "Prix", "Prezzo", "Cena"},
                             *const copies[] = {"copies",          "Qty",   "Anzahl",
                                                "Quantit\xC3\xA9", "Copie", "Ilo\xC5\x9B\xC4\x87"},
                             *const paid[] = {"paid",
                                              "I paid",
                                              "Bezahlt",
                                              "pay\xC3\xA9",
                                              "Pagato",
                                              "Zap\xC5\x82"
                                              "acono"};
    const Layout *l = w->layout;
    if (l->title) {
        text_add(&w->out, sort == OF_PRICES ? "Prices of October" : "What is in the box");
        end_line(w);
        if (l->blanks)
            end_line(w);
    }
    const bool ascii = l->latin && l->words >= 5;
    const int k = ascii ? 0 : l->words;
    if (l->extra)
        cell(w, "No.");
    if (l->reversed && has_count_column(l, sort))
        cell(w, copies[k]);
    cell(w, name[k]);
    if (!l->reversed && has_count_column(l, sort))
        cell(w, copies[k]);
    if (sort != OF_OWNED)
        cell(w, sort == OF_PRICES ? price[k] : paid[k]);
    if (sort == OF_PRICES && l->dates != UNDATED)
        cell(w, "date");
    if (l->extra)
        cell(w, "Remarks");
    end_line(w);
}

static void line(Writer *w, Sort sort, const Truth *t, int card, int copies, int cents)
{
    const Layout *l = w->layout;
    char name[60], text[100], count[20];
    spoil(w, card, name);
    snprintf(count, sizeof count, l->count == COUNT_TIMES ? (copies % 2 == 0 ? "%dx" : "x%d") : "%d", copies);
    const CountWay way = sort == OF_PRICES || (copies == 1 && l->count != COUNT_BEFORE) ? COUNT_COLUMN : l->count;
    if (way == COUNT_BEFORE)
        snprintf(text, sizeof text, copies % 2 == 0 ? "%dx %s" : "%d x %s", copies, name);
    else if (way == COUNT_BEHIND)
        snprintf(text, sizeof text, "%s x%d", name, copies);
    else if (way == COUNT_BRACKETS)
        snprintf(text, sizeof text, "%s (%d)", name, copies);
    else
        snprintf(text, sizeof text, "%s", name);
    if (l->extra)
        cell(w, "7");
    if (l->reversed && has_count_column(l, sort))
        cell(w, count);
    cell(w, text);
    if (!l->reversed && has_count_column(l, sort))
        cell(w, count);
    if (sort != OF_OWNED && cents >= 0)
        money(w, cents);
    else if (sort != OF_OWNED)
        cell(w, "");
    if (sort == OF_PRICES && l->dates != UNDATED)
        date(w, t->day[card], t->month[card]);
    if (l->extra)
        cell(w, card % 3 == 0 ? "a little bent" : "");
    end_line(w);
}

static void total(Writer *w, Sort sort, int copies, int cents)
{
    const Layout *l = w->layout;
    char count[20];
    snprintf(count, sizeof count, "%d", copies);
    if (l->extra)
        cell(w, "");
    if (l->reversed && has_count_column(l, sort))
        cell(w, count);
    cell(w, l->words == 2 ? "Summe" : "Total");
    if (!l->reversed && has_count_column(l, sort))
        cell(w, count);
    if (sort != OF_OWNED)
        money(w, cents);
    end_line(w);
}

static void heading(Writer *w, const char *name)
{
    if (w->layout->blanks)
        end_line(w);
    if (w->layout->extra)
        cell(w, "");
    if (w->layout->reversed && w->layout->count <= COUNT_TIMES)
        cell(w, "");
    cell(w, name);
    end_line(w);
}

static int copies_of(const Truth *t, Sort sort, int c)
{
    return sort == OF_BOUGHT ? 1 + c % 3 : sort == OF_OWNED ? t->owned[c] : 1;
}

static void write_sheet(const char *folder, const char *file, const Truth *t, const Layout *l, Dice *dice, Sort sort)
{
    Writer w = {.layout = l, .dice = dice};
    int copies = 0, sum = 0;
    if (l->marked)
        text_add(&w.out, "\xEF\xBB\xBF");
    header(&w, sort);
    for (int c = 0; c < CARDS; c++) {
        const int cents = sort == OF_PRICES ? t->price[c] : t->paid[c], count = copies_of(t, sort, c);
        if (l->heading && sort == OF_OWNED && c % 6 == 0)
            heading(&w, c == 0 ? "Ebb" : "Flow (6)");
        if ((sort == OF_OWNED && count == 0) || (sort == OF_PRICES && cents < 0 && c % 2 == 0))
            continue;
        for (int k = 0; k < (sort == OF_OWNED && l->count == COUNT_LINES ? count : 1); k++)
            line(&w, sort, t, c, sort == OF_OWNED && l->count == COUNT_LINES ? 1 : count, cents);
        copies += count;
        sum += cents > 0 ? cents : 0;
        if (l->blanks && c % 4 == 3)
            end_line(&w);
    }
    if (l->total)
        total(&w, sort, copies, sum);
    char *bytes = mem_strndup(text_cstr(&w.out), w.out.length);
    size_t length = w.out.length;
    for (size_t from = length = 0; l->latin && from <= w.out.length; from++) { /* of two bytes one, of ours at least */
        const unsigned char first = (unsigned char)w.out.data[from];
        if (from == w.out.length)
            break;
        if (first == 0xC2 || first == 0xC3)
            bytes[length++] = (char)((unsigned char)w.out.data[++from] | (first == 0xC3 ? 0x40 : 0));
        else if (first == 0xE2) { /* the curly apostrophe */
            bytes[length++] = (char)0x92;
            from += 2;
        } else
            bytes[length++] = (char)first;
    }
    if (l->encoding != AS_IT_IS)
        folder_write_utf16(folder, file, text_cstr(&w.out), l->encoding == UTF16_BIG);
    else
        folder_write(folder, file, l->latin ? bytes : text_cstr(&w.out), l->latin ? length : w.out.length);
    mem_free(bytes);
    text_release(&w.out);
}

/* ---- what was read ---- */

static char *new_folder(void)
{
    char *folder = folder_new();
    Text cards = {0};
    text_add(&cards, "name\tcolours\tpower\tcopies\n");
    for (int c = 0; c < CARDS; c++)
        text_printf(&cards, "%s\t%s\t%d\t1\n", card_name[c], c % 2 == 0 ? "ebb" : "flow", c);
    folder_print(folder, "cards.tsv", text_cstr(&cards));
    folder_print(folder, "model.yaml", "size: 3\ncolours: [ebb, flow]\ncurrency: EUR\nunpriced: 77.00\n");
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [cards.tsv]\n");
    folder_print(folder, "owns.yaml", "model: model.yaml\ncards: [cards.tsv]\nowned: [owned.csv]\n");
    folder_print(folder, "pool.yaml", "model: model.yaml\ncards: [cards.tsv]\npool: owned.csv\n");
    text_release(&cards);
    return folder;
}

static int index_of(const char *name)
{
    for (int c = 0; c < CARDS; c++)
        if (strcmp(card_name[c], name) == 0)
            return c;
    fail_msg("no card '%s'", name);
    return -1;
}

static json_t *answer_of(const char *folder, const char *const *words, int code, const char *file, const char *about)
{
    Run run;
    run_poolwright(folder, words, NULL, &run);
    if (run.code != code)
        fail_msg("%s: %s%s", about, run.err, folder_read(folder, file, NULL));
    json_t *root = json_loads(run.out, 0, NULL);
    if (root == NULL)
        fail_msg("%s: %s", about, run.out);
    run_forget(&run);
    return root;
}

static void expect_prices(const char *folder, const Truth *t, const char *about)
{
    json_t *root =
        answer_of(folder, WORDS("find", "scenario.yaml", "--prices", "prices.csv", "--json"), 0, "prices.csv", about);
    const json_t *card;
    size_t k;
    assert_int_equal(json_array_size(json_object_get(root, "cards")), CARDS);
    json_array_foreach (json_object_get(root, "cards"), k, card) {
        const int c = index_of(json_text(card, "name")), expected = t->price[c] < 0 ? 7700 : t->price[c];
        if (json_units(card, "price", 100) != expected)
            fail_msg("%s: '%s' costs %d, expected %d in\n%s", about, card_name[c], (int)json_units(card, "price", 100),
                     expected, folder_read(folder, "prices.csv", NULL));
    }
    json_decref(root);
}

/* The first and the last day of the prices. */
static void expect_days(const char *folder, const Truth *t, const Layout *l, const char *about)
{
    json_t *root =
        answer_of(folder, WORDS("check", "scenario.yaml", "--prices", "prices.csv", "--json"), 0, "prices.csv", about);
    const json_t *prices = json_object_get(root, "prices");
    char first[20] = "9", last[20] = "0", day[20];
    for (int c = 0; c < CARDS; c++) {
        snprintf(day, sizeof day, "2026-%02d-%02d", t->month[c], t->day[c]);
        if (t->price[c] >= 0 && strcmp(day, first) < 0)
            strcpy(first, day);
        if (t->price[c] >= 0 && strcmp(day, last) > 0)
            strcpy(last, day);
    }
    const bool dated = l->dates != UNDATED;
    if (dated != json_is_string(json_object_get(prices, "from")) ||
        (dated && (strcmp(json_text(prices, "from"), first) != 0 || strcmp(json_text(prices, "to"), last) != 0)))
        fail_msg("%s: %s, expected %s to %s in\n%s", about, json_dumps(prices, 0), first, last,
                 folder_read(folder, "prices.csv", NULL));
    json_decref(root);
}

static void expect_owned(const char *folder, const Truth *t, const char *about)
{
    Run run;
    run_poolwright(folder, WORDS("best", "owns.yaml", "--all", "-o", "list.tsv"), NULL, &run);
    if (run.code != 0)
        fail_msg("%s: %s%s", about, run.err, folder_read(folder, "owned.csv", NULL));
    run_forget(&run);
    char *list = folder_read(folder, "list.tsv", NULL);
    int column = 0, lines = 0;
    for (char *line = list, *end; line != NULL && *line != '\0'; line = end) {
        end = strchr(line, '\n');
        if (end != NULL)
            *end++ = '\0';
        char *field[20], *rest = line;
        int fields = 0;
        for (char *part; fields < 20 && (part = strsep(&rest, "\t")) != NULL;)
            field[fields++] = part;
        if (lines++ == 0) {
            while (column < fields && strcmp(field[column], "owned") != 0)
                column++;
            assert_true(column < fields);
            continue;
        }
        const int c = index_of(field[0]);
        if (atoi(field[column]) != t->owned[c])
            fail_msg("%s: of '%s' %s are owned, expected %d in\n%s", about, card_name[c], field[column], t->owned[c],
                     folder_read(folder, "owned.csv", NULL));
    }
    assert_int_equal(lines, CARDS + 1);
    free(list);
}

/* The same sheet as the present pool, and as a list that is audited. */
static void expect_present(const char *folder, const Truth *t, const char *about)
{
    json_t *present = answer_of(folder, WORDS("check", "pool.yaml", "--json"), 0, "owned.csv", about),
           *audit = answer_of(folder, WORDS("audit", "scenario.yaml", "owned.csv", "--json"), 1, "owned.csv", about);
    int expected = 0;
    for (int c = 0; c < CARDS; c++)
        expected += t->owned[c];
    const int copies = (int)json_integer_value(json_object_get(present, "pool_owned")),
              audited = (int)json_integer_value(json_object_get(audit, "size"));
    if (copies != expected || audited != expected)
        fail_msg("%s: %d in the pool, %d in the list, expected %d of\n%s", about, copies, audited, expected,
                 folder_read(folder, "owned.csv", NULL));
    json_decref(present);
    json_decref(audit);
}

static void expect_bought(const char *folder, const Truth *t, const Layout *l, const char *about)
{
    json_t *root = answer_of(folder, WORDS("bought", "scenario.yaml", "bought.csv", "--json"), 0, "bought.csv", about);
    const json_t *card;
    size_t k, expected = 0;
    for (int c = 0; c < CARDS; c++)
        expected += t->paid[c] >= 0;
    json_array_foreach (json_object_get(root, "cards"), k, card) {
        const int c = index_of(json_text(card, "name")),
                  copies = l->count == COUNT_LINES ? 1 : copies_of(t, OF_BOUGHT, c);
        if (json_units(card, "paid", 100) != t->paid[c] ||
            json_integer_value(json_object_get(card, "copies")) != copies)
            fail_msg("%s: '%s' %d for %d, expected %d for %d in\n%s", about, card_name[c],
                     (int)json_integer_value(json_object_get(card, "copies")), (int)json_units(card, "paid", 100),
                     copies, t->paid[c], folder_read(folder, "bought.csv", NULL));
    }
    assert_int_equal(k, expected);
    json_decref(root);
}

static void sheets_beside_the_cards_are_read_alike(void **state)
{
    (void)state;
    const uint64_t first = environment_number("POOLWRIGHT_SEED", 1), count = scenarios_wanted(60);
    char *folder = new_folder();
    for (uint64_t seed = first; seed < first + count; seed++) {
        Dice dice;
        dice_seed(&dice, seed);
        const Truth truth = draw(&dice);
        const Layout l = draw_layout(&dice);
        char about[40];
        snprintf(about, sizeof about, "seed %d", (int)seed);
        write_sheet(folder, "prices.csv", &truth, &l, &dice, OF_PRICES);
        write_sheet(folder, "owned.csv", &truth, &l, &dice, OF_OWNED);
        write_sheet(folder, "bought.csv", &truth, &l, &dice, OF_BOUGHT);
        expect_prices(folder, &truth, about);
        expect_days(folder, &truth, &l, about);
        expect_owned(folder, &truth, about);
        expect_present(folder, &truth, about);
        expect_bought(folder, &truth, &l, about);
    }
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(sheets_beside_the_cards_are_read_alike)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
