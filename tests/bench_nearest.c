/* bench_nearest.c - a list scored in half points, as people score: 880 invented candidates, ten themes, 450 places.
 * Very many pools are then as good as each other. For cards that are out `why` names who comes in and who leaves; here
 * it is counted, from the sheet and without the sources of the program, whether any pool that loses as little changes
 * less: all single swaps, all double ones, and for more a programme with a row for the distance, solved by cbc
 * (Debian's coinor-cbc).
 *
 *   bench_nearest PROGRAM [CARDS [SEED]] */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#include "support/run.h"

enum { LIST = 880, SIZE = 450, COLOURS = 5, THEMES = 10, GROUPS = COLOURS + THEMES + 4, FAR = 1 << 20 };
enum { GOLD = COLOURS + THEMES, BODIES, EARLY, LATE };

#define CBC_SECONDS "20"

static const char *const colour[COLOURS] = {"rye", "teal", "plum", "slate", "ochre"};

typedef struct {
    int fit;        /* half points */
    int price;      /* cents */
    unsigned group; /* a bit for each limit that counts it */
} Card;

typedef struct {
    Card card[LIST];
    int low[GROUPS], high[GROUPS], cap;
    bool in[LIST];
    int use[GROUPS], cost;
    char *folder;
} List;

typedef enum { RIGHT, FEWER, UNSETTLED } Verdict;

/* ---- the list ---- */

static void write_card(List *list, FILE *out, int c, Dice *dice)
{
    const int first = dice_roll(dice, 0, COLOURS - 1), cost = dice_roll(dice, 1, 7), half = dice_roll(dice, 1, 10);
    const bool gold = dice_chance(dice, 20), body = dice_chance(dice, 55);
    Card *card = &list->card[c];
    *card = (Card){.fit = half, .price = 5 * dice_roll(dice, 1, dice_chance(dice, 15) ? 120 : 25)};
    card->group = 1u << (gold ? GOLD : first);
    card->group |= (body ? 1u << BODIES : 0) | (cost <= 2 ? 1u << EARLY : 0) | (cost >= 6 ? 1u << LATE : 0);
    fprintf(out, "Barrel %03d,%s%s%s,%s,%d,%d.%d,%d.%02d,", c, colour[first], gold ? "+" : "",
            gold ? colour[(first + dice_roll(dice, 1, COLOURS - 1)) % COLOURS] : "", body ? "body" : "trick", cost,
            half / 2, half % 2 * 5, card->price / 100, card->price % 100);
    for (int t = 0; t < THEMES; t++)
        if (dice_chance(dice, 9)) {
            card->group |= 1u << (COLOURS + t);
            card->fit++; /* a tag is worth half a point */
            fprintf(out, "t%d;", t);
        }
    fprintf(out, "\n");
}

static void bound(List *list, int group, int low, int high)
{
    list->low[group] = low;
    list->high[group] = high;
}

static FILE *open_file(const List *list, const char *name)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", list->folder, name);
    FILE *out = fopen(path, "w");
    if (out == NULL)
        exit(1);
    return out;
}

static void write_list(List *list, uint64_t seed)
{
    Dice dice;
    dice_seed(&dice, seed);
    list->folder = folder_new();
    FILE *out = open_file(list, "cards.csv");
    fprintf(out, "name,colours,kind,cost,power,price,tags\n");
    for (int c = 0; c < LIST; c++)
        write_card(list, out, c, &dice);
    fclose(out);
    for (int g = 0; g < COLOURS; g++)
        bound(list, g, 70, 76);
    for (int t = 0; t < THEMES; t++)
        bound(list, COLOURS + t, 42, 60);
    bound(list, GOLD, 80, 92);
    bound(list, BODIES, 240, 260);
    bound(list, EARLY, 135, SIZE);
    bound(list, LATE, 0, 115);
    list->cap = 30000;
    out = open_file(list, "model.yaml");
    fprintf(out, "size: %d\ncolours: [rye, teal, plum, slate, ochre]\nspending_cap: %d.00\nthemes:\n", SIZE,
            list->cap / 100);
    for (int t = 0; t < THEMES; t++)
        fprintf(out, "  - {name: t%d, weight: 0.5}\n", t);
    fprintf(out, "rules:\n  - {name: mono, each: colour, where: {class: mono}, between: [70, 76]}\n"
                 "  - {name: themes, each: theme, between: [42, 60]}\n"
                 "  - {name: gold, where: {class: gold}, between: [80, 92]}\n"
                 "  - {name: bodies, where: {kind: body}, between: [240, 260]}\n"
                 "  - {name: early, where: {cost: {to: 2}}, at_least: 135}\n"
                 "  - {name: late, where: {cost: {from: 6}}, at_most: 115}\n");
    fclose(out);
    folder_print(list->folder, "scenario.yaml", "model: model.yaml\ncards: [cards.csv]\n");
}

/* ---- who is in ---- */

static int card_of(const json_t *item)
{
    return atoi(json_text(item, "name") + strlen("Barrel "));
}

static void put(List *list, int c, int copies)
{
    list->in[c] = copies > 0;
    list->cost += copies * list->card[c].price;
    for (int g = 0; g < GROUPS; g++)
        list->use[g] += copies * (int)(list->card[c].group >> g & 1);
}

static bool keeps_limits(const List *list)
{
    bool kept = list->cost <= list->cap;
    for (int g = 0; g < GROUPS && kept; g++)
        kept = list->use[g] >= list->low[g] && list->use[g] <= list->high[g];
    return kept;
}

/* Returns the pool's fit, half points. */
static int take_pool(List *list)
{
    Run run;
    const json_t *item;
    size_t k;
    int fit = 0;
    run_poolwright(list->folder, (const char *const[]){"best", "scenario.yaml", "--gap", "0", "--json", NULL}, NULL,
                   &run);
    json_t *root = run_json(&run);
    json_array_foreach (json_object_get(root, "pool"), k, item) {
        put(list, card_of(item), 1);
        fit += list->card[card_of(item)].fit;
    }
    if (strcmp(json_text(root, "status"), "best") != 0 || json_array_size(json_object_get(root, "pool")) != SIZE ||
        json_units(root, "fit", 1000) != 500 * fit || !keeps_limits(list)) {
        printf("the pool is not proven best, or counts otherwise here\n");
        exit(1);
    }
    json_decref(root);
    run_forget(&run);
    return fit;
}

/* ---- fewer changes? ---- */

/* Is there a pool with the card, by so many swaps (1 or 2), that loses at most `loss`? */
static bool one_swap(List *list, int card, int loss)
{
    bool found = false;
    put(list, card, 1);
    for (int a = 0; a < LIST && !found; a++)
        if (list->in[a] && a != card && list->card[a].fit - list->card[card].fit <= loss) {
            put(list, a, -1);
            found = keeps_limits(list);
            put(list, a, 1);
        }
    put(list, card, -1);
    return found;
}

static bool two_swaps(List *list, int card, int loss)
{
    bool found = false;
    for (int c = 0; c < LIST && !found; c++) {
        if (list->in[c] || c == card)
            continue;
        put(list, c, 1);
        for (int a = 0; a < LIST && !found; a++)
            if (list->in[a] && a != c) {
                put(list, a, -1);
                found = one_swap(list, card, loss + list->card[c].fit - list->card[a].fit);
                put(list, a, 1);
            }
        put(list, c, -1);
    }
    return found;
}

static void write_sum(FILE *out, const List *list, int group)
{
    for (int c = 0; c < LIST; c++)
        if ((list->card[c].group >> group & 1) != 0)
            fprintf(out, " + x%d\n", c);
}

/* The most cards of the pool that can stay, with the card in and that loss. */
static void write_programme(const List *list, int card, int least_fit)
{
    FILE *out = open_file(list, "near.lp");
    fprintf(out, "Maximize\n stay:");
    for (int c = 0; c < LIST; c++)
        if (list->in[c])
            fprintf(out, " + x%d\n", c);
    fprintf(out, "Subject To\n size:");
    for (int c = 0; c < LIST; c++)
        fprintf(out, " + x%d\n", c);
    fprintf(out, " = %d\n fit:", SIZE);
    for (int c = 0; c < LIST; c++)
        fprintf(out, " + %d x%d\n", list->card[c].fit, c);
    fprintf(out, " >= %d\n cap:", least_fit);
    for (int c = 0; c < LIST; c++)
        fprintf(out, " + %d x%d\n", list->card[c].price, c);
    fprintf(out, " <= %d\n wanted: x%d = 1\n", list->cap, card);
    for (int g = 0; g < GROUPS; g++) {
        fprintf(out, " low%d:", g);
        write_sum(out, list, g);
        fprintf(out, " >= %d\n high%d:", list->low[g], g);
        write_sum(out, list, g);
        fprintf(out, " <= %d\n", list->high[g]);
    }
    fprintf(out, "Binary\n");
    for (int c = 0; c < LIST; c++)
        fprintf(out, " x%d\n", c);
    fprintf(out, "End\n");
    fclose(out);
}

/* The number of swaps that cbc proves to be the fewest; FAR: it did not. */
static int swaps_by_cbc(const List *list, int card, int least_fit)
{
    Run run;
    int swaps = FAR;
    if (!program_exists("cbc"))
        return FAR;
    write_programme(list, card, least_fit);
    run_program("cbc", list->folder,
                (const char *const[]){"near.lp", "sec", CBC_SECONDS, "ratio", "0", "allow", "0", "solve", "solu",
                                      "near.sol", NULL},
                &run);
    char *text = folder_read(list->folder, "near.sol", NULL), *value = text ? strstr(text, "objective value") : NULL;
    if (value != NULL && strncmp(text, "Optimal", 7) == 0) {
        const double stay = strtod(value + strlen("objective value"), NULL);
        swaps = SIZE - (int)((stay < 0 ? -stay : stay) + 0.5);
    }
    free(text);
    run_forget(&run);
    return swaps;
}

/* Both limits and loss of what was named are counted again first. */
static void count_named(List *list, const json_t *why, int loss)
{
    const json_t *item;
    size_t k;
    int fit = 0;
    for (int sign = 1; sign >= -1; sign -= 2) { /* there, and back again */
        json_array_foreach (json_object_get(why, "enters"), k, item) {
            put(list, card_of(item), sign);
            fit += sign * list->card[card_of(item)].fit;
        }
        json_array_foreach (json_object_get(why, "leaves"), k, item) {
            put(list, card_of(item), -sign);
            fit -= sign * list->card[card_of(item)].fit;
        }
        if (sign > 0 && (!keeps_limits(list) || fit != -loss)) {
            printf("%s: what is named breaks a limit or loses something else\n", json_text(why, "name"));
            exit(1);
        }
    }
}

static Verdict judge(List *list, int fit, const json_t *why, int loss, int named)
{
    const int card = card_of(why);
    count_named(list, why, loss);
    if (named > 1 && one_swap(list, card, loss))
        return FEWER;
    if (named > 2 && two_swaps(list, card, loss))
        return FEWER;
    if (named <= 3)
        return RIGHT; /* all that is less was tried */
    const int least = swaps_by_cbc(list, card, fit - loss);
    return least == FAR ? UNSETTLED : least < named ? FEWER : RIGHT;
}

/* ---- */

static int by_size(const void *a, const void *b)
{
    const int *x = a, *y = b;
    return (*x > *y) - (*x < *y);
}

static double children(void)
{
    struct rusage used;
    getrusage(RUSAGE_CHILDREN, &used);
    return (double)used.ru_utime.tv_sec + 1e-6 * (double)used.ru_utime.tv_usec;
}

static json_t *ask(const List *list, int card)
{
    Run run;
    char name[32];
    snprintf(name, sizeof name, "Barrel %03d", card);
    run_poolwright(list->folder, (const char *const[]){"why", "scenario.yaml", name, "--gap", "0", "--json", NULL},
                   NULL, &run);
    json_t *root = run_json(&run);
    run_forget(&run);
    return root;
}

int main(int count, char **word)
{
    if (count < 2)
        return 2;
    static List list;
    setenv("POOLWRIGHT", word[1], 1);
    const int wanted = count > 2 ? atoi(word[2]) : 50;
    write_list(&list, count > 3 ? strtoull(word[3], NULL, 10) : 1);
    const int fit = take_pool(&list);
    int named[LIST], asked = 0, verdicts[3] = {0}, claimed = 0, open = 0;
    double seconds = 0;
    for (int k = 0, c = 7; k < LIST && asked < wanted; k++, c = (c + 17) % LIST) { /* 17 and 880 share no divisor */
        if (list.in[c])
            continue;
        const double before = children();
        json_t *root = ask(&list, c), *why = json_array_get(json_object_get(root, "cards"), 0);
        seconds += children() - before;
        const json_t *loss = json_object_get(why, "loss");
        if (json_array_size(json_object_get(why, "enters")) == 0 || json_object_get(loss, "at_most") == NULL ||
            json_units(loss, "at_least", 1000) != json_units(loss, "at_most", 1000))
            open++;
        else {
            named[asked] = (int)json_array_size(json_object_get(why, "enters"));
            const json_t *fewest = json_object_get(why, "fewest");
            const bool proven = fewest != NULL && strcmp(json_string_value(fewest), "proven") == 0;
            const Verdict verdict =
                judge(&list, fit, why, (int)(json_units(loss, "at_most", 1000) / 500), named[asked]);
            claimed += proven;
            if (proven && verdict == FEWER) {
                printf("%s: 'fewest' is false\n", json_text(why, "name"));
                return 1;
            }
            verdicts[verdict]++;
            asked++;
        }
        json_decref(root);
    }
    qsort(named, (size_t)asked, sizeof *named, by_size);
    printf(
        "half points, %d cards that are out, %d with an open loss left out: coming in %d at the median, %d at most;\n"
        "as few as can be %d, fewer would do %d, not settled here %d; said to be proven %d; %.2f s of the processor "
        "a card\n",
        asked, open, asked > 0 ? named[asked / 2] : 0, asked > 0 ? named[asked - 1] : 0, verdicts[RIGHT],
        verdicts[FEWER], verdicts[UNSETTLED], claimed, asked > 0 ? seconds / asked : 0);
    folder_remove(list.folder);
    free(list.folder);
    return 0;
}
