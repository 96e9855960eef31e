/* bench_tags.c - how long ten patterns take over 30,000 candidates: the time of reading and matching with them, less
 * that without. usage: bench_tags CANDIDATES FOLDER. Data are invented. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "base/files/file_draft.h"
#include "base/text.h"
#include "model/instance/instance.h"

static unsigned long long seed = 20261;

static unsigned draw(unsigned below)
{
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return (unsigned)(seed >> 33) % below;
}

static const char *const words[] = {"harbour", "slow",   "lantern", "ebb",    "keel",     "salt",  "ledger", "gull",
                                    "copper",  "reed",   "winter",  "quiet",  "whenever", "this",  "crew",   "lands",
                                    "land",    "2",      "then",    "toll",   "a",        "bell",  "wreck",  "body",
                                    "of",      "burden", "write",   "letter", "tide",     "vessel"};

static const char patterns[] = "patterns:\n"
                               "  - {tag: a1, text: \"\\\\bland [2-9]\"}\n"
                               "  - {tag: a2, role: enabler, text: \"\\\\btolls?\\\\b\"}\n"
                               "  - {tag: a2, role: payoff, text: \"whenever .{0,40}bell\"}\n"
                               "  - {tag: a3, text: \"wreck (a|up to|two) (body|crew|vessel)\"}\n"
                               "  - {tag: a4, where: {cost: {to: 3}}, text: \"burden\"}\n"
                               "  - {tag: a5, text: \"writes? (a|the) letter\"}\n"
                               "  - {tag: a6, text: \"(crew|vessel)s? (lands?|berths?)\"}\n"
                               "  - {tag: a7, in: name, text: \"^(slow|quiet) \"}\n"
                               "  - {tag: a8, text: \"(?<!a )bell.*tide\"}\n"
                               "  - {tag: a9, text: \"\\\\w+ing\\\\b\"}\n";

static void write_files(const char *folder, unsigned cards, Diags *diags)
{
    Text out = {0};
    text_add(&out, "name,colours,kind,cost,power,price,wording,text\n");
    for (unsigned k = 0; k < cards; k++) {
        text_printf(&out, "%s %s %u,%s,crew,%u,%u,1.00,plain,", words[draw(30)], words[draw(30)], k,
                    draw(2) == 0 ? "brass" : "tar", draw(8), 1 + draw(9));
        for (unsigned w = 12 + draw(30); w > 0; w--)
            text_printf(&out, "%s%s", words[draw(30)], w > 1 ? " " : "\n");
    }
    char path[1024];
    snprintf(path, sizeof path, "%s/bench-tags.csv", folder);
    bool good = file_write(path, text_cstr(&out), out.length, diags);
    for (int with = 0; with < 2; with++) {
        Text yaml = {0};
        text_printf(&yaml, "model: four-360\ncards: [bench-tags.csv]\n%s", with ? patterns : "");
        snprintf(path, sizeof path, "%s/bench-tags-%d.yaml", folder, with);
        good = file_write(path, text_cstr(&yaml), yaml.length, diags) && good;
        text_release(&yaml);
    }
    text_release(&out);
    if (!good)
        exit(4);
}

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

/* Seconds to read and match; *tags given. */
static double load(const char *folder, int with, size_t *tags)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/bench-tags-%d.yaml", folder, with);
    Diags diags;
    diags_init(&diags);
    const char *folders[] = {"models"};
    Overrides overrides = {.model_folders = folders, .model_folder_count = 1};
    double start = now();
    Scenario *scenario = scenario_read(path, &overrides, NULL, &diags);
    Instance *instance = scenario != NULL ? instance_new(scenario, &diags) : NULL;
    double end = now();
    if (instance == NULL) {
        char *text = diags_text(&diags);
        fputs(text, stderr);
        exit(4);
    }
    *tags = 0;
    for (size_t c = 0; c < instance->cards->count; c++)
        *tags += instance->cards->card[c].tags;
    instance_free(instance);
    scenario_free(scenario);
    diags_release(&diags);
    return end - start;
}

int main(int argc, char **argv)
{
    if (argc < 3)
        return 2;
    Diags diags;
    diags_init(&diags);
    write_files(argv[2], (unsigned)strtoul(argv[1], NULL, 10), &diags);
    size_t none, tags;
    double plain = load(argv[2], 0, &none), tagged = load(argv[2], 1, &tags);
    printf("%s candidates: load %.3f s; with ten patterns %.3f s: %.3f s for %zu tags%s\n", argv[1], plain, tagged,
           tagged - plain, tags, tagged - plain < 1 ? "" : " (MORE THAN A SECOND)");
    diags_release(&diags);
    return 0;
}
