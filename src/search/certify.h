/* certify.h - writes a certificate (certificate/certificate.h): searches once more, for a tree that closes all by
 * itself. */
#ifndef POOLWRIGHT_SEARCH_CERTIFY_H
#define POOLWRIGHT_SEARCH_CERTIFY_H

#include "search/certificate/certificate.h"

/* That no solution has `wanted` or more; CERTIFICATE_ANY: that there is none. stated: what the certificate is about,
 * the problem itself, or its compact form (protections_compact) where rows of it are protected. x: the best solution of
 * the problem that is known, or NULL. Of the options effort, threads, cancel and progress count. True: the certificate
 * is whole, and was checked step by step while it was written. False: effort ran out, there is such a solution, numbers
 * are too large, or Gamma of a protected row is 0. *pivots: what it took. certificate is overwritten; released with
 * certificate_release. */
bool search_certify(const SearchProblem *problem, const SearchProblem *stated, const SearchOptions *options,
                    int64_t wanted, const int64_t *x, Certificate *certificate, int64_t *pivots);

#endif
