/* certificates.h - certificates of programmes made, checked, and changed so that they prove what is false. */
#ifndef POOLWRIGHT_SUPPORT_CERTIFICATES_H
#define POOLWRIGHT_SUPPORT_CERTIFICATES_H

#include "search/certificate/certificate.h"

/* search_certify with so much effort (0: no limit). */
bool certificate_made(const SearchProblem *problem, const SearchProblem *stated, int64_t wanted, const int64_t *x,
                      int64_t effort, Certificate *certificate);
/* NULL: its claim is proven. */
const char *certificate_trouble(const SearchProblem *stated, const Certificate *certificate);
/* Thirty times a number or a word of it is changed, each on top of those before: fails the test where that proves
 * false_wanted, which some solution has. The certificate is spoilt, but for what it claims. */
void certificate_refuse_changed(const SearchProblem *stated, Certificate *certificate, int64_t false_wanted,
                                uint64_t seed);
/* Written as a file and read again it is the same. */
void certificate_expect_readable(const SearchProblem *stated, const Certificate *certificate);

#endif
