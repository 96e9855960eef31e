/* bench_weigh.c - `weigh` on decks whose truth is known: how well weights are found again from 150 and from 100,000
 * decks, how long it takes and how much memory. Cards and decks are generated. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "support/run.h"

#define CARDS 1200
#define THEMES 10
#define DECK_CARDS 23

static int theme_of[CARDS];
static double weight_of[CARDS], found[THEMES][CARDS];
static bool seed_of[CARDS];

static void write_cards(const char *folder, Dice *dice)
{
    char path[600];
    snprintf(path, sizeof path, "%s/cards.csv", folder);
    FILE *to = fopen(path, "w");
    fprintf(to, "name,colours,power,price,tags\n");
    for (int c = 0; c < CARDS; c++) {
        theme_of[c] = dice_chance(dice, 60) ? dice_roll(dice, 0, THEMES - 1) : -1;
        weight_of[c] = theme_of[c] < 0 ? 0 : dice_roll(dice, 2, 6) / 2.0;
        seed_of[c] = theme_of[c] >= 0 && dice_chance(dice, 25);
        fprintf(to, "Card %04d,,5,1,", c);
        if (seed_of[c])
            fprintf(to, "theme %c %.1f", 'a' + theme_of[c], weight_of[c]);
        fprintf(to, "\n");
    }
    fclose(to);
    snprintf(path, sizeof path, "%s/model.yaml", folder);
    to = fopen(path, "w");
    fprintf(to, "size: 360\ncolours: [ebb, silt]\nthemes:\n");
    for (int t = 0; t < THEMES; t++)
        fprintf(to, "  - {name: theme %c}\n", 'a' + t);
    fclose(to);
}

static void write_decks(const char *folder, Dice *dice, int decks)
{
    char path[600];
    snprintf(path, sizeof path, "%s/decks.csv", folder);
    FILE *to = fopen(path, "w");
    fprintf(to, "deck,name,copies\n");
    for (int d = 0; d < decks; d++) {
        const int theme = dice_roll(dice, 0, THEMES - 1);
        for (int taken = 0; taken < DECK_CARDS;) {
            const int c = dice_roll(dice, 0, CARDS - 1);
            const double liking = theme_of[c] == theme ? weight_of[c] : 0;
            if (dice_roll(dice, 1, 1000) > (int)(1000 * exp(1.2 * (liking - 3))))
                continue;
            fprintf(to, "Deck %d,Card %04d,1\n", d, c);
            taken++;
        }
    }
    fclose(to);
}

/* Kendall's agreement between true weights and log-odds over cards without the tag that could have it. */
static double agreement(int theme)
{
    long with = 0, against = 0;
    for (int i = 0; i < CARDS; i++)
        for (int j = 0; j < i; j++) {
            const double a = theme_of[i] == theme ? weight_of[i] : 0, b = theme_of[j] == theme ? weight_of[j] : 0;
            if ((seed_of[i] && theme_of[i] == theme) || (seed_of[j] && theme_of[j] == theme))
                continue;
            const double both = (a - b) * (found[theme][i] - found[theme][j]);
            with += both > 0;
            against += both < 0;
        }
    return with + against == 0 ? 0 : (double)(with - against) / (double)(with + against); /* nothing seen: 0 */
}

static void measure(int decks, uint64_t seed)
{
    Dice dice;
    struct rusage before, after;
    dice_seed(&dice, seed);
    char *folder = folder_new();
    write_cards(folder, &dice);
    write_decks(folder, &dice, decks);
    Run run;
    getrusage(RUSAGE_CHILDREN, &before);
    run_poolwright(folder,
                   (const char *const[]){"weigh", "cards.csv", "decks.csv", "--model", "model.yaml", "--json",
                                         "--at-least", "2", NULL},
                   NULL, &run);
    getrusage(RUSAGE_CHILDREN, &after);
    json_t *root = run_json(&run), *theme, *item;
    size_t t, k;
    double sum = 0;
    memset(found, 0, sizeof found);
    json_array_foreach (json_object_get(root, "themes"), t, theme) {
        json_array_foreach (json_object_get(theme, "cards"), k, item)
            found[t][atoi(json_text(item, "name") + 5)] = json_real_value(json_object_get(item, "log_odds"));
        sum += agreement((int)t);
    }
    printf("%7d decks: agreement %.2f, %.2f s, at most %ld MB\n", decks, sum / THEMES,
           (double)(after.ru_utime.tv_sec - before.ru_utime.tv_sec) +
               (double)(after.ru_utime.tv_usec - before.ru_utime.tv_usec) / 1e6,
           after.ru_maxrss / 1024);
    json_decref(root);
    run_forget(&run);
    folder_remove(folder);
    free(folder);
}

int main(void)
{
    measure(150, 1);
    measure(1000, 2);
    measure(10000, 3);
    measure(100000, 4);
    return 0;
}
