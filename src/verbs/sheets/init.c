/* init.c - size, colours and themes -> four files of a new folder, all or none. */
#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/files/file.h"
#include "model/language/compose.h"
#include "report/json/json.h"
#include "report/starter/starter.h"
#include "verbs/sheets/init_from.h"
#include "verbs/outputs/outputs.h"

#define FILES 4

typedef struct {
    const char *name;
    void (*write)(const StarterPlan *, Text *);
    const char *holds;
} StarterFile;

static const StarterFile files[FILES] = {
    {"cards.csv", starter_cards, "sample cards, to be replaced by your own list"},
    {"targets.csv", starter_targets, "the numbers that you may want to change, as a sheet"},
    {"model.yaml", starter_model, "the rules of the pool, with the sums behind the numbers"},
    {"scenario.yaml", starter_scenario, "what goes together: rules, cards, wishes, what-ifs"},
};

static void refuse(Job *job, const char *option, const char *found, const char *expected)
{
    diag_error(&job->diags, (SourcePos){0}, "%s: found %s, expected %s", option, found, expected);
}

/* The next part before the mark, trimmed; NULL at the end. */
static const char *next_part(Job *job, const char **rest, char mark)
{
    if (*rest == NULL)
        return NULL;
    const char *end = strchr(*rest, mark);
    size_t length = end != NULL ? (size_t)(end - *rest) : strlen(*rest);
    const char *part = text_trim(*rest, &length);
    *rest = end != NULL ? end + 1 : NULL;
    return arena_strndup(job->options.arena, part, length);
}

static bool read_colours(Job *job, StarterPlan *plan)
{
    const char **colour = arena_alloc(job->options.arena, COLOURS_MAX, sizeof *colour);
    const char *rest = job->options.colours, *part;
    while ((part = next_part(job, &rest, ',')) != NULL) {
        if (plan->colours == COLOURS_MAX) {
            refuse(job, "--colours", "more than 16 names", "1 to 16");
            return false;
        }
        if (part[0] == '\0') {
            refuse(job, "--colours", "an empty name", "names with commas between, such as brass,glass,linen,tar");
            return false;
        }
        colour[plan->colours++] = part;
    }
    plan->colour = colour;
    return true;
}

static bool read_theme_colours(Job *job, const StarterPlan *plan, const char *text, ColourMask *mask)
{
    const char *rest = text, *part;
    *mask = 0;
    while ((part = next_part(job, &rest, '+')) != NULL) {
        const long c = text_find(part, plan->colour, plan->colours);
        if (c < 0) {
            refuse(job, "--themes", arena_printf(job->options.arena, "the colour '%s'", part),
                   arena_printf(job->options.arena, "one of --colours%s",
                                did_you_mean(text_nearest(part, plan->colour, plan->colours), job->options.arena)));
            return false;
        }
        *mask |= (ColourMask)(1U << c);
    }
    return true;
}

static bool read_themes(Job *job, StarterPlan *plan)
{
    const char *all = job->options.themes;
    size_t most = 1;
    for (const char *c = all; c != NULL && *c != '\0'; c++)
        most += *c == ';';
    StarterTheme *theme = arena_alloc(job->options.arena, most, sizeof *theme);
    const char *rest = all, *part;
    while ((part = next_part(job, &rest, ';')) != NULL) {
        if (part[0] == '\0')
            continue;
        const char *sides = part;
        StarterTheme *t = &theme[plan->themes];
        t->name = next_part(job, &sides, '=');
        t->colours = (ColourMask)((1U << plan->colours) - 1U);
        if (t->name[0] == '\0' ||
            strpbrk(t->name, ":+") != NULL) { /* "convoys: brass+linen" would be a theme of that name in all colours */
            refuse(job, "--themes", arena_printf(job->options.arena, "'%s'", part),
                   "themes such as \"convoys=brass+linen; lures=glass+tar\"");
            return false;
        }
        if (sides != NULL && !read_theme_colours(job, plan, sides, &t->colours))
            return false;
        plan->themes++;
    }
    plan->theme = theme;
    return true;
}

/* In a targets sheet colours and themes are columns, so they must differ. */
static bool names_differ(Job *job, const StarterPlan *plan)
{
    Arena *arena = job->options.arena;
    size_t count = plan->colours + plan->themes;
    const char **folded = arena_alloc(arena, count, sizeof *folded);
    for (size_t i = 0; i < count; i++) {
        const char *name = i < plan->colours ? plan->colour[i] : plan->theme[i - plan->colours].name;
        folded[i] = fold_in(arena, name);
        for (size_t j = 0; j < i; j++)
            if (strcmp(folded[i], folded[j]) == 0) {
                refuse(job, i < plan->colours ? "--colours" : "--themes", arena_printf(arena, "'%s' twice", name),
                       "names that differ");
                return false;
            }
    }
    return true;
}

static bool read_plan(Job *job, StarterPlan *plan)
{
    const Overrides *o = &job->options.overrides;
    const int opened = job->options.seats * SEAT_CARDS; /* 0: seats not said */
    *plan = (StarterPlan){
        .size = o->has_size ? o->size_to : opened, .seats = job->options.seats, .semicolons = job->options.semicolons};
    if (plan->size == 0)
        refuse(job, "--size", "nothing", "a number of cards such as 360, or --seats such as 8");
    if (o->has_size && o->size_to < opened)
        diag_error(&job->diags, (SourcePos){0},
                   "--size: found %d, expected at least %d: %d seat%s open%s so many cards", o->size_to, opened,
                   job->options.seats, job->options.seats == 1 ? "" : "s", job->options.seats == 1 ? "s" : "");
    if (job->options.colours == NULL)
        refuse(job, "--colours", "nothing", "names with commas between, such as brass,glass,linen,tar");
    return job->diags.errors == 0 && read_colours(job, plan) && read_themes(job, plan) && names_differ(job, plan);
}

/* The model that we would write is read back, so that names that cannot be used are refused before anything is written.
 */
static bool is_sound_model(Job *job, const Text *text)
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
            diag_error(&job->diags, (SourcePos){0}, "--colours or --themes: %s", found.item[i].text);
    bool sound = found.errors == 0;
    diags_release(&found);
    arena_free(arena);
    return sound;
}

static const char *path_of(Job *job, const char *name)
{
    size_t length = strlen(job->options.subject);
    const char *between = length > 0 && job->options.subject[length - 1] == '/' ? "" : "/";
    return arena_printf(job->options.arena, "%s%s%s", job->options.subject, between, name);
}

/* *made: the folder was not there before. */
static bool make_folder(Job *job, bool *made)
{
    const char *folder = job->options.subject;
    *made = mkdir(folder, 0777) == 0;
    if (*made)
        return true;
    const int error = errno;
    struct stat info;
    if (error == EEXIST && stat(folder, &info) == 0 && S_ISDIR(info.st_mode))
        return true;
    char *reason = file_reason(error);
    diag_error(&job->diags, (SourcePos){.file = folder}, "the folder could not be made: %s",
               error == EEXIST ? "a file of that name is there" : reason);
    mem_free(reason);
    return false;
}

static bool nothing_there(Job *job)
{
    for (size_t f = 0; f < FILES; f++)
        if (file_exists(path_of(job, files[f].name)))
            diag_error(&job->diags, (SourcePos){.file = path_of(job, files[f].name)},
                       "the file is there already and is not overwritten; expected another folder");
    return job->diags.errors == 0;
}

static int write_files(Job *job, Text text[FILES])
{
    bool made = false;
    if (!nothing_there(job))
        return EXIT_BAD_INPUT;
    if (!make_folder(job, &made))
        return EXIT_COULD_NOT_RUN;
    for (size_t f = 0; f < FILES; f++)
        output_add(job, path_of(job, files[f].name), &text[f]);
    if (outputs_commit(job))
        return EXIT_ANSWERED;
    for (size_t f = 0; f < FILES; f++)
        unlink(path_of(job, files[f].name)); /* none of them was there before */
    if (made)
        rmdir(job->options.subject);
    return EXIT_COULD_NOT_RUN;
}

/* What was written, for people or as JSON. */
static void tell(const Job *job, Text *out)
{
    if (job->options.json) {
        json_t *root = json_object(), *list = json_array();
        json_object_set_new(root, "folder", json_string(job->options.subject));
        for (size_t f = 0; f < FILES; f++)
            json_array_append_new(list, json_string(files[f].name));
        json_object_set_new(root, "files", list);
        json_finish(root, out);
        return;
    }
    text_printf(out, "In %s are now\n", job->options.subject);
    for (size_t f = 0; f < FILES; f++)
        text_printf(out, "  %-14s %s\n", files[f].name, files[f].holds);
    text_printf(out, "\nnext: poolwright check %s\n      poolwright best %s\n", job->options.subject,
                job->options.subject);
}

/* Size, colours and themes of a pool that is there are its own. */
static bool nothing_beside_from(Job *job)
{
    const Options *o = &job->options;
    const char *other = o->overrides.has_size ? "--size"
                        : o->has_seats        ? "--seats"
                        : o->colours != NULL  ? "--colours"
                        : o->themes != NULL   ? "--themes"
                        : o->semicolons       ? "--semicolons"
                                              : NULL;
    if (other != NULL)
        diag_error(&job->diags, (SourcePos){0}, "%s does not go with --from: the pool says it", other);
    return other == NULL;
}

int verb_init(Job *job)
{
    StarterPlan plan;
    Text text[FILES] = {0}, out = {0};
    int code = EXIT_BAD_INPUT;
    if (job->options.from != NULL && nothing_beside_from(job))
        return init_from(job);
    if (job->options.from != NULL || !read_plan(job, &plan))
        goto done;
    for (size_t f = 0; f < FILES; f++)
        files[f].write(&plan, &text[f]);
    if (!is_sound_model(job, &text[2]))
        goto done;
    code = write_files(job, text);
    if (code != EXIT_ANSWERED)
        goto done;
    tell(job, &out);
    code = job_print_text(job, &out, EXIT_ANSWERED);
done:
    job_show_problems(job);
    for (size_t f = 0; f < FILES; f++)
        text_release(&text[f]);
    text_release(&out);
    return code;
}
