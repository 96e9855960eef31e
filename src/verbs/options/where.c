/* where.c - "cost=2..4", "kind=crew,vessel", "not tag=removal" as the maps that a model could hold. A field said once
 * more goes into a further filter, so that both must hold. */
#include "verbs/options/where.h"

#include <ctype.h>
#include <string.h>

#include "base/text.h"
#include "model/language/filter_read.h"

typedef struct {
    Arena *arena;
    YamlNode **map; /* [maps] */
    size_t maps;
} Maps;

static const SourcePos nowhere = {0};

static YamlNode *text_node(Maps *maps, const char *text, size_t length)
{
    const char *trimmed = text_trim(text, &length);
    return yaml_text_node(maps->arena, arena_strndup(maps->arena, trimmed, length), nowhere);
}

/* "2..4", "2.." or "..4" as {from, to}; anything else as it is. */
static YamlNode *value_node(Maps *maps, const char *text, size_t length)
{
    text = text_trim(text, &length);
    if (length > 1 && text[0] == '"' && text[length - 1] == '"')
        return yaml_text_node(maps->arena, arena_strndup(maps->arena, text + 1, length - 2), nowhere);
    char *copy = arena_strndup(maps->arena, text, length);
    const char *dots = strstr(copy, "..");
    if (dots == NULL || (length == 2 && dots == copy))
        return text_node(maps, text, length);
    YamlNode *range = yaml_map_node(maps->arena, nowhere);
    if (dots > copy)
        yaml_map_add(maps->arena, range, yaml_text_node(maps->arena, "from", nowhere),
                     text_node(maps, copy, (size_t)(dots - copy)));
    if (dots[2] != '\0')
        yaml_map_add(maps->arena, range, yaml_text_node(maps->arena, "to", nowhere),
                     text_node(maps, dots + 2, strlen(dots + 2)));
    return range;
}

/* Values with commas between, outside quotes. */
static YamlNode *values_node(Maps *maps, const char *text)
{
    YamlNode *list = yaml_list_node(maps->arena, nowhere);
    bool quoted = false;
    const char *start = text;
    for (const char *c = text;; c++) {
        if (*c == '"')
            quoted = !quoted;
        if (*c != '\0' && (*c != ',' || quoted))
            continue;
        yaml_list_add(maps->arena, list, value_node(maps, start, (size_t)(c - start)));
        start = c + 1;
        if (*c == '\0')
            break;
    }
    return list->count == 1 ? list->item[0] : list;
}

/* The first map that does not hold the field yet. */
static YamlNode *map_without(Maps *maps, const char *field)
{
    for (size_t m = 0; m < maps->maps; m++)
        if (yaml_get(maps->map[m], field) == NULL)
            return maps->map[m];
    maps->map[maps->maps] = yaml_map_node(maps->arena, nowhere);
    return maps->map[maps->maps++];
}

/* "..1,50" or "9,5..": in a list of values this would be two, where a decimal comma was meant. */
static bool has_comma_in_range(const char *text)
{
    if (strstr(text, "..") == NULL || strchr(text, '"') != NULL)
        return false;
    for (const char *c = strchr(text, ','); c != NULL; c = strchr(c + 1, ','))
        if (c > text && isdigit((unsigned char)c[-1]) && isdigit((unsigned char)c[1]))
            return true;
    return false;
}

/* What files write as {from: 1, to: 2} is 1..2 here. The text is in the arena. */
static const char *with_dots(Arena *arena, const char *text)
{
    const char *begin = strstr(text, "{from: "), *end = begin != NULL ? strchr(begin, '}') : NULL;
    if (end == NULL)
        return text;
    const char *from = begin + strlen("{from: "), *to = strstr(from, ", to: ");
    const int least = (int)((to != NULL && to < end ? to : end) - from);
    to = to != NULL && to < end ? to + strlen(", to: ") : end;
    return arena_printf(arena, "%.*s%.*s..%.*s%s", (int)(begin - text), text, least, from, (int)(end - to), to,
                        end + 1);
}

static void add_where(Job *job, Maps *maps, const char *word)
{
    const char *start = word, *equals = strchr(word, '=');
    size_t length = equals != NULL ? (size_t)(equals - word) : 0;
    start = text_trim(start, &length);
    bool negated = length > 4 && strncmp(start, "not ", 4) == 0;
    if (negated) {
        start += 4;
        length -= 4;
        start = text_trim(start, &length);
    }
    if (length == 0) {
        diag_error(&job->diags, nowhere,
                   "--where: found '%s', expected FIELD=VALUE such as cost=2..4, kind=crew,vessel or 'not tag=removal'",
                   word);
        return;
    }
    if (has_comma_in_range(equals + 1)) {
        diag_error(&job->diags, nowhere,
                   "--where: found '%s', expected numbers with a decimal point; a list with a range in it has a blank "
                   "behind its commas",
                   word);
        return;
    }
    const char *field = arena_strndup(maps->arena, start, length);
    YamlNode *value = values_node(maps, equals + 1);
    if (negated) {
        YamlNode *outer = yaml_map_node(maps->arena, nowhere);
        yaml_map_add(maps->arena, outer, yaml_text_node(maps->arena, "not", nowhere), value);
        value = outer;
    }
    yaml_map_add(maps->arena, map_without(maps, field), yaml_text_node(maps->arena, field, nowhere), value);
}

bool where_read(Job *job, const Filter **filter, size_t *filters)
{
    const Options *o = &job->options;
    Arena *arena = job->scenario->arena;
    Maps maps = {.arena = arena, .map = arena_alloc(arena, o->wheres + 1, sizeof *maps.map)};
    for (size_t k = 0; k < o->wheres; k++)
        add_where(job, &maps, o->where[k]);
    if (o->filter != NULL) {
        YamlNode *root = yaml_read(arena, job->files, o->filter, nowhere, &job->diags);
        if (root != NULL)
            maps.map[maps.maps++] = root;
    }
    Filter *read = arena_alloc(arena, maps.maps, sizeof *read);
    Diags found;
    diags_init(&found);
    ReadContext context = {
        .arena = arena, .diags = &found, .currency = job->scenario->model->currency, .met = job->scenario->model->met};
    *filter = read;
    *filters = maps.maps;
    for (size_t m = 0; m < maps.maps; m++)
        if (filter_read(&context, job->scenario->model, maps.map[m], false, &read[m]))
            instance_prepare_filter(job->instance, &read[m], &found);
    for (size_t k = 0; k < found.count; k++) {
        const Diag *item = &found.item[k];
        if (item->at.file == NULL && item->kind == DIAG_ERROR)
            diag_error(&job->diags, nowhere, "--where: %s", with_dots(arena, item->text));
        else
            diag_repeat(&job->diags, item, "");
    }
    diags_release(&found);
    return job->diags.errors == 0;
}
