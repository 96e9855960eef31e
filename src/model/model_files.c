/* model_files.c - a model's name is a file beside the one that names it, or a preset: a file NAME.yaml in one of the
 * preset folders. */
#include "model/model_files.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/text.h"
#include "model/paths.h"

typedef struct {
    const ReadContext *context;
    const ModelSource *source;
    char *canonical[EXTENDS_MAX]; /* by realpath, to see a circle whatever the spelling */
    size_t depth;
} Finder;

static bool is_file(const char *path)
{
    struct stat info;
    return stat(path, &info) == 0 && !S_ISDIR(info.st_mode);
}

static int is_preset(const struct dirent *entry)
{
    return entry->d_name[0] != '.' && text_ends_with(entry->d_name, ".yaml");
}

/* The names of all presets, without their ending. *count of them, in the arena. */
static const char **preset_names(const Finder *finder, size_t *count)
{
    Arena *arena = finder->context->arena;
    const char **names = NULL;
    size_t capacity = 0;
    *count = 0;
    for (size_t f = 0; f < finder->source->folders; f++) {
        struct dirent **entry = NULL;
        int found = scandir(finder->source->folder[f], &entry, is_preset, alphasort);
        for (int i = 0; i < found; i++) {
            size_t length = strlen(entry[i]->d_name) - strlen(".yaml");
            const char *name = arena_strndup(arena, entry[i]->d_name, length);
            mem_reserve((void **)&names, &capacity, *count + 1, sizeof *names);
            if (text_utf8_error(name, length) == length && text_find(name, names, *count) < 0)
                names[(*count)++] = name;
            free(entry[i]);
        }
        free(entry);
    }
    const char **copy = arena_alloc(arena, *count, sizeof *copy);
    if (*count > 0)
        memcpy(copy, names, *count * sizeof *copy);
    mem_free(names);
    return copy;
}

static void report_no_preset(const Finder *finder, const char *name, SourcePos at)
{
    size_t count = 0;
    const char **names = preset_names(finder, &count);
    const char *nearest = text_nearest(name, names, count);
    Text known = {0};
    for (size_t i = 0; i < count && i < 12; i++)
        text_printf(&known, "%s%s", i == 0 ? "; known presets are " : ", ", names[i]);
    diag_error(finder->context->diags, at, "found no model '%s', neither a file nor a preset%s", name,
               nearest != NULL ? did_you_mean(nearest, finder->context->arena) : text_cstr(&known));
    text_release(&known);
}

/* The path of the model, or NULL (reported). A name that is clearly a path is returned as it is: reading it reports
 * what is wrong. */
static const char *find(const Finder *finder, const char *name, const char *beside, SourcePos at)
{
    Arena *arena = finder->context->arena;
    const char *path = path_beside(arena, beside, name);
    if (is_file(path))
        return path;
    const char *with_ending = arena_printf(arena, "%s.yaml", path);
    if (is_file(with_ending))
        return with_ending;
    if (strchr(name, '/') != NULL)
        return path;
    for (size_t f = 0; f < finder->source->folders; f++) {
        const char *ending = text_ends_with(name, ".yaml") ? "" : ".yaml";
        const char *preset = arena_printf(arena, "%s/%s%s", finder->source->folder[f], name, ending);
        if (is_file(preset))
            return preset;
    }
    report_no_preset(finder, name, at);
    return NULL;
}

/* Has the file been met on the way here? Remembers it. */
static bool is_circle(Finder *finder, const char *path)
{
    char *canonical = realpath(path, NULL);
    char *kept = mem_strdup(canonical != NULL ? canonical : path);
    free(canonical);
    bool circle = false;
    for (size_t i = 0; i < finder->depth; i++)
        circle = circle || strcmp(finder->canonical[i], kept) == 0;
    finder->canonical[finder->depth++] = kept;
    return circle;
}

static bool read_chain(Finder *finder, const char *name, const char *beside, SourcePos at, ModelChain *chain)
{
    const ReadContext *context = finder->context;
    if (finder->depth == EXTENDS_MAX) {
        diag_error(context->diags, at, "too many models extend each other: more than %d", EXTENDS_MAX);
        return false;
    }
    const char *path = find(finder, name, beside, at);
    if (path == NULL)
        return false;
    if (is_circle(finder, path)) {
        diag_error(context->diags, at, "'extends: %s' closes a circle of models that extend each other", name);
        return false;
    }
    const YamlNode *root = yaml_read(context->arena, finder->source->files, path, at, context->diags);
    if (root == NULL)
        return false;
    if (root->kind != NODE_MAP) {
        report_unexpected(context, root, "the keys of a model, such as 'size: 360'");
        return false;
    }
    const YamlNode *model = yaml_get(root, scenario_fields.field[SCENARIO_MODEL].name);
    if (model != NULL && yaml_get(root, scenario_fields.field[SCENARIO_CARDS].name) != NULL) {
        diag_error(context->diags, root->at, "this is a scenario, expected a model; the one that it names is %s",
                   yaml_found(model, context->arena));
        return false;
    }
    const YamlNode *extends = yaml_get(root, model_fields.field[MODEL_EXTENDS].name);
    const char *base = NULL;
    bool sound = true;
    if (extends != NULL && !value_is(extends, "none"))
        sound = read_text(context, extends, model_fields.field[MODEL_EXTENDS].value, &base) &&
                read_chain(finder, base, path, extends->at, chain);
    chain->root[chain->count] = root;
    chain->path[chain->count++] = path;
    return sound;
}

bool model_chain_read(const ReadContext *context, const ModelSource *source, const char *name, const char *beside,
                      SourcePos at, ModelChain *chain)
{
    Finder finder = {.context = context, .source = source};
    *chain = (ModelChain){0};
    bool sound = read_chain(&finder, name, beside, at, chain);
    for (size_t i = 0; i < finder.depth; i++)
        mem_free(finder.canonical[i]);
    return sound;
}
