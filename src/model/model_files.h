/* model_files.h - finding model files and the models that they extend. */
#ifndef POOLWRIGHT_MODEL_MODEL_FILES_H
#define POOLWRIGHT_MODEL_MODEL_FILES_H

#include "model/yaml/values.h"

#define EXTENDS_MAX 16

typedef struct {
    const YamlNode *root[EXTENDS_MAX]; /* the furthest base first, the named model last */
    const char *path[EXTENDS_MAX];
    size_t count;
} ModelChain;

/* Where models are looked for and what reads them. */
typedef struct {
    const char *const *folder; /* of presets, in order */
    size_t folders;
    FileStore *files; /* may be NULL */
} ModelSource;

/* name: a file (relative to `beside`, the file that names it; NULL: the working folder) or a preset. False when
 * reported. */
bool model_chain_read(const ReadContext *context, const ModelSource *source, const char *name, const char *beside,
                      SourcePos at, ModelChain *chain);

#endif
