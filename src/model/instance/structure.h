/* structure.h - what a pool is beyond counts: places, engines, depth, evenness, combinations, the choice of themes,
 * stickiness. Meanings: docs/files.md, "Structure". `Structure` is what the model says; a `Form` is one such thing met
 * with the candidates, and all that programme, checker, explanations and reports know of it, where it adds fit; what it
 * asks for is a Limit (limit.h). */
#ifndef POOLWRIGHT_MODEL_INSTANCE_STRUCTURE_H
#define POOLWRIGHT_MODEL_INSTANCE_STRUCTURE_H

#include "model/limit.h"

#define CHOICE_MOST 20 /* themes to choose from */

/* ---- what the model says ---- */

typedef struct {
    bool on;
    int64_t bonus;         /* thousandths of fit for each whole unit of the smaller of enablers and ratio x payoffs */
    int64_t ratio;         /* thousandths */
    bool has_from, has_to; /* enablers for each payoff: thousandths */
    int64_t from, to;
    SourcePos at, band_at;
} Engine;

typedef struct {
    bool has_to;
    int64_t to;    /* whole units of summed tag weight */
    int64_t share; /* thousandths of a percent */
} DepthStep;

typedef struct {
    bool has_colours; /* said in the model: not all colours by default */
    Engine engine;
    DepthStep *depth; /* [depths] rising `to`, shares that do not rise */
    size_t depths;
    SourcePos depth_at;
} ThemeShape;

typedef struct {
    const char *name; /* of a colour or a theme, as written */
    bool is_theme;
    bool has_theme, has_open;
    int64_t theme, open;       /* of a colour: each theme's places, open ones; of a theme: `theme`, in every colour */
    int theme_size, open_size; /* the size in force where they were written */
    const char **own;          /* of a colour: places of its themes by name */
    int64_t *own_count;
    int *own_size;
    size_t owns;
    SourcePos at;
} PlacesFor;

typedef struct {
    bool on, by_place;
    bool has_open;
    int64_t theme, open;
    int theme_size, open_size;
    NameAt *also; /* themes without colours of their own that have places in every colour */
    size_t alsos;
    PlacesFor *own;
    size_t owns;
    SourcePos at;
} Places;

typedef enum {
    COMBINATION_TOGETHER,
    COMBINATION_NEEDS,
    COMBINATION_APART,
    COMBINATION_GROUP,
    COMBINATIONS
} CombinationKind;

typedef struct {
    CombinationKind kind;
    const char *name; /* NULL: none */
    NameAt card;      /* of `needs` */
    NameAt *of;
    size_t ofs;
    int *part; /* [ofs] together: the part that each belongs to, from 0; NULL: one of each is wanted */
    int parts;
    int64_t most;   /* together with parts: sets that count */
    int64_t number; /* bonus in thousandths; how many otherwise */
    SourcePos at;
} Combination;

typedef struct {
    const char *name;
    NameAt *from;
    size_t froms;
    bool per_pair;
    int64_t low, high; /* how many of each group */
    SourcePos at;
} Choose;

typedef struct Structure {
    ThemeShape *shape; /* [Model.themes] */
    Places places;
    int64_t evenness; /* thousandths of fit for each whole unit of the weakest theme's strength; 0: none */
    SourcePos evenness_at;
    Combination *combination;
    size_t combinations;
    Choose *choose;
    size_t chooses;
    int64_t playable; /* thousandths of a percent: how far playability is a factor of fit */
    int64_t stay;     /* thousandths of fit for each copy of the present pool that stays */
    SourcePos stay_at;
} Structure;

/* ---- met with the candidates ---- */

typedef enum {
    FORM_PLACE_FIT, /* of a colour's cards in places, with `by_place` */
    FORM_ENGINE,
    FORM_DEPTH,
    FORM_THEME_FIT, /* of the tags of a theme that may be chosen */
    FORM_EVENNESS,
    FORM_STAY,
    FORM_TOGETHER,
    FORM_SETS /* together with parts: whole sets of one copy of each part */
} FormKind;

typedef struct {
    int64_t width; /* whole units of summed weight */
    int64_t value; /* thousandths of fit for each of them */
} FormStep;

typedef struct {
    FormKind kind;
    const char *name; /* "places (brass)", "engine (convoys)", "dawn watch" ... */
    SourcePos at;
    int theme;      /* of the theme kinds, else -1 */
    int colour;     /* FORM_PLACE_FIT, else -1 */
    int64_t gain;   /* thousandths of fit a unit: engine, evenness, together, sets (a whole set), stay */
    int64_t ratio;  /* engine, thousandths */
    FormStep *step; /* [steps] depth; values do not rise */
    size_t steps;
    size_t *card; /* [cards] together, sets: ascending, each once */
    size_t cards;
    int *part; /* [cards] sets: the part it belongs to, from 0 */
    int parts;
    int64_t most; /* sets: so many count */
} Form;

/* Of a form of sets: copies that hold the part in a pool, and the one card that does where it is only one; else -1. */
int64_t form_part_copies(const Form *form, const int *copies, int part);
long form_part_single(const Form *form, const int *copies, int part);
const char *form_kind_name(FormKind kind); /* "places", "engine", ... */

#endif
