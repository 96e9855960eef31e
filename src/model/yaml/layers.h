/* layers.h - a model while its layers are laid over each other: for every key the value that stands last, still as a
 * node with its place. Values are read once, when all layers are in (compose.h); a bound's unit may come from another
 * layer than the bound. Each bound remembers the size in force in the layer that wrote it. */
#ifndef POOLWRIGHT_MODEL_YAML_LAYERS_H
#define POOLWRIGHT_MODEL_YAML_LAYERS_H

#include "model/yaml/fields.h"
#include "model/yaml/values.h"

typedef struct {
    bool set;
    bool misspelt; /* a key beside it is unknown: a missing bound is no further error */
    Slot slot[BOUND_KEYS];
    int size_at; /* 0: no size was known yet */
    SourcePos at;
} BoundsDraft;

typedef struct {
    const char *name; /* as written */
    const char *key;  /* folded, a pair's colours in order: see member_key */
    SourcePos at;
    BoundsDraft bounds;
} MemberDraft;

typedef struct {
    const char *name, *folded;
    SourcePos at;  /* where it was first declared */
    int listed_in; /* the last layer that listed it, and where */
    SourcePos listed_at;
    Slot slot[RULE_KEYS]; /* without bounds and `for` */
    BoundsDraft bounds;
    MemberDraft *own;
    size_t owns, owns_capacity;
} RuleDraft;

/* One of themes, together, needs, apart, groups, choose. */
typedef struct {
    ModelKey key;
    const char *name, *folded; /* NULL: none */
    SourcePos at;
    int listed_in;
    SourcePos listed_at;
    Slot slot[ENTRY_KEYS_MOST];
} EntryDraft;

typedef struct {
    const char *key;              /* folded */
    const YamlNode *name, *value; /* a colour's map or a theme's number */
    int size_at;
} PlacesForDraft;

/* `places`: what stands last, and the size in force where each number was written. */
typedef struct {
    Slot slot[PLACES_KEYS];
    int size_at[PLACES_KEYS];
    PlacesForDraft *own;
    size_t owns, owns_capacity;
} PlacesDraft;

typedef struct {
    const YamlNode *node;
    int layer;
} NodeInLayer;

typedef struct {
    NodeInLayer *item;
    size_t count, capacity;
} NodeList;

typedef struct Draft {
    ReadContext context;
    Slot slot[MODEL_KEYS]; /* single values */
    struct Draft *deck;    /* of what `deck` says: its size and rules alone; owned, NULL: nothing is said */
    Slot seats[SEATS_KEYS], fit[FIT_KEYS], read[READ_KEYS];
    bool seats_misspelt;
    Slot *column; /* of `columns` */
    size_t columns, columns_capacity;
    RuleDraft *rule;
    size_t rules, rules_capacity;
    PlacesDraft places;
    EntryDraft *entry; /* of all sorts, each sort in its order */
    size_t entries, entries_capacity;
    NodeList exempt, keep, ban, wish, pattern, grades;
    int size;       /* in force; a band's `to`; 0: none yet */
    int first_size; /* of the first layer that had one */
    int layer;      /* number of the layer being laid, from 1 */
} Draft;

void draft_init(Draft *draft, Arena *arena, Diags *diags);
void draft_release(Draft *draft);

/* Begins a new layer and lays the map (keys of a model) over the draft. */
void draft_lay(Draft *draft, const YamlNode *map);
/* Begins a new layer of names only: keep, ban, wish (each NULL or a node). */
void draft_lay_names(Draft *draft, const YamlNode *keep, const YamlNode *ban, const YamlNode *wish);

/* layers_structure.c: places of one layer; then combinations or choices, MODEL_TOGETHER ... MODEL_CHOOSE. */
void draft_lay_places(Draft *draft, const Slot *slot);
void draft_lay_forms(Draft *draft, ModelKey key, const YamlNode *value);
/* One entry's keys, over those of the entry of that name or as a new one. name may be NULL; outer_name: it stands
 * before the map, and so must be known. */
void draft_lay_entry(Draft *draft, ModelKey key, const char *name, SourcePos at, const YamlNode *outer_name,
                     const Slot *slot);
void draft_release_structure(Draft *draft);

/* The size that the map sets (a band's `to`), or 0. Reports nothing. */
int draft_peek_size(const YamlNode *map);
/* The rule of this name, or NULL. */
RuleDraft *draft_find_rule(const Draft *draft, const char *name);
/* The nearest rule name, or NULL. */
const char *draft_nearest_rule(const Draft *draft, const char *name);
/* The form by which members are matched: folded; a pair's colours in order. In the arena. */
const char *member_key(Arena *arena, const char *name);

#endif
