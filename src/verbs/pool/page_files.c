/* page_files.c - see page_files.h.
 *
 * Files are known by the real path of their folder and their own name, since a name may be a link while paths in YAML
 * are relative to the folder where it lies. Presets that are found by name alone lie elsewhere on this machine than the
 * scenario; they do not widen the folder that paths are seen from. */
#include "verbs/pool/page_files.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>

#include "base/files/file.h"
#include "base/files/writable.h"
#include "base/number.h"
#include "base/text.h"
#include "cards/sheet/sheet.h"
#include "report/starter/starter_found.h"

typedef struct {
    const char *path;   /* as it is read */
    const char *folder; /* real, "/" at its end */
    const char *name;
    bool preset;         /* lies in a folder of presets */
    const char *in_page; /* its path there */
} Source;

typedef struct {
    Job *job;
    Arena *arena;
    Source *source;
    size_t count, room;
} Collected;

/* ---- what is read ---- */

static const char *real_folder(Arena *arena, const char *path, const char **name)
{
    const char *slash = strrchr(path, '/');
    char *folder = slash == NULL ? arena_strdup(arena, ".") : arena_strndup(arena, path, (size_t)(slash - path) + 1);
    char *real = realpath(folder, NULL);
    const char *whole =
        arena_printf(arena, "%s%s", real != NULL ? real : folder, real != NULL && strcmp(real, "/") == 0 ? "" : "/");
    free(real);
    *name = slash == NULL ? path : slash + 1;
    return whole;
}

static bool is_preset_folder(const Collected *all, const char *folder)
{
    const Overrides *o = &all->job->options.overrides;
    for (size_t f = 0; f < o->model_folder_count; f++)
        if (file_is_same(folder, o->model_folders[f]))
            return true;
    return false;
}

static void collect(Collected *all, const char *path)
{
    Source new = {.path = path};
    new.folder = real_folder(all->arena, path, &new.name);
    for (size_t k = 0; k < all->count; k++)
        if (strcmp(all->source[k].folder, new.folder) == 0 && strcmp(all->source[k].name, new.name) == 0)
            return;
    new.preset = is_preset_folder(all, new.folder);
    mem_reserve((void **)&all->source, &all->room, all->count + 1, sizeof new);
    all->source[all->count++] = new;
}

static void collect_sheets(Collected *all, const PathAt *sheet, size_t count)
{
    for (size_t k = 0; k < count; k++)
        collect(all, sheet_file(all->arena, sheet[k].path, NULL));
}

static void collect_scenario(Collected *all)
{
    const Scenario *s = all->job->scenario;
    if (s->path != NULL)
        collect(all, s->path);
    collect_sheets(all, s->cards, s->cards_count);
    collect_sheets(all, s->prices, s->prices_count);
    collect_sheets(all, s->owned, s->owned_count);
    collect_sheets(all, s->tags, s->tags_count);
    collect_sheets(all, s->targets, s->targets_count);
    for (size_t k = 0; k < s->cases_count; k++)
        collect_sheets(all, s->cases[k].file, s->cases[k].files);
    if (s->has_journal)
        collect_sheets(all, &s->journal, 1);
    if (s->pool.path != NULL)
        collect_sheets(all, &s->pool, 1);
    for (size_t k = 0; k < s->models_count; k++)
        collect(all, s->models[k]);
}

/* ---- paths in the page ---- */

/* Does a line `model: a/b.yaml` or `extends: ../b.yaml` name a file by its path? Then presets may be meant by it. */
static bool names_paths(const char *text)
{
    static const char *const key[] = {"model:", "extends:"};
    for (const char *line = text; line != NULL; line = strchr(line, '\n')) {
        line += *line == '\n';
        for (size_t k = 0; k < sizeof key / sizeof *key; k++) {
            const size_t length = strlen(key[k]);
            if (strncmp(line, key[k], length) == 0 && memchr(line + length, '/', strcspn(line + length, "\n#")) != NULL)
                return true;
        }
    }
    return false;
}

static bool is_yaml(const char *name)
{
    return text_ends_with(name, ".yaml") || text_ends_with(name, ".yml");
}

/* How much of all folders is the same, up to a "/"; presets count where something names models by path. */
static size_t common_length(const Collected *all, bool presets)
{
    const char *first = NULL;
    size_t common = 0;
    for (size_t k = 0; k < all->count; k++) {
        const Source *source = &all->source[k];
        if (source->preset && !presets)
            continue;
        if (first == NULL) {
            first = source->folder;
            common = strlen(first);
        }
        size_t same = 0;
        for (size_t i = 0; i < common && first[i] == source->folder[i]; i++)
            if (first[i] == '/')
                same = i + 1;
        common = same;
    }
    return common;
}

static void add(PageFiles *files, const char *path, const char *bytes, size_t length)
{
    for (size_t k = 0; k < files->count; k++)
        if (strcmp(files->file[k].path, path) == 0)
            return;
    files->file[files->count++] = (PageFile){.path = path, .bytes = bytes, .length = length};
}

static bool place(Collected *all, PageFiles *files)
{
    bool presets = false;
    const char **bytes = arena_alloc(all->arena, all->count, sizeof *bytes);
    size_t *length = arena_alloc(all->arena, all->count, sizeof *length);
    for (size_t k = 0; k < all->count; k++) {
        const Source *source = &all->source[k];
        if (target_is_in_place(source->path)) {
            diag_error(&all->job->diags, (SourcePos){.file = source->path},
                       "found something that is read once, such as a pipe, expected a file: the page keeps it");
            return false;
        }
        bytes[k] = file_read(all->arena, source->path, (SourcePos){0}, &length[k], &all->job->diags);
        if (bytes[k] == NULL)
            return false;
        presets = presets || (!source->preset && is_yaml(source->name) && names_paths(bytes[k]));
    }
    const size_t common = common_length(all, presets);
    for (size_t k = 0; k < all->count; k++) {
        Source *source = &all->source[k];
        if (source->preset && !presets)
            continue;
        source->in_page = arena_printf(all->arena, "%s%s", source->folder + common, source->name);
        add(files, source->in_page, bytes[k], length[k]);
    }
    for (size_t k = 0; k < all->count; k++)
        if (all->source[k].preset) {
            const char *path = arena_printf(all->arena, "models/%s", all->source[k].name);
            add(files, path, bytes[k], length[k]);
            if (!presets)
                all->source[k].in_page = path;
        }
    return true;
}

/* ---- a scenario for a cards sheet ---- */

/* Where a model that was named on the command line lies in the page: a preset keeps its name. */
static const char *model_in_page(const Collected *all)
{
    const char *model = all->job->options.overrides.model;
    for (size_t k = 0; k < all->count; k++)
        if (file_is_same(all->source[k].path, model))
            return all->source[k].in_page;
    return model;
}

static void add_own_scenario(Collected *all, PageFiles *files)
{
    const Overrides *o = &all->job->options.overrides;
    char cap[NUMBER_TEXT];
    Text text = {0};
    text_add(&text, "model: ");
    starter_quoted(&text, model_in_page(all));
    text_add(&text, "\ncards: [");
    starter_quoted(&text, files->main);
    text_add(&text, "]\n");
    if (o->has_cap)
        text_printf(&text, "change: {spending_cap: %s}\n", number_format(cap, o->cap, 2, 2));
    const char *bytes = arena_strdup(all->arena, text_cstr(&text)), *path = "scenario.yaml";
    add(files, path, bytes, text.length);
    files->main = path;
    text_release(&text);
}

static void remember(const Collected *all, PageFiles *files)
{
    const char **read = arena_alloc(all->arena, all->count, sizeof *read);
    const char **in_page = arena_alloc(all->arena, all->count, sizeof *in_page);
    for (size_t k = 0; k < all->count; k++) {
        read[k] = all->source[k].path;
        in_page[k] = all->source[k].in_page;
    }
    files->read = read;
    files->in_page = in_page;
    files->reads = all->count;
    files->main = in_page[0];
}

const char *page_files_path(const PageFiles *files, const char *read)
{
    for (size_t k = 0; k < files->reads; k++)
        if (strcmp(files->read[k], read) == 0)
            return files->in_page[k];
    return NULL;
}

bool page_files_read(Job *job, PageFiles *files)
{
    Collected all = {.job = job, .arena = job->options.arena};
    collect_scenario(&all);
    *files = (PageFiles){.file = arena_alloc(all.arena, 2 * all.count + 1, sizeof *files->file)};
    const bool good = place(&all, files);
    remember(&all, files);
    if (good && job->scenario->path == NULL)
        add_own_scenario(&all, files);
    mem_free(all.source);
    return good;
}

/* ---- presets ---- */

static int is_model_name(const struct dirent *entry)
{
    return is_yaml(entry->d_name);
}

bool page_files_presets(Job *job, PageFiles *files)
{
    const Overrides *o = &job->options.overrides;
    Collected all = {.job = job, .arena = job->options.arena};
    *files = (PageFiles){0};
    for (size_t f = 0; f < o->model_folder_count && all.count == 0; f++) {
        struct dirent **entry;
        const int found = scandir(o->model_folders[f], &entry, is_model_name, alphasort);
        for (int k = 0; k < found; k++) {
            collect(&all, arena_printf(all.arena, "%s/%s", o->model_folders[f], entry[k]->d_name));
            free(entry[k]);
        }
        if (found >= 0)
            free(entry);
    }
    files->file = arena_alloc(all.arena, 2 * all.count + 1, sizeof *files->file);
    const bool good = place(&all, files);
    mem_free(all.source);
    files->main = NULL;
    return good;
}

const char *page_title(Arena *arena, const Scenario *scenario)
{
    const char *path = scenario->path != NULL ? scenario->path : scenario->cards[0].path;
    char *real = realpath(path, NULL);
    char *name = arena_strdup(arena, real != NULL ? real : path), *slash = strrchr(name, '/');
    free(real);
    if (scenario->path != NULL && slash != NULL && strcmp(slash, "/scenario.yaml") == 0) {
        *slash = '\0';
        slash = strrchr(name, '/');
    }
    if (slash != NULL)
        name = slash + 1;
    char *point = strrchr(name, '.');
    if (point != NULL && point != name)
        *point = '\0';
    return name[0] != '\0' && text_utf8_error(name, strlen(name)) == strlen(name) ? name : "pool";
}
