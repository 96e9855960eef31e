/* tiny_toggle.h - one field of a tiny scenario taken away, or given its default, and nothing else. */
#ifndef POOLWRIGHT_SUPPORT_TINY_TOGGLE_H
#define POOLWRIGHT_SUPPORT_TINY_TOGGLE_H

#include "tiny.h"

typedef struct {
    const char *name;                    /* the field, as docs/files.md writes it */
    bool (*apply)(Tiny *tiny, int what); /* false when the scenario does not have the field */
    int what;
} Toggle;

extern const Toggle tiny_toggles[];
extern const size_t tiny_toggles_count;

#endif
