/* header_slips.c - headers that are a letter away from one of ours: such a column is the user's own, which was perhaps
 * not meant. */
#include <string.h>

#include "base/near.h"
#include "base/text.h"
#include "cards/sheet/header_words.h"

#define SHORT 5 /* of a shorter word too many others are a letter away */

static bool is_slip(const char *folded, const char *word)
{
    NearWord *header = near_word(folded), *known = near_word(word);
    const bool near = near_within(header, known, 1) && (strlen(word) >= SHORT || folded[0] == word[0]);
    mem_free(known);
    mem_free(header);
    return near;
}

const char *header_slip(const char *header, const char *const *word, size_t words)
{
    const char *found = NULL;
    char *folded = text_fold(header);
    for (size_t k = 0; k < words && found == NULL && folded[0] != '\0'; k++)
        if (is_slip(folded, word[k]))
            found = word[k];
    mem_free(folded);
    return found;
}

void header_tell_slip(const char *header, const char *word, bool mapped, SourcePos at, Diags *diags)
{
    char excerpt[TEXT_EXCERPT];
    text_excerpt(excerpt, header);
    const char *settled = ", another header for it ends this notice";
    diag_notice(diags, at, "the column '%s' is taken for one of your own; was '%s' meant? If not%s%s%s", excerpt, word,
                mapped ? ", the model can say so: columns: {own: \"" : settled, mapped ? excerpt : "",
                mapped ? "\"}" : "");
}

void headers_tell_slips(const Sheet *sheet, const bool *read, const char *const *word, size_t words, bool mapped,
                        Diags *diags)
{
    for (size_t i = 0; i < sheet->header.cells; i++) {
        const SheetCell *cell = &sheet->header.cell[i];
        const char *meant = read[i] ? NULL : header_slip(cell->text, word, words);
        if (meant != NULL)
            header_tell_slip(cell->text, meant, mapped, sheet_pos(sheet, cell), diags);
    }
}

void headers_tell_missing(const Sheet *sheet, const int *column, const char *const *word, size_t words, Diags *diags)
{
    const char **missing = mem_new(words, sizeof *missing);
    bool *read = mem_new(sheet->header.cells, sizeof *read);
    size_t count = 0;
    for (size_t k = 0; k < words; k++)
        if (column[k] >= 0)
            read[column[k]] = true;
        else
            missing[count++] = word[k];
    headers_tell_slips(sheet, read, missing, count, false, diags);
    mem_free(missing);
    mem_free(read);
}
