/* seen_read.c - `seen`: a lower bound said as a chance to see cards. */
#include "model/language/bounds_read.h"

bool seen_read(const ReadContext *context, const YamlNode *node, SeenBound *seen)
{
    Slot slot[SEEN_KEYS] = {0};
    int by = 0;
    int64_t cards = 0;
    if (node->kind != NODE_MAP) {
        report_unexpected(context, node, bound_fields.field[RULE_SEEN].value);
        return false;
    }
    if (fields_read(&seen_fields, node, slot, context->arena, context->diags) != FIELDS_READ)
        return false;
    for (int k = 0; k < SEEN_KEYS; k++)
        if (slot[k].key == NULL) {
            diag_error(context->diags, node->at, "'%s' is missing in seen, expected %s", seen_fields.field[k].name,
                       bound_fields.field[RULE_SEEN].value);
            return false;
        }
    if (!read_word(context, slot[SEEN_BY].value, &seen_by_words, &by) ||
        !read_slot(context, &seen_fields, SEEN_AT_LEAST, slot, &cards) ||
        !read_slot(context, &seen_fields, SEEN_CHANCE, slot, &seen->chance))
        return false;
    seen->by = (DrawBy)by;
    seen->at_least = (int)cards;
    return true;
}
