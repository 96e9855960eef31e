# The program as WebAssembly, with the libraries it needs: build/page/engine.wasm, engine.wasm.gz, engine.js (what starts it).
# `make page` calls this; it needs emcc and the sources of the libraries (src/page/wasm/sources).
# Libraries are compiled without their own configure: the few answers it would find are given here, for one target only.

TO := build/page
FROM := $(TO)/sources
OBJ := $(TO)/objects
EMCC ?= emcc
# What emcc calls to compile, with its options: emcc itself takes longer to start than most files to compile.
CLANG := $(shell $(EMCC) -\#\#\# -c -x c /dev/null -o /dev/null 2>&1 | sed -n 's/^ *"\([^"]*\)clang[+]*\([^" ]*\)" .*/\1clang\2/p' | head -n 1) $(shell $(EMCC) --cflags)
SETTINGS := src/page/wasm/config
# A function that nobody declared would be linked and stop the engine when it is called.
COMMON := -O3 -msimd128 -ffp-contract=off
UNDECLARED := -Werror=implicit-function-declaration -Werror=int-conversion

all: $(TO)/engine.wasm.gz $(TO)/engine.js

# --- libraries: where their files are, how each is compiled ---
GLPK := $(patsubst $(FROM)/%,%,$(wildcard $(FROM)/glpk/src/*/*.c $(FROM)/glpk/src/*/*/*.c))
GLPK_FLAGS := -DHAVE_SYS_TIME_H -DHAVE_GETTIMEOFDAY $(patsubst %/,-I%,$(sort $(dir $(wildcard $(FROM)/glpk/src/*.h $(FROM)/glpk/src/*/*.h $(FROM)/glpk/src/*/*/*.h))))

YAML := $(addprefix libyaml/src/,api.c reader.c scanner.c parser.c loader.c)
YAML_FLAGS := -I$(FROM)/libyaml/include -DYAML_VERSION_STRING='"0.2.5"' -DYAML_VERSION_MAJOR=0 -DYAML_VERSION_MINOR=2 -DYAML_VERSION_PATCH=5

CSV := libcsv/libcsv.c
CSV_FLAGS := -I$(FROM)/libcsv

JANSSON := $(addprefix jansson/src/,dump.c error.c hashtable.c hashtable_seed.c load.c memory.c pack_unpack.c strbuffer.c strconv.c utf.c value.c)
JANSSON_FLAGS := -I$(SETTINGS)/jansson -I$(FROM)/jansson/src -DHAVE_STDINT_H -DHAVE_UNISTD_H -DHAVE_SYS_TIME_H -DHAVE_GETTIMEOFDAY -DHAVE_OPEN -DHAVE_CLOSE -DHAVE_READ -DHAVE_FCNTL_H -DHAVE_SYS_STAT_H -DHAVE_SYS_TYPES_H

PCRE := $(addprefix pcre2/src/pcre2_,auto_possess.c chartables.c compile.c config.c context.c error.c extuni.c find_bracket.c maketables.c match.c match_data.c newline.c ord2utf.c pattern_info.c script_run.c string_utils.c study.c tables.c ucd.c valid_utf.c xclass.c jit_compile.c)
PCRE_FLAGS := -DHAVE_CONFIG_H -DSUPPORT_PCRE2_8 -DSUPPORT_UNICODE -DPCRE2_CODE_UNIT_WIDTH=8 -DPCRE2_STATIC -I$(TO)/include/pcre2 -I$(FROM)/pcre2/src

UNISTRING := $(addprefix libunistring/lib/,$(addprefix unistr/u8-,check.c mbtouc.c mbtouc-aux.c mbtouc-unsafe.c mbtouc-unsafe-aux.c mbtoucr.c uctomb.c uctomb-aux.c cpy.c mblen.c prev.c strlen.c) unistr/u32-cpy.c \
    $(addprefix uninorm/,u8-normalize.c canonical-decomposition.c decomposition.c decomposition-table.c compat-decomposition.c decomposing-form.c composition.c decompose-internal.c nfc.c nfd.c nfkc.c nfkd.c) \
    $(addprefix unictype/,combiningclass.c categ_test.c categ_of.c categ_M.c categ_Sc.c pr_white_space.c pr_soft_dotted.c pr_case_ignorable.c pr_cased.c) uniwidth/width.c \
    $(addprefix unicase/,u8-casefold.c u8-ct-casefold.c u8-casemap.c cased.c ignorable.c empty-prefix-context.c empty-suffix-context.c locale-language.c special-casing.c tocasefold.c tolower.c))
UNISTRING_FLAGS := -I$(SETTINGS)/unistring -I$(TO)/include/unistring -I$(FROM)/libunistring/lib

WRITER := $(patsubst $(FROM)/%,%,$(wildcard $(FROM)/libxlsxwriter/src/*.c)) libxlsxwriter/third_party/md5/md5.c libxlsxwriter/third_party/tmpfileplus/tmpfileplus.c
WRITER_FLAGS := -I$(FROM)/libxlsxwriter/include -I$(TO)/include -I$(FROM)/zlib -DUSE_SYSTEM_MINIZIP

ZIP := $(addprefix minizip/,ioapi.c unzip.c zip.c)
ZIP_FLAGS := -I$(FROM)/minizip -I$(FROM)/zlib -DUSE_FILE32API

EXPAT := $(addprefix expat/expat/lib/,xmlparse.c xmlrole.c xmltok.c)
EXPAT_FLAGS := -I$(SETTINGS)/expat

ZLIB := $(addprefix zlib/,adler32.c crc32.c deflate.c inffast.c inflate.c inftrees.c trees.c zutil.c)
ZLIB_FLAGS := -I$(FROM)/zlib

LIBRARIES := GLPK YAML CSV JANSSON PCRE UNISTRING WRITER ZIP EXPAT ZLIB
objects_of = $(patsubst %.c,$(OBJ)/%.o,$(1))
LIBRARY_OBJECTS := $(foreach one,$(LIBRARIES),$(call objects_of,$($(one))))
$(foreach one,$(LIBRARIES),$(eval $(call objects_of,$($(one))): FLAGS := $($(one)_FLAGS)))

# The libraries' own warnings are their authors' business, but for those.
$(OBJ)/%.o: $(FROM)/%.c
	@mkdir -p $(@D)
	@$(CLANG) $(COMMON) -w $(UNDECLARED) $(FLAGS) -c -o $@ $<

$(FROM)/pcre2/src/pcre2_chartables.c: $(FROM)/ready
	cp $@.dist $@

# Headers that the libraries' own builds would put in place.
HEADERS := $(TO)/include/ready
$(HEADERS): $(FROM)/ready src/page/wasm/engine.mk
	rm -rf $(TO)/include
	mkdir -p $(TO)/include/pcre2 $(TO)/include/unistring/unicase $(TO)/include/unistring/unistring
	cp $(FROM)/pcre2/src/config.h.generic $(TO)/include/pcre2/config.h
	cp $(FROM)/pcre2/src/pcre2.h.generic $(TO)/include/pcre2/pcre2.h
	for name in unicase unictype uninorm unistr unitypes uniwidth unicase/special-casing; do \
	    sed -e '/woe32dll/d' -e 's!unistring/std!std!' -e 's!LIBUNISTRING_DLL_VARIABLE!!' -e 's!unistring/localcharset!localcharset!' $(FROM)/libunistring/lib/$$name.in.h >$(TO)/include/unistring/$$name.h || exit 1; done
	cp $(FROM)/libunistring/lib/unistring/*.h $(TO)/include/unistring/unistring/
	cp $(FROM)/libunistring/lib/localcharset.h $(TO)/include/unistring/
	ln -s ../sources/minizip $(TO)/include/minizip
	touch $@
$(LIBRARY_OBJECTS): $(HEADERS)

# --- the program ---
INCLUDES := -isystem $(FROM)/glpk/src -isystem $(FROM)/libyaml/include -isystem $(FROM)/libcsv -isystem $(SETTINGS)/jansson -isystem $(FROM)/jansson/src \
    -isystem $(TO)/include/pcre2 -isystem $(TO)/include/unistring -isystem $(FROM)/libxlsxwriter/include -isystem $(TO)/include -isystem $(FROM)/expat/expat/lib -isystem $(FROM)/zlib
PROGRAM := src/page/engine.c $(filter-out src/verbs/% src/page/% src/decks/% src/weigh/%,$(sort $(wildcard src/*/*.c src/*/*/*.c)))
PROGRAM_OBJECTS := $(patsubst %.c,$(OBJ)/%.o,$(PROGRAM))
WARNINGS ?= -Wall -Wextra -Werror
VERSION ?= 0
PROGRAM_FLAGS := -std=c11 -D_GNU_SOURCE $(WARNINGS) -Isrc $(INCLUDES) -DPOOLWRIGHT_VERSION='"$(VERSION)"' -DPOOLWRIGHT_DATA='"/poolwright"' -DPCRE2_STATIC

$(OBJ)/src/%.o: src/%.c $(HEADERS)
	@mkdir -p $(@D)
	@$(CLANG) $(COMMON) $(PROGRAM_FLAGS) $(UNDECLARED) -MMD -MP -c -o $@ $<

# No main: what is exported is what src/page/engine.c keeps alive. The stack is as large as a page needs for deep trees of YAML.
LINK := -O3 -msimd128 --no-entry -sALLOW_MEMORY_GROWTH=1 -sINITIAL_MEMORY=24MB -sTOTAL_STACK=1MB -sMODULARIZE=1 -sENVIRONMENT=web,worker,node -sFORCE_FILESYSTEM=1 \
    -sEXPORT_NAME=poolwrightEngine -sEXPORTED_RUNTIME_METHODS=FS,UTF8ToString,stringToUTF8,lengthBytesUTF8 -sEXPORTED_FUNCTIONS=_malloc,_free

$(TO)/engine.js: src/page/wasm/engine.mk $(PROGRAM_OBJECTS) $(LIBRARY_OBJECTS)
	@NODE_PATH=/usr/share/nodejs $(EMCC) $(LINK) -o $@ $(filter %.o,$^)
	@{ echo "// made from $$(sh src/page/wasm/made)"; cat $@; } >$@.part && mv $@.part $@
$(TO)/engine.wasm: $(TO)/engine.js
	@touch $@

$(TO)/engine.wasm.gz: $(TO)/engine.wasm
	gzip -9 -n -c $< >$@

-include $(PROGRAM_OBJECTS:.o=.d)
.DELETE_ON_ERROR:
.PHONY: all
