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
#include "support/packed.h"

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

/* ---- single ways ---- */

static char *told_folder(const char *more)
{
    return desk_folder("unpriced: 1.00\nspending_cap: 9\ncap_counts: paid and to buy\n", more,
                       "name,colours,copies\nAsh,rye,3\nBay,rye,3\nCod,teal,3\n");
}

static void expect_told(const char *folder, const char *const *words, int code, const char *says)
{
    Run run;
    desk_run(folder, &run, code, words);
    desk_expect_told(&run, code, says);
    run_forget(&run);
}

static void what_stands_beside_cards_is_told(void **state)
{
    (void)state;
    char *folder = told_folder("owned: [o.csv]\npool: p.csv\n");
    folder_print(folder, "p.csv", "name\nAsh\n");
    folder_print(folder, "o.csv", "name,owned\nAsh,x\nBay,\nCod,no\n"); /* a blank cell among marks */
    json_t *root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--keep", "Bay", "--keep", "Cod", "--json"));
    assert_int_equal(json_units(root, "cost", 100), 200);
    json_decref(root);
    folder_print(folder, "o.csv", "name,copies,paid\nAsh,1,2.00\nBay,1,1.00\nTotal,2,3.00\n");
    root = run_answer(folder, 0, WORDS("best", "scenario.yaml", "--json"));
    assert_int_equal(json_units(json_object_get(root, "money"), "paid", 100), 300);
    json_decref(root);
    expect_told(folder, WORDS("check", "scenario.yaml"), 0,
                "'Total' is taken for a heading or a total, not for a card");
    folder_print(folder, "o.csv", "name,copies\n2x Ash,1\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0, "'2x Ash' says another number of copies than its column");
    folder_print(folder, "o.csv", "Ash,2\nBay,1\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 2,
                "the first line has 'Ash', which is a card; write a line above it that names the columns, such as "
                "name,copies");
    folder_print(folder, "o.csv", "name,copies\nAsh,-\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 2, "write read: {blanks: [\"-\"]} into the model");
    folder_print(folder, "o.csv", "name,copies\n,3\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 2, "write read: {skip_lines: [\"\"]} into the model");
    folder_print(folder, "o.csv", "name,a,Anzahl,Qty\nAsh,1,2,3\n"); /* two that may be it */
    expect_told(folder, WORDS("check", "scenario.yaml"), 0,
                "found no column 'copies', so each line counts as one copy");
    folder_print(folder, "o.csv", "name\nAsh\n");
    folder_print(folder, "p.csv", "name,with us\nAsh,x\nBay,\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0, "if 'with us' holds them");
    folder_print(folder, "p.csv", "In the box\nAsh\nBay\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0, "'In the box' is taken for the title of a list of names");
    desk_done(folder);
}

/* What is no card stays where it stands when the present pool is written again. */
static void headings_and_totals_stay(void **state)
{
    (void)state;
    char *folder = told_folder("pool: p.csv\n");
    Run run;
    folder_print(folder, "cards.csv", "name,colours,power\nAsh,rye,1\nBay,rye,2\nCod,teal,3\n");
    folder_print(folder, "p.csv", "Karte,Anzahl\nRye,\nAsh,1\nBay (1),1\nTotal,2\n");
    desk_run(folder, &run, 0, WORDS("revise", "scenario.yaml", "--swaps", "1", "--apply", "--today", "2026-03-31"));
    run_forget(&run);
    char *pool = folder_read(folder, "p.csv", NULL);
    desk_expect(pool, "\nRye,\r\n");
    desk_expect(pool, "\nTotal,2\r\n");
    desk_expect(pool, "\nCod,1");
    assert_null(strstr(pool, "Ash"));
    free(pool);
    for (int k = 0; k < 2; k++) { /* a list of names alone has no place for copies */
        static const char *const list[] = {"Ash\nBay\n", "In the box\nAsh\nBay\n"};
        folder_print(folder, "p.csv", list[k]);
        expect_told(folder, WORDS("revise", "scenario.yaml", "--swaps", "1", "--apply"), 2,
                    "is a list of names without names of columns; put a line with `name`");
        desk_expect_file(folder, "p.csv", list[k]);
        run_poolwright(folder, WORDS("check", "scenario.yaml"), NULL, &run);
        desk_expect_code(&run, 0, list[k]);
        run_forget(&run);
    }
    desk_done(folder);
}

static void what_shops_say_is_not_passed_over(void **state)
{
    (void)state;
    char *folder = told_folder("prices: [p.csv]\nchange: {currency: {default: EUR, rates: {USD: 0.5}}}\n");
    folder_print(folder, "p.csv", "name,Price (USD)\nAsh,3.00\nBay,3 EUR\nCod,1\n");
    json_t *root = run_answer(folder, 0, WORDS("find", "scenario.yaml", "--json"));
    const json_t *card;
    size_t k;
    json_array_foreach (json_object_get(root, "cards"), k, card) {
        const char name = json_text(card, "name")[0];
        assert_int_equal(json_units(card, "price", 100), name == 'A' ? 150 : name == 'B' ? 300 : 50);
    }
    assert_int_equal(k, 3);
    json_decref(root);
    folder_print(folder, "p.csv", "name,Preis,Lager\nAsh,3.00,0\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0,
                "p.csv:1:12: notice: the column 'Lager' is not read; if it is the stock, write columns: {stock: "
                "\"Lager\"} into the model, else own: [\"Lager\"]");
    desk_done(folder);
}

/* Only where it matters: conditions are asked for by `accept`, highs by `price_risk`, days by `stale`. */
static void what_decides_is_not_passed_over(void **state)
{
    (void)state;
    static const struct {
        const char *change, *told;
    } scenario[] = {
        {"accept: {condition: [new]}", "p.csv:1:12: notice: the column 'Zustand' is not read; if it is the condition,"},
        {"accept: {language: [German]}",
         "p.csv:1:20: notice: the column 'Sprache' is not read; if it is the language,"},
        {"price_risk: {protect: 1}", "p.csv:1:28: notice: the column 'Max price' is not read; if it is the high,"},
        {"stale: 30", "p.csv:1:38: notice: the column 'Datum' is not read; if it is the date,"},
        {"headroom: 1%", NULL},
    };
    for (size_t k = 0; k < sizeof scenario / sizeof *scenario; k++) {
        char more[200];
        snprintf(more, sizeof more, "prices: [p.csv]\nchange: {%s}\n", scenario[k].change);
        char *folder = told_folder(more);
        folder_print(folder, "p.csv",
                     "name,Preis,Zustand,Sprache,Max price,Datum\nAsh,3.00,worn,French,9,2020-01-31\n");
        Run run;
        desk_run(folder, &run, 0, WORDS("check", "scenario.yaml"));
        if (scenario[k].told != NULL)
            desk_expect_told(&run, 0, scenario[k].told);
        else
            assert_null(strstr(run.err, "is not read"));
        run_forget(&run);
        desk_done(folder);
    }
    char *folder = told_folder("tags: [t.csv, s.csv]\n");
    folder_print(folder, "t.csv", "name,tag,Poids\nAsh,kites,3\n");
    folder_print(folder, "s.csv", "name,Entscheidung\nAsh,ban\n");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0,
                "t.csv:1:10: notice: the column 'Poids' is not read; if it is the weight, write columns: {weight: "
                "\"Poids\"} into the model, else own: [\"Poids\"]");
    expect_told(folder, WORDS("check", "scenario.yaml"), 0,
                "s.csv:1:6: notice: the column 'Entscheidung' is not read; if it is the status,");
    desk_done(folder);
}

#define CELL(text) "<table:table-cell office:value-type='string'><text:p>" text "</text:p></table:table-cell>"
#define LINE(...) "<table:table-row>" __VA_ARGS__ "</table:table-row>"
#define SHEET(name, lines) "<table:table table:name='" name "'>" lines "</table:table>"

/* One workbook with all sheets, and the scenario names none of them but the short list: the sheet of the cards says how
 * many may be in the pool, not how many are owned, and a sheet that is called "Pool" is the pool, whatever else has
 * names. */
static void sheets_of_one_workbook_are_told_apart(void **state)
{
    (void)state;
    char *folder = told_folder("");
    size_t length;
    char *bytes = packed_ods(
        NULL,
        SHEET("Cards", LINE(CELL("name") CELL("colours") CELL("copies")) LINE(CELL("Ash") CELL("rye") CELL("3"))
                           LINE(CELL("Bay") CELL("rye") CELL("3")))
            SHEET("Short", LINE(CELL("name") CELL("status")) LINE(CELL("Ash") CELL("keep")))
                SHEET("Marks", LINE(CELL("name") CELL("tag") CELL("note")) LINE(CELL("Ash") CELL("t") CELL("!")))
                    SHEET("Pool", LINE(CELL("name") CELL("why") CELL("since")) LINE(CELL("Bay") CELL("!") CELL("!")))
                        SHEET("Owned", LINE(CELL("Karte") CELL("Notiz")) LINE(CELL("2x Ash") CELL("!"))),
        &length);
    folder_write(folder, "all.ods", bytes, length);
    free(bytes);
    folder_print(
        folder, "scenario.yaml",
        "model: model.yaml\ncards: [all.ods]\nowned: [all.ods]\npool: all.ods\ntags: [all.ods, all.ods#Short]\n");
    Run run;
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "-o", "-", "--all"));
    desk_expect_told(&run, 0, "notice: the owned cards are read from its sheet 'Owned' (of 5), as it is called;");
    desk_expect_told(&run, 0,
                     "notice: the cards of the present pool are read from its sheet 'Pool' (of 5), as it is called;");
    desk_expect_told(&run, 0, "notice: the tags are read from its sheet 'Marks' (of 5), as the headers say;");
    assert_non_null(strstr(run.out, "name,colours,copies,chosen,owned,class,fit,reason\r\nAsh,rye,3,2,2,mono,1,"));
    run_forget(&run);
    run_poolwright(folder, WORDS("audit", "scenario.yaml", "all.ods"), NULL, &run); /* named: the same one */
    desk_expect_told(&run, 1, "notice: the cards of the pool are read from its sheet 'Pool' (of 5), as it is called;");
    run_forget(&run);
    bytes = packed_ods(NULL,
                       SHEET("Cards", LINE(CELL("name") CELL("colours") CELL("copies")) LINE(
                                          CELL("Ash") CELL("rye") CELL("3")) LINE(CELL("Bay") CELL("rye") CELL("3")))
                           SHEET("Box", LINE(CELL("name") CELL("copies") CELL("note") CELL("since"))
                                            LINE(CELL("Ash") CELL("1") CELL("!") CELL("!"))),
                       &length);
    folder_write(folder, "two.ods", bytes, length); /* more of Box is of no use, and yet it is meant */
    free(bytes);
    folder_print(folder, "scenario.yaml", "model: model.yaml\ncards: [two.ods]\nowned: [two.ods]\n");
    desk_run(folder, &run, 0, WORDS("best", "scenario.yaml", "-o", "-", "--all"));
    desk_expect_told(&run, 0, "notice: the owned cards are read from its sheet 'Box' (of 2), as the headers say;");
    run_forget(&run);
    desk_done(folder);
}

static void a_list_without_columns_takes_no_money(void **state)
{
    (void)state;
    char *folder = told_folder("owned: [o.csv]\n");
    folder_print(folder, "o.csv", "Ash\nBay\n");
    folder_print(folder, "b.csv", "name,paid\nAsh,1.00\nSum,1.00\n");
    expect_told(folder, WORDS("bought", "scenario.yaml", "b.csv"), 0, "'Sum' is taken for a total, not for a card");
    expect_told(folder, WORDS("bought", "scenario.yaml", "b.csv", "--apply"), 2,
                "--apply: 'o.csv' is a list of names without names of columns");
    desk_expect_file(folder, "o.csv", "Ash\nBay\n");
    desk_done(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sheets_beside_the_cards_are_read_alike), cmocka_unit_test(what_stands_beside_cards_is_told),
        cmocka_unit_test(what_shops_say_is_not_passed_over),      cmocka_unit_test(what_decides_is_not_passed_over),
        cmocka_unit_test(sheets_of_one_workbook_are_told_apart),  cmocka_unit_test(headings_and_totals_stay),
        cmocka_unit_test(a_list_without_columns_takes_no_money)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
