/* own_words.c - words of the user's own for statuses, in columns of these, and for roles: behind tags ("lures
 * (starts)", "lures starter"), in columns that mark cards for a theme, and in the column of roles of a sheet of tags.
 * Behind tags a word is one where several tags end in it and we know it or it stands in brackets, and in brackets where
 * its tag has another word too; and where three tags end in it that also stand without it. */
#include <string.h>

#include "base/text.h"
#include "intake/intake_inner.h"

typedef struct {
    Intake *intake;
    Bag behind;    /* words behind tags */
    Bag bracketed; /* those in brackets */
    Bag whole;     /* what stands before a word and the word, "lures;starter": as many as there are different ones */
    Bag tag;       /* tags as they are, without weights */
    Bag column;    /* in columns of roles */
    Bag status;    /* in columns of statuses */
    size_t tags, roles, statuses;
} OwnWords;

/* The last word of a tag without its weight and without brackets; *length 0: it has one word alone. *whole: its length
 * without the weight. */
static const char *word_behind(const char *part, size_t size, size_t *stem, size_t *length, size_t *whole,
                               bool *bracketed)
{
    LooseNumber number;
    for (;;) {
        size_t start = size;
        while (start > 0 && part[start - 1] != ' ')
            start--;
        char *word = mem_strndup(part + start, size - start);
        const bool weight = loose_number(word, &number);
        mem_free(word);
        *stem = start;
        while (*stem > 0 && part[*stem - 1] == ' ')
            (*stem)--;
        *whole = size;
        *length = *stem == 0 ? 0 : size - start;
        *bracketed = *length > 2 && part[start] == '(' && part[size - 1] == ')';
        if (weight && *stem > 0) {
            size = *stem;
            continue;
        }
        *length -= *bracketed ? 2 : 0;
        return part + start + (*bracketed ? 1 : 0);
    }
}

static void note_tags(void *context, const CellAt *at)
{
    OwnWords *words = context;
    const Habits *habits = &words->intake->habits;
    const SourcePos pos = sheet_pos(&at->sheet->sheet, at->cell);
    for (const char *part = at->cell->text; *part != '\0';) {
        size_t size = 0, stem, length, whole;
        while (part[size] != '\0' && !habits_parts_tags(habits, part[size]))
            size++;
        size_t left = size;
        const char *start = text_trim(part, &left);
        bool bracketed;
        const char *word = word_behind(start, left, &stem, &length, &whole, &bracketed);
        words->tags += left > 0;
        if (left > 0)
            bag_add(&words->tag, start, whole, pos);
        if (length > 0) {
            Text pair = {0};
            text_printf(&pair, "%.*s;%.*s", (int)stem, start, (int)length, word);
            bag_add(&words->behind, word, length, pos);
            if (bracketed)
                bag_add(&words->bracketed, word, length, pos);
            bag_add(&words->whole, text_cstr(&pair), pair.length, pos);
            text_release(&pair);
        }
        part += size + (part[size] != '\0');
    }
}

static void note_role(void *context, const CellAt *at)
{
    OwnWords *words = context;
    const char *text = at->cell->text;
    if (says_nothing(text))
        return;
    words->roles++;
    bag_add(&words->column, text, strlen(text), sheet_pos(&at->sheet->sheet, at->cell));
}

/* In a column that marks cards for a theme: a word by itself, and no x, yes or weight. */
static void note_mark(void *context, const CellAt *at)
{
    LooseNumber number;
    const char *text = at->cell->text;
    if (word_says_yes(text) < 0 && strchr(text, ' ') == NULL && !loose_number(text, &number))
        note_role(context, at);
}

static void note_status(void *context, const CellAt *at)
{
    OwnWords *words = context;
    size_t length;
    words->statuses += at->cell->text[0] != '\0';
    for (const char *rest = at->cell->text, *part; (part = text_part(&rest, ";", &length)) != NULL;)
        bag_add(&words->status, part, length, sheet_pos(&at->sheet->sheet, at->cell));
}

static void add_word(Habits *habits, const BagWord *word, const char *meant)
{
    ((OwnWord *)(uintptr_t)habits->own_word)[habits->own_words++] =
        (OwnWord){.word = word->spelled, .folded = word->folded, .meant = meant};
}

/* How many different tags stand before the word. */
static size_t tags_before(const OwnWords *words, const char *folded)
{
    size_t count = 0;
    for (size_t k = 0; k < words->whole.words; k++)
        count += strcmp(strrchr(words->whole.word[k].folded, ';') + 1, folded) == 0;
    return count;
}

/* Does a tag with this word stand with another word too, "freight (goal)" and "freight (starter)"? */
static bool has_brother(const OwnWords *words, const char *folded)
{
    for (size_t k = 0; k < words->whole.words; k++) {
        const char *pair = words->whole.word[k].folded, *word = strrchr(pair, ';');
        const size_t stem = (size_t)(word - pair) + 1;
        for (size_t j = 0; j < words->whole.words && strcmp(word + 1, folded) == 0; j++)
            if (j != k && strncmp(words->whole.word[j].folded, pair, stem) == 0 &&
                strchr(words->whole.word[j].folded + stem, ';') == NULL)
                return true;
    }
    return false;
}

#define STEMS_LEAST 3 /* tags that a word stands behind though it need not */

/* Three tags and more stand with the word and without it, and it is no tag: "lures", "lures first". */
static bool is_added(const OwnWords *words, const char *folded)
{
    size_t count = 0;
    for (size_t k = 0; k < words->whole.words; k++) {
        const char *pair = words->whole.word[k].folded, *word = strrchr(pair, ';');
        if (strcmp(word + 1, folded) != 0)
            continue;
        char *stem = mem_strndup(pair, (size_t)(word - pair));
        count += bag_find(&words->tag, stem) != NULL;
        mem_free(stem);
    }
    return count >= STEMS_LEAST && bag_find(&words->tag, folded) == NULL;
}

/* Of two words that are added to tags one is known for a role: then the other is likely its counterpart. */
static Role counterpart(const OwnWords *words, const char *folded)
{
    Role role = ROLE_NONE;
    size_t others = 0;
    for (size_t k = 0; k < words->behind.words && is_added(words, folded); k++) {
        const BagWord *word = &words->behind.word[k];
        if (strcmp(word->folded, folded) == 0 || !is_added(words, word->folded))
            continue;
        others++;
        role = role_named(word->spelled) != ROLE_NONE ? role_named(word->spelled) : word_as_role(word->spelled);
    }
    if (others != 1)
        return ROLE_NONE;
    return role == ROLE_ENABLER ? ROLE_PAYOFF : role == ROLE_PAYOFF ? ROLE_ENABLER : ROLE_NONE;
}

/* The letters with which the roles begin say them in columns of marks, where both are there. */
static Role letter_as_role(const OwnWords *words, const char *folded)
{
    const bool enabler = strcmp(folded, "e") == 0, payoff = strcmp(folded, "p") == 0;
    if ((!enabler && !payoff) || bag_find(&words->column, enabler ? "p" : "e") == NULL)
        return ROLE_NONE;
    return enabler ? ROLE_ENABLER : ROLE_PAYOFF;
}

/* kept_none: it stands in a column of marks, where a word that says nothing is to be passed over. */
static void ask_word(OwnWords *words, const BagWord *word, size_t of, bool kept_none)
{
    static const char *const choice[] = {"enabler", "payoff", "both", "none"};
    Intake *intake = words->intake;
    Habits *habits = &intake->habits;
    Role known = word_as_role(word->spelled);
    if (known == ROLE_NONE)
        known = kept_none ? letter_as_role(words, word->folded) : counterpart(words, word->folded);
    if (role_named(word->spelled) != ROLE_NONE || habits_meant(habits, word->spelled) != NULL)
        return;
    IntakeQuestion question = {
        .id = arena_printf(intake->arena, "role %s", word->folded),
        .text = arena_printf(intake->arena,
                             "'%s': does it make a theme happen (enabler), reward it (payoff), both, or is it no role?",
                             word->spelled),
        .likely = known != ROLE_NONE ? role_name(known) : "none",
        .choice = choice,
        .choices = sizeof choice / sizeof *choice,
        .of = of};
    question_example(&question, word->at, word->spelled);
    question.count = word->count;
    const Role role = role_named(intake_ask(intake, question));
    if (role != ROLE_NONE || kept_none)
        add_word(habits, word, role != ROLE_NONE ? role_name(role) : "none");
}

/* A word that is none of ours; most in such a column are, or known for one of them. */
static void ask_status(OwnWords *words, const BagWord *word)
{
    static const char *const choice[] = {"keep", "ban", "wish", "in", "none"};
    Intake *intake = words->intake;
    const char *known = word_as_status(word->spelled);
    if (text_find(word->spelled, choice, 4) >= 0 || habits_meant(&intake->habits, word->spelled) != NULL)
        return;
    IntakeQuestion question = {
        .id = arena_printf(intake->arena, "status %s", word->folded),
        .text = arena_printf(
            intake->arena,
            "'%s': is the card kept (keep), never in (ban), wished (wish), in the present pool (in), or none of these?",
            word->spelled),
        .likely = known != NULL ? known : "none",
        .choice = choice,
        .choices = sizeof choice / sizeof *choice,
        .of = words->statuses};
    question_example(&question, word->at, word->spelled);
    question.count = word->count;
    add_word(&intake->habits, word, intake_ask(intake, question));
}

void guess_own_words(Intake *intake)
{
    OwnWords words = {.intake = intake};
    Bag *const bag[] = {&words.behind, &words.bracketed, &words.whole, &words.tag, &words.column, &words.status};
    for (size_t k = 0; k < sizeof bag / sizeof *bag; k++)
        bag[k]->arena = intake->arena;
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_TAGS, note_tags, &words);
    each_cell(intake, ROLE_BIT(SHEET_TAGS), HOLDS_ROLE, note_role, &words);
    each_cell(intake, ROLE_BIT(SHEET_CARDS), HOLDS_ROLE, note_mark, &words);
    each_theme_cell(intake, note_mark, &words);
    each_cell(intake, ROLE_BIT(SHEET_CARDS) | ROLE_BIT(SHEET_TAGS), HOLDS_STATUS, note_status, &words);
    for (size_t k = 0; k < sizeof bag / sizeof *bag; k++)
        bag_settle(bag[k]);
    intake->habits.own_word =
        arena_alloc(intake->arena, words.behind.words + words.column.words + words.status.words, sizeof(OwnWord));
    for (size_t k = 0; k < words.behind.words; k++) {
        const BagWord *word = &words.behind.word[k];
        const bool bracketed = bag_find(&words.bracketed, word->folded) != NULL;
        const size_t tags = tags_before(&words, word->folded);
        if ((tags >= 2 && (word_as_role(word->spelled) != ROLE_NONE || bracketed)) ||
            (bracketed && has_brother(&words, word->folded)) || is_added(&words, word->folded))
            ask_word(&words, word, words.tags, false);
    }
    for (size_t k = 0; k < words.column.words; k++)
        ask_word(&words, &words.column.word[k], words.roles, true);
    for (size_t k = 0; k < words.status.words; k++)
        ask_status(&words, &words.status.word[k]);
    for (size_t k = 0; k < sizeof bag / sizeof *bag; k++)
        bag_release(bag[k]);
}
