/* bench_explain.c - what `why` and `swap` take on the demos, for one card at a time, against one `best` (search and
 * first screen) and against a bare search, each as a user runs it, from the files on. CPU seconds of the child process,
 * all threads together. Of each answer it counts what is proven and what stays open.
 *
 *   bench_explain BUILD */
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <jansson.h>

#define LIKELIEST 10

typedef struct {
    double seconds;
    json_t *root; /* NULL without --json */
} Took;

static double children(void)
{
    struct rusage used;
    getrusage(RUSAGE_CHILDREN, &used);
    return (double)used.ru_utime.tv_sec + (double)used.ru_stime.tv_sec +
           1e-6 * (double)(used.ru_utime.tv_usec + used.ru_stime.tv_usec);
}

static Took run(const char *program, const char *const *word)
{
    char *argument[16] = {(char *)program};
    int count = 1, ends[2];
    bool json = false;
    for (; word[count - 1] != NULL; count++) {
        argument[count] = (char *)word[count - 1];
        json = json || strcmp(word[count - 1], "--json") == 0;
    }
    if (pipe(ends) != 0)
        exit(1);
    const double before = children();
    const pid_t child = fork();
    if (child == 0) {
        dup2(ends[1], STDOUT_FILENO);
        close(ends[0]);
        close(ends[1]);
        if (freopen("/dev/null", "w", stderr) == NULL)
            _exit(127);
        execv(program, argument);
        _exit(127);
    }
    close(ends[1]);
    FILE *out = fdopen(ends[0], "r");
    json_error_t error;
    Took took = {0};
    if (json)
        took.root = json_loadf(out, JSON_DISABLE_EOF_CHECK, &error);
    while (fgetc(out) != EOF)
        ;
    fclose(out);
    int status = 0;
    waitpid(child, &status, 0);
    took.seconds = children() - before;
    if (!WIFEXITED(status) || WEXITSTATUS(status) == 127 || (json && took.root == NULL)) {
        fprintf(stderr, "%s %s failed\n", program, word[0]);
        exit(1);
    }
    return took;
}

static bool exact(const json_t *range)
{
    const json_t *low = json_object_get(range, "at_least"), *high = json_object_get(range, "at_most");
    return low != NULL && high != NULL && json_number_value(low) == json_number_value(high);
}

typedef struct {
    int solved, never, beyond, open;              /* of the likeliest */
    int other_settled, other_bounded, other_open; /* of the others */
} Limits;

static Limits count_limits(const json_t *list)
{
    Limits n = {0};
    size_t k;
    json_t *one;
    json_array_foreach (list, k, one) {
        const char *kind = json_string_value(json_object_get(one, "kind"));
        const json_int_t order = json_integer_value(json_object_get(one, "likeliest"));
        const json_t *by = json_object_get(one, "by"), *low = json_object_get(by, "at_least");
        const bool solved = strcmp(kind, "solved") == 0, never = strcmp(kind, "never") == 0;
        const bool beyond =
            strcmp(kind, "unknown") == 0 && json_number_value(low) > json_number_value(json_object_get(one, "within"));
        if (order > 0 && order <= LIKELIEST) {
            n.solved += solved;
            n.never += never;
            n.beyond += beyond;
            n.open += !solved && !never && !beyond;
        } else {
            n.other_settled += solved || never || beyond;
            n.other_bounded += !solved && !never && !beyond && low != NULL;
            n.other_open += !solved && !never && !beyond && low == NULL;
        }
    }
    return n;
}

static double median(const char *program, const char *const *word, int times)
{
    double took[9];
    for (int k = 0; k < times; k++) {
        double now = run(program, word).seconds;
        int at = k;
        for (; at > 0 && took[at - 1] > now; at--)
            took[at] = took[at - 1];
        took[at] = now;
    }
    return took[times / 2];
}

static const char *proven(const json_t *card, const char *key)
{
    return exact(json_object_get(card, key)) ? "yes" : "no";
}

static const char *price_proven(const json_t *card)
{
    const json_t *helps = json_object_get(card, "price_helps");
    if (json_object_get(card, "price_from") == NULL && helps == NULL)
        return "-";
    return json_is_false(helps) || exact(json_object_get(card, "price_from")) ||
                   exact(json_object_get(card, "price_above"))
               ? "yes"
               : "no";
}

static double out_card(const char *program, const char *scenario, const char *name, double best)
{
    Took took = run(program, (const char *const[]){"why", scenario, name, "--json", NULL});
    const json_t *card = json_array_get(json_object_get(took.root, "cards"), 0);
    const Limits n = count_limits(json_object_get(card, "limits"));
    printf("  %-30s %5.2f %5.1f  %-5s %-4s %-6s %6d %6d %7d %5d  %8d %8d %5d\n", name, took.seconds,
           took.seconds / best, proven(card, "loss"), proven(card, "fit_from"), price_proven(card), n.solved, n.never,
           n.beyond, n.open, n.other_settled, n.other_bounded, n.other_open);
    json_decref(took.root);
    return took.seconds;
}

static double in_card(const char *program, const char *scenario, const char *name, double best)
{
    Took why = run(program, (const char *const[]){"why", scenario, name, "--json", NULL}),
         swap = run(program, (const char *const[]){"swap", scenario, name, "--json", NULL});
    const json_t *card = json_array_get(json_object_get(why.root, "cards"), 0),
                 *other = json_array_get(json_object_get(swap.root, "swaps"), 0);
    printf("  %-30s why %5.2f s, %4.1f x, loss proven: %-3s  swap %5.2f s, %4.1f x, loss proven: %s\n", name,
           why.seconds, why.seconds / best, proven(card, "loss"), swap.seconds, swap.seconds / best,
           proven(other, "loss"));
    json_decref(why.root);
    json_decref(swap.root);
    return why.seconds > swap.seconds ? why.seconds : swap.seconds;
}

static void scenario(const char *program, const char *folder, const char *const *out, const char *const *in)
{
    const double bare = median(program, (const char *const[]){"best", folder, "-o", "-", NULL}, 3),
                 best = median(program, (const char *const[]){"best", folder, NULL}, 3);
    printf("\n%s: the search alone %.2f s, best with its first screen %.2f s, --firm %.2f s, --rules %.2f s\n", folder,
           bare, best, run(program, (const char *const[]){"best", folder, "--firm", NULL}).seconds,
           run(program, (const char *const[]){"best", folder, "--rules", NULL}).seconds);
    printf("  %-30s %5s %5s  %-16s  the ten likeliest limits     the others\n", "", "", "x", "proven");
    printf("  %-30s %5s %5s  %-5s %-4s %-6s %6s %6s %7s %5s  %8s %8s %5s\n", "why, cards that are out", "s", "best",
           "loss", "fit", "price", "solved", "never", "further", "open", "settled", "bounded", "open");
    double most = 0;
    for (int k = 0; out[k] != NULL; k++) {
        const double took = out_card(program, folder, out[k], best);
        most = took > most ? took : most;
    }
    for (int k = 0; in[k] != NULL; k++) {
        const double took = in_card(program, folder, in[k], best);
        most = took > most ? took : most;
    }
    printf("  the slowest: %.1f times one best\n", most / best);
}

int main(int count, char **argument)
{
    char program[512];
    snprintf(program, sizeof program, "%s/poolwright", count > 1 ? argument[1] : "build");
    puts("Why and swap, one card at a time (CPU seconds; x best: times one best; further: proven to need more than a "
         "tenth of the limit):");
    scenario(
        program, "scenarios/demo",
        (const char *const[]){"Eight Strokes, Then Silence", "Dock Cat", "Two Sisters, One Pen",
                              "The Whole Town Puts Out", "Maëlle the Caulker", "A Harbour That Is Not There",
                              "Worm with a Family", "Melt the Bells", "Nobody Saw Anything", "Tolland Takes Anybody",
                              "Her Ladyship of the Wrong Light", "Ask the Lighthouse", NULL},
        (const char *const[]){"Optical Lead", "Old Mother Slick", "Mother of Boilers", "Plain Brown Parcels", NULL});
    scenario(program, "scenarios/small",
             (const char *const[]){"The Mayor's Piano", "The Whole Town Puts Out", "Maëlle the Caulker",
                                   "Worm with a Family", "Harbour Pilot", "Her Ladyship of the Wrong Light", NULL},
             (const char *const[]){"Old Mother Slick", "Eelwife", NULL});
    return 0;
}
