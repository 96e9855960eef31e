/* value_set.h - inside the model room: the values of one test of a filter, to be looked up for every card. */
#ifndef POOLWRIGHT_MODEL_INSTANCE_VALUE_SET_H
#define POOLWRIGHT_MODEL_INSTANCE_VALUE_SET_H

#include "model/model.h"

typedef struct {
    int64_t from, to; /* both included */
} ValueSpan;

typedef struct {
    const char *folded;
    bool is_number;
} ValueText;

typedef struct {
    int *id; /* ascending */
    size_t ids;
    ValueSpan *span; /* ascending, apart */
    size_t spans;
    ValueText *text; /* by text, those that are no numbers first */
    size_t texts;
} ValueSet;

/* id[values]: what each value was found to be, -1 for nothing. In the arena; the test must outlive it. */
void value_set_init(ValueSet *set, const FilterTest *test, const int *id, Arena *arena);
bool value_set_has_id(const ValueSet *set, int id);
/* Is the number one of the values or in one of the ranges? */
bool value_set_has_number(const ValueSet *set, int64_t number);
/* Is the folded text of a cell one of the values? A cell that is a number is compared with values that are numbers by
 * value_set_has_number alone. */
bool value_set_has_text(const ValueSet *set, const char *folded, bool is_number);

#endif
