/* starter_plan.c - see starter_plan.h. */
#include "ask/plans/starter_plan.h"

#include <string.h>

#include "ask/ask.h"
#include "ask/line.h"
#include "base/number.h"
#include "model/language/compose.h"
#include "report/starter/starter.h"

const StarterFile starter_file[STARTER_FILES] = {
    {"cards.csv", starter_cards, "sample cards, to be replaced by your own list"},
    {"targets.csv", starter_targets, "the numbers that you may want to change, as a sheet"},
    {"model.yaml", starter_model, "the rules of the pool, with the sums behind the numbers"},
    {"scenario.yaml", starter_scenario, "what goes together: rules, cards, wishes, what-ifs"},
};

/* What is being read, and how messages call its parts. */
typedef struct {
    Arena *arena;
    const StarterWish *wish;
    Diags *diags;
} Reading;

static const char *called(const Reading *reading, const char *option, const char *field)
{
    return reading->wish->by_options ? option : field;
}

static void refuse(const Reading *reading, const char *what, const char *found, const char *expected)
{
    diag_error(reading->diags, (SourcePos){0}, "%s: found %s, expected %s", what, found, expected);
}

static const char *colours_called(const Reading *reading)
{
    return called(reading, "--colours", "colours");
}

static const char *themes_called(const Reading *reading)
{
    return called(reading, "--themes", "themes");
}

/* The next part before the mark, trimmed; NULL at the end. */
static const char *next_part(const Reading *reading, const char **rest, char mark)
{
    if (*rest == NULL)
        return NULL;
    const char *end = strchr(*rest, mark);
    size_t length = end != NULL ? (size_t)(end - *rest) : strlen(*rest);
    const char *part = text_trim(*rest, &length);
    *rest = end != NULL ? end + 1 : NULL;
    return arena_strndup(reading->arena, part, length);
}

static bool read_colours(const Reading *reading, StarterPlan *plan)
{
    const char **colour = arena_alloc(reading->arena, COLOURS_MAX, sizeof *colour);
    const char *rest = reading->wish->colours, *part;
    while ((part = next_part(reading, &rest, ',')) != NULL) {
        if (plan->colours == COLOURS_MAX) {
            refuse(reading, colours_called(reading), "more than 16 names", "1 to 16");
            return false;
        }
        if (part[0] == '\0') {
            refuse(reading, colours_called(reading), "an empty name",
                   "names with commas between, such as brass,glass,linen,tar");
            return false;
        }
        colour[plan->colours++] = part;
    }
    if (plan->colours == 1 && strpbrk(colour[0], " ;") != NULL) { /* more likely several, without their commas */
        refuse(reading, colours_called(reading), arena_printf(reading->arena, "'%s' as one colour", colour[0]),
               "names with commas between, such as brass,glass,linen,tar");
        return false;
    }
    plan->colour = colour;
    return true;
}

static bool read_theme_colours(const Reading *reading, const StarterPlan *plan, const char *text, ColourMask *mask)
{
    const char *rest = text, *part;
    *mask = 0;
    while ((part = next_part(reading, &rest, '+')) != NULL) {
        const long c = text_find(part, plan->colour, plan->colours);
        if (c < 0) {
            const char *near = did_you_mean(text_nearest(part, plan->colour, plan->colours), reading->arena);
            refuse(reading, themes_called(reading), arena_printf(reading->arena, "the colour '%s'", part),
                   arena_printf(reading->arena, "one of %s%s", text_list(reading->arena, plan->colour, plan->colours),
                                near));
            return false;
        }
        *mask |= (ColourMask)(1U << c);
    }
    return true;
}

static bool read_theme(const Reading *reading, const StarterPlan *plan, const char *part, StarterTheme *theme)
{
    const char *sides = part;
    theme->name = next_part(reading, &sides, '=');
    theme->colours = (ColourMask)((1U << plan->colours) - 1U);
    /* "convoys: brass+linen" would be a theme of that name in all colours */
    if (theme->name[0] == '\0' || strpbrk(theme->name, ":+") != NULL) {
        refuse(reading, themes_called(reading), arena_printf(reading->arena, "'%s'", part),
               "themes such as \"convoys=brass+linen; lures=glass+tar\"");
        return false;
    }
    return sides == NULL || read_theme_colours(reading, plan, sides, &theme->colours);
}

static bool read_themes(const Reading *reading, StarterPlan *plan)
{
    const char *all = reading->wish->themes;
    size_t most = 1;
    for (const char *c = all; c != NULL && *c != '\0'; c++)
        most += *c == ';';
    StarterTheme *theme = arena_alloc(reading->arena, most, sizeof *theme);
    const char *rest = all, *part;
    while ((part = next_part(reading, &rest, ';')) != NULL) {
        if (part[0] == '\0')
            continue;
        if (!read_theme(reading, plan, part, &theme[plan->themes]))
            return false;
        plan->themes++;
    }
    plan->theme = theme;
    return true;
}

/* In a targets sheet colours and themes are columns, so they must differ. */
static bool names_differ(const Reading *reading, const StarterPlan *plan)
{
    Arena *arena = reading->arena;
    size_t count = plan->colours + plan->themes;
    const char **folded = arena_alloc(arena, count, sizeof *folded);
    for (size_t i = 0; i < count; i++) {
        const char *name = i < plan->colours ? plan->colour[i] : plan->theme[i - plan->colours].name;
        folded[i] = text_fold_in(arena, name);
        for (size_t j = 0; j < i; j++)
            if (strcmp(folded[i], folded[j]) == 0) {
                refuse(reading, i < plan->colours ? colours_called(reading) : themes_called(reading),
                       arena_printf(arena, "'%s' twice", name), "names that differ");
                return false;
            }
    }
    return true;
}

static bool read_plan(const Reading *reading, StarterPlan *plan)
{
    const StarterWish *wish = reading->wish;
    const int opened = wish->seats * SEAT_CARDS, played = wish->seats * SEAT_CARDS_LEAST; /* 0: seats not said */
    const char *size = called(reading, "--size", "the size");
    *plan = (StarterPlan){
        .size = wish->size != 0 ? wish->size : opened, .seats = wish->seats, .semicolons = wish->semicolons};
    if (plan->size == 0)
        refuse(reading, size, "nothing",
               called(reading, "a number of cards such as 360, or --seats such as 8", "a number of cards such as 360"));
    if (wish->size != 0 && wish->size < played)
        diag_error(reading->diags, (SourcePos){0}, "%s: found %d, expected at least %d: %d seat%s play%s a deck of %d",
                   size, wish->size, played, wish->seats, wish->seats == 1 ? "" : "s", wish->seats == 1 ? "s" : "",
                   SEAT_CARDS_LEAST);
    if (wish->colours == NULL)
        refuse(reading, colours_called(reading), "nothing", "names with commas between, such as brass,glass,linen,tar");
    return reading->diags->errors == 0 && read_colours(reading, plan) && read_themes(reading, plan) &&
           names_differ(reading, plan);
}

/* The model that we would write is read back, so that names that cannot be used are refused before anything is written.
 */
static bool is_sound_model(const Reading *reading, const Text *text)
{
    Arena *arena = arena_new();
    Diags found;
    diags_init(&found);
    const YamlNode *root = yaml_parse(arena, "model.yaml", text_cstr(text), text->length, &found);
    Draft draft;
    draft_init(&draft, arena, &found);
    if (root != NULL) {
        draft_lay(&draft, root);
        model_compose(&draft, "model.yaml", (SourcePos){0});
    }
    draft_release(&draft);
    for (size_t i = 0; i < found.count; i++)
        if (found.item[i].kind == DIAG_ERROR)
            diag_error(reading->diags, (SourcePos){0}, "%s: %s",
                       called(reading, "--colours or --themes", "colours or themes"), found.item[i].text);
    bool sound = found.errors == 0;
    diags_release(&found);
    arena_free(arena);
    return sound;
}

bool starter_texts(Arena *arena, const StarterWish *wish, Text text[STARTER_FILES], Diags *diags)
{
    const Reading reading = {arena, wish, diags};
    StarterPlan plan;
    if (!read_plan(&reading, &plan))
        return false;
    for (size_t f = 0; f < STARTER_FILES; f++)
        starter_file[f].write(&plan, &text[f]);
    return is_sound_model(&reading, &text[STARTER_MODEL]);
}

/* ---- for whoever embeds the optimiser ---- */

static const char *said(const json_t *asked, const char *key)
{
    const char *text = json_string_value(json_object_get(asked, key));
    return text != NULL && text[strspn(text, " \t\n")] != '\0' ? text : NULL;
}

static void read_size(const json_t *asked, StarterWish *wish, Diags *diags)
{
    const char *text = said(asked, "size");
    int64_t size;
    if (text == NULL)
        return;
    if (number_parse(text, 0, false, &size) != NUMBER_OK || size < STARTER_LEAST || size > STARTER_MOST)
        diag_error(diags, (SourcePos){0}, "the size: found %s, expected a whole number from %d to %d", text,
                   STARTER_LEAST, STARTER_MOST);
    else
        wish->size = (int)size;
}

void ask_init(const char *line, size_t length, Text *out)
{
    Diags diags;
    Arena *arena = arena_new();
    Text text[STARTER_FILES] = {0};
    json_t *asked = json_loadb(line, length, JSON_REJECT_DUPLICATES, NULL), *root = json_object();
    diags_init(&diags);
    StarterWish wish = {.colours = said(asked, "colours"),
                        .themes = said(asked, "themes"),
                        .semicolons = json_is_true(json_object_get(asked, "semicolons"))};
    read_size(asked, &wish, &diags);
    if (diags.errors == 0 && starter_texts(arena, &wish, text, &diags)) {
        json_t *files = json_object();
        for (size_t f = 0; f < STARTER_FILES; f++)
            json_object_set_new(files, starter_file[f].name, json_stringn(text_cstr(&text[f]), text[f].length));
        json_object_set_new(root, "files", files);
    } else {
        json_object_set_new(root, "error", ask_errors_json(&diags, NULL, arena));
    }
    ask_add_line(root, out);
    for (size_t f = 0; f < STARTER_FILES; f++)
        text_release(&text[f]);
    diags_release(&diags);
    arena_free(arena);
    json_decref(asked);
}
