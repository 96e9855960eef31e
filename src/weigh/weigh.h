/* weigh.h - what decks that people put together say about cards: how much more often a card is in a theme's decks than
 * in other decks that could play it, and how often decks that held it have won.
 *
 * Themes: log-odds with an informative Dirichlet prior (B. Monroe, M. Colaresi, K. Quinn, "Fightin' Words: Lexical
 * Feature Selection and Evaluation for Identifying the Content of Political Conflict", Political Analysis 16(4), 2008,
 * equations 15, 20 to 22). Cards are the words, decks the texts; the prior is how often each card is in all decks that
 * could play it, as strong as `prior` copies. A deck is of a theme where its sheet says so, else where it holds so many
 * of the theme's tagged cards (its seeds); for a seed itself so many others.
 *
 * Wins: log-odds of winning against those of all decks, shrunk by how much cards differ at all (empirical Bayes with
 * the moment estimate of R. DerSimonian and N. Laird, "Meta-analysis in clinical trials", 1986).
 *
 * Estimates are doubles and no proofs. */
#ifndef POOLWRIGHT_WEIGH_WEIGH_H
#define POOLWRIGHT_WEIGH_WEIGH_H

#include "model/instance/instance.h"

typedef struct {
    int seeds;    /* so many of a theme's cards make a deck one of the theme's; 1 or more */
    double prior; /* copies; 0: as many as ten decks have */
} WeighOptions;

/* One card in one theme. */
typedef struct {
    size_t card;
    bool seed;               /* tagged for the theme already */
    int64_t inside, outside; /* copies in the theme's decks, in others that can play it */
    double log_odds, error;  /* above 0: more often in the theme's */
    double typical; /* the median log-odds of cards of its colours without the tag: most have nothing to do with the
                       theme, and share what else its decks differ by */
    int64_t weight; /* thousandths, in half points: what a tag like the seeds' would weigh; 0: not proposed */
} Weighed;

typedef struct {
    int64_t decks; /* of the theme */
    Weighed *card; /* [cards] of which some copy was seen; the surest first */
    size_t cards;
    size_t proposed;    /* cards that are no seeds and have a weight: they come first among the others */
    int64_t top;        /* thousandths: the greatest weight proposed */
    bool has_agreement; /* three seeds or more */
    double agreement;   /* Spearman's rank correlation of the seeds' weights with their log-odds */
} WeighedTheme;

/* One card by results. */
typedef struct {
    size_t card;
    int64_t wins, losses;
    double rate, low, high; /* share won, and Wilson's interval of 95% */
    int64_t points;         /* thousandths, in quarter points: what its power would change by; 0: nothing is sure */
} Result;

typedef struct {
    Arena *arena;
    const Instance *instance;
    int64_t decks, copies, unknown; /* unknown: copies of cards that are no candidates */
    bool labelled;                  /* the sheet says what theme a deck is of */
    int seeds;                      /* else so many of its cards do */
    const char **stranger;          /* [strangers] such names, most copies first; at most ten */
    size_t strangers;
    WeighedTheme *theme; /* [themes] */
    bool has_results;
    int64_t wins, losses; /* of all decks */
    Result *result;       /* [results] cards with games; the greatest points first, either way */
    size_t results;
    double spread; /* standard deviation of cards' log-odds of winning beyond chance; 0: results tell nothing */
} Weighing;

/* Reads the decks and works out all of it. False with errors in diags; released in any case. */
bool weigh_decks(const Instance *instance, const char *path, FileStore *files, const WeighOptions *options,
                 Weighing *weighing, Diags *diags);
void weighing_release(Weighing *weighing);

/* The formula alone: of inside of inside_all copies against outside of outside_all, with a prior of so many copies in
 * the proportion of both together. inside + outside > 0. */
void weigh_log_odds(double inside, double inside_all, double outside, double outside_all, double prior,
                    double *log_odds, double *error);

#endif
