/* exemptions.c - the cards of a pool that the user excepts from rules, with the reason. */
#include "programme/count/pool_summary.h"
#include "report/report.h"

void exemptions_text(const Instance *in, const int *copies, const char *heading, const Style *style, Text *out)
{
    const Model *model = in->model;
    bool any = false;
    for (size_t e = 0; e < model->exempts; e++) {
        const Exempt *exempt = &model->exempt[e];
        const long card = pool_exempt(in, copies, e);
        if (card < 0)
            continue;
        if (!any)
            style_heading(out, style, heading);
        any = true;
        text_printf(out, "  %s is not counted in ", in->cards->card[card].name);
        for (size_t r = 0; r < exempt->froms; r++)
            text_printf(out, "%s%s", r > 0 ? ", " : "", exempt->from[r].name);
        text_printf(out, "%s%s\n", exempt->because[0] != '\0' ? ": " : "", exempt->because);
    }
}
