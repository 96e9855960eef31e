/* risky.c - see counted.h. Apart from it, since tiny.h has names of its own for sides and bounds. */
#include "support/tiny.h"

const char *risky_write(uint64_t seed, const char *folder);

const char *risky_write(uint64_t seed, const char *folder)
{
    Tiny tiny;
    tiny_make_risky(&tiny, seed);
    tiny_write(&tiny, folder);
    return tiny.case_named ? "the one" : NULL;
}
