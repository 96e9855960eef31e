# poolwright - build, demo, tests, benchmarks.
#
#   make            build/poolwright (V=1 shows the commands)
#   make demo       installs what is missing, builds, runs the main job on the demo
#   make test       installs what is missing, builds, runs all tests (also under sanitizers and with clang)
#   make check      the tests alone, nothing installed;  make test-NAME  one of them (tests/test_NAME.c)
#   make soak       random scenarios by the thousand against what explanations say (POOLWRIGHT_SCENARIOS, POOLWRIGHT_SEED)
#   make fuzz       changed workbooks, sheets of text, scenarios and questions by the thousand, read under sanitizers (SECONDS=60 SEED=1)
#   make teeth      deliberate faults, each of which a test must catch (FAULTS="NAME ..." for some of them)
#   make page       the optimiser as WebAssembly, which `poolwright page` puts into the page: build/page/engine.wasm.gz, engine.js
#   make test-page  the page's tests: the engine against the program, the page in a browser (installs what is missing)
#   make bench      measures (SEEDS=5 for medians, see tests/bench); make install [PREFIX=/usr/local] [DESTDIR=]
#   make deb        a package for Debian: build/poolwright_VERSION_ARCH.deb
#   make format     lays the sources out as .clang-format says;  make check-format  fails where one is not
#   make check-exports          names what is not static though only its own file uses it, and what nothing uses
#   make debug | sanitised | tsan | clang | coverage    other builds, each in a folder of its own

BUILD ?= build
PREFIX ?= /usr/local
DATA := $(PREFIX)/share/poolwright
VERSION := 0.1.0
# The day of that version.
DATED := 2026-11-30

WARNINGS := -Wall -Wextra -Wpedantic -Wshadow -Wconversion
# In the sources a switch over an enumeration names every value.
EVERY_CASE = $(if $(filter src/%,$<),-Wswitch-enum -Werror=switch-enum -Werror=switch)
# Lines for backtraces, no more: make debug has the rest, which takes a sixth of the compiler's time.
OPTIMISE ?= -O2 -g1
CFLAGS ?= $(OPTIMISE)
ALL_CFLAGS := -std=c11 -D_GNU_SOURCE $(WARNINGS) -ffp-contract=off -Isrc $(CFLAGS) $(VARIANT_FLAGS)
LDLIBS := -lglpk -lyaml -lcsv -lxlsxwriter -lminizip -lexpat -lz -lunistring -ljansson -lpcre2-8 -lm -lpthread
DEFINES := -DPOOLWRIGHT_VERSION='"$(VERSION)"' -DPOOLWRIGHT_DATE='"$(DATED)"' -DPOOLWRIGHT_DATA='"$(DATA)"'

# What is made is named; V=1 shows the commands, -s nothing.
quiet = $(if $(V)$(findstring s,$(firstword -$(MAKEFLAGS))),,@echo '  $(1)' &&)

SOURCES := $(sort $(filter-out src/page/engine.c,$(wildcard src/*/*.c src/*/*/*.c)))
LIBRARY_SOURCES := $(filter-out src/verbs/main.c src/verbs/manual/make_manual.c,$(SOURCES))
OBJECTS := $(LIBRARY_SOURCES:%.c=$(BUILD)/%.o) $(BUILD)/page/assets.o $(BUILD)/page/made.o
TEST_SOURCES := $(sort $(wildcard tests/test_*.c))
TESTS := $(TEST_SOURCES:tests/%.c=$(BUILD)/tests/%)
SUPPORT := $(BUILD)/tests/support.a
BENCH_SOURCES := $(sort $(wildcard tests/bench_*.c))
BENCHES := $(BENCH_SOURCES:tests/%.c=$(BUILD)/tests/%)
DEMO := scenarios/demo
FORMATTED = $(wildcard src/*/*.[ch] src/*/*/*.[ch] tests/*.[ch] tests/*/*.[ch])

all: $(BUILD)/poolwright $(BUILD)/man/poolwright.1

$(BUILD)/poolwright: $(BUILD)/src/verbs/main.o $(BUILD)/libpoolwright.a
	$(call quiet,$@)$(CC) $(ALL_CFLAGS) $(LDFLAGS) -o $@ $^ $(LDLIBS)

# Manual pages, from the tables of verbs and options.
$(BUILD)/make-manual: $(BUILD)/src/verbs/manual/make_manual.o $(BUILD)/libpoolwright.a
	$(call quiet,$@)$(CC) $(ALL_CFLAGS) $(LDFLAGS) -o $@ $^ $(LDLIBS)

$(BUILD)/man/poolwright.1: $(BUILD)/make-manual
	@mkdir -p $(@D)
	$(call quiet,$@)$(BUILD)/make-manual $(@D) "$(PREFIX)/share"

$(BUILD)/libpoolwright.a: $(OBJECTS)
	@rm -f $@
	$(call quiet,$@)$(AR) rcs $@ $^

$(BUILD)/%.o: %.c Makefile
	@mkdir -p $(@D)
	$(call quiet,$@)$(CC) $(ALL_CFLAGS) $(EVERY_CASE) $(DEFINES) -Itests -MMD -MP -c -o $@ $<

$(SUPPORT): $(patsubst %.c,$(BUILD)/%.o,$(sort $(wildcard tests/support/*.c)))
	@rm -f $@
	$(call quiet,$@)$(AR) rcs $@ $^

$(BUILD)/tests/%: $(BUILD)/tests/%.o $(SUPPORT) $(BUILD)/libpoolwright.a
	$(call quiet,$@)$(CC) $(ALL_CFLAGS) $(LDFLAGS) -o $@ $^ -lcmocka $(LDLIBS)

$(BUILD)/tests/test_draws: LDLIBS += -lgsl -lgslcblas

# Loaded in front of the C library by tests.
PRELOADS := $(BUILD)/tests/fail_malloc.so $(BUILD)/tests/fail_call.so $(BUILD)/tests/count_opens.so $(BUILD)/tests/stand_by.so
$(PRELOADS): $(BUILD)/tests/%.so: tests/preload/%.c Makefile
	@mkdir -p $(@D)
	$(call quiet,$@)$(CC) -std=c11 -D_GNU_SOURCE $(WARNINGS) $(CFLAGS) -Itests -shared -fPIC -o $@ $< -ldl

# What goes into the page is joined and put into the program.
PAGE_MODULES := $(sort $(wildcard src/page/app/*.js src/page/vendor/*.js))
PAGE_ASSETS := app=$(BUILD)/page/app.js drafters=$(BUILD)/page/drafters.js style=$(BUILD)/page/style.css \
	paper=src/page/paper/paper.css

$(BUILD)/page/app.js: src/page/join $(PAGE_MODULES)
	@mkdir -p $(@D)
	$(call quiet,$@)perl src/page/join src/page/app/main.js >$@.part && mv $@.part $@

$(BUILD)/page/drafters.js: src/page/join src/page/paper/drafters.js $(PAGE_MODULES)
	@mkdir -p $(@D)
	$(call quiet,$@)perl src/page/join src/page/paper/drafters.js >$@.part && mv $@.part $@

$(BUILD)/page/style.css: src/page/style.css src/page/static.css
	@mkdir -p $(@D)
	$(call quiet,$@)cat src/page/style.css src/page/static.css >$@

$(BUILD)/page/assets.c: src/page/assets $(BUILD)/page/app.js $(BUILD)/page/drafters.js $(BUILD)/page/style.css src/page/paper/paper.css
	$(call quiet,$@)perl src/page/assets $(PAGE_ASSETS) >$@.part && mv $@.part $@

# What the page's engine would be made from now; written anew only where that is another.
$(BUILD)/page/made.c: src/page/wasm/made $(SOURCES) src/page/engine.c $(wildcard src/*/*.h src/*/*/*.h)
	@mkdir -p $(@D)
	@printf '#include "page/assets.h"\nconst char page_made_from[] = "%s";\n' "$$(sh src/page/wasm/made)" >$@.part
	@cmp -s $@.part $@ && touch $@ && rm $@.part || mv $@.part $@

$(BUILD)/page/assets.o $(BUILD)/page/made.o: $(BUILD)/page/%.o: $(BUILD)/page/%.c src/page/assets.h
	$(call quiet,$@)$(CC) $(ALL_CFLAGS) -c -o $@ $<

tests: $(TESTS) $(PRELOADS)
benches: $(BENCHES)

debug:
	$(MAKE) BUILD=build/debug OPTIMISE='-O0 -g3'
# Tests start it thousands of times: with the sanitizers' libraries in it, at a fixed address, that takes three fifths of the time, and less without
# messages about undefined behaviour: it ends the run by SIGILL, whose line is told with ASAN_OPTIONS=handle_sigill=1. Tests that have functions of
# src in them are built with sanitizers too. -O1 takes half as long again to build, and tests run hardly faster.
sanitised:
	$(MAKE) BUILD=build/sanitised OPTIMISE='-Og -g1' VARIANT_FLAGS='-fsanitize=address,undefined -fsanitize-undefined-trap-on-error -fno-omit-frame-pointer' \
		LDFLAGS='-no-pie -static-libasan -static-libubsan' all build/sanitised/tests/stand_by.so $$(perl tests/sanitised-tests | sed -n 's,^\(.*\) sanitised$$,build/sanitised/\1,p')
tsan:
	$(MAKE) BUILD=build/tsan OPTIMISE='-O1 -g' VARIANT_FLAGS='-fsanitize=thread -fno-omit-frame-pointer' all tests
clang:
	$(MAKE) BUILD=build/clang CC=clang OPTIMISE=-O0 VARIANT_FLAGS=-Werror
coverage:
	$(MAKE) BUILD=build/coverage OPTIMISE='-O0 -g' VARIANT_FLAGS='--coverage' all tests

demo:
	sh .ci/packages build
	$(MAKE) -j$(shell nproc) all
	$(BUILD)/poolwright best $(DEMO) -o $(BUILD)/demo-pool.csv

test:
	sh .ci/packages test
	$(MAKE) -j$(shell nproc) check-format all tests benches sanitised clang
	$(MAKE) check

format:
	clang-format -i $(FORMATTED)
# A header's guard is the path by which it is included: base/day.h has POOLWRIGHT_BASE_DAY_H.
check-format:
	@clang-format --dry-run -Werror $(FORMATTED)
	@for h in $(filter %.h,$(FORMATTED)); do guard=POOLWRIGHT_$$(echo $${h#*/} | tr a-z/. A-Z__); \
		grep -q "^#ifndef $$guard$$" $$h || { echo "$$h: its guard is not $$guard"; exit 1; }; done

# What has external linkage in src is used by another file of src.
check-exports: $(BUILD)/poolwright
	@perl tests/check-exports $(OBJECTS) $(BUILD)/src/verbs/main.o $(BUILD)/src/verbs/manual/make_manual.o

# Every test program once as built, and once with sanitizers; sums up, and fails if one failed or none ran.
check: all tests check-exports
	@perl tests/run-teeth --apply
	sh tests/run-all $(BUILD) $(TESTS:$(BUILD)/%=%)

test-%: $(BUILD)/poolwright $(PRELOADS) $(BUILD)/tests/test_%
	POOLWRIGHT=$(BUILD)/poolwright $(BUILD)/tests/test_$*

# 20,000 random scenarios, explained, against trying every pool (POOLWRIGHT_SCENARIOS, POOLWRIGHT_SEED).
soak: all tests
	sh tests/soak $(BUILD)

# Workbooks, sheets of text, scenarios with questions to them and sheets to import, changed at random (tests/fuzz_*.c).
SECONDS ?= 60
SEED ?= 1
FUZZERS := workbook text scenario
fuzz:
	$(MAKE) BUILD=build/fuzz OPTIMISE='-O1 -g1' VARIANT_FLAGS='-fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer' $(FUZZERS:%=build/fuzz/tests/fuzz_%)
	for f in $(FUZZERS); do ASAN_OPTIONS=hard_rss_limit_mb=2000 build/fuzz/tests/fuzz_$$f $(SECONDS) $(SEED) || exit 1; done

teeth: all tests
	perl tests/run-teeth $(BUILD) $(FAULTS)

# The libraries' sources, once; then the engine (src/page/wasm).
build/page/sources/ready: src/page/wasm/sources
	sh src/page/wasm/sources build/page/sources
	touch $@
page:
	sh .ci/packages page
	$(MAKE) build/page/sources/ready
	$(MAKE) -j$(shell nproc) -f src/page/wasm/engine.mk VERSION=$(VERSION)

# What the tests need is put under build/, in the versions that tests/page/package.json names.
build/page/tests/ready: tests/page/package.json
	mkdir -p build/page/tests
	cp tests/page/package.json build/page/tests/
	cd build/page/tests && npm install --no-package-lock --no-audit --no-fund --ignore-scripts
	touch $@
test-page:
	sh .ci/packages test-page
	$(MAKE) page
	$(MAKE) build/page/tests/ready
	$(MAKE) -j$(shell nproc) all
	sh tests/page/run

bench:
	sh .ci/packages test
	$(MAKE) all benches
	sh tests/bench $(BUILD)

# The manual pages name where things are installed, so they are made anew.
TO = $(DESTDIR)$(PREFIX)
install: all
	install -d "$(TO)/bin" "$(TO)/share/man/man1" "$(TO)/share/poolwright/models"
	install -m 755 $(BUILD)/poolwright "$(TO)/bin/poolwright"
	install -m 644 models/*.yaml "$(TO)/share/poolwright/models"
	for folder in scenarios/*; do install -d "$(TO)/share/poolwright/$$folder" && \
	  install -m 644 $$folder/* "$(TO)/share/poolwright/$$folder" || exit 1; done
	if [ -f build/page/engine.wasm.gz ]; then install -d "$(TO)/share/poolwright/page" && \
	  install -m 644 build/page/engine.wasm.gz build/page/engine.js "$(TO)/share/poolwright/page"; fi
	install -d "$(TO)/share/doc/poolwright/docs"
	install -m 644 README.md DEVELOPERS.md "$(TO)/share/doc/poolwright"
	install -m 644 docs/*.md "$(TO)/share/doc/poolwright/docs"
	$(BUILD)/make-manual "$(TO)/share/man/man1" "$(PREFIX)/share"
	chmod 644 "$(TO)/share/man/man1"/poolwright*.1
	install -d "$(TO)/share/bash-completion/completions"
	$(BUILD)/make-manual completion >"$(TO)/share/bash-completion/completions/poolwright"
	chmod 644 "$(TO)/share/bash-completion/completions/poolwright"

uninstall:
	rm -f "$(TO)/bin/poolwright" "$(TO)/share/man/man1/poolwright.1" "$(TO)/share/man/man1"/poolwright-*.1 \
	  "$(TO)/share/bash-completion/completions/poolwright"
	rm -rf "$(TO)/share/poolwright" "$(TO)/share/doc/poolwright"

# A Debian package, of a build of its own for /usr (.ci/deb): build/poolwright_$(VERSION)_ARCH.deb.
deb:
	sh .ci/packages deb
	rm -rf build/deb/root
	$(MAKE) -j$(shell nproc) BUILD=build/deb PREFIX=/usr CFLAGS="$$(dpkg-buildflags --get CFLAGS) $$(dpkg-buildflags --get CPPFLAGS) -fPIE" \
		LDFLAGS="$$(dpkg-buildflags --get LDFLAGS) -pie -Wl,-z,now" DESTDIR=build/deb/root install
	sh .ci/deb build/deb $(VERSION) $(DATED)
	@[ -f build/page/engine.wasm.gz ] || echo 'The package has no engine for the page: pages show the pool, and nothing can be tried out on them.' \
		'`make page`, then `make deb`, makes it with one.'

clean:
	rm -rf build

-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)

.PHONY: all page test-page tests benches debug sanitised tsan clang coverage format check-format check-exports demo test check soak fuzz teeth bench install uninstall deb clean
.SECONDARY:
