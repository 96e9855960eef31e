/* bench_load.c - how long it takes to read, match and build: random sheets of 5,000 and 30,000 candidates against the
 * 360 preset. usage: bench_load CANDIDATES FOLDER. Prints seconds of each stage and the peak memory of the process.
 * Data are invented. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

#include "base/files/file_draft.h"
#include "base/text.h"
#include "model/instance/instance.h"
#include "programme/programme.h"
#include "programme/reach/reach.h"

static unsigned long long seed = 20260;

static unsigned draw(unsigned below)
{
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (unsigned)(seed >> 33) % below;
}

static const char *const colours[] = {"brass", "glass", "linen", "tar"};
static const char *const kinds[] = {"crew", "vessel", "port", "charter", "crew;vessel"};
static const char *const words[] = {"harbour", "slow", "lantern", "ebb",  "keel",   "salt",
                                    "ledger",  "gull", "copper",  "reed", "winter", "quiet"};
static const char *const roles[] = {"enabler", "payoff", "both", ""};

static void add_text(Text *out, unsigned count)
{
    for (unsigned k = 0; k < count; k++)
        text_printf(out, "%s%s", k > 0 ? " " : "", words[draw(12)]);
}

static void add_colours(Text *out)
{
    unsigned a = draw(4), b = (a + 1 + draw(3)) % 4, shape = draw(10);
    if (shape < 7)
        text_add(out, colours[a]);
    else if (shape < 9)
        text_printf(out, "%s%c%s", colours[a], shape == 7 ? '+' : '/', colours[b]);
}

static void write_sheet(const char *path, unsigned cards, const Model *model, Diags *diags)
{
    Text out = {0};
    text_add(&out, "name,colours,kind,cost,power,price,wording,tags,text\n");
    for (unsigned k = 0; k < cards; k++) {
        add_text(&out, 2);
        text_printf(&out, " %u,", k);
        add_colours(&out);
        text_printf(&out, ",%s,%u,%u.%u,%u.%02u,%s,", kinds[draw(5)], draw(8), 1 + draw(9), draw(10), draw(20),
                    draw(100), draw(9) == 0 ? "amended" : "clear");
        for (unsigned t = draw(3), first = 1; t > 0; t--, first = 0) {
            unsigned theme = (unsigned)((k + t * 7) % model->themes);
            text_printf(&out, "%s%s %s %u", first ? "" : "; ", model->theme[theme].name, roles[draw(4)], 1 + draw(5));
        }
        if (draw(5) == 0)
            text_add(&out, draw(2) == 0 ? "; removal" : "; rousing");
        text_add(&out, ",\"");
        add_text(&out, 14);
        text_add(&out, "\"\n");
    }
    if (!file_write(path, text_cstr(&out), out.length, diags))
        exit(4);
    text_release(&out);
}

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static int fail(Diags *diags)
{
    char *text = diags_text(diags);
    fputs(text, stderr);
    mem_free(text);
    return 4;
}

int main(int argc, char **argv)
{
    if (argc < 3)
        return 2;
    char path[1024];
    snprintf(path, sizeof path, "%s/bench-cards.csv", argv[2]);
    Diags diags;
    diags_init(&diags);
    const char *folders[] = {"models"};
    Overrides overrides = {.model = "four-360", .model_folders = folders, .model_folder_count = 1};
    if (!file_write(path, "name\n", 5, &diags)) /* the model alone is read at first, but the sheet has to be there */
        return fail(&diags);
    Scenario *scenario = scenario_read(path, &overrides, NULL, &diags);
    if (scenario == NULL)
        return fail(&diags);
    write_sheet(path, (unsigned)strtoul(argv[1], NULL, 10), scenario->model, &diags);
    scenario_free(scenario);

    double start = now();
    scenario = scenario_read(path, &overrides, NULL, &diags);
    Instance *instance = instance_new(scenario, &diags);
    if (instance == NULL)
        return fail(&diags);
    double loaded = now();
    LimitReach *reach = mem_new(instance->limits, sizeof *reach);
    limit_reach(instance, reach);
    double checked = now();
    Programme *programme = programme_new(instance, &diags);
    if (programme == NULL)
        return fail(&diags);
    double built = now();
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    printf(
        "%s candidates: load %.3f s, check %.3f s, build %.3f s, together %.3f s; %d columns, %d rows; peak %.0f MB\n",
        argv[1], loaded - start, checked - loaded, built - checked, built - start, programme->problem.columns,
        programme->problem.rows, (double)usage.ru_maxrss / 1024);
    programme_free(programme);
    mem_free(reach);
    instance_free(instance);
    scenario_free(scenario);
    diags_release(&diags);
    return 0;
}
