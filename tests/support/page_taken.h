/* page_taken.h - a written page taken apart, by expat, which is not ours. */
#ifndef POOLWRIGHT_SUPPORT_PAGE_TAKEN_H
#define POOLWRIGHT_SUPPORT_PAGE_TAKEN_H

#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

typedef struct {
    char *html; /* all of it */
    size_t length;
    char *still;  /* without what stands in script and style elements */
    json_t *data; /* of the block "pool"; NULL: there is none */
    char *text;   /* what is read: texts of the elements, blanks between cells as "|" */
    size_t text_length, text_room;
    int cells, header; /* of the table that is read */
    bool in_head;
} Page;

/* Reads folder/name; the test fails when the page is not well-formed, or has an element or attribute that could load,
 * run or send something. Released with page_forget. */
void page_read(const char *folder, const char *name, Page *page);
/* Runs poolwright with these words, which write pool.html into the folder and end with this code, and reads that. */
void page_write_and_read(const char *folder, int code, const char *const *words, Page *page);
void page_forget(Page *page);

#endif
