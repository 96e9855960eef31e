/* tags.c - the tags of a card, from the tags column and from the columns of themes. */
#include <string.h>

#include "base/number.h"
#include "base/text.h"
#include "cards/sheet/header_words.h"
#include "cards/sheet/reading.h"

#define WEIGHT_SCALE 3
#define WEIGHT_DEFAULT 1000

typedef enum { WORD_OTHER, WORD_ROLE, WORD_WEIGHT, WORD_WRONG } WordKind;

/* What a word says; errors are reported. */
static WordKind read_word(Reading *reading, const char *word, Role *role, int64_t *weight)
{
    *role = habits_role(reading->habits, word);
    if (*role != ROLE_NONE)
        return WORD_ROLE;
    char first = word[0] == '-' || word[0] == '+' ? word[1] : word[0];
    bool numeral = (first >= '0' && first <= '9') || first == '.';
    if (!numeral && first != '\xE2') /* the minus sign U+2212 begins with this byte */
        return WORD_OTHER;
    bool by_comma;
    NumberStatus status = form_number(sheet_number_form(reading->sheet), word, WEIGHT_SCALE, weight, &by_comma);
    if (by_comma && status == NUMBER_OK)
        cell_count_add(&reading->commas, reading->cell);
    int64_t ignored;
    if (status == NUMBER_OK)
        return WORD_WEIGHT;
    if (status == NUMBER_TOO_FINE)
        reading_wrong(reading, "a weight with at most 3 decimals", "");
    else if (status == NUMBER_TOO_LARGE)
        reading_wrong(reading, "a smaller weight", "");
    else if (number_parse(word, WEIGHT_SCALE, true, &ignored) != NUMBER_NONE)
        reading_wrong(reading, "a weight with a decimal point",
                      reading->sheet->decimal == DECIMAL_BY_SEPARATOR ? " (commas separate the fields of this sheet)"
                                                                      : " (as the model's 'read' says)");
    else
        return WORD_OTHER;
    return WORD_WRONG;
}

/* The words for the weights of the theme's tags; none where the tag is no theme. */
static Grades grades_of_theme(const Reading *reading, const char *tag)
{
    const CardVocabulary *vocabulary = reading->vocabulary;
    const long theme = vocabulary->theme_grades != NULL ? text_find(tag, vocabulary->theme, vocabulary->themes) : -1;
    return theme >= 0 ? vocabulary->theme_grades[theme] : (Grades){0};
}

static bool add_tag(Reading *reading, const char *tag, size_t length, Role role, int64_t weight)
{
    if (reading->tag_count == CELL_WORDS_MAX)
        return reading_wrong(reading, "at most 1000 tags on a card", "");
    int spelling = names_add(reading->tags, tag, length);
    for (size_t i = 0; i < reading->tag_count; i++)
        if (names_word(reading->tags, reading->tag[i].tag) == names_word(reading->tags, spelling)) {
            const CardTag *there = &reading->tag[i];
            if ((reading->habits->duplicates != DUPLICATES_ERROR || i < reading->tags_before) && there->role == role &&
                there->weight == weight)
                return true;
            const bool roles = role != ROLE_NONE && there->role != ROLE_NONE && there->role != role;
            char excerpt[TEXT_EXCERPT];
            char *name = mem_strndup(tag, length);
            diag_error(reading->diags, sheet_pos(reading->sheet, reading->cell),
                       "column '%s': found the tag '%s' a second time on this card, expected it once%s",
                       reading->header, text_excerpt(excerpt, name), roles ? ", with the role both" : "");
            mem_free(name);
            return false;
        }
    mem_reserve((void **)&reading->tag, &reading->tag_capacity, reading->tag_count + 1, sizeof *reading->tag);
    reading->tag[reading->tag_count++] = (CardTag){.tag = spelling, .role = role, .weight = weight};
    return true;
}

static bool is_space(char c)
{
    return c == ' ' || (c >= '\t' && c <= '\r');
}

/* Where the last word of the text begins. */
static size_t last_word(const char *text, size_t length)
{
    while (length > 0 && !is_space(text[length - 1]))
        length--;
    return length;
}

static size_t trimmed(const char *text, size_t length)
{
    while (length > 0 && is_space(text[length - 1]))
        length--;
    return length;
}

/* The grades of the theme before the last word, and before the role there; none where there is no theme. */
static Grades grades_before(const Reading *reading, const char *part, size_t start)
{
    size_t length = trimmed(part, start);
    char *tag = mem_strndup(part, length);
    Grades grades = grades_of_theme(reading, tag);
    const size_t role = last_word(tag, length);
    if (grades.count == 0 && role > 0 && habits_role(reading->habits, tag + role) != ROLE_NONE) {
        tag[trimmed(tag, role)] = '\0';
        grades = grades_of_theme(reading, tag);
    }
    mem_free(tag);
    return grades;
}

/* A word that is neither role nor number: a grade of the theme before it, something near to one, which is reported, or
 * a part of the tag. */
static WordKind read_grade(const Reading *reading, const char *part, size_t start, const char *word, int64_t *weight)
{
    if (reading->vocabulary->theme_grades == NULL || start == 0)
        return WORD_OTHER;
    const Grades grades = grades_before(reading, part, start);
    const Grade *grade = grade_find(&grades, word);
    if (grade != NULL) {
        *weight = grade->value;
        return WORD_WEIGHT;
    }
    if (grade_nearest(&grades, word) == NULL)
        return WORD_OTHER;
    Text expected = {0};
    grade_expected(&grades, "a weight", word, &expected);
    reading_wrong(reading, text_cstr(&expected), "");
    text_release(&expected);
    return WORD_WRONG;
}

/* "(payoff)" and the words of "(payoff 2)" without their brackets. */
static char *without_brackets(const char *word, size_t length)
{
    if (length > 1 && (word[0] == '(' || word[0] == '[')) {
        word++;
        length--;
    }
    if (length > 1 && (word[length - 1] == ')' || word[length - 1] == ']'))
        length--;
    return mem_strndup(word, length);
}

size_t tag_name_length(const char *part, size_t length)
{
    for (int words = 0; words < 2; words++) {
        const size_t start = last_word(part, length);
        char *word = without_brackets(part + start, length - start);
        const bool behind = start > 0 && (role_named(word) != ROLE_NONE || (word[0] >= '0' && word[0] <= '9'));
        mem_free(word);
        if (!behind)
            break;
        length = trimmed(part, start);
    }
    return length;
}

/* Of the folded name. */
static bool is_column(const char *name)
{
    for (size_t i = 0; list_column(i) != NULL; i++)
        if (strcmp(list_column(i), name) == 0)
            return true;
    for (size_t i = 0; card_known_column(i) != NULL; i++)
        if (strcmp(card_known_column(i)->name, name) == 0)
            return true;
    return false;
}

const char *theme_name_expected(const char *name)
{
    char *folded = text_fold(name);
    const char *last = folded + last_word(folded, strlen(folded)), *expected = NULL;
    int64_t ignored;
    if (strpbrk(name, ";\"") != NULL)
        expected = "a name without ; and quotes";
    else if (strcmp(folded, "any") == 0 || strcmp(folded, "all") == 0)
        expected = "another name, since this word has a meaning of its own";
    else if (is_column(folded))
        expected = "another name, since a column of the cards sheet is called so";
    else if (role_named(last) != ROLE_NONE || number_parse(last, WEIGHT_SCALE, false, &ignored) != NUMBER_NONE)
        expected = "a name that does not end in a number or a role";
    mem_free(folded);
    return expected;
}

typedef struct {
    const char *name;
    size_t length;
    Role role;
    int64_t weight;
} TagCell;

static bool read_tag(Reading *reading, const char *part, size_t length, TagCell *tag)
{
    Role role = ROLE_NONE;
    int64_t weight = WEIGHT_DEFAULT;
    bool has_role = false, has_weight = false;
    while (length > 0) { /* at most one role and one weight, from the end */
        size_t start = last_word(part, length);
        char *word = without_brackets(part + start, length - start);
        Role word_role;
        int64_t word_weight;
        WordKind kind = read_word(reading, word, &word_role, &word_weight);
        if (kind == WORD_ROLE && start == 0 && role_named(word) == ROLE_NONE)
            kind = WORD_OTHER; /* somebody's own word for a role, as a tag by itself */
        if (kind == WORD_OTHER && !has_weight)
            kind = read_grade(reading, part, start, word, &word_weight);
        mem_free(word);
        if (kind == WORD_WRONG)
            return false;
        if (kind == WORD_OTHER || (kind == WORD_ROLE && has_role) || (kind == WORD_WEIGHT && has_weight))
            break;
        has_role = has_role || kind == WORD_ROLE;
        has_weight = has_weight || kind == WORD_WEIGHT;
        role = kind == WORD_ROLE ? word_role : role;
        weight = kind == WORD_WEIGHT ? word_weight : weight;
        length = trimmed(part, start);
    }
    if (length == 0)
        return reading_wrong(reading, "a tag before the role and the weight: 'TAG ROLE WEIGHT'", "");
    if (memchr(part, ',', length) != NULL && reading->comma_cell != reading->cell) {
        reading->comma_cell = reading->cell;
        cell_count_add(&reading->comma_tags, reading->cell);
    }
    *tag = (TagCell){part, length, role, weight};
    return true;
}

bool tags_parse(Reading *reading)
{
    const char *rest = reading->cell->text, *part;
    size_t length;
    TagCell tag;
    reading->tags_before = reading->tags_read ? reading->tag_count : 0;
    reading->tags_read = true;
    while (reading_next_part(reading, &rest, &part, &length))
        if (!read_tag(reading, part, length, &tag) || !add_tag(reading, tag.name, tag.length, tag.role, tag.weight))
            return false;
    return true;
}

/* ---- columns that say the role ---- */

static Role united(Role a, Role b)
{
    return a == ROLE_NONE || a == b ? b : b == ROLE_NONE ? a : ROLE_BOTH;
}

bool tags_parse_role(Reading *reading, Role *role)
{
    const char *text = reading->cell->text;
    const int yes = word_says_yes(text);
    if (habits_blank(reading->habits, text) || habits_no_role(reading->habits, text) || yes == 0)
        return true;
    const bool marked = yes == 1;
    Role said = habits_role(reading->habits, marked ? reading->header : text);
    if (said == ROLE_NONE && marked)
        said = word_as_role(reading->header);
    if (said == ROLE_NONE)
        return reading_wrong(
            reading,
            marked ? "enabler, payoff or both, since the header is no word for a role" : "enabler, payoff or both", "");
    *role = united(*role, said);
    return true;
}

void tags_take_role(Reading *reading, Role role)
{
    for (size_t i = 0; i < reading->tag_count; i++)
        if (reading->tag[i].role == ROLE_NONE)
            reading->tag[i].role = role;
}

bool tags_parse_as(Reading *reading, Role role)
{
    const char *rest = reading->cell->text, *part;
    size_t length;
    TagCell tag;
    while (reading_next_part(reading, &rest, &part, &length)) {
        if (!read_tag(reading, part, length, &tag))
            return false;
        if (tag.role != ROLE_NONE && tag.role != role)
            return reading_wrong(reading, "tags without another role: the column says it", "");
        const int spelling = names_add(reading->tags, tag.name, tag.length);
        CardTag *there = NULL;
        for (size_t i = 0; i < reading->tag_count && there == NULL; i++)
            if (names_word(reading->tags, reading->tag[i].tag) == names_word(reading->tags, spelling))
                there = &reading->tag[i];
        if (there == NULL && !add_tag(reading, tag.name, tag.length, role, tag.weight))
            return false;
        if (there != NULL) {
            there->role = united(there->role, role);
            there->weight = tag.weight > there->weight ? tag.weight : there->weight;
        }
    }
    return true;
}

static void wrong_theme_cell(const Reading *reading, const Grades *grades, const char *expected, const char *word)
{
    Text wanted = {0};
    const char *const roles[] = {role_name(ROLE_ENABLER), role_name(ROLE_PAYOFF), role_name(ROLE_BOTH)};
    const char *role = text_nearest(word, roles, sizeof roles / sizeof *roles);
    grade_expected(grades, expected, word, &wanted);
    if (role != NULL && grade_nearest(grades, word) == NULL)
        text_printf(&wanted, "; did you mean '%s'?", role);
    reading_wrong(reading, text_cstr(&wanted), "");
    text_release(&wanted);
}

bool tags_parse_theme(Reading *reading, const char *theme)
{
    static const char expected[] = "a weight, a role (enabler, payoff, both), both of them, x, yes or no";
    if (habits_blank(reading->habits, reading->cell->text) || text_folds_to(reading->cell->text, "no"))
        return true;
    Role role = ROLE_NONE;
    int64_t weight = WEIGHT_DEFAULT;
    size_t words = 0, roles = 0, weights = 0, marks = 0;
    const Grades grades = grades_of_theme(reading, theme);
    for (const char *rest = reading->cell->text; *rest != '\0';) {
        size_t size = 0;
        while (rest[size] != '\0' && !is_space(rest[size]))
            size++;
        if (size == 0) {
            rest++;
            continue;
        }
        char *word = mem_strndup(rest, size);
        Role word_role;
        int64_t word_weight;
        WordKind kind = read_word(reading, word, &word_role, &word_weight);
        const Grade *grade = kind == WORD_OTHER ? grade_find(&grades, word) : NULL;
        if (grade != NULL) {
            word_weight = grade->value;
            kind = WORD_WEIGHT;
        }
        const int yes = word_says_yes(word);
        if (yes == 0 && words == 0 && rest[size] == '\0') { /* no tag */
            mem_free(word);
            return true;
        }
        const bool mark = yes == 1 || habits_no_role(reading->habits, word); /* it says no more than an x */
        if (kind == WORD_OTHER && !mark) {
            wrong_theme_cell(reading, &grades, expected, word);
            mem_free(word);
            return false;
        }
        mem_free(word);
        if (kind == WORD_WRONG)
            return false;
        role = kind == WORD_ROLE ? word_role : role;
        weight = kind == WORD_WEIGHT ? word_weight : weight;
        roles += kind == WORD_ROLE;
        weights += kind == WORD_WEIGHT;
        marks += mark;
        words++;
        rest += size;
    }
    if (words == 0)
        return true;
    if (words == 1 && weights == 1 && weight == 0) /* as "no" */
        return true;
    if (roles > 1 || weights > 1 || (marks > 0 && words > 1))
        return reading_wrong(reading, expected, "");
    return add_tag(reading, theme, strlen(theme), role, weight);
}
