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

/* name: a file (relative to `beside`, the file that names it; NULL: the working folder) or a preset, looked for in the
 * folders. False when reported. */
bool model_chain_read(const ReadContext *context, const char *name, const char *beside, SourcePos at,
                      const char *const *folder, size_t folders, ModelChain *chain);

#endif
