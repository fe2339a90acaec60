# SPDX-License-Identifier: GPL-3.0-or-later
# Builds, tests and installs fuelreach. `make help` lists the targets.
# New files are found by themselves: src/FOLDER/*.c, src/cli/*.c, tests/FOLDER/test_*.c.

# ---- what may be set on the command line ----

ifeq ($(origin CC),default)
CC = gcc
endif
BUILD = build
PREFIX = /usr/local
DESTDIR =
OPTIMISE = -O2 -g
WERROR = -Werror
SANITIZE =
OPENMP = -fopenmp
FUZZ_SECONDS = 60
PYTHON = /usr/bin/python3

# V=1 shows whole commands, -s nothing.
Q = $(if $(V),,@)
silent = $(findstring s,$(filter-out --%,$(firstword -$(MAKEFLAGS))))
say = $(if $(V)$(silent),,@echo "  $(1)")

# ---- flags ----

VERSION := $(shell sed -n 's/.*FR_VERSION "\(.*\)".*/\1/p' src/cli/version.h)
WARNINGS = -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wmissing-prototypes $(WERROR)
# No contraction: the same figures on every machine.
LANGUAGE = -std=c11 -ffp-contract=off -D_POSIX_C_SOURCE=200809L -Iinclude -Isrc
SETTINGS = $(CC) $(LANGUAGE) $(OPTIMISE) $(WARNINGS) $(SANITIZE) $(CFLAGS)
COMPILE = $(SETTINGS) $(FOLDER_FLAGS)
LIBRARIES = -lyaml -lgsl -lgslcblas -lm
LINK = $(CC) $(OPTIMISE) $(SANITIZE) $(OPENMP) $(LDFLAGS)

# Flags of one folder. The block kernel of the chances runs on all cores; sqrt and the like never
# set errno there, so that they stay inside the vector loop.
BLOCK_FLAGS = -O3 -fno-math-errno -fno-trapping-math $(OPENMP) $(WIDE_VECTORS)
# Where the compiler knows of vectors that wide; only the clone for machines that have them uses it.
WIDE_VECTORS := $(shell $(CC) -Werror -mprefer-vector-width=512 -x c -fsyntax-only /dev/null 2>/dev/null && echo -mprefer-vector-width=512)
$(BUILD)/src/chance/%.o: FOLDER_FLAGS = $(BLOCK_FLAGS)
$(BUILD)/src/promise/%.o: FOLDER_FLAGS = $(BLOCK_FLAGS)
$(BUILD)/src/sheet/parts.o: FOLDER_FLAGS = -DFR_PARTS_DIR='"$(PREFIX)/share/fuelreach/components"'
BENCH_FLAGS = -O3 -fno-math-errno -fno-trapping-math -Itests -Wno-missing-prototypes
$(BUILD)/tests/bench/scalar_kernel.o: FOLDER_FLAGS = $(BENCH_FLAGS) -fno-tree-vectorize -fno-tree-slp-vectorize
$(BUILD)/tests/bench/peak_%.o: FOLDER_FLAGS = $(BENCH_FLAGS) $(WIDE_VECTORS)
$(BUILD)/tests/bench/peak_fused.o: FOLDER_FLAGS = $(BENCH_FLAGS) $(WIDE_VECTORS) -ffp-contract=fast
$(BUILD)/tests/%.o: FOLDER_FLAGS = -Itests -Wno-missing-prototypes -DFR_BUILD_DIR='"$(BUILD)"'

# ---- files ----

LIBRARY_SOURCES := $(filter-out src/cli/% src/web/%,$(wildcard src/*/*.c))
CLI_SOURCES := $(filter-out %/main.c,$(wildcard src/cli/*.c src/web/*.c))
# Those that take longest begin first.
SLOW_TESTS := $(wildcard tests/web/test_web.c tests/page/test_browser.c tests/promise/test_block.c)
TEST_SOURCES := $(SLOW_TESTS) $(filter-out $(SLOW_TESTS),$(wildcard tests/*/test_*.c))
FUZZ_SOURCES := $(wildcard tests/fuzz/fuzz_*.c)
BENCH_SOURCES := $(wildcard tests/bench/bench_*.c)
BENCH_SUPPORT := $(filter-out $(BENCH_SOURCES) tests/bench/empty.c,$(wildcard tests/bench/*.c))
# Whatever else lies in tests/ helps the tests: any of them may use it.
SUPPORT_SOURCES := $(filter-out $(TEST_SOURCES) tests/bench/% tests/fuzz/%,$(wildcard tests/*/*.c))
PUBLIC_HEADERS := $(wildcard include/fuelreach/*.h)

PROGRAM = $(BUILD)/fuelreach
LIBRARY = $(BUILD)/libfuelreach.a
CLI = $(BUILD)/cli.a
GENERATE = $(BUILD)/generate
TESTS = $(TEST_SOURCES:%.c=$(BUILD)/%) $(FUZZ_SOURCES:tests/fuzz/fuzz_%.c=$(BUILD)/tests/fuzz/test_%)
# These tests also write the documents that they compare.
DOCS_TESTS = $(filter $(BUILD)/tests/docs/% $(BUILD)/tests/published/%,$(TESTS))
BENCHES = $(BENCH_SOURCES:%.c=$(BUILD)/%)
# Tests that also run under valgrind.
CORE_TESTS = $(filter $(foreach folder,$(CORE_FOLDERS),$(BUILD)/tests/$(folder)/%),$(TESTS))
CORE_FOLDERS = quantity fuel engine supply capacity sheet report

.DELETE_ON_ERROR:
.SECONDARY:
.PHONY: all demo check bench fuzz fuzz-build lint layers headers docs web help install uninstall clean \
	sanitize valgrind tests FORCE

# ---- the program and the library ----

all: $(PROGRAM) $(LIBRARY) ## build/fuelreach and build/libfuelreach.a (default)

$(PROGRAM): $(BUILD)/src/cli/main.o $(CLI) $(LIBRARY)
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ $(LIBRARIES)

# The commands are an archive too: one without a row in the table is left out of the program.
$(CLI): $(CLI_SOURCES:%.c=$(BUILD)/%.o) $(BUILD)/sources
	$(call say,archive $@)
	@rm -f $@
	$(Q)ar rcs $@ $(filter %.o,$^)

$(LIBRARY): $(LIBRARY_SOURCES:%.c=$(BUILD)/%.o) $(BUILD)/sources
	$(call say,archive $@)
	@rm -f $@
	$(Q)ar rcs $@ $(filter %.o,$^)

$(BUILD)/%.o: %.c $(BUILD)/settings
	@mkdir -p $(@D)
	$(call say,compile $<)
	$(Q)$(COMPILE) -MMD -MP -c -o $@ $<

# Three notes, written only when they change: the first makes all objects anew, the second the
# archives (a file may have gone), the third the one object that knows where the parts go.
$(BUILD)/settings: FORCE
	@mkdir -p $(@D)
	@echo '$(SETTINGS) $(OPENMP)' | cmp -s - $@ || echo '$(SETTINGS) $(OPENMP)' >$@
$(BUILD)/sources: FORCE
	@mkdir -p $(@D)
	@echo '$(LIBRARY_SOURCES) $(CLI_SOURCES)' | cmp -s - $@ || echo '$(LIBRARY_SOURCES) $(CLI_SOURCES)' >$@
$(BUILD)/prefix: FORCE
	@mkdir -p $(@D)
	@echo '$(PREFIX)' | cmp -s - $@ || echo '$(PREFIX)' >$@
$(BUILD)/src/sheet/parts.o: $(BUILD)/prefix

-include $(shell find $(BUILD)/src $(BUILD)/tests $(BUILD)/web -name '*.d' 2>/dev/null)

demo: $(PROGRAM) ## check an example build and show the report
	@sh tests/house/demo $(PROGRAM)

# ---- tests ----

tests: $(TESTS) $(PROGRAM) $(GENERATE) ## build the tests, run none

check: tests ## run all tests
	@sh tests/house/run $(TESTS)

valgrind: tests ## run the tests of the core under valgrind
	@RUN_UNDER='valgrind -q --error-exitcode=9 --leak-check=full --errors-for-leak-kinds=definite,possible' \
		sh tests/house/run $(CORE_TESTS)

# Clang, with address and undefined-behaviour sanitizers, and what libFuzzer counts: one build for the
# tests and the fuzzers. RUN_UNDER also tells the tests that a few random cases will do.
INSTRUMENTED = $(MAKE) BUILD=build/sanitize CC=clang OPTIMISE='-O1 -g' WERROR='-Werror -Wno-unused' OPENMP= \
	SANITIZE='-fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all -D__SANITIZE_ADDRESS__'
sanitize: ## run all tests with sanitizers, in build/sanitize
	+RUN_UNDER=env $(INSTRUMENTED) check

$(BUILD)/tests/%: $(BUILD)/tests/%.o $(BUILD)/tests/support.a $(CLI) $(LIBRARY)
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ -lcmocka $(LIBRARIES)

$(BUILD)/tests/support.a: $(SUPPORT_SOURCES:%.c=$(BUILD)/%.o)
	@mkdir -p $(@D)
	$(call say,archive $@)
	@rm -f $@
	$(Q)ar rcs $@ $^

# ---- fuzzing: tests/fuzz/fuzz_NAME.c, seeds in tests/fuzz/corpus/NAME ----

# In the test run each target replays its seeds, and every case that once went wrong.
$(BUILD)/tests/fuzz/test_%: $(BUILD)/tests/fuzz/fuzz_%.o $(BUILD)/tests/fuzz/replay.o \
		$(BUILD)/tests/support.a $(CLI) $(LIBRARY)
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ -lcmocka $(LIBRARIES)

FUZZERS = $(FUZZ_SOURCES:tests/fuzz/fuzz_%.c=%)

$(BUILD)/tests/fuzz/fuzz_%: $(BUILD)/tests/fuzz/fuzz_%.o $(BUILD)/tests/support.a $(LIBRARY)
	$(call say,link $@)
	$(Q)$(LINK) -fsanitize=fuzzer -o $@ $^ -lcmocka $(LIBRARIES)

fuzz-build:
	+$(INSTRUMENTED) $(FUZZERS:%=build/sanitize/tests/fuzz/fuzz_%)

fuzz: fuzz-build ## fuzz every reader for FUZZ_SECONDS (60) or FUZZ_FLAGS=-runs=N
	@mkdir -p $(FUZZERS:%=build/fuzz/corpus/%)
	@printf '%s\n' $(FUZZERS) | xargs -P $$(nproc) -I NAME env build/sanitize/tests/fuzz/fuzz_NAME \
		$(or $(FUZZ_FLAGS),-max_total_time=$(FUZZ_SECONDS)) -max_len=16384 -timeout=10 \
		-verbosity=0 -print_final_stats=1 -artifact_prefix=build/fuzz/ \
		build/fuzz/corpus/NAME tests/fuzz/corpus/NAME

# ---- the page for browsers: the same program as WebAssembly, in one file ----

WEB = $(BUILD)/web
EMCC = NODE_PATH=/usr/share/nodejs emcc
WEB_FLAGS = -Oz -Wno-unknown-attributes
WEB_SETTINGS = $(EMCC) $(LANGUAGE) -DFR_FOR_BROWSERS -I$(WEB)/include
# The commands that the page runs; a page has no logs, and writes no documents.
WEB_SOURCES := $(filter-out src/review/% src/cli/review.c src/cli/page_review.c src/cli/main.c,$(wildcard src/*/*.c))
WEB_YAML = api reader scanner parser loader
WEB_GSL = qrng/qrng qrng/inline qrng/sobol err/error err/stream
WEB_OBJECTS = $(WEB_SOURCES:%.c=$(WEB)/%.o) $(WEB_YAML:%=$(WEB)/yaml/%.o) $(WEB_GSL:%=$(WEB)/gsl/%.o)
# Small, but for the loops over a block of draws.
WEB_HOT = speed_rows flow_rows direct_rows
$(WEB)/src/chance/%.o: WEB_FLAGS = -Oz -msimd128 -fno-math-errno -fno-trapping-math
$(WEB_HOT:%=$(WEB)/src/chance/%.o): WEB_FLAGS = -Os -msimd128 -fno-math-errno -fno-trapping-math

web: $(WEB)/fuelreach.html ## build/web/fuelreach.html, the program in one page (needs emscripten)

# libyaml and GSL from their Debian sources; of GSL only what the studies of a page use.
$(WEB)/from/fetched: src/web/sources
	$(call say,fetch the sources of libyaml and GSL)
	$(Q)src/web/sources $(@D)
	@mkdir -p $(WEB)/include/gsl
	@cp $(@D)/libyaml/include/yaml.h $(WEB)/include
	@cp $(@D)/gsl/gsl_*.h $(@D)/gsl/*/gsl_*.h $(WEB)/include/gsl
	@echo '#define RETURN_IF_NULL(x) if (!(x)) { return; }' >$(WEB)/include/config.h
	@touch $@

$(WEB)/yaml/%.o: $(WEB)/from/fetched
	@mkdir -p $(@D)
	$(call say,compile libyaml $*)
	$(Q)$(EMCC) -Oz -I$(WEB)/include -DYAML_VERSION_STRING='""' -DYAML_VERSION_MAJOR=0 \
		-DYAML_VERSION_MINOR=2 -DYAML_VERSION_PATCH=5 -c -o $@ $(WEB)/from/libyaml/src/$*.c

$(WEB)/gsl/%.o: $(WEB)/from/fetched
	@mkdir -p $(@D)
	$(call say,compile GSL $*)
	$(Q)$(EMCC) -Oz -I$(WEB)/include -I$(WEB)/from/gsl -c -o $@ $(WEB)/from/gsl/$*.c

$(WEB)/settings: FORCE
	@mkdir -p $(@D)
	@echo '$(WEB_SETTINGS) $(WEB_HOT)' | cmp -s - $@ || echo '$(WEB_SETTINGS) $(WEB_HOT)' >$@

$(WEB)/src/%.o: src/%.c $(WEB)/from/fetched $(WEB)/settings
	@mkdir -p $(@D)
	$(call say,compile $< for browsers)
	$(Q)$(WEB_SETTINGS) $(WEB_FLAGS) -MMD -MP -c -o $@ $<

$(WEB)/program.js: $(WEB_OBJECTS) src/web/files.js
	$(call say,link $@)
	$(Q)$(EMCC) -Oz -o $@ $(filter %.o,$^) --js-library src/web/files.js -sFILESYSTEM=0 -sMODULARIZE \
		-sEXPORT_NAME=fuelreachProgram -sINVOKE_RUN=0 -sALLOW_MEMORY_GROWTH -sTOTAL_STACK=2MB \
		-sENVIRONMENT=worker -sEXPORTED_RUNTIME_METHODS=callMain -sINCOMING_MODULE_JS_API=instantiateWasm,noInitialRun

# Zopfli squeezes some 4 % more out of what any browser unpacks.
$(WEB)/program.wasm.gz: $(WEB)/program.js
	$(call say,pack the program)
	$(Q)wasm-opt --enable-simd --enable-mutable-globals -Oz --converge -o $(WEB)/smallest.wasm $(WEB)/program.wasm
	$(Q)zopfli --i15 -c $(WEB)/smallest.wasm >$@

WEB_PAGE = $(wildcard src/web/*.js src/web/page.*)
WEB_FILES := $(sort $(wildcard components/*/*.yaml) $(wildcard examples/*.yaml))
$(WEB)/fuelreach.html: $(WEB)/program.wasm.gz $(WEB_PAGE) $(WEB_FILES)
	$(call say,$@)
	$(Q)SOURCE='$(SOURCE)' node src/web/assemble.js src/web $(WEB) $(WEB_FILES) >$@

# ---- speed ----

bench: $(PROGRAM) $(BENCHES) ## measure speed and memory
	@for bench in $(BENCHES); do $$bench || exit 1; done
	@if [ -f $(WEB)/fuelreach.html ] && [ -d build/npm ]; then \
		node tests/web/measure.js build/npm $(WEB)/fuelreach.html; \
	else echo "page in a browser: not measured; make web, sh .ci/setup all"; fi

$(BENCHES): %: %.o $(BENCH_SUPPORT:%.c=$(BUILD)/%.o) \
		$(BUILD)/tests/support.a $(CLI) $(LIBRARY)
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ $(LIBRARIES)

# An empty program, linked as the real one is: what any process costs here.
bench: $(BUILD)/tests/bench/empty
$(BUILD)/tests/bench/empty: $(BUILD)/tests/bench/empty.o
	$(call say,link $@)
	$(Q)$(LINK) -Wl,--no-as-needed -o $@ $^ $(LIBRARIES)

# ---- the house in order ----

lint: ## clang-tidy and cppcheck over src
	printf '%s\n' $(wildcard src/*/*.c src/cli/*/*.c) | xargs -P $$(nproc) -n 12 sh -c \
		'clang-tidy --quiet --warnings-as-errors="*" "$$@" -- $(LANGUAGE) 2>/dev/null' tidy
	cppcheck --quiet --std=c11 --error-exitcode=1 --inline-suppr --library=posix \
		--enable=warning,performance,portability --suppress=missingIncludeSystem --suppress=invalidPointerCast \
		-D_POSIX_C_SOURCE=200809L -Iinclude -Isrc src

layers: ## fail on an include that goes against the order of the folders
	@awk -f tests/house/layers.awk $(PUBLIC_HEADERS) $(wildcard src/*/*.h src/*/*.c)

headers: ## compile each public header alone, as C11 and as C++17
	@for header in $(PUBLIC_HEADERS); do \
		$(CC) -std=c11 $(WARNINGS) -Iinclude -fsyntax-only -x c $$header && \
		$(CXX) -std=c++17 -Wall -Wextra -Wpedantic -Werror -Iinclude -fsyntax-only -x c++ $$header \
		|| exit 1; \
	done; echo "$(words $(PUBLIC_HEADERS)) headers, each alone, C11 and C++17"

$(GENERATE): $(BUILD)/src/cli/generate/main.o $(CLI) $(LIBRARY)
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ $(LIBRARIES)

docs: $(GENERATE) $(PROGRAM) $(DOCS_TESTS) ## write the generated documents anew
	@$(GENERATE) all docs
	@for test in $(DOCS_TESTS); do FR_WRITE_DOCS=1 $$test >/dev/null 2>&1 || $$test || exit 1; done

help: ## this list
	@awk -F ':.*## ' '/^[a-z]+:.*## / { printf "  make %-10s %s\n", $$1, $$2 }' Makefile
	@echo "  make install PREFIX=$(PREFIX) DESTDIR=  and the same with uninstall"

# ---- installing ----

BIN = $(DESTDIR)$(PREFIX)/bin
LIB = $(DESTDIR)$(PREFIX)/lib
INCLUDE = $(DESTDIR)$(PREFIX)/include/fuelreach
SHARE = $(DESTDIR)$(PREFIX)/share
PARTS := $(sort $(wildcard components/*/*.yaml))

install: all ## put program, library, manual, completion and parts under PREFIX
	install -d $(BIN) $(LIB)/pkgconfig $(INCLUDE) $(SHARE)/man/man1 \
		$(SHARE)/bash-completion/completions $(sort $(dir $(PARTS:%=$(SHARE)/fuelreach/%)))
	install -m 755 $(PROGRAM) $(BIN)/fuelreach
	install -m 644 $(LIBRARY) $(LIB)/libfuelreach.a
	install -m 644 $(PUBLIC_HEADERS) $(INCLUDE)
	sed -e 's|@PREFIX@|$(PREFIX)|' -e 's|@VERSION@|$(VERSION)|' -e 's|@OPENMP@|$(OPENMP)|' \
		src/cli/fuelreach.pc.in >$(LIB)/pkgconfig/fuelreach.pc
	install -m 644 docs/fuelreach.1 $(SHARE)/man/man1/fuelreach.1
	install -m 644 docs/fuelreach.bash $(SHARE)/bash-completion/completions/fuelreach
	for part in $(PARTS); do install -m 644 $$part $(SHARE)/fuelreach/$$part || exit 1; done

uninstall: ## take away what install put there
	rm -f $(BIN)/fuelreach $(LIB)/libfuelreach.a $(LIB)/pkgconfig/fuelreach.pc \
		$(SHARE)/man/man1/fuelreach.1 $(SHARE)/bash-completion/completions/fuelreach
	rm -rf $(INCLUDE) $(SHARE)/fuelreach

clean: ## remove what was built
	rm -rf build
