/* first_plan.c - see first_plan.h. */
#include "ask/plans/first_plan.h"

#include "base/number.h"
#include "cards/sheet/sheet_numbers.h"
#include "model/paths.h"

#define SIZE_USUAL 360
#define SIZE_STEP 45 /* what one seat opens */

/* The usual size where there is something to choose from, else four fifths of what there is, in whole seats. */
static int likely_size(int candidates)
{
    if (candidates * 4 >= SIZE_USUAL * 5)
        return SIZE_USUAL;
    const int size = candidates * 4 / 5;
    return size >= SIZE_STEP ? size / SIZE_STEP * SIZE_STEP : size > 0 ? size : 1;
}

static bool says_pool(const IntakeSheet *sheet)
{
    return sheet->role == SHEET_POOL ||
           (sheet->role == SHEET_CARDS && sheet->of_pool && intake_column(sheet, HOLDS_CHOSEN) >= 0);
}

/* The candidates in the sheets of the present pool, with their copies. */
static int present_size(const Intake *intake)
{
    int size = 0;
    for (size_t s = 0; s < intake->sheets; s++) {
        const IntakeSheet *sheet = &intake->sheet[s];
        const int chosen = intake_column(sheet, HOLDS_CHOSEN),
                  count = chosen >= 0 ? chosen : intake_column(sheet, HOLDS_COPIES);
        for (size_t i = 0; i < sheet->sheet.rows && says_pool(sheet); i++) {
            const SheetCell *cell = sheet->sheet.row[i].cell;
            int copies = count < 0 ? 1 : 0;
            if (card_find(intake->cards, cell[sheet->name].text) >= 0 &&
                (count < 0 || sheet_copies(&sheet->sheet, cell[count].text, &copies)))
                size += copies;
        }
    }
    return size;
}

/* A whole number within the candidates; the likely one where the answer is none, with an error. */
static int ask_size(Intake *intake, int wanted, int candidates)
{
    Arena *arena = intake->arena;
    const int present = present_size(intake);
    const int likely = wanted > 0 ? wanted : present > 0 && present < candidates ? present : likely_size(candidates);
    IntakeQuestion question = {
        .id = "size",
        .text = arena_printf(arena, "how many of the %d candidates shall be in the pool?", candidates),
        .likely = arena_printf(arena, "%d", likely),
        .sure = wanted > 0};
    const char *answer = intake_ask(intake, question);
    int64_t size = 0;
    if (number_parse(answer, 0, false, &size) != NUMBER_OK || size < 1 || size > candidates) {
        diag_error(intake->diags, (SourcePos){0}, "%s: found %s, expected a whole number up to the %d candidates",
                   wanted > 0 ? "--size" : "the size", answer, candidates);
        return likely;
    }
    return (int)size;
}

static int64_t ask_unpriced(Intake *intake, const Supply *supply)
{
    Arena *arena = intake->arena;
    const size_t without = intake->cards->count - supply->priced;
    char number[NUMBER_TEXT];
    if (supply->priced == 0 || without == 0)
        return -1;
    IntakeQuestion question = {
        .id = "unpriced",
        .text = "what shall candidates without a price count as? (the likely answer is the middle price)",
        .likely = arena_strdup(arena, number_format(number, supply->middle_price, 2, 2)),
        .count = without,
        .of = intake->cards->count};
    const char *answer = intake_ask(intake, question);
    int64_t cents = 0;
    if (number_parse_money(answer, false, &cents) == NUMBER_OK && cents >= 0)
        return cents;
    diag_error(intake->diags, (SourcePos){0}, "unpriced: found %s, expected an amount of money such as 0.50", answer);
    return supply->middle_price;
}

void first_themes(StarterFound *found)
{
    const Intake *intake = found->intake;
    StarterTheme *theme = arena_alloc(intake->arena, intake->themes, sizeof *theme);
    for (size_t t = 0; t < intake->themes; t++)
        theme[t] = (StarterTheme){.name = intake->theme[t].name, .colours = intake->theme[t].colours};
    found->plan.theme = theme;
    found->plan.themes = intake->themes;
}

void first_sheets(StarterFound *found, const char *folder)
{
    const Intake *intake = found->intake;
    StarterSheet *sheet = arena_alloc(intake->arena, 2 * intake->sheets, sizeof *sheet);
    for (size_t s = 0; s < intake->sheets; s++) {
        const SheetRole role = intake->sheet[s].role;
        const char *path = path_between(intake->arena, folder, intake->sheet[s].path);
        if (role != SHEET_LEFT)
            sheet[found->sheets++] = (StarterSheet){.path = path, .key = sheet_role_word[role]};
        if (role == SHEET_CARDS && says_pool(&intake->sheet[s]))
            sheet[found->sheets++] = (StarterSheet){.path = path, .key = sheet_role_word[SHEET_POOL]};
    }
    found->sheet = sheet;
}

/* A cap asks what cards cost, and nothing says so. */
static void tell_no_prices(Intake *intake, int64_t cap)
{
    const IntakeSheet *cards = &intake->sheet[0];
    for (size_t s = intake->sheets; s-- > 0;)
        if (intake->sheet[s].role == SHEET_CARDS)
            cards = &intake->sheet[s];
    diag_error(intake->diags, sheet_pos(&cards->sheet, &cards->sheet.header.cell[0]),
               "no column seems to hold prices, so no spending cap can be kept; leave the cap out%s, call a column "
               "'price', or answer \"column %s HEADER\": \"price\"",
               cap == 0 ? " (for a pool of owned cards alone write 'spending_cap: 0' and 'unpriced: skip' into the "
                          "model then)"
                        : "",
               cards->path);
}

void first_plan(Intake *intake, const FirstWish *wish, StarterFound *found)
{
    *found = (StarterFound){.intake = intake, .cap = wish->cap, .unscored = -1};
    supply_count(intake, NULL, &found->supply);
    const Supply *supply = &found->supply;
    if (wish->cap >= 0 && supply->priced == 0)
        tell_no_prices(intake, wish->cap);
    found->plan = (StarterPlan){
        .size = ask_size(intake, wish->size, supply->candidates), .colour = intake->colour, .colours = intake->colours};
    first_themes(found);
    found->unpriced = ask_unpriced(intake, supply);
    found->unpriced_cards = intake->cards->count - supply->priced;
    found->unscored_cards = intake->cards->count - supply->scored;
    if (supply->has_power && found->unscored_cards > 0)
        found->unscored = supply->middle_power;
}
