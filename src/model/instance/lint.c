/* lint.c - what is allowed but perhaps not meant, as notices: colours, powers or prices under headers that the model
 * does not map or maps to none that is there, lines that are sums of others, and tags that are almost a theme. */
#include <string.h>

#include "base/near.h"
#include "base/number.h"
#include "base/text.h"
#include "cards/habits.h"
#include "cards/names/counts.h"
#include "cards/sheet/header_words.h"
#include "model/instance/instance_cache.h"

#define SHOWN 6
#define NAMES_MAX 32 /* columns of ours */
#define COUNT_MOST 20

/* ---- columns ---- */

/* Columns that no sheet has and that say something. */
typedef struct {
    const CardSet *cards;
    const char *first; /* NULL: none is missing */
    Text text;
} Missing;

static void add_missing(Missing *missing, const char *known, const char *so)
{
    if (card_set_holds(missing->cards, known))
        return;
    text_printf(&missing->text, "%sno column '%s' (%s)", missing->first == NULL ? "" : ", ", known, so);
    if (missing->first == NULL)
        missing->first = known;
}

/* What lists of ours add to the user's columns: that of cards that were looked for is `fit` alone. */
static bool is_ours(const CardSet *cards, size_t column)
{
    return cards->listed[column] || text_folds_to(cards->column[column], "fit");
}

/* Does the model say that the header is one of ours, in whichever sheet? */
static bool is_said(const Model *model, const char *header)
{
    bool said = false;
    char *folded = text_fold(header);
    for (size_t i = 0; i < model->maps && !said; i++)
        said = strcmp(model->map_field[i], "own") != 0 && text_folds_to(model->map_header[i], folded);
    mem_free(folded);
    return said;
}

bool instance_column_unused(const Instance *instance, size_t column)
{
    const ColumnCache *cache = &instance->cache->column[column];
    if (is_ours(instance->cards, column) || is_said(instance->model, instance->cards->column[column]))
        return false;
    return instance->cards->own[column] && !cache->checked && cache->kind == NULL && cache->folded == NULL;
}

/* Does the model say what it is, if only that it is the user's own? */
static bool is_mapped(const Model *model, const char *header)
{
    return text_find(header, model->map_header, model->maps) >= 0;
}

static const char *const lintable[] = {"colours", "power", "price", "tags", "copies", "owned"};
#define LINTABLE (sizeof lintable / sizeof *lintable)

/* The header that is proposed for the field, which no sheet has; NULL: none. */
static const char *proposed(const Instance *instance, size_t field)
{
    return card_set_holds(instance->cards, lintable[field]) ? NULL : column_meant(instance, lintable[field]);
}

static bool is_proposed(const Instance *instance, const char *header)
{
    for (size_t k = 0; k < LINTABLE; k++)
        if (proposed(instance, k) == header)
            return true;
    return false;
}

/* The columns that nothing uses; one of them is likely to be meant. Their number; *first is the first. */
static size_t list_unknown(const Instance *instance, Text *unknown, const char **first)
{
    const CardSet *cards = instance->cards;
    size_t count = 0;
    for (size_t i = 0; i < cards->columns; i++) {
        if (!instance_column_unused(instance, i) ||
            (header_is_aside(cards->column[i]) && !is_proposed(instance, cards->column[i])) ||
            is_mapped(instance->model, cards->column[i]) || count++ >= SHOWN)
            continue;
        char excerpt[TEXT_EXCERPT];
        text_printf(unknown, "%s'%s'", count == 1 ? "" : ", ", text_excerpt(excerpt, cards->column[i]));
        if (count == 1)
            *first = cards->column[i];
    }
    if (count > SHOWN)
        text_add(unknown, ", ...");
    return count;
}

const char *column_meant(const Instance *instance, const char *known)
{
    const CardSet *cards = instance->cards;
    const int field = field_of_name(known);
    int best = 0;
    const char *found = NULL;
    for (size_t i = 0; i < cards->columns && field >= 0; i++) {
        const int named = cards->own[i] ? header_names(cards->column[i], (ColumnField)field) : 0;
        if (named > best) {
            best = named;
            found = cards->column[i];
        }
    }
    return found;
}

/* What the user can do about it. */
static void add_hint(const Instance *instance, Text *text, const Missing *missing, size_t count, const Text *unknown,
                     const char *only)
{
    Text meant = {0};
    for (size_t k = 0; k < LINTABLE; k++) {
        const char *header = proposed(instance, k);
        if (header != NULL)
            text_printf(&meant, "%s%s: \"%s\"", meant.length > 0 ? ", " : "", lintable[k], header);
    }
    text_printf(text, "; poolwright does not know %s: ", text_cstr(unknown));
    if (meant.length > 0)
        text_printf(text, "if %s meant, write columns: {%s} into the model", count == 1 ? "that is" : "these are",
                    text_cstr(&meant));
    else if (count == 1)
        text_printf(text, "if that is meant, write columns: {%s: \"%s\"} into the model", missing->first, only);
    else
        text_printf(text, "if one of them is meant, write it into the model, columns: {%s: \"...\"}", missing->first);
    text_add(text, "; what is yours alone goes there too, under own");
    text_release(&meant);
}

/* Where the column first says something. */
static SourcePos column_place(const CardSet *cards, size_t column)
{
    for (size_t c = 0; c < cards->count; c++)
        if (cards->card[c].cell[column][0] != '\0')
            return (SourcePos){.file = cards->card[c].at.file};
    return (SourcePos){.file = cards->file[0].path};
}

/* Columns that nothing uses, and that are called almost as one of ours which no sheet has. */
static void notice_slips(const InstanceBuilder *builder)
{
    const Model *model = builder->instance->model;
    const CardSet *cards = builder->instance->cards;
    const char *missing[NAMES_MAX];
    size_t count = 0;
    const CardColumn *known;
    for (size_t k = 0; count < NAMES_MAX && (known = card_known_column(k)) != NULL; k++)
        if (!card_set_holds(cards, known->name))
            missing[count++] = known->name;
    for (size_t i = 0; i < cards->columns; i++) {
        const bool open = instance_column_unused(builder->instance, i) && !is_mapped(model, cards->column[i]);
        const char *meant = open ? header_slip(cards->column[i], missing, count) : NULL;
        if (meant != NULL)
            header_tell_slip(cards->column[i], meant, true, column_place(cards, i), builder->diags);
    }
}

/* How many cards have another number than 1 there, in a column of nothing but numbers of copies ("2x", "yes", 0 to
 * COUNT_MOST); 0: it holds something else. */
static size_t cards_counted(const CardSet *cards, size_t column)
{
    size_t other = 0;
    for (size_t c = 0; c < cards->count; c++) {
        const char *cell = cards->card[c].cell[column];
        const int64_t counted = counted_copies(cell), yes = word_says_yes(cell);
        int64_t number = counted > 0 ? counted : yes;
        if (cell[0] == '\0')
            continue;
        if (counted <= 0 && yes < 0 && number_parse(cell, 0, false, &number) != NUMBER_OK)
            return 0;
        if (number < 0 || number > COUNT_MOST)
            return 0;
        other += number != 1;
    }
    return other;
}

/* A column called as one of numbers of copies, which no sheet says in our words, would be passed over in silence. */
static void notice_counts(const InstanceBuilder *builder, ColumnField field, const char *so)
{
    const CardSet *cards = builder->instance->cards;
    char excerpt[TEXT_EXCERPT];
    if (card_set_holds(cards, field_name(field)))
        return;
    for (size_t i = 0; i < cards->columns; i++) {
        const char *header = cards->column[i];
        const size_t other = instance_column_unused(builder->instance, i) && header_is(header, field) &&
                                     !is_mapped(builder->instance->model, header)
                                 ? cards_counted(cards, i)
                                 : 0;
        if (other == 0)
            continue;
        diag_notice(builder->diags, column_place(cards, i),
                    "found no column '%s', so %s, though '%s' says otherwise of %zu: if it holds them, write columns: "
                    "{%s: \"%s\"} into the model; what is yours alone goes there too, under own",
                    field_name(field), so, text_excerpt(excerpt, header), other, field_name(field), header);
        return;
    }
}

void notice_columns(const InstanceBuilder *builder)
{
    const Model *model = builder->instance->model;
    const CardSet *cards = builder->instance->cards;
    Missing missing = {.cards = cards};
    Text unknown = {0};
    const char *first = "";
    if (model->colours > 1)
        add_missing(&missing, "colours", "every card counts as colourless");
    if (model->power_weight != 0)
        add_missing(&missing, "power", "every card counts as unscored");
    if (!instance_has_prices(builder->instance) && (model->has_cap || column_meant(builder->instance, "price") != NULL))
        add_missing(&missing, "price", "no card has a price");
    if (model->themes > 0 && cards->tags == 0)
        add_missing(&missing, "tags", "no card has a tag");
    const size_t count = list_unknown(builder->instance, &unknown, &first);
    if (missing.first != NULL && count > 0) {
        add_hint(builder->instance, &missing.text, &missing, count, &unknown, first);
        diag_notice(builder->diags, (SourcePos){.file = cards->file[0].path}, "found %s", text_cstr(&missing.text));
    }
    if (missing.first == NULL) { /* else they stand among those that are not known */
        notice_counts(builder, HOLDS_COPIES, "there is one copy of each card");
        if (builder->instance->scenario->owned_count == 0)
            notice_counts(builder, HOLDS_OWNED, "no copy is said to be owned");
    }
    text_release(&missing.text);
    text_release(&unknown);
    notice_slips(builder);
}

/* ---- lines of totals ---- */

/* The last line of the file, and what its other prices come to. NULL where there are too few. */
static const Card *last_line(const CardSet *cards, int file, int64_t *others)
{
    const Card *last = NULL;
    size_t priced = 0;
    *others = 0;
    for (size_t c = 0; c < cards->count; c++) {
        const Card *card = &cards->card[c];
        if (card->file != file)
            continue;
        priced += card->has_price;
        *others += card->has_price ? card->price : 0;
        if (last == NULL || card->at.line > last->at.line)
            last = card;
    }
    if (last == NULL || !last->has_price || priced < 4)
        return NULL;
    *others -= last->price;
    return last;
}

void notice_totals(const InstanceBuilder *builder)
{
    const CardSet *cards = builder->instance->cards;
    for (size_t f = 0; f < cards->files; f++) {
        int64_t others;
        const Card *last = last_line(cards, (int)f, &others);
        if (last != NULL && last->price == others && others > 0)
            diag_notice(builder->diags, last->at,
                        "the price of '%s' is the sum of all others in the sheet: if this is a line of totals, delete "
                        "it, since it counts as a card",
                        last->name);
    }
}

/* ---- tags ---- */

/* Of a theme's name. */
typedef struct {
    char *folded;
    NearWord *near;
} ThemeWord;

/* Of a tag. */
typedef struct {
    size_t count;      /* cards that have it */
    const Card *first; /* of them in order of names; NULL: none */
} Tagged;

static Tagged *count_tagged(const CardSet *cards)
{
    Tagged *tagged = mem_new(cards->tags, sizeof *tagged);
    for (size_t c = 0; c < cards->count; c++)
        for (size_t i = 0; i < cards->card[c].tags; i++) {
            Tagged *tag = &tagged[cards->card[c].tag[i].tag];
            tag->first = tag->first == NULL ? &cards->card[c] : tag->first;
            tag->count++;
        }
    return tagged;
}

/* "convoys enabeler", "convoys/lures": a theme with a word behind it that was meant for a role, a weight or another
 * tag. Both are folded. */
static bool begins_with(const char *tag, const char *theme)
{
    const size_t length = strlen(theme);
    return strncmp(tag, theme, length) == 0 && tag[length] != '\0' && strchr(" /|+&:", tag[length]) != NULL;
}

/* The theme that the tag was perhaps meant for, or NULL: a longer tag that begins with it, or one almost like it that
 * fewer cards have. */
static const char *meant_theme(const Instance *instance, const ThemeWord *theme, size_t tag, const Tagged *tagged)
{
    const Model *model = instance->model;
    const char *meant = NULL;
    char *folded = text_fold(instance->cards->tag[tag]);
    NearWord *word = near_word(folded);
    for (size_t t = 0; t < model->themes && meant == NULL; t++) {
        const int own = instance->cache->theme_tag[t];
        if (begins_with(folded, theme[t].folded) ||
            (own >= 0 && tagged[tag].count < tagged[own].count && near_each_other(word, theme[t].near)))
            meant = model->theme[t].name;
    }
    mem_free(word);
    mem_free(folded);
    return meant;
}

/* The word in brackets that the tag ends with, such as "(starts)" of "convoys (starts)", folded as tags are; NULL:
 * none. In the tag. */
static const char *word_in_brackets(const char *tag)
{
    const char *open = strrchr(tag, '(');
    if (open == NULL || open == tag || open[1] == ')' || open[1] == '\0' || strpbrk(open, " 0123456789") != NULL)
        return NULL;
    return strchr(open, ')') == tag + strlen(tag) - 1 ? open : NULL;
}

/* The last word of a tag that is no theme, where a theme that cards have is called as what stands before it: "starts"
 * of "convoys starts"; NULL: none. In the tag. */
static const char *word_behind_theme(const Instance *instance, size_t tag)
{
    const char *name = instance->cards->tag[tag], *blank = strrchr(name, ' ');
    if (blank == NULL || instance->cache->theme_of[tag] >= 0 || strpbrk(blank, "0123456789()") != NULL)
        return NULL;
    char *stem = mem_strndup(name, (size_t)(blank - name));
    const int before = card_tag(instance->cards, stem);
    mem_free(stem);
    return before >= 0 && instance->cache->theme_of[before] >= 0 ? blank + 1 : NULL;
}

static const char *own_word(const Instance *instance, size_t tag)
{
    const char *word = word_in_brackets(instance->cards->tag[tag]);
    return word != NULL ? word : word_behind_theme(instance, tag);
}

/* How many tags end in the same word as this one does; *first: is it the first of them? word[tags]: own_word, folded.
 */
static size_t count_alike(const CardSet *cards, const char *const *word, size_t tag, bool *first)
{
    size_t alike = 0;
    *first = true;
    for (size_t k = 0; k < cards->tags; k++)
        if (word[k] != NULL && strcmp(word[k], word[tag]) == 0) {
            *first = *first && k >= tag;
            alike++;
        }
    return alike;
}

/* Two tags that end in one word: it is likely somebody's own word for a role. True: it is so. */
static bool tell_own_role(const InstanceBuilder *builder, const char *const *folded, size_t tag, const Tagged *tagged)
{
    char excerpt[TEXT_EXCERPT];
    bool first;
    const Instance *instance = builder->instance;
    const size_t alike = folded[tag] != NULL ? count_alike(instance->cards, folded, tag, &first) : 0;
    if (alike < 2)
        return false;
    const char *word = own_word(instance, tag);
    const size_t brackets = word[0] == '(';
    if (first)
        diag_notice(
            builder->diags, tagged->first != NULL ? tagged->first->at : (SourcePos){0},
            "%zu tags end in '%s', such as '%s': each is a tag of its own; where that is a role, write enabler, "
            "payoff or both there, or say which it is in the model: read: {words: {\"%.*s\": enabler}}",
            alike, word, text_excerpt(excerpt, instance->cards->tag[tag]), (int)(strlen(word) - 2 * brackets),
            word + brackets);
    return true;
}

void notice_tags(const InstanceBuilder *builder)
{
    const Instance *instance = builder->instance;
    const Model *model = instance->model;
    const CardSet *cards = instance->cards;
    Tagged *tagged = count_tagged(cards);
    ThemeWord *themes = mem_new(model->themes, sizeof *themes);
    const char **word = mem_new(cards->tags, sizeof *word);
    for (size_t k = 0; k < cards->tags; k++) {
        const char *own = own_word(instance, k);
        word[k] = own != NULL ? text_fold(own) : NULL;
    }
    for (size_t t = 0; t < model->themes; t++) {
        themes[t].folded = text_fold(model->theme[t].name);
        themes[t].near = near_word(themes[t].folded);
    }
    for (size_t k = 0, found = 0; k < cards->tags && found < SHOWN; k++) {
        if (strchr(cards->tag[k], ',') != NULL /* a comma is told already */ ||
            tell_own_role(builder, word, k, &tagged[k]) || instance->cache->theme_of[k] >= 0)
            continue;
        const char *theme = tagged[k].first == NULL ? NULL : meant_theme(instance, themes, k, tagged);
        if (theme == NULL)
            continue;
        char excerpt[TEXT_EXCERPT];
        found++;
        diag_notice(builder->diags, tagged[k].first->at,
                    "the tag '%s' of %zu %s is no theme; was '%s' meant, with a role (enabler, payoff, both) and a "
                    "weight behind it, and ';' before another tag?",
                    text_excerpt(excerpt, cards->tag[k]), tagged[k].count, tagged[k].count == 1 ? "card" : "cards",
                    theme);
    }
    for (size_t t = 0; t < model->themes; t++) {
        mem_free(themes[t].folded);
        mem_free(themes[t].near);
    }
    for (size_t k = 0; k < cards->tags; k++)
        mem_free((void *)(uintptr_t)word[k]);
    mem_free(word);
    mem_free(themes);
    mem_free(tagged);
}

/* Has some sheet one of the headers of this field? */
static bool field_met(const Instance *instance, const char *field)
{
    const Model *model = instance->model;
    for (size_t i = 0; i < model->maps; i++)
        if (strcmp(model->map_field[i], field) == 0 && instance->cards->map_used[i])
            return true;
    return false;
}

/* The header that is likely meant for a field whose own is in no sheet: one almost of that name, else one with a word
 * for the field; none that is read as another field. NULL: none. */
static const char *likely_header(const Instance *instance, size_t map)
{
    const Model *model = instance->model;
    const CardSet *cards = instance->cards;
    const char **open = mem_new(cards->columns, sizeof *open);
    size_t count = 0;
    for (size_t c = 0; c < cards->columns; c++) {
        bool taken = false;
        for (size_t i = 0; i < model->maps && !taken; i++)
            taken =
                cards->map_used[i] && text_find(cards->column[c], (const char *const *)&model->map_header[i], 1) >= 0;
        if (!taken)
            open[count++] = cards->column[c];
    }
    const char *found = text_nearest(model->map_header[map], open, count);
    const int field = field_of_name(model->map_field[map]);
    const int meant = found == NULL && field >= 0 ? header_meant(open, count, (ColumnField)field) : -1;
    if (meant >= 0)
        found = open[meant];
    mem_free(open);
    return found;
}

/* Notes from play are no sheet of the scenario, so what they call their columns need not be met here; where the model
 * names some of these, the date may be theirs too. */
static bool may_be_of_notes(const Model *model, const char *field)
{
    static const char *const of_notes[] = {"card", "verdict", "note"};
    const size_t count = sizeof of_notes / sizeof *of_notes;
    bool named = false;
    for (size_t k = 0; k < count; k++)
        named = named || text_find(of_notes[k], model->map_field, model->maps) >= 0;
    return text_find(field, of_notes, count) >= 0 || (named && strcmp(field, "date") == 0);
}

/* A field may have several headers, for sheets that call it differently: one of them must be in some sheet. */
void check_maps(const InstanceBuilder *builder)
{
    const Instance *instance = builder->instance;
    const Model *model = instance->model;
    if (builder->diags->errors > 0) /* it may be in a sheet that could not be read */
        return;
    for (size_t i = 0; i < model->maps; i++) {
        if (field_met(instance, model->map_field[i]) || may_be_of_notes(model, model->map_field[i]))
            continue;
        char excerpt[TEXT_EXCERPT];
        diag_error(builder->diags, model->map_at[i], "found no column '%s' in any sheet%s",
                   text_excerpt(excerpt, model->map_header[i]),
                   did_you_mean(likely_header(instance, i), instance->arena));
    }
}
