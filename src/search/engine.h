/* engine.h - the two engines behind search_run, and what is kept between runs. */
#ifndef POOLWRIGHT_SEARCH_ENGINE_H
#define POOLWRIGHT_SEARCH_ENGINE_H

#include "search/run.h"

/* Works until run_over or until all is proven (then run->bound says so, or run->empty). */
void reference_run(Run *run);
void fast_run(Run *run);

#endif
