/* config.h - what libunistring's configure would find out about WebAssembly */
#define _GL_ATTRIBUTE_CONST __attribute__((const))
#define _GL_ATTRIBUTE_PURE __attribute__((pure))
#define _GL_ATTRIBUTE_MALLOC __attribute__((malloc))
#define _GL_ATTRIBUTE_DEALLOC(function, index)
#define _GL_ATTRIBUTE_DEALLOC_FREE
#define _GL_ATTRIBUTE_MAYBE_UNUSED __attribute__((unused))
#define _GL_UNUSED __attribute__((unused))
#define _GL_ATTRIBUTE_FALLTHROUGH __attribute__((fallthrough))
#define HAVE_INLINE 1
