/* cards.c - from sheets to one set of candidates.
 *
 * Every line becomes a Line with a card in it; the lines are put in order of their folded names (then of files and
 * lines), and those of one name are merged (merge.h); what is left is the set, whose kinds and tags are then numbered
 * by their folded names. So neither the order of lines nor that of files matters. */
#include "cards/cards.h"

#include <string.h>

#include "base/sort.h"
#include "base/text.h"
#include "cards/merge.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/reading.h"

typedef struct {
    CardSet *set;
    Reading reading;
    FileStore *files;
    Sheet *sheet; /* [paths] */
    int **column; /* [paths][header.cells]: index into CardSet.column; -1 under a blank header */
    Line *line;
    size_t lines, line_capacity;
    char **folded_column; /* [CardSet.columns] */
    size_t column_capacity, folded_capacity, own_capacity, listed_capacity, serves_capacity;
    bool *map_used;
} Builder;

/* ---- lines ---- */

static void go_to(Reading *reading, const SheetRow *row, size_t column)
{
    reading->cell = &row->cell[column];
    reading->header = reading->sheet->header.cell[column].text;
}

/* What is said of the line's tags, when they are known: so the order of columns does not matter. */
static bool read_roles(Reading *reading, const ColumnUse *use, const SheetRow *row, Line *line)
{
    bool good = true;
    Role role = ROLE_NONE;
    const SheetCell *said = NULL;
    for (size_t i = 0; i < row->cells; i++) {
        go_to(reading, row, i);
        if (use[i].role)
            good = tags_parse_role(reading, &role) && good;
        if (role != ROLE_NONE && said == NULL)
            said = reading->cell;
    }
    if (said != NULL && reading->tag_count == 0)
        cell_count_add(&reading->idle_roles, said);
    tags_take_role(reading, role);
    for (size_t i = 0; i < row->cells; i++) {
        go_to(reading, row, i);
        if (column_is_late(use[i].known))
            good = column_parse(reading, use[i].known, line) && good;
    }
    return good;
}

static bool read_line(Builder *builder, const ColumnUse *use, const SheetRow *row, int file)
{
    Reading *reading = &builder->reading;
    bool good = true;
    Line line = {
        .row = row,
        .card = {.name = "", .folded = "", .text = "", .copies = 1, .symbols = -1, .file = file, .trial = DAY_UNKNOWN}};
    line.card.at = sheet_line_pos(reading->sheet, row->line);
    if (reading->by_titles)
        line.card.printed = reading->section;
    reading->tag_count = reading->tags_before = 0;
    reading->tags_read = false;
    for (size_t i = 0; i < row->cells; i++) {
        go_to(reading, row, i);
        if (use[i].known != NULL && !column_is_late(use[i].known))
            good = column_parse(reading, use[i].known, &line) && good;
        else if (use[i].theme >= 0)
            good = tags_parse_theme(reading, reading->vocabulary->theme[use[i].theme]) && good;
        else if (use[i].colour >= 0)
            good = colours_parse_mark(reading, use[i].colour, &line) && good;
    }
    good = read_roles(reading, use, row, &line) && good;
    if (line.needed != 0 || line.either != 0)
        colours_of_marks(reading->vocabulary, &line, &line.card.printed);
    for (size_t i = 0; i < row->cells; i++)
        if (column_is_name(use[i].known) && line.card.folded[0] == '\0' &&
            (row->cell[i].text[0] == '\0' || good)) { /* else it was told */
            diag_error(reading->diags, sheet_pos(reading->sheet, &row->cell[i]),
                       "found a line without a name, expected the card's name");
            good = false;
        }
    CardTag *tag = arena_alloc(reading->arena, reading->tag_count, sizeof *tag);
    if (reading->tag_count > 0)
        memcpy(tag, reading->tag, reading->tag_count * sizeof *tag);
    line.card.tag = tag;
    line.card.tags = reading->tag_count;
    if (!line.has_as_colours)
        line.card.colours = line.card.printed;
    if (line.has_as_cost) {
        line.card.cost = line.as_cost;
        line.card.has_cost = true;
    }
    if (line.powers > 1 && line.power_sum % line.powers != 0)
        cell_count_add(&reading->averages, &row->cell[0]);
    if (!good)
        return false;
    mem_reserve((void **)&builder->line, &builder->line_capacity, builder->lines + 1, sizeof *builder->line);
    builder->line[builder->lines++] = line;
    return true;
}

/* The set's column with this header, a new one if there is none. */
static int add_column(Builder *builder, const char *header)
{
    CardSet *set = builder->set;
    char *folded = text_fold(header);
    for (size_t i = 0; i < set->columns; i++)
        if (strcmp(builder->folded_column[i], folded) == 0) {
            mem_free(folded);
            return (int)i;
        }
    mem_reserve((void **)&set->column, &builder->column_capacity, set->columns + 1, sizeof *set->column);
    mem_reserve((void **)&builder->folded_column, &builder->folded_capacity, set->columns + 1,
                sizeof *builder->folded_column);
    mem_reserve((void **)&set->own, &builder->own_capacity, set->columns + 1, sizeof *set->own);
    mem_reserve((void **)&set->listed, &builder->listed_capacity, set->columns + 1, sizeof *set->listed);
    mem_reserve((void **)&set->serves, &builder->serves_capacity, set->columns + 1, sizeof *set->serves);
    set->own[set->columns] = set->listed[set->columns] = true;
    set->serves[set->columns] = NULL;
    set->column[set->columns] = arena_strdup(set->arena, header);
    builder->folded_column[set->columns] = folded;
    return (int)set->columns++;
}

static bool check_first_header(const Builder *builder, const Sheet *sheet)
{
    if (sheet->header.cell[0].text[0] != '\0')
        return true;
    for (size_t i = 0; i < sheet->rows; i++)
        if (sheet->row[i].cell[0].text[0] != '\0') {
            char excerpt[TEXT_EXCERPT];
            diag_error(builder->reading.diags, sheet_pos(sheet, &sheet->row[i].cell[0]),
                       "found '%s' in a column without a header, expected a header in line %d",
                       text_excerpt(excerpt, sheet->row[i].cell[0].text), sheet->header.line);
            return false;
        }
    return true;
}

/* A header is of the user's own where no sheet uses it. */
static void note_uses(Builder *builder, const ColumnUse *use, const Sheet *sheet, int file)
{
    CardSet *set = builder->set;
    for (size_t i = 0; i < sheet->header.cells; i++) {
        const int column = builder->column[file][i];
        if (column >= 0 && (use[i].known != NULL || use[i].theme >= 0 || use[i].colour >= 0 || use[i].role))
            set->own[column] = false;
        if (use[i].colour >= 0)
            set->holds |= 1u << column_index(column_find("colours"));
        if (column >= 0)
            set->listed[column] = set->listed[column] && header_is_listed(sheet, i);
        if (use[i].known == NULL)
            continue;
        set->holds |= 1u << column_index(use[i].known);
        if (column >= 0)
            set->serves[column] = card_known_column(column_index(use[i].known))->name;
    }
}

static const char *name_in(const ColumnUse *use, const SheetRow *row)
{
    for (size_t i = 0; i < row->cells; i++)
        if (column_is_name(use[i].known))
            return row->cell[i].text;
    return "";
}

/* A line that the model says is no card: a total, a heading. */
static bool is_passed(const Reading *reading, const ColumnUse *use, const SheetRow *row)
{
    return reading->habits->skips > 0 && habits_skip(reading->habits, name_in(use, row));
}

#define SLASHES_MANY 20

/* What in this sheet strays from the usual form in many cells, each told once. */
static void tell_habits(const Reading *reading)
{
    const Sheet *sheet = reading->sheet;
    const CellCount *tags = &reading->comma_tags, *slashes = &reading->slashes, *pluses = &reading->pluses,
                    *costs = &reading->variable_costs, *roles = &reading->idle_roles;
    char excerpt[TEXT_EXCERPT];
    commas_tell(&reading->commas, sheet, reading->diags);
    if (reading->averages.count > 0)
        diag_remark(reading->diags, sheet_pos(sheet, reading->averages.first),
                    "a card's power is the average of several columns: %zu are rounded to thousandths",
                    reading->averages.count);
    if (tags->count > 0)
        diag_notice(reading->diags, sheet_pos(sheet, tags->first),
                    "%zu cell%s a comma in a tag, such as '%s', and between tags stands ';'; if commas stand between "
                    "tags too, write read: {tags_split: \",\"} into the model",
                    tags->count, tags->count == 1 ? " holds" : "s hold", text_excerpt(excerpt, tags->first->text));
    if (!reading->habits->slash_said && slashes->count >= SLASHES_MANY && slashes->count > 2 * pluses->count)
        diag_notice(reading->diags, sheet_pos(sheet, slashes->first),
                    "%zu cards are written with / and %zu with +: / means that either colour will do, as '%s' here; if "
                    "both are needed, write read: {slash: both} into the model (slash: either ends this notice)",
                    slashes->count, pluses->count, text_excerpt(excerpt, slashes->first->text));
    if (costs->count > 0)
        diag_notice(reading->diags, sheet_pos(sheet, costs->first),
                    "%zu cost%s X, such as '%s', and count%s as unknown: no limit on costs counts such a card; write a "
                    "number there, or into a column as_cost, where it is to count",
                    costs->count, costs->count == 1 ? " holds an" : "s hold an",
                    text_excerpt(excerpt, costs->first->text), costs->count == 1 ? "s" : "");
    if (roles->count > 0)
        diag_notice(reading->diags, sheet_pos(sheet, roles->first),
                    "%zu line%s a role and no tag that it could be of, such as '%s' here: nothing comes of it",
                    roles->count, roles->count == 1 ? " has" : "s have", text_excerpt(excerpt, roles->first->text));
}

/* ---- colours that no column says ---- */

/* Of all cards of the sheet, or of those below a heading. False: the title is none of colours. */
static bool take_colours(Builder *builder, const char *title, int file)
{
    Reading *reading = &builder->reading;
    if (!colours_of_title(reading->vocabulary, title, &reading->section))
        return false;
    builder->set->file[file].titled = true;
    builder->set->holds |= 1u << column_index(column_find("colours"));
    return true;
}

static void take_title(Builder *builder, const ColumnUse *use, const char *path, int file)
{
    Reading *reading = &builder->reading;
    reading->by_titles = true;
    reading->section = (ColourNeed){0};
    for (size_t i = 0; i < reading->sheet->header.cells; i++)
        if (use[i].known == column_find("colours") || use[i].colour >= 0)
            reading->by_titles = false;
    if (reading->by_titles)
        take_colours(builder, sheet_title(reading->arena, path), file);
    reading->whole = reading->section;
}

/* A line that is passed over may be the heading of cards of a colour. Another one ends them; but sums do not, and what
 * stands there more than once parts the cards of each. */
static void take_heading(Builder *builder, const ColumnUse *use, const SheetRow *row, int file)
{
    Reading *reading = &builder->reading;
    const char *name = name_in(use, row);
    size_t times = 0;
    if (!reading->by_titles || name[0] == '\0' || word_is_total(name) || take_colours(builder, name, file))
        return;
    char *folded = text_fold(name);
    for (size_t i = 0; i < reading->sheet->rows; i++)
        times += text_folds_to(name_in(use, &reading->sheet->row[i]), folded);
    mem_free(folded);
    if (times == 1)
        reading->section = reading->whole;
}

static bool find_date_order(Reading *reading, const ColumnUse *use)
{
    int trial = -1;
    for (size_t i = 0; i < reading->sheet->header.cells; i++)
        if (use[i].known == column_find("trial"))
            trial = (int)i;
    return sheet_date_order(reading->sheet, trial, &reading->order, reading->diags);
}

static bool read_sheet(Builder *builder, const char *path, SourcePos from, int file)
{
    Reading *reading = &builder->reading;
    Sheet *sheet = &builder->sheet[file];
    const SheetUse cards = {.what = "cards", .fits = columns_known, .context = reading->vocabulary};
    if (!sheet_read_for(reading->arena, builder->files, path, from, &cards, sheet, reading->diags))
        return false;
    sheet->decimal = reading->habits->decimal;
    /* Programs that write 3,50 expect ';' and the mark in sheets of text. */
    const bool as_text = sheet->workbook && sheet->decimal == DECIMAL_COMMA;
    builder->set->file[file] = (CardFile){.path = sheet->path,
                                          .separator = as_text ? ';' : sheet->separator,
                                          .form = sheet_number_form(sheet),
                                          .workbook = sheet->workbook,
                                          .windows_1252 = sheet->windows_1252,
                                          .marked = as_text || sheet->marked};
    reading->sheet = sheet;
    reading->commas = reading->comma_tags = (CellCount){0};
    reading->slashes = reading->pluses = reading->variable_costs = reading->idle_roles = (CellCount){0};
    reading->averages = (CellCount){0};
    reading->scored = NULL;
    reading->comma_cell = NULL;
    reading->doubtful = NULL;
    memset(reading->too_fine, 0, sizeof reading->too_fine);
    builder->column[file] = arena_alloc(reading->arena, sheet->header.cells, sizeof **builder->column);
    for (size_t i = 0; i < sheet->header.cells; i++) {
        const char *header = sheet->header.cell[i].text;
        builder->column[file][i] = header[0] == '\0' ? -1 : add_column(builder, header);
    }
    ColumnUse *use = mem_new(sheet->header.cells, sizeof *use);
    bool good = check_first_header(builder, sheet);
    if (columns_resolve(reading, use, builder->map_used)) {
        note_uses(builder, use, sheet, file);
        take_title(builder, use, path, file);
        good = find_date_order(reading, use) && good;
        for (size_t i = 0; i < sheet->rows; i++) {
            if (!is_passed(reading, use, &sheet->row[i])) {
                good = read_line(builder, use, &sheet->row[i], file) && good;
                continue;
            }
            builder->set->passed++;
            take_heading(builder, use, &sheet->row[i], file);
        }
        tell_habits(reading);
    } else {
        good = false;
    }
    mem_free(use);
    return good;
}

/* ---- numbering kinds and tags ---- */

static int compare_ints(const void *a, const void *b)
{
    int x = *(const int *)a, y = *(const int *)b;
    return x < y ? -1 : x > y;
}

static int compare_tags(const void *a, const void *b)
{
    return compare_ints(&((const CardTag *)a)->tag, &((const CardTag *)b)->tag);
}

static void number_words(Builder *builder)
{
    CardSet *set = builder->set;
    Names *kinds = builder->reading.kinds, *tags = builder->reading.tags;
    for (size_t i = 0; i < set->count; i++) {
        for (size_t j = 0; j < set->card[i].kinds; j++)
            names_use(kinds, set->card[i].kind[j]);
        for (size_t j = 0; j < set->card[i].tags; j++)
            names_use(tags, set->card[i].tag[j].tag);
    }
    set->kind = names_settle(kinds, set->arena, &set->kinds);
    set->tag = names_settle(tags, set->arena, &set->tags);
    for (size_t i = 0; i < set->count; i++) {
        Card *card = &set->card[i];
        int *kind = (int *)card->kind; /* ours until the set is handed out */
        CardTag *tag = (CardTag *)card->tag;
        for (size_t j = 0; j < card->kinds; j++)
            kind[j] = names_number(kinds, kind[j]);
        for (size_t j = 0; j < card->tags; j++)
            tag[j].tag = names_number(tags, tag[j].tag);
        sort_stable(kind, card->kinds, sizeof *kind, compare_ints);
        sort_stable(tag, card->tags, sizeof *tag, compare_tags);
    }
}

/* ---- all ---- */

static bool build(Builder *builder, const char *const *path, const SourcePos *from, size_t paths)
{
    bool good = columns_check_maps(builder->reading.vocabulary, builder->reading.diags), readable = true;
    for (size_t i = 0; i < paths; i++)
        readable = read_sheet(builder, path[i], from[i], (int)i) && readable;
    if (readable && builder->lines == 0 && paths > 0) {
        diag_error(builder->reading.diags, (SourcePos){.file = builder->sheet[0].path},
                   "found a header but no candidates, expected a line for each card");
        readable = false;
    }
    return cards_merge(builder->set, builder->line, builder->lines, builder->column, builder->reading.diags) && good &&
           readable;
}

/* What grew by resizing moves into the arena. */
static void *settled(Arena *arena, void *grown, size_t count, size_t size)
{
    void *kept = arena_alloc(arena, count, size);
    if (count > 0)
        memcpy(kept, grown, count * size);
    mem_free(grown);
    return kept;
}

static void settle_columns(CardSet *set)
{
    set->column = settled(set->arena, set->column, set->columns, sizeof *set->column);
    set->own = settled(set->arena, set->own, set->columns, sizeof *set->own);
    set->listed = settled(set->arena, set->listed, set->columns, sizeof *set->listed);
    set->serves = settled(set->arena, set->serves, set->columns, sizeof *set->serves);
}

static void release(Builder *builder)
{
    for (size_t i = 0; i < builder->set->columns; i++)
        mem_free(builder->folded_column[i]);
    mem_free(builder->folded_column);
    mem_free(builder->line);
    mem_free(builder->sheet);
    mem_free(builder->column);
    mem_free(builder->reading.tag);
    mem_free(builder->reading.kind);
    names_free(builder->reading.kinds);
    names_free(builder->reading.tags);
}

CardSet *card_set_read(FileStore *files, const char *const *path, const SourcePos *from, size_t paths,
                       const CardVocabulary *vocabulary, Diags *diags)
{
    Arena *arena = arena_new();
    static const Habits usual = {0};
    CardSet *set = arena_alloc(arena, 1, sizeof *set);
    set->arena = arena;
    set->habits = vocabulary->habits != NULL ? vocabulary->habits : &usual;
    set->file = arena_alloc(arena, paths, sizeof *set->file);
    set->files = paths;
    Builder builder = {
        .set = set,
        .files = files,
        .reading = {.vocabulary = vocabulary,
                    .habits = set->habits,
                    .diags = diags,
                    .arena = arena,
                    .kinds = names_new(),
                    .tags = names_new()},
        .sheet = mem_new(paths, sizeof *builder.sheet),
        .column = mem_new(paths, sizeof *builder.column),
        .map_used = arena_alloc(arena, vocabulary->maps, sizeof *builder.map_used),
    };
    set->map_used = builder.map_used;
    bool good = build(&builder, path, from, paths);
    if (good)
        number_words(&builder);
    settle_columns(set);
    release(&builder);
    if (good)
        return set;
    card_set_free(set);
    return NULL;
}

void card_set_free(CardSet *set)
{
    if (set != NULL)
        arena_free(set->arena);
}
