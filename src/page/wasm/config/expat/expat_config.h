/* expat_config.h - what expat's configure would find out about WebAssembly, with Debian's choices */
#define BYTEORDER 1234
#define XML_CONTEXT_BYTES 1024
#define XML_DTD 1
#define XML_NS 1
#define XML_DEV_URANDOM 1
