/* instance_cache.h - inside the model room: how an instance is put together, and what it has worked out of filters and
 * columns. */
#ifndef POOLWRIGHT_MODEL_INSTANCE_INSTANCE_CACHE_H
#define POOLWRIGHT_MODEL_INSTANCE_INSTANCE_CACHE_H

#include "base/number.h"
#include "model/yaml/fields.h"
#include "model/instance/instance.h"
#include "model/instance/value_set.h"

/* A column of the sheets as numbers; computed when first asked for. */
typedef struct {
    bool checked, sound;
    int64_t *value;      /* [cards] thousandths */
    CellKind *kind;      /* [cards] */
    const char **folded; /* [cards] the cells as text, folded; NULL until asked for */
} ColumnCache;

/* A filter met with the cards. */
typedef struct {
    const Filter *filter;
    bool *plain; /* [cards] all tests but role and weight hold; NULL: not prepared */
    bool *full;  /* [cards] all tests, role and weight being of the tags that the filter names; the same as plain where
                    it has none */
    bool has_role;   /* it tests role or weight */
    int **id;        /* [tests][values] kinds, tags, classes, themes by number; -1: no candidate has it */
    ValueSet *set;   /* [tests] the same and its numbers and texts, for looking up */
    bool *any_theme; /* [tests] it is met by any declared theme */
    int *column;     /* [tests] index of FIELD_COLUMN's column */
} FilterCache;

/* A name that no candidate has, and the nearest that one has (or NULL). */
typedef struct {
    const char *name, *nearest;
} NearName;

typedef struct InstanceCache {
    FilterCache *filter; /* [filters] by Filter.id - 1 */
    size_t filters, capacity;
    ColumnCache *column; /* [cards->columns] */
    int *theme_tag;      /* [themes] index of the theme's tag in CardSet.tag, -1: no candidate has it */
    int *theme_of;       /* [cards->tags] the declared theme that the tag is, or -1 */
    bool **exempt;       /* [rules, then a deck's] NULL, or [cards] */
    int *measure_column; /* [likewise] index of MEASURE_COLUMN's column, else -1 */
    NearName *near;      /* names looked for until now */
    size_t nears, near_capacity;
    size_t notices; /* nearest words looked for on behalf of a notice */
} InstanceCache;

typedef struct {
    Instance *instance;
    Diags *diags;
} InstanceBuilder;

/* ---- price_sheets.c, copies_sheets.c, tags_sheets.c: prices, owned, tags, the present pool ---- */
void merge_prices(const InstanceBuilder *builder);
void merge_owned(const InstanceBuilder *builder);
void own_present_pool(const InstanceBuilder *builder);
void merge_tags(const InstanceBuilder *builder);
void read_present_pool(const InstanceBuilder *builder);

/* ---- card_history.c: trials, nevers, the journal; after tags, before statuses are matched ---- */
void read_history(const InstanceBuilder *builder);
/* What `trial` and `never` of the cards sheet say of a card: STATUS_KEEP, STATUS_BAN. */
unsigned history_status(const Instance *instance, size_t card);

/* ---- pattern_tags.c ---- */
void apply_patterns(const InstanceBuilder *builder); /* after prices and playability, before themes */

/* ---- lint.c ---- */
/* The column of the user's own whose header speaks of this one of ours ("price": "Unit price"), or NULL. */
const char *column_meant(const Instance *instance, const char *known);
/* Both last: mapped headers that no sheet has are errors; columns that no rule, filter or pattern has asked for. */
void check_maps(const InstanceBuilder *builder);
void notice_columns(const InstanceBuilder *builder);
void notice_totals(const InstanceBuilder *builder);
void notice_tags(const InstanceBuilder *builder); /* after themes; sees the tags of sheets and patterns */

/* ---- match_names.c: keep, ban, wish, exempt ---- */
/* "; did you mean '...'?" with the candidate of the nearest name, for an error in this file. "" where none is near, and
 * for names whose errors are only counted: each search compares the name with all candidates. */
const char *suggest_card(const InstanceBuilder *builder, const char *file, const char *name);
/* The same for a notice, of which all are shown: "" after the first fifty. */
const char *suggest_card_noticed(const InstanceBuilder *builder, const char *name);
/* May a nearest word be looked for on behalf of another notice? */
bool suggests_more(const InstanceBuilder *builder);
void match_statuses(const InstanceBuilder *builder);
void set_copies(const InstanceBuilder *builder); /* after compute_prices */
void match_exempts(const InstanceBuilder *builder);
/* Index of the card, or -1 with an error at the name. */
long find_named_card(const InstanceBuilder *builder, const NameAt *name);

/* ---- structure.c ---- */
void structure_themes(const InstanceBuilder *builder); /* before compute_fit */
/* After compute_fit and compute_class: fit may depend on the place. */
void structure_places(const InstanceBuilder *builder);
void structure_forms(const InstanceBuilder *builder); /* the other forms */
/* Is the theme left out of its cards' fit? */
bool structure_counts_apart(const Instance *instance, size_t theme);
/* millionths of fit, times what playability leaves of it, in thousandths. */
int128 structure_share(const Instance *instance, size_t card, int128 millionths);
/* One more, of no theme and no colour. */
Form *form_add(Instance *instance, FormKind kind, const char *name, SourcePos at);
/* Index of the theme; name is the model's own pointer. */
size_t theme_index(const Model *model, const char *name);

/* ---- structure_combinations.c ---- */
void structure_combinations(const InstanceBuilder *builder); /* forms and limits of named cards, and of choices */

/* ---- limits.c ---- */
void limits_begin(const InstanceBuilder *builder); /* after spread_members: size, cap, members of rules */
/* One more, without sides; title is the name. */
Limit *limit_add(Instance *instance, LimitKind kind, const char *name, const char *of, SourcePos at);
void limits_statuses(const InstanceBuilder *builder); /* last: keeps and bans */

/* ---- card_values.c ---- */
void match_themes(const InstanceBuilder *builder);
void compute_prices(const InstanceBuilder *builder);
void compute_fit(const InstanceBuilder *builder);
void compute_playable(const InstanceBuilder *builder);
void compute_class(const InstanceBuilder *builder);

/* ---- columns.c ---- */
/* The column as numbers; every text or too fine cell is an error that says who asked. NULL when there is one, or no
 * such column. */
const ColumnCache *numeric_column(const InstanceBuilder *builder, int column, const char *asker, SourcePos at);
/* Index of the column; an unknown one is an error with the nearest of the columns and the built-in words. -1 then. */
int find_column(const InstanceBuilder *builder, const char *name, const FieldTable *built_in, const char *what,
                SourcePos at);
/* The column's cells as numbers, and as folded text, without judging them. */
void read_column(const Instance *instance, int column);
void fold_column(const Instance *instance, int column);

/* ---- filter_eval.c ---- */
bool prepare_filter(const InstanceBuilder *builder, const Filter *filter);
/* The sum of the weights of the tags that the filter (or the member's theme) names; false: there is none. */
bool filter_tag_weight(const Instance *instance, const Filter *filter, const RuleMember *member, size_t card,
                       int64_t *weight);

/* ---- members.c ---- */
void spread_members(const InstanceBuilder *builder);
/* Sets the lower bound that `seen` takes at the size in force, if there is one; errors in diags. */
void seen_bounds(const InstanceBuilder *builder, const Rule *rule, Bounds *bounds);
void prepare_rules(const InstanceBuilder *builder);

#endif
