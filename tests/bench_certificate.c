/* bench_certificate.c - what a proof that others can check takes: the search for the best, the certificate that no
 * solution is better (which begins with the best), and going over it. CPU seconds, one thread.
 *
 *     bench_certificate [SEEDS [FROM [PIVOTS [NAME]]]]
 *
 * The most pivots of either: 5,000,000 if not said. NAME: only programmes that have it in their name. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "search/certificate/checker.h"
#include "search/certify.h"
#include "search/risk/protection.h"
#include "support/family.h"

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int count(const Certificate *c, CertificateKind kind)
{
    int of = 0;
    for (size_t k = 0; k < c->steps; k++)
        of += c->step[k].kind == kind;
    return of;
}

static void measure(const char *name, const SearchProblem *p, uint64_t seed, int64_t effort)
{
    SearchOptions options;
    SearchResult r;
    Certificate c = {0};
    int64_t pivots = 0;
    size_t at = 0;
    Search *search = search_new(p);
    SearchProblem *compact = p->protections != NULL ? protections_compact(p) : NULL;
    const SearchProblem *stated = compact != NULL ? compact : p;
    search_options_default(&options);
    options.effort = effort;
    const double begin = now();
    search_run(search, &options, &r);
    const double found = now();
    printf("%-18s %llu  best %6.2f s %7lldk", name, (unsigned long long)seed, found - begin,
           (long long)r.statistics.pivots / 1000);
    if (r.status != SEARCH_BEST)
        printf("  not proven\n");
    else if (!search_certify(p, stated, &options, r.value + 1, r.x, &c, &pivots))
        printf("  none after %.2f s %lldk\n", now() - found, (long long)pivots / 1000);
    else {
        const double made = now();
        const char *trouble = certificate_check(stated, &c, &at);
        printf("  made %6.2f s %5lldk  %6zu steps, %5d branches, %5d cuts, %3d orders  checked %6.2f s%s\n",
               made - found, (long long)pivots / 1000, c.steps, count(&c, CERTIFICATE_BRANCH),
               count(&c, CERTIFICATE_CUT), count(&c, CERTIFICATE_ORDER), now() - made,
               trouble == NULL ? "" : " AND WRONG");
    }
    fflush(stdout);
    certificate_release(&c);
    search_result_release(&r);
    search_free(search);
    if (compact != NULL)
        family_free(compact);
}

int main(int argc, char **argv)
{
    static const struct {
        const char *name;
        FamilyOptions options;
    } programme[] = {
        {"1200 eleven", {.candidates = 1200, .step = 100, .all_bind = true}},
        {"2000 eleven", {.candidates = 2000, .step = 100, .all_bind = true}},
        {"5000 one", {.candidates = 5000, .step = 100}},
        {"1200 pairs eleven", {.shape = FAMILY_PAIRS, .candidates = 1200, .step = 100, .all_bind = true}},
        {"1200 places eleven",
         {.shape = FAMILY_PLACES, .candidates = 1200, .step = 100, .all_bind = true, .places_as_rows = true}},
        {"1200 one risen", {.candidates = 1200, .step = 100, .risen = 8}},
        {"1200 eleven risen", {.candidates = 1200, .step = 100, .all_bind = true, .risen = 8}},
        {"2000 hard whole", {.candidates = 2000, .step = 1000, .hard = true}},
        {"2000 hard half", {.candidates = 2000, .step = 500, .hard = true}},
    };
    const int seeds = argc > 1 ? atoi(argv[1]) : 2;
    const uint64_t first = argc > 2 ? strtoull(argv[2], NULL, 10) : 201;
    const int64_t effort = argc > 3 ? atoll(argv[3]) : 5000000;
    for (size_t k = 0; k < sizeof programme / sizeof *programme; k++)
        for (int s = 0; s < seeds && (argc < 5 || strstr(programme[k].name, argv[4]) != NULL); s++) {
            FamilyOptions options = programme[k].options;
            options.seed = first + (uint64_t)s;
            SearchProblem *p = family_new(&options);
            measure(programme[k].name, p, options.seed, effort);
            family_free(p);
        }
    return 0;
}
