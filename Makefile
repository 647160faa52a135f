# thrave - see README.md for the two commands, DEVELOPERS.md for the rest.
#
#   make demo          install what is missing, build, run the main job on recipes-demo/
#   make check         the tests (light: cmocka and a few small packages)
#   make check-book    the heavy tests: spreadsheet engines recalculate the workbook
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

units: $(UNITS)
# One unit test by name: make unit-number
unit-%: $(B)/tests/test_%
	$<

clean:
	rm -rf build

.PHONY: all units clean FORCE
.SECONDARY:
FORCE:
-include $(OBJ:.o=.d) $(UNIT:%.c=$(B)/%.d)
