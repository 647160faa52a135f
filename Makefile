# thrave - see README.md for the two commands, DEVELOPERS.md for the rest.
#
#   make demo          install what is missing, build, run the main job on recipes-demo/
#   make check         the tests (light: cmocka and a few small packages)
#   make check-book    the heavy tests: spreadsheet engines, a browser
#   make               build build/release/thrave
#
# Knobs: CC, CFLAGS, CPPFLAGS, LDFLAGS are yours and come last.
#   VARIANT=release|debug|san   DEV=1 makes warnings errors   V=1 shows commands

VARIANT ?= release
B       ?= build/$(VARIANT)
Q        = $(if $(V),,@)

OPT_release = -O2 -g
OPT_debug   = -O0 -g3 -DTHRAVE_DEBUG -DTHRAVE_FAULTS
OPT_san     = -O1 -g -DTHRAVE_FAULTS -fno-omit-frame-pointer -fsanitize=address,undefined -fno-sanitize-recover=all
LD_san      = -fsanitize=address,undefined
OPT_fuzz    = -O1 -g -fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all
LD_fuzz     = -fsanitize=address,undefined

WARN = -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wvla -Wstrict-prototypes \
       -Wmissing-prototypes -Wwrite-strings -Wformat=2 -Wpointer-arith -Wundef

THRAVE_CPPFLAGS = -Isrc -D_POSIX_C_SOURCE=200809L -D_XOPEN_SOURCE=700 -include base/banned.h \
                  $(shell pkg-config --cflags libRmath jansson libutf8proc 2>/dev/null)
THRAVE_CFLAGS   = -std=c11 $(OPT_$(VARIANT)) $(WARN) $(if $(DEV),-Werror) -fno-common -ffp-contract=off
THRAVE_LDFLAGS  = $(LD_$(VARIANT))
THRAVE_LIBS     = -lxlsxwriter -lz -lcsv -lglpk -lRmath -ljansson -lutf8proc -lm

SRC   := $(sort $(shell find src -name '*.c'))
LIB   := $(filter-out src/main.c,$(SRC))
OBJ   := $(SRC:%.c=$(B)/%.o)
A      = $(B)/libthrave.a
BIN    = $(B)/thrave
UNIT  := $(sort $(shell find tests/unit -name 'test_*.c' 2>/dev/null))
UNITS := $(UNIT:tests/unit/%.c=$(B)/tests/%)
HELP  := $(sort $(wildcard tests/unit/help*.c))

all: $(BIN)

# A change of compiler or flags rebuilds everything.
FLAGS := $(CC) $(THRAVE_CFLAGS) $(CFLAGS) $(THRAVE_CPPFLAGS) $(CPPFLAGS)
$(B)/flags: FORCE
	@mkdir -p $(@D)
	@printf '%s\n' '$(subst ','\'',$(FLAGS))' | cmp -s - $@ || printf '%s\n' '$(subst ','\'',$(FLAGS))' > $@

$(B)/%.o: %.c $(B)/flags
	@mkdir -p $(@D)
	$(if $(V),,@echo "  CC   $<")
	$(Q)$(CC) $(THRAVE_CPPFLAGS) $(THRAVE_CFLAGS) -MMD -MP $(CPPFLAGS) $(CFLAGS) -c -o $@ $<

$(A): $(LIB:%.c=$(B)/%.o)
	$(if $(V),,@echo "  AR   $@")
	$(Q)rm -f $@ && $(AR) rcs $@ $^

$(BIN): $(B)/src/main.o $(A)
	$(if $(V),,@echo "  LD   $@")
	$(Q)$(CC) $(THRAVE_CFLAGS) $(CFLAGS) $(THRAVE_LDFLAGS) -o $@ $^ $(LDFLAGS) $(THRAVE_LIBS)

$(B)/tests/%: $(B)/tests/unit/%.o $(HELP:%.c=$(B)/%.o) $(A)
	@mkdir -p $(@D)
	$(if $(V),,@echo "  LD   $@")
	$(Q)$(CC) $(THRAVE_CFLAGS) $(CFLAGS) $(THRAVE_LDFLAGS) -o $@ $^ $(LDFLAGS) -lcmocka $(THRAVE_LIBS)

# test_crash records the calls that change files.
$(B)/tests/test_crash: THRAVE_LDFLAGS += -Wl,--wrap=open,--wrap=write,--wrap=fsync \
                                         -Wl,--wrap=ftruncate,--wrap=rename,--wrap=unlink

units: $(UNITS)
# One unit test by name: make unit-number
unit-%: $(B)/tests/test_%
	$<

# What takes longer than a test: the coverage tables of docs/records.md.
bench-coverage: bench-%: $(B)/bench/%
	$<
$(B)/bench/coverage: $(B)/bench/%: $(B)/tests/bench/%.o $(HELP:%.c=$(B)/%.o) $(A)
	@mkdir -p $(@D)
	$(if $(V),,@echo "  LD   $@")
	$(Q)$(CC) $(THRAVE_CFLAGS) $(CFLAGS) $(THRAVE_LDFLAGS) -o $@ $^ $(LDFLAGS) -lcmocka $(THRAVE_LIBS)

# ---- packages --------------------------------------------------------------
# On Debian and its kin what is missing is installed (sudo only when not root);
# elsewhere the names are printed and we stop.
PKG_BUILD = gcc libc6-dev pkg-config libcsv-dev libxlsxwriter-dev libglpk-dev r-mathlib \
            libutf8proc-dev libjansson-dev zlib1g-dev
PKG_CHECK = $(PKG_BUILD) libcmocka-dev python3 lp-solve
PKG_BOOK  = $(PKG_CHECK) gnumeric libreoffice-calc-nogui python3-openpyxl python3-vobject chromium \
            $(shell command -v npm >/dev/null 2>&1 || echo nodejs npm)
PKG_CI    = $(PKG_BOOK) clang libclang-rt-14-dev git

define install
@missing=; for p in $(1); do \
	dpkg-query -W -f='$${Status}' $$p 2>/dev/null | grep -q 'ok installed' || missing="$$missing $$p"; \
done; \
if [ -z "$$missing" ]; then exit 0; fi; \
if ! command -v apt-get >/dev/null 2>&1; then \
	echo "thrave needs these Debian packages, or what your system calls them:" >&2; \
	echo "  $(1)" >&2; exit 1; \
fi; \
echo "Installing with apt-get:$$missing"; \
sudo=; if [ "$$(id -u)" != 0 ]; then sudo=sudo; fi; \
$$sudo apt-get update -qq && \
DEBIAN_FRONTEND=noninteractive $$sudo apt-get install -y -qq --no-install-recommends $$missing >/dev/null
endef

install-build: ; $(call install,$(PKG_BUILD))
install-check: ; $(call install,$(PKG_CHECK))
install-book: ; $(call install,$(PKG_BOOK))
install-ci: ; $(call install,$(PKG_CI))

# ---- the two commands of the README ---------------------------------------
JOBS = -j$(shell nproc 2>/dev/null || echo 2)

demo: install-build
	@$(MAKE) --no-print-directory $(JOBS) $(BIN)
	@sh tests/demo $(BIN)

check: install-check
	@$(MAKE) --no-print-directory $(JOBS) $(BIN) units replay
	@sh tests/run $(B)

# The bench log under many kills and two busy writers.
check-log: install-check
	@$(MAKE) --no-print-directory $(JOBS) $(BIN)
	@sh tests/log/run $(B) --all

# The recorded outputs of the program alone.
check-cli:
	@$(MAKE) --no-print-directory $(JOBS) $(BIN)
	@sh tests/cli/run $(B)

# How sure a planting plan is: 300 plans, each tried in 20,000 seasons.
check-plans: install-check
	@$(MAKE) --no-print-directory $(JOBS) $(B)/tests/test_plan_seasons $(B)/tests/test_plan_certain
	@$(B)/tests/test_plan_certain 60
	@$(B)/tests/test_plan_seasons 300 20000

# Spreadsheet engines recalculate the workbook, a browser shows the page,
# another library reads the calendar.
check-book: install-book
	@$(MAKE) --no-print-directory $(JOBS) $(BIN) $(B)/tests/test_plan_fit $(B)/tests/test_plan_ways
	@$(B)/tests/test_plan_fit 200
	@$(B)/tests/test_plan_ways 300
	@sh tests/dates/run $(B) --other
	@sh tests/book/run $(BIN)
	@sh tests/page/book $(BIN)

# ---- fuzzing ---------------------------------------------------------------
# Each tests/fuzz/fuzz_X.c is a libFuzzer target; `make replay` runs its corpus with
# any compiler, `make fuzz SECONDS=300` needs clang.
FUZZ    := $(sort $(wildcard tests/fuzz/fuzz_*.c))
REPLAYS := $(FUZZ:tests/fuzz/%.c=$(B)/replay/%)
FUZZERS  = $(FUZZ:tests/fuzz/%.c=$(B)/fuzz/%)
SECONDS ?= 60

replay: $(REPLAYS)
$(B)/replay/%: $(B)/tests/fuzz/%.o $(B)/tests/fuzz/replay.o $(A)
	@mkdir -p $(@D)
	$(if $(V),,@echo "  LD   $@")
	$(Q)$(CC) $(THRAVE_CFLAGS) $(CFLAGS) $(THRAVE_LDFLAGS) -o $@ $^ $(LDFLAGS) $(THRAVE_LIBS)

fuzz:
	@$(MAKE) --no-print-directory $(JOBS) VARIANT=fuzz CC=clang fuzzers
	@sh tests/fuzz/run build/fuzz $(SECONDS)
fuzzers: $(FUZZERS)
$(B)/fuzz/%: $(B)/tests/fuzz/%.o $(A)
	@mkdir -p $(@D)
	$(Q)$(CC) $(THRAVE_CFLAGS) $(CFLAGS) -fsanitize=fuzzer,address,undefined -o $@ $^ $(LDFLAGS) $(THRAVE_LIBS)

# ---- speed -----------------------------------------------------------------
# Each tests/bench/bench_X.c prints what it measures and fails past its limits.
BENCH := $(sort $(wildcard tests/bench/bench_*.c))
bench: $(BENCH:tests/bench/%.c=$(B)/bench/%) $(B)/thrave
	@for b in $(BENCH:tests/bench/%.c=$(B)/bench/%); do $$b || exit 1; done
	@python3 tests/bench/orders.py $(B)/thrave
$(B)/bench/%: $(B)/tests/bench/%.o $(A)
	@mkdir -p $(@D)
	$(if $(V),,@echo "  LD   $@")
	$(Q)$(CC) $(THRAVE_CFLAGS) $(CFLAGS) $(THRAVE_LDFLAGS) -o $@ $^ $(LDFLAGS) $(THRAVE_LIBS)

# What is asked of the workbook library is written down, to be done again without us.
$(B)/bench/bench_book: THRAVE_LDFLAGS += $(foreach f,worksheet_write_string worksheet_write_number \
	worksheet_write_blank worksheet_write_formula_num worksheet_write_formula_str worksheet_write_comment_opt \
	worksheet_set_column worksheet_set_row worksheet_data_validation_cell workbook_define_name \
	workbook_add_worksheet workbook_add_format workbook_close sheet_chart,-Wl,--wrap=$(f))

clean:
	rm -rf build

.PHONY: all bench-coverage bench units replay fuzz fuzzers demo check check-cli check-log check-plans check-book clean FORCE \
        install-build install-check install-book install-ci
.SECONDARY:
FORCE:
-include $(OBJ:.o=.d) $(UNIT:%.c=$(B)/%.d) $(HELP:%.c=$(B)/%.d) $(FUZZ:%.c=$(B)/%.d) $(BENCH:%.c=$(B)/%.d)
