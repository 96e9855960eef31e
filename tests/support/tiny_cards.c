/* tiny_cards.c - writes the sheets of a tiny scenario: see tiny.h. */
#include "tiny.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* An invented game's cards; the second spelling folds alike (case, accents, outer blanks). */
static const char *const card_names[TINY_CARDS_MOST][2] = {
    {"Kiln Warden", "kiln warden"},
    {"Émaille Bridge", "emaille bridge"},
    {"Sand, Twice Sifted", "SAND, TWICE SIFTED"},
    {"Old \"Patch\" Moll", "old \"patch\" moll"},
    {"Rope Choir", "ROPE CHOIR"},
    {"Ångel Lamp", "angel lamp"},
    {"no", "NO"},
    {"Seventeen", "seventeen"},
    {"Weir Keeper", " Weir Keeper "},
    {"Tide Ledger", "tide ledger"},
    {"Bolt of Fog", "Bolt of fog"},
    {"Øre Chest", "ore chest"},
    {"1:20", "1:20"},
    {"Glassblower's Debt", "glassblower's DEBT"},
};

/* Beyond the list: the same names with a number behind them. */
static const char *numbered(int card, int spelling)
{
    static char names[CARDS_MOST][2][64];
    char *name = names[card][spelling];
    if (name[0] == '\0') {
        snprintf(name, sizeof names[card][spelling], "%s %d", card_names[card % TINY_CARDS_MOST][spelling],
                 card / TINY_CARDS_MOST + 1);
    }
    return name;
}

const char *tiny_card_name(int card)
{
    return card < TINY_CARDS_MOST ? card_names[card][0] : numbered(card, 0);
}

const char *tiny_card_spelling(int card)
{
    return card < TINY_CARDS_MOST ? card_names[card][1] : numbered(card, 1);
}

const char *tiny_colour_name(int colour)
{
    static const char *const names[] = {"brass", "glass", "linen", "tar"};
    return names[colour];
}

const char *tiny_theme_name(int tag)
{
    static const char *const names[] = {"convoys", "deep water", "kites", "removal", "mending"};
    return names[tag];
}

const char *tiny_kind_name(int kind)
{
    static const char *const names[] = {"crew", "vessel", "port", "sea shanty"};
    return names[kind];
}

const char *tiny_word(int word)
{
    static const char *const words[] = {"North", "south-east", "Mid Sea"};
    return words[word];
}

void page_add(Page *page, const char *format, ...)
{
    char *piece = NULL;
    va_list arguments;
    va_start(arguments, format);
    int length = vasprintf(&piece, format, arguments);
    va_end(arguments);
    if (length < 0) {
        abort();
    }
    size_t needed = page->length + (size_t)length + 1;
    if (needed > page->capacity) {
        page->capacity = needed * 2;
        page->data = realloc(page->data, page->capacity);
        if (page->data == NULL) {
            abort();
        }
    }
    memcpy(page->data + page->length, piece, (size_t)length + 1);
    page->length += (size_t)length;
    free(piece);
}

void page_decimal(Page *page, int64_t value, int scale, char point)
{
    char digits[16];
    int64_t size = value < 0 ? -value : value;
    int places = scale == 100 ? 2 : 3;
    snprintf(digits, sizeof digits, "%0*d", places, (int)(size % scale));
    for (int i = places; scale != 100 && i > 0 && digits[i - 1] == '0'; i--) {
        digits[i - 1] = '\0';
    }
    page_add(page, "%s%lld", value < 0 ? "-" : "", (long long)(size / scale));
    if (digits[0] != '\0') {
        page_add(page, "%c%s", point, digits);
    }
}

void page_save(Page *page, const char *folder, const char *name)
{
    folder_write(folder, name, page->data, page->length);
    free(page->data);
    *page = (Page){.data = NULL};
}

/* A cell with quotes where it needs them, then the separator or the line's end. */
static void add_cell(Page *page, const Tiny *tiny, const char *text)
{
    char special[] = {tiny->separator, '"', '\n', '\r', '\0'};
    if (text[strcspn(text, special)] == '\0') {
        page_add(page, "%s", text);
    } else {
        page_add(page, "\"");
        for (const char *c = text; *c != '\0'; c++) {
            page_add(page, *c == '"' ? "\"\"" : "%c", *c);
        }
        page_add(page, "\"");
    }
}

static void end_cell(Page *page, const Tiny *tiny)
{
    page_add(page, "%c", tiny->separator);
}

static void end_line(Page *page, const Tiny *tiny)
{
    page_add(page, tiny->crlf ? "\r\n" : "\n");
}

static void text_cell(Page *page, const Tiny *tiny, const char *text)
{
    add_cell(page, tiny, text);
    end_cell(page, tiny);
}

static void number_cell(Page *page, const Tiny *tiny, bool there, int64_t value, int scale)
{
    Page number = {.data = NULL};
    if (there) {
        page_decimal(&number, value, scale, tiny->separator == ',' ? '.' : ',');
        add_cell(page, tiny, number.data);
        free(number.data);
    }
    end_cell(page, tiny);
}

static void whole_cell(Page *page, const Tiny *tiny, int number, int blank)
{
    if (number != blank) {
        page_add(page, "%d", number);
    }
    end_cell(page, tiny);
}

static void need_cell(Page *page, const Tiny *tiny, const Need *need, bool say_none)
{
    char text[200] = "";
    for (int i = 0; i < need->parts; i++) {
        const char *before = i > 0 ? "+" : "";
        for (int k = 0; k < tiny->colours; k++) {
            if ((need->part[i] >> k & 1U) != 0) {
                strcat(strcat(text, before), tiny_colour_name(k));
                before = "/";
            }
        }
    }
    text_cell(page, tiny, need->parts == 0 && say_none ? "colourless" : text);
}

static void kind_cell(Page *page, const Tiny *tiny, bool there, unsigned kind)
{
    char text[200] = "";
    for (int k = 0; k < tiny->kinds && there; k++) {
        if ((kind >> k & 1U) != 0) {
            strcat(strcat(text, text[0] != '\0' ? "; " : ""), tiny_kind_name(k));
        }
    }
    text_cell(page, tiny, text);
}

static const char *role_word(int role)
{
    static const char *const words[] = {"", "enabler", "payoff", "both"};
    return words[role];
}

/* What the words for powers are worth: of the first two powers that differ. False: there are not so many. */
bool tiny_power_grade(const Tiny *tiny, int which, int64_t *power)
{
    const TinyCard *first = NULL;
    for (int c = 0; c < tiny->cards && tiny->grades; c++) {
        const TinyCard *card = &tiny->card[c];
        const bool other = card->has_power && first != NULL && card->power != first->power;
        if (first == NULL && card->has_power)
            first = card;
        if (which == 0 ? first != NULL : other) {
            *power = card->power;
            return true;
        }
    }
    return false;
}

static void power_cell(Page *page, const Tiny *tiny, const TinyCard *card)
{
    static const char *const words[] = {"must", "GOOD"};
    for (int which = 0; which < 2; which++) {
        int64_t power;
        if (card->has_power && tiny_power_grade(tiny, which, &power) && power == card->power) {
            text_cell(page, tiny, words[which]);
            return;
        }
    }
    number_cell(page, tiny, card->has_power, card->power, 1000);
}

/* The word for a weight of a theme's tag; NULL: a number. */
static const char *weight_grade(const Tiny *tiny, int tag, int64_t weight)
{
    if (!tiny->grades || tag >= tiny->themes)
        return NULL;
    return weight == 2000 ? "twice" : weight == 500 ? "Half" : weight == 3000 && tag == 0 ? "thrice" : NULL;
}

static void add_weight(Page *page, const Tiny *tiny, int t, int64_t weight, char point)
{
    const char *grade = weight_grade(tiny, t, weight);
    if (grade != NULL)
        page_add(page, "%s", grade);
    else
        page_decimal(page, weight, 1000, point);
}

/* "convoys enabler 3", the role before or after the weight. */
static void tag_text(Page *page, const Tiny *tiny, int t, const TinyTag *tag, const char *name, char point, int manner)
{
    page_add(page, "%s%s", name, name[0] != '\0' ? " " : "");
    if (manner % 2 == 0 && tag->role != NO_ROLE) {
        page_add(page, "%s ", role_word(tag->role));
    }
    if (tag->weight != 1000 || name[0] == '\0') {
        add_weight(page, tiny, t, tag->weight, point);
    }
    if (manner % 2 == 1 && tag->role != NO_ROLE) {
        page_add(page, " %s", role_word(tag->role));
    }
}

static void tags_cell(Page *page, const Tiny *tiny, int c)
{
    Page tags = {.data = NULL};
    page_add(&tags, "%s", "");
    for (int t = 0; t < tiny->tags; t++) {
        const TinyTag *tag = &tiny->card[c].tag[t];
        if (tag->there && tag->written == 0) {
            page_add(&tags, tags.length > 0 ? "; " : "");
            tag_text(&tags, tiny, t, tag, tiny_theme_name(t), '.', c + t);
        }
    }
    text_cell(page, tiny, tags.data);
    free(tags.data);
}

static void theme_cell(Page *page, const Tiny *tiny, int c, int t)
{
    const TinyTag *tag = &tiny->card[c].tag[t];
    Page cell = {.data = NULL};
    page_add(&cell, "%s", "");
    if (tag->there && tag->written == 1) {
        tag_text(&cell, tiny, t, tag, "", '.', c + t);
    }
    text_cell(page, tiny, cell.data);
    free(cell.data);
}

static void status_cell(Page *page, const Tiny *tiny, unsigned status)
{
    char text[40] = "";
    if ((status & KEEP) != 0) {
        strcat(text, "keep");
    }
    if ((status & BAN) != 0) {
        strcat(strcat(text, text[0] != '\0' ? "; " : ""), "ban");
    }
    if ((status & WISH) != 0) {
        strcat(strcat(text, text[0] != '\0' ? "; " : ""), "wish");
    }
    text_cell(page, tiny, text);
}

static void header(Page *page, const Tiny *tiny)
{
    if (tiny->bom) {
        page_add(page, "\xEF\xBB\xBF");
    }
    static const char *const plain[] = {"symbols", "colours", "kind", "cost", "power"};
    static const char *const odd[] = {"Symbols", "COLORS", " kinds", "Cost", "power"};
    for (int i = 0; i < 5; i++) {
        text_cell(page, tiny, tiny->odd_spelling ? odd[i] : plain[i]);
    }
    text_cell(page, tiny, tiny->map_price ? "unit price" : "price");
    static const char *const rest[] = {"copies",  "owned",      "status", "as_colours", "as_kind",
                                       "as_cost", "sturdiness", "region", "tags"};
    for (int i = 0; i < 9; i++) {
        text_cell(page, tiny, rest[i]);
    }
    for (int t = 0; t < tiny->themes; t++) {
        text_cell(page, tiny, tiny_theme_name(t));
    }
    page_add(page, "name");
    end_line(page, tiny);
}

static void card_line(Page *page, const Tiny *tiny, int c)
{
    const TinyCard *card = &tiny->card[c];
    whole_cell(page, tiny, card->symbols, -1);
    need_cell(page, tiny, &card->printed, c % 2 == 0);
    kind_cell(page, tiny, true, card->kind);
    number_cell(page, tiny, card->has_cost, card->cost, 1000);
    power_cell(page, tiny, card);
    number_cell(page, tiny, card->has_price && !card->priced_by_sheet, card->price, 100);
    whole_cell(page, tiny, card->copies, 1);
    whole_cell(page, tiny, card->owned_by_sheet ? 0 : card->owned, 0);
    status_cell(page, tiny, card->status[BY_SHEET]);
    if (card->has_as_colours) {
        need_cell(page, tiny, &card->as, true);
    } else {
        end_cell(page, tiny);
    }
    kind_cell(page, tiny, card->has_as_kind, card->as_kind);
    number_cell(page, tiny, card->has_as_cost, card->as_cost, 1000);
    number_cell(page, tiny, card->has_number, card->number, 1000);
    text_cell(page, tiny, card->word >= 0 ? tiny_word(card->word) : "");
    tags_cell(page, tiny, c);
    for (int t = 0; t < tiny->themes; t++) {
        theme_cell(page, tiny, c, t);
    }
    add_cell(page, tiny, tiny_card_name(c));
    end_line(page, tiny);
}

static void write_cards(const Tiny *tiny, const char *folder, int sheet, const char *name)
{
    Page page = {.data = NULL};
    header(&page, tiny);
    for (int c = 0; c < tiny->cards; c++) {
        if (tiny->card[c].sheet == sheet) {
            card_line(&page, tiny, c);
        }
    }
    for (int c = tiny->cards - 1; c >= 0 && tiny->repeat_a_line; c -= 5) {
        if (tiny->card[c].sheet == sheet) {
            card_line(&page, tiny, c);
        }
    }
    page_save(&page, folder, name);
}

/* Printings of a card: the cheapest counts. */
static void write_prices(const Tiny *tiny, const char *folder)
{
    Page page = {.data = NULL};
    page_add(&page, "name,price,low,high,date\n");
    for (int c = 0; c < tiny->cards; c++) {
        const TinyCard *card = &tiny->card[c];
        for (int printing = 0; printing < 2 && card->has_price && card->priced_by_sheet; printing++) {
            Tiny comma = {.separator = ','};
            text_cell(&page, &comma, printing == c % 2 ? tiny_card_name(c) : tiny_card_spelling(c));
            page_decimal(&page, printing == c % 2 ? card->price : card->price + 75, 100, '.');
            page_add(&page, ",,");
            if (card->high > 0 && printing == c % 2)
                page_decimal(&page, card->high, 100, '.');
            page_add(&page, ",2024-05-0%d\n", printing + 1);
        }
    }
    page_save(&page, folder, "prices.csv");
}

static void write_owned(const Tiny *tiny, const char *folder)
{
    Page page = {.data = NULL};
    Tiny semicolon = {.separator = ';'};
    page_add(&page, "Name;Copies;Paid\n");
    for (int c = 0; c < tiny->cards; c++) {
        if (tiny->card[c].owned > 0 && tiny->card[c].owned_by_sheet) {
            text_cell(&page, &semicolon, tiny_card_spelling(c));
            page_add(&page, "%d;", tiny->card[c].owned);
            if (tiny->paid[c] != 0)
                page_decimal(&page, tiny->paid[c], 100, ',');
            page_add(&page, "\n");
        }
    }
    page_save(&page, folder, "owned.csv");
}

static void write_tags(const Tiny *tiny, const char *folder)
{
    Page page = {.data = NULL};
    Tiny comma = {.separator = ','};
    page_add(&page, "tag,name,role,weight\n");
    for (int c = 0; c < tiny->cards; c++) {
        for (int t = 0; t < tiny->tags; t++) {
            const TinyTag *tag = &tiny->card[c].tag[t];
            if (tag->there && tag->written == 2) {
                text_cell(&page, &comma, tiny_theme_name(t));
                text_cell(&page, &comma, tiny_card_name(c));
                text_cell(&page, &comma, role_word(tag->role));
                if (tag->weight != 1000) {
                    add_weight(&page, tiny, t, tag->weight, '.');
                }
                page_add(&page, "\n");
            }
        }
    }
    page_save(&page, folder, "tags.csv");
}

void tiny_write_cards(const Tiny *tiny, const char *folder)
{
    write_cards(tiny, folder, 0, "cards.csv");
    write_cards(tiny, folder, 1, "more.csv");
    write_prices(tiny, folder);
    write_owned(tiny, folder);
    write_tags(tiny, folder);
}
