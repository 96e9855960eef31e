/* matched_sheet.c - reading sheets that are matched by name. Lines that name no candidate are counted, and the first
 * few shown in a notice: price and owned lists are longer than any list of candidates. */
#include "model/sheets/matched_sheet.h"

#include <stdio.h>
#include <string.h>

#include "cards/names/counts.h"
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

/* Does the column hold nothing but numbers of copies? */
static bool holds_copies(const Sheet *sheet, size_t column)
{
    for (size_t i = 0; i < sheet->rows; i++) {
        const char *text = sheet->row[i].cell[column].text;
        int copies;
        if (text[0] != '\0' && !word_is_nothing(text) && !sheet_copies(sheet, text, &copies))
            return false;
    }
    return true;
}

int side_column(const Sheet *sheet, const Model *model, const char *word)
{
    const int named = mapped_column(sheet, model, word), field = field_of_name(word);
    int found = -1;
    if (named >= 0 || field < 0)
        return named;
    const bool copies = field == HOLDS_COPIES || field == HOLDS_OWNED || field == HOLDS_CHOSEN;
    for (size_t i = 0; i < sheet->header.cells; i++) {
        const char *header = sheet->header.cell[i].text;
        if (!header_is(header, (ColumnField)field) || field_of_name(header) >= 0 ||
            text_find(header, model->map_header, model->maps) >= 0 || (copies && !holds_copies(sheet, i)))
            continue;
        if (found >= 0)
            return -1;
        found = (int)i;
    }
    return found;
}

void side_tell(const Sheet *sheet, const Model *model, int column, const char *word, Diags *diags)
{
    char excerpt[TEXT_EXCERPT];
    if (column < 0 || mapped_column(sheet, model, word) >= 0)
        return;
    const SheetCell *header = &sheet->header.cell[column];
    diag_remark(diags, sheet_pos(sheet, header), "the column '%s' is read as %s", text_excerpt(excerpt, header->text),
                word);
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

/* What is read by words alone, where neither the model nor the header says it: sheets of tags are not. */
static bool by_words(const char *word)
{
    static const char *const words[] = {"name", "price", "copies", "owned", "chosen", "paid"};
    return text_find(word, words, sizeof words / sizeof *words) >= 0;
}

int matched_column(const MatchedSheet *side, const char *word)
{
    const Model *model = side->builder->instance->model;
    int column = column_in(&side->sheet, model, word, side->builder->instance->cards->map_used);
    if (column < 0 && by_words(word)) {
        column = side_column(&side->sheet, model, word);
        side_tell(&side->sheet, model, column, word, side->builder->diags);
    }
    return column;
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

static bool is_card(const Instance *instance, const char *text)
{
    size_t length;
    int copies;
    if (card_find(instance->cards, text) >= 0)
        return true;
    const char *name = name_with_count(text, &length, &copies);
    return card_find(instance->cards, arena_strndup(instance->arena, name, length)) >= 0;
}

/* A candidate among what was taken for names of columns; NULL: none. */
static const char *first_card(const MatchedSheet *side)
{
    for (size_t i = 0; i < side->sheet.header.cells; i++)
        if (is_card(side->builder->instance, side->sheet.header.cell[i].text))
            return side->sheet.header.cell[i].text;
    return NULL;
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
    const char *nearest = meant_header(side, word, headers, &meant), *card = first_card(side);
    const SourcePos at = sheet_pos(&side->sheet, &side->sheet.header.cell[meant >= 0 ? meant : 0]);
    if (card != NULL)
        diag_error(side->builder->diags, at,
                   "the first line has '%s', which is a card; write a line above it that names the columns, such as "
                   "name%c%s",
                   text_excerpt(first, card), side->sheet.separator,
                   side->kind == MATCHED_PRICES ? "price"
                   : side->kind == MATCHED_TAGS ? "tag"
                                                : "copies");
    else if (meant >= 0)
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

/* Would the answer be another one, if a column were read as the word? */
static bool matters(const Model *model, const char *word)
{
    if (strcmp(word, "condition") == 0)
        return model->accepts[ACCEPT_CONDITION] > 0;
    if (strcmp(word, "language") == 0)
        return model->accepts[ACCEPT_LANGUAGE] > 0;
    if (strcmp(word, "high") == 0)
        return model->protect > 0;
    if (strcmp(word, "date") == 0)
        return model->has_stale;
    return strcmp(word, "low") != 0;
}

/* What stands under another word would be passed over in silence: a price could be of a card that the shop has not got,
 * or in another currency, and a tag's weight be 1. */
static void tell_unread(const MatchedSheet *side, const bool *read, const char *const *missing, size_t count)
{
    const Model *model = side->builder->instance->model;
    char excerpt[TEXT_EXCERPT];
    for (size_t k = 0; k < count; k++) {
        const int column = matters(model, missing[k]) ? side_column(&side->sheet, model, missing[k]) : -1;
        if (column < 0 || read[column] || by_words(missing[k]))
            continue;
        const SheetCell *header = &side->sheet.header.cell[column];
        if (header_slip(header->text, missing, count) == NULL) /* else it is told */
            diag_notice(
                side->builder->diags, sheet_pos(&side->sheet, header),
                "the column '%s' is not read; if it is the %s, write columns: {%s: \"%s\"} into the model, else own: "
                "[\"%s\"]",
                text_excerpt(excerpt, header->text), missing[k], missing[k], header->text, header->text);
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
        copies = copies || side_column(&side->sheet, side->builder->instance->model, copies_words[k]) >= 0;
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
    tell_unread(side, read, missing, count);
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
    const Instance *instance;
    const Model *model;
    MatchedKind kind;
    const MatchedWords *words;
} MatchedUse;

static bool is_among(const PathAt *paths, size_t count, const char *path)
{
    for (size_t k = 0; k < count; k++)
        if (strcmp(paths[k].path, path) == 0)
            return true;
    return false;
}

bool is_read_elsewhere(const Instance *instance, MatchedKind kind, const char *path)
{
    const Scenario *s = instance->scenario;
    for (size_t k = 0; k < instance->cards->files; k++)
        if (strcmp(instance->cards->file[k].path, path) == 0)
            return true;
    return is_among(s->prices, s->prices_count, path) || is_among(s->owned, s->owned_count, path) ||
           is_among(s->tags, s->tags_count, path) || is_among(s->targets, s->targets_count, path) ||
           (kind != MATCHED_POOL && s->pool.path != NULL && strcmp(s->pool.path, path) == 0);
}

bool is_called_as(MatchedKind kind, const char *name)
{
    switch (kind) {
    case MATCHED_PRICES: return header_is(name, HOLDS_PRICE);
    case MATCHED_OWNED: return header_is(name, HOLDS_OWNED);
    case MATCHED_TAGS: return header_is(name, HOLDS_TAGS);
    case MATCHED_POOL:
        return header_is(name, HOLDS_CHOSEN) || text_folds_to(name, "pool") || text_folds_to(name, "present pool");
    }
    return false;
}

static bool is_called(const char *name, const void *context)
{
    const MatchedUse *use = context;
    return is_called_as(use->kind, name);
}

/* The sheet of the cards may say what is in the pool, and nothing else that is not read with the cards. */
static int words_found(const Sheet *sheet, const void *context)
{
    const MatchedUse *use = context;
    if (is_read_elsewhere(use->instance, use->kind, sheet->path) &&
        (use->kind != MATCHED_POOL || column_in(sheet, use->model, "chosen", NULL) < 0))
        return -1;
    const int words = (int)(sizeof use->words->word / sizeof *use->words->word);
    int found = 0;
    for (int k = 0; k < words && use->words->word[k] != NULL; k++) {
        const char *word = use->words->word[k];
        const bool there =
            (by_words(word) ? side_column(sheet, use->model, word) : column_in(sheet, use->model, word, NULL)) >= 0;
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
    if ((kind != MATCHED_OWNED && kind != MATCHED_POOL) || side->sheet.header.cells != 1 ||
        mapped_column(&side->sheet, instance->model, "name") >= 0)
        return false;
    return is_card(instance, side->sheet.header.cell[0].text);
}

static void tell_title(const MatchedSheet *side, const Sheet *sheet, const SheetCell *title)
{
    char excerpt[TEXT_EXCERPT];
    if (!header_is(title->text, HOLDS_NAME))
        diag_notice(side->builder->diags, sheet_pos(sheet, title), "'%s' is taken for the title of a list of names",
                    text_excerpt(excerpt, title->text));
}

bool lines_are_names(const Instance *instance, const Sheet *lines, size_t *above)
{
    size_t cards = 0;
    for (*above = 0; *above < lines->rows && !is_card(instance, lines->row[*above].cell[0].text); ++*above)
        if (strpbrk(lines->row[*above].cell[0].text, ",;\t") != NULL)
            return false;
    for (size_t i = *above; i < lines->rows; i++)
        cards += is_card(instance, lines->row[i].cell[0].text);
    return 2 * cards > lines->rows - *above;
}

/* Such a list with names that hold commas. */
static bool read_as_lines(MatchedSheet *side, const char *path)
{
    const Instance *instance = side->builder->instance;
    Sheet sheet;
    size_t above;
    if (!sheet_read_lines(instance->arena, instance->scenario->files, path, &sheet) ||
        !lines_are_names(instance, &sheet, &above))
        return false;
    if (above > 0)
        tell_title(side, &sheet, &sheet.row[0].cell[0]);
    sheet.row += above;
    sheet.rows -= above;
    side->sheet = sheet;
    return true;
}

/* A title above a list of names alone: what is no candidate, above lines most of which are. */
static void drop_title(const MatchedSheet *side, Sheet *sheet)
{
    size_t cards = 0;
    for (size_t i = 0; i < sheet->rows; i++)
        cards += is_card(side->builder->instance, sheet->row[i].cell[0].text);
    if (2 * cards <= sheet->rows)
        return;
    tell_title(side, sheet, &sheet->header.cell[0]);
    sheet_as_names(side->builder->instance->arena, sheet);
    sheet->row++;
    sheet->rows--;
}

bool matched_open(const InstanceBuilder *builder, MatchedKind kind, const PathAt *path, MatchedSheet *side)
{
    *side = (MatchedSheet){.kind = kind, .builder = builder};
    const MatchedUse words = {
        .instance = builder->instance, .model = builder->instance->model, .kind = kind, .words = &matched_words[kind]};
    const SheetUse use = {
        .what = matched_words[kind].what, .fits = words_found, .called = is_called, .context = &words};
    const bool lines = (kind == MATCHED_OWNED || kind == MATCHED_POOL) && read_as_lines(side, path->path);
    if (!lines && !sheet_read_for(builder->instance->arena, builder->instance->scenario->files, path->path, path->at,
                                  &use, &side->sheet, builder->diags))
        return false;
    if (is_plain_list(side, kind))
        sheet_as_names(builder->instance->arena, &side->sheet);
    else if ((kind == MATCHED_OWNED || kind == MATCHED_POOL) && side->sheet.header.cells == 1 &&
             side_column(&side->sheet, builder->instance->model, "name") < 0)
        drop_title(side, &side->sheet);
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

NumberStatus matched_number(MatchedSheet *side, const SheetCell *cell, int scale, int64_t *value)
{
    bool by_comma;
    const NumberStatus status = form_number(sheet_number_form(&side->sheet), cell->text, scale, value, &by_comma);
    if (by_comma)
        cell_count_add(&side->commas, cell);
    return status;
}

NumberStatus matched_money(MatchedSheet *side, const SheetCell *cell, int64_t *cents)
{
    bool by_comma;
    const NumberStatus status = form_money(sheet_number_form(&side->sheet), cell->text, cents, &by_comma);
    if (by_comma)
        cell_count_add(&side->commas, cell);
    return status;
}

void matched_report(const MatchedSheet *side, const SheetCell *cell, const char *expected)
{
    sheet_report(&side->sheet, (int)(cell - side->row->cell), cell, expected, side->builder->diags);
}

bool names_no_card(const Instance *instance, const SheetRow *row, const SheetCell *name)
{
    const Model *model = instance->model;
    size_t length;
    int count;
    if (name->text[0] == '\0' || card_find(instance->cards, name->text) >= 0)
        return false;
    if (word_is_total(name->text))
        return true;
    for (size_t i = 0; i < row->cells; i++)
        if (&row->cell[i] != name && row->cell[i].text[0] != '\0')
            return false;
    const char *start = name_with_count(name->text, &length, &count);
    return text_find(arena_strndup(instance->arena, start, length), model->colour, model->colours) >= 0;
}

bool matched_passes(MatchedSheet *side)
{
    const SheetCell *cell = matched_cell(side, side->name);
    if (!names_no_card(side->builder->instance, side->row, cell))
        return false;
    side->first_passed = side->passed++ == 0 ? cell : side->first_passed;
    return true;
}

void passed_tell(const SheetCell *first, size_t count, SourcePos at, Diags *diags)
{
    char excerpt[TEXT_EXCERPT], more[60] = "";
    if (count > 1)
        snprintf(more, sizeof more, ", and so %s %zu more", count == 2 ? "is" : "are", count - 1);
    if (count > 0)
        diag_notice(diags, at, "'%s' is taken for a heading or a total, not for a card%s",
                    text_excerpt(excerpt, first->text), more);
}

long matched_card(MatchedSheet *side)
{
    const SheetCell *cell = matched_cell(side, side->name);
    if (cell->text[0] == '\0') {
        diag_error(
            side->builder->diags, sheet_pos(&side->sheet, cell),
            "found a line without a name, expected a card's name; if such lines are no cards, as sums are, write "
            "read: {skip_lines: [\"\"]} into the model");
        return -1;
    }
    const CardSet *cards = side->builder->instance->cards;
    side->copies = 1;
    long card = card_find(cards, cell->text);
    if (card >= 0)
        return card;
    size_t length;
    int copies;
    const char *start = name_with_count(cell->text, &length, &copies);
    card = card_find(cards, arena_strndup(side->builder->instance->arena, start, length));
    if (card >= 0) {
        side->copies = copies;
        return card;
    }
    if (side->unmatched++ < SHOWN) {
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
    char excerpt[TEXT_EXCERPT];
    commas_tell(&side->commas, &side->sheet, side->builder->diags);
    if (side->passed > 0)
        passed_tell(side->first_passed, side->passed, sheet_pos(&side->sheet, side->first_passed),
                    side->builder->diags);
    if (side->disagree > 0)
        diag_notice(side->builder->diags, sheet_pos(&side->sheet, side->first_disagree),
                    "'%s' says another number of copies than its column, which counts%s",
                    text_excerpt(excerpt, side->first_disagree->text),
                    side->disagree > 1
                        ? arena_printf(side->builder->instance->arena, ", as on %zu lines more", side->disagree - 1)
                        : "");
    if (side->unmatched > 0)
        diag_notice(side->builder->diags, (SourcePos){.file = side->sheet.path},
                    "%zu of %zu lines name%s no candidate: %s%s", side->unmatched, side->sheet.rows,
                    side->unmatched == 1 ? "s" : "", text_cstr(&side->examples),
                    side->unmatched > SHOWN ? ", ..." : "");
    text_release(&side->examples);
}
