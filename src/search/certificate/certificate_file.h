/* certificate_file.h - a certificate as lines of text, for other programs and people to go over; docs/proofs.md
 * has the form. */
#ifndef POOLWRIGHT_SEARCH_CERTIFICATE_CERTIFICATE_FILE_H
#define POOLWRIGHT_SEARCH_CERTIFICATE_CERTIFICATE_FILE_H

#include "base/diag.h"
#include "base/text.h"
#include "search/certificate/certificate.h"

/* The programme that it is about has so many columns and rows. */
typedef struct {
    int columns, rows;
    int line; /* of the file that says so, from 1; else 0 */
} CertificateShape;

/* Appended to `out`; what stands before it there may be lines that begin with '#'. */
void certificate_write(const Certificate *certificate, CertificateShape shape, Text *out);
/* text[length]: of the file. False with an error in diags, which points at the file; then there is nothing to release.
 * Whether steps are right is for the checker to say. */
bool certificate_read(const char *file, const char *text, size_t length, Certificate *certificate,
                      CertificateShape *shape, Diags *diags);

#endif
