/* words.c - what the words on the screens mean. */
#include "report/json/json.h"
#include "report/words/glossary.h"
#include "verbs/frame/job.h"

int verb_words(Job *job)
{
    const char *const *asked = job->options.word;
    const char *word = job->options.words == 0   ? NULL
                       : job->options.words == 1 ? asked[0]
                                                 : arena_printf(job->options.arena, "%s %s", asked[0], asked[1]);
    const GlossaryEntry *entry = word != NULL ? glossary_find(word) : NULL;
    Text out = {0};
    bool good = true;
    if (word != NULL && entry == NULL) {
        diag_error(&job->diags, (SourcePos){0}, "found no word '%s', expected one that poolwright words lists%s", word,
                   did_you_mean(glossary_nearest(word), job->options.arena));
        job_show_problems(job);
        return EXIT_BAD_INPUT;
    }
    if (job->options.json)
        good = json_finish(glossary_json(entry), &out);
    else if (entry != NULL)
        glossary_entry_text(entry, &job->style, &out);
    else
        glossary_text(&job->style, &out);
    return job_print(job, good, &out, EXIT_ANSWERED);
}
