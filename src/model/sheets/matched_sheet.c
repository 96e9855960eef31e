/* matched_sheet.c - reading sheets that are matched by name. Lines that name no candidate are counted, and the first
 * few shown in a notice: price and owned lists are longer than any list of candidates. */
#include "model/sheets/matched_sheet.h"

#include <string.h>

#include "cards/sheet/header_words.h"

#define SHOWN 5

/* The `chosen` of a list of ours goes before what the user's column said of the pool before it. */
static int column_in(const Sheet *sheet, const Model *model, const char *word, bool *used)
{
    if (strcmp(word, "chosen") == 0 && sheet_column(sheet, word) >= 0)
        return sheet_column(sheet, word);
    for (size_t i = 0; i < model->maps; i++) {
        if (strcmp(model->map_field[i], word) != 0)
            continue;
        int column = sheet_column(sheet, model->map_header[i]);
        if (column >= 0) {
            if (used != NULL)
                used[i] = true;
            return column;
        }
    }
    return sheet_column(sheet, word);
}

int mapped_column(const Sheet *sheet, const Model *model, const char *word)
{
    return column_in(sheet, model, word, NULL);
}

bool cell_card(const Instance *instance, const Sheet *sheet, const SheetCell *cell, size_t *card, Diags *diags)
{
    char excerpt[TEXT_EXCERPT];
    const long found = cell->text[0] != '\0' ? card_find(instance->cards, cell->text) : -1;
    if (found >= 0) {
        *card = (size_t)found;
        return true;
    }
    if (cell->text[0] == '\0') {
        diag_error(diags, sheet_pos(sheet, cell), "found a line without a card, expected a card's name");
        return false;
    }
    const char *near = diags_full(diags, sheet->path) ? NULL : card_nearest(instance->cards, cell->text);
    diag_error(diags, sheet_pos(sheet, cell), "no candidate is called '%s'%s", text_excerpt(excerpt, cell->text),
               did_you_mean(near, instance->arena));
    return false;
}

int matched_column(const MatchedSheet *side, const char *word)
{
    return column_in(&side->sheet, side->builder->instance->model, word, side->builder->instance->cards->map_used);
}

/* The headers that the model has for the field, and this one. */
static const char *with_header(const MatchedSheet *side, const char *word, const char *header)
{
    const Model *model = side->builder->instance->model;
    Arena *arena = side->builder->instance->arena;
    const char *list = arena_printf(arena, "\"%s\"", header);
    bool several = false;
    for (size_t i = model->maps; i-- > 0;)
        if (strcmp(model->map_field[i], word) == 0) {
            list = arena_printf(arena, "\"%s\", %s", model->map_header[i], list);
            several = true;
        }
    return several ? arena_printf(arena, "[%s]", list) : list;
}

/* The header almost called so, else *meant: the one with a word for the field, -1: none. headers[]: all of them. */
static const char *meant_header(const MatchedSheet *side, const char *word, const char **headers, int *meant)
{
    const size_t count = side->sheet.header.cells;
    for (size_t i = 0; i < count; i++)
        headers[i] = side->sheet.header.cell[i].text;
    const char *nearest = text_nearest(word, headers, count);
    const int field = strcmp(word, "tag") == 0 ? HOLDS_TAGS : field_of_name(word);
    *meant = nearest == NULL && field >= 0 ? header_meant(headers, count, (ColumnField)field) : -1;
    return nearest;
}

bool matched_lacks(const MatchedSheet *side, const char *word)
{
    int meant = -1;
    const char **headers = mem_new(side->sheet.header.cells, sizeof *headers);
    const bool lacks = matched_column(side, word) < 0 && meant_header(side, word, headers, &meant) == NULL && meant < 0;
    mem_free(headers);
    return lacks;
}

int matched_need_column(const MatchedSheet *side, const char *word)
{
    int column = matched_column(side, word), meant;
    if (column >= 0)
        return column;
    const char **headers = mem_new(side->sheet.header.cells, sizeof *headers);
    char first[TEXT_EXCERPT];
    const char *nearest = meant_header(side, word, headers, &meant);
    const SourcePos at = sheet_pos(&side->sheet, &side->sheet.header.cell[meant >= 0 ? meant : 0]);
    if (meant >= 0)
        diag_error(side->builder->diags, at,
                   "found no column '%s'; is it '%s'? Then write columns: {%s: %s} into the model", word,
                   text_excerpt(first, headers[meant]), word, with_header(side, word, headers[meant]));
    else if (nearest != NULL)
        diag_error(side->builder->diags, at, "found no column '%s', expected one%s", word,
                   did_you_mean(nearest, side->builder->instance->arena));
    else
        diag_error(side->builder->diags, at, "found no column '%s' (the first line begins with '%s'), expected one",
                   word, text_excerpt(first, headers[0]));
    mem_free(headers);
    return -1;
}

/* ---- headers that are almost one of ours ---- */

/* What a sheet of the kind may hold; what it must is an error where it is missing. Where one word for the number of
 * copies stands, the others are not missed. */
static const char *const read_words[][12] = {
    [MATCHED_PRICES] = {"low", "high", "date", "currency", "shop", "stock", "condition", "language"},
    [MATCHED_OWNED] = {"copies", "owned", "paid"},
    [MATCHED_TAGS] = {"tag", "role", "weight", "status", "wishes"},
    [MATCHED_POOL] = {"copies", "chosen"},
};
static const char *const copies_words[] = {"copies", "owned", "chosen"};
#define COPIES_WORDS (sizeof copies_words / sizeof *copies_words)

/* The headers that the model calls the user's own. */
static void mark_own(const MatchedSheet *side, bool *read)
{
    const Model *model = side->builder->instance->model;
    for (size_t i = 0; i < model->maps; i++) {
        const int column = sheet_column(&side->sheet, model->map_header[i]);
        if (column < 0)
            continue;
        read[column] = true;
        if (strcmp(model->map_field[i], "own") == 0)
            side->builder->instance->cards->map_used[i] = true;
    }
}

static void tell_slips(const MatchedSheet *side, MatchedKind kind)
{
    const char *missing[12];
    size_t count = 0;
    bool copies = false, *read = mem_new(side->sheet.header.cells, sizeof *read);
    mark_own(side, read);
    const Model *model = side->builder->instance->model;
    const bool short_list =
        mapped_column(&side->sheet, model, "status") >= 0 || mapped_column(&side->sheet, model, "wishes") >= 0;
    for (size_t k = 0; k < COPIES_WORDS; k++)
        copies = copies || mapped_column(&side->sheet, side->builder->instance->model, copies_words[k]) >= 0;
    for (const char *const *word = read_words[kind]; *word != NULL; word++) {
        const int column = mapped_column(&side->sheet, side->builder->instance->model, *word);
        if (column >= 0)
            read[column] = true;
        else if (strcmp(*word, "tag") == 0 && !short_list)
            continue; /* tags_sheets.c asks for it */
        else if (!copies || text_find(*word, copies_words, COPIES_WORDS) < 0)
            missing[count++] = *word;
    }
    headers_tell_slips(&side->sheet, read, missing, count, true, side->builder->diags);
    mem_free(read);
}

/* What each kind of sheet holds: the first `needed` of the words must be there, and `least` of all. */
typedef struct {
    const char *what;
    const char *word[8];
    int needed, least;
} MatchedWords;

static const MatchedWords matched_words[] = {
    [MATCHED_PRICES] = {"prices", {"name", "price", "low", "high", "date", "currency", "shop", "stock"}, 2, 2},
    [MATCHED_OWNED] = {"owned cards", {"name", "copies", "paid"}, 1, 1},
    [MATCHED_TAGS] = {"tags", {"name", "tag", "role", "weight", "status"}, 1, 2},
    [MATCHED_POOL] = {"cards of the present pool", {"name", "chosen"}, 1, 1},
};

typedef struct {
    const Model *model;
    const MatchedWords *words;
} MatchedUse;

static int words_found(const Sheet *sheet, const void *context)
{
    const MatchedUse *use = context;
    const int words = (int)(sizeof use->words->word / sizeof *use->words->word);
    int found = 0;
    for (int k = 0; k < words && use->words->word[k] != NULL; k++) {
        const bool there = column_in(sheet, use->model, use->words->word[k], NULL) >= 0;
        if (!there && k < use->words->needed)
            return -1;
        found += there;
    }
    return found >= use->words->least ? found : -1;
}

/* A list of names in place of a sheet, such as text with a name on each line. */
static bool is_plain_list(const MatchedSheet *side, MatchedKind kind)
{
    const Instance *instance = side->builder->instance;
    const char *first = side->sheet.header.cell[0].text;
    size_t length;
    int copies;
    if ((kind != MATCHED_OWNED && kind != MATCHED_POOL) || side->sheet.header.cells != 1 ||
        mapped_column(&side->sheet, instance->model, "name") >= 0)
        return false;
    const char *listed = listed_name(first, &length, &copies);
    return card_find(instance->cards, first) >= 0 ||
           card_find(instance->cards, arena_strndup(instance->arena, listed, length)) >= 0;
}

bool matched_open(const InstanceBuilder *builder, MatchedKind kind, const PathAt *path, MatchedSheet *side)
{
    *side = (MatchedSheet){.builder = builder};
    const MatchedUse words = {.model = builder->instance->model, .words = &matched_words[kind]};
    const SheetUse use = {.what = matched_words[kind].what, .fits = words_found, .context = &words};
    if (!sheet_read_for(builder->instance->arena, builder->instance->scenario->files, path->path, path->at, &use,
                        &side->sheet, builder->diags))
        return false;
    if (is_plain_list(side, kind))
        sheet_as_names(builder->instance->arena, &side->sheet);
    side->name = matched_need_column(side, "name");
    if (side->name >= 0)
        sheet_take_habits(&side->sheet, (size_t)side->name, &builder->instance->model->habits);
    if (side->name >= 0)
        tell_slips(side, kind);
    return side->name >= 0;
}

const SheetCell *matched_cell(const MatchedSheet *side, int column)
{
    return &side->row->cell[column];
}

void matched_report(const MatchedSheet *side, const SheetCell *cell, const char *expected)
{
    sheet_report(&side->sheet, (int)(cell - side->row->cell), cell, expected, side->builder->diags);
}

long matched_card(MatchedSheet *side)
{
    const SheetCell *cell = matched_cell(side, side->name);
    if (cell->text[0] == '\0') {
        diag_error(side->builder->diags, sheet_pos(&side->sheet, cell),
                   "found a line without a name, expected a card's name");
        return -1;
    }
    const CardSet *cards = side->builder->instance->cards;
    side->copies = 1;
    long card = card_find(cards, cell->text);
    if (card >= 0)
        return card;
    size_t length;
    int copies;
    const char *start = listed_name(cell->text, &length, &copies);
    card = card_find(cards, arena_strndup(side->builder->instance->arena, start, length));
    if (card >= 0) {
        side->copies = copies;
        return card;
    }
    if (side->unmatched++ < SHOWN && !side->only_counted) {
        char excerpt[TEXT_EXCERPT];
        const char *near = card_nearest(side->builder->instance->cards, cell->text);
        text_printf(&side->examples, "%s'%s'", side->unmatched == 1 ? "" : ", ", text_excerpt(excerpt, cell->text));
        if (near != NULL)
            text_printf(&side->examples, " (did you mean '%s'?)", near);
    }
    return -1;
}

void matched_close(MatchedSheet *side)
{
    if (side->unmatched > 0 && side->only_counted)
        diag_notice(side->builder->diags, (SourcePos){.file = side->sheet.path},
                    "%zu of %zu lines name%s no candidate: `check` lists them", side->unmatched, side->sheet.rows,
                    side->unmatched == 1 ? "s" : "");
    else if (side->unmatched > 0)
        diag_notice(side->builder->diags, (SourcePos){.file = side->sheet.path},
                    "%zu of %zu lines name%s no candidate: %s%s", side->unmatched, side->sheet.rows,
                    side->unmatched == 1 ? "s" : "", text_cstr(&side->examples),
                    side->unmatched > SHOWN ? ", ..." : "");
    text_release(&side->examples);
}
