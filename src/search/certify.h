/* certify.h - writes a certificate (certificate/certificate.h): searches once more, for a tree that closes all by
 * itself. */
#ifndef POOLWRIGHT_SEARCH_CERTIFY_H
#define POOLWRIGHT_SEARCH_CERTIFY_H

#include "search/certificate/certificate.h"

/* That no solution has `wanted` or more; CERTIFICATE_ANY: that there is none. x: the best solution that is known, or
 * NULL. Of the options effort, threads, cancel and progress count. True: the certificate is whole, and was checked step
 * by step while it was written. False: effort ran out, there is such a solution, rows are protected (of which no step
 * speaks), or numbers are too large. *pivots: what it took. certificate is overwritten; released with
 * certificate_release. */
bool search_certify(const SearchProblem *problem, const SearchOptions *options, int64_t wanted, const int64_t *x,
                    Certificate *certificate, int64_t *pivots);

#endif
