/* engine.c - what the page calls: one scenario, opened from the files that lie in the engine's memory, and asked again
 * and again. Only in the WebAssembly build (src/page/wasm/engine.mk); src/page/app/engine.js is the other side. */
#include <emscripten.h>
#include <locale.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "ask/ask.h"
#include "base/memory.h"

/* Calls come from outside and carry nothing, so the one scenario that is open has its place here. */
static struct {
    Ask *ask;
    AskOptions options;
    Text text; /* what was said last; the page copies it before it calls again */
} engine;

/* Told while a question is being answered: numbers are thousandths of fit, or NaN; `what` may be null. */
EM_JS(void, tell_page, (double fit, double bound, double effort, const char *what, int done, int of), {
    if (Module.told)
        Module.told({fit, bound, effort, what : what ? UTF8ToString(what) : null, done, of});
})

/* The worker ends with this; the page starts another. */
EM_JS(void, no_memory, (void), { throw new Error("out of memory"); })

static void exhausted(void *context)
{
    (void)context;
    no_memory();
    abort();
}

static void tell(void *context, const AskProgress *now)
{
    (void)context;
    tell_page(now->has_fit ? (double)now->fit : (double)NAN, now->has_bound ? (double)now->bound : (double)NAN,
              (double)now->effort, now->what, now->done, now->of);
}

EMSCRIPTEN_KEEPALIVE void engine_close(void)
{
    ask_close(engine.ask);
    engine.ask = NULL;
    text_release(&engine.text);
}

/* Before what may be the first call. */
static void begin(void)
{
    setlocale(LC_CTYPE, "");
    mem_on_exhausted(exhausted, NULL);
    text_clear(&engine.text);
}

/* {} or {"error": [...]}, as ask_open says it. */
EMSCRIPTEN_KEEPALIVE const char *engine_open(const char *subject)
{
    engine_close();
    begin();
    engine.options = (AskOptions){.threads = 1, .progress = tell};
    engine.ask = ask_open(subject, &engine.options, &engine.text);
    if (engine.ask != NULL)
        text_add(&engine.text, "{}");
    return text_cstr(&engine.text);
}

/* Without a scenario: sheets that nobody has described yet (ask_import). */
EMSCRIPTEN_KEEPALIVE const char *engine_import(const char *line)
{
    begin();
    ask_import(line, strlen(line), &engine.text);
    return text_cstr(&engine.text);
}

/* The files of a new scenario (ask_init). */
EMSCRIPTEN_KEEPALIVE const char *engine_init(const char *line)
{
    begin();
    ask_init(line, strlen(line), &engine.text);
    return text_cstr(&engine.text);
}

/* All sheets of a file, whether it belongs to the scenario or not (ask_sheets). */
EMSCRIPTEN_KEEPALIVE const char *engine_sheets(const char *path)
{
    begin();
    ask_sheets(path, &engine.text);
    return text_cstr(&engine.text);
}

EMSCRIPTEN_KEEPALIVE const char *engine_ask(const char *line)
{
    text_clear(&engine.text);
    if (engine.ask == NULL)
        text_add(&engine.text, "{\"error\": [{\"message\": \"no scenario is open\"}]}");
    else
        ask_question(engine.ask, line, strlen(line), &engine.text);
    return text_cstr(&engine.text);
}
