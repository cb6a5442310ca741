#!/bin/sh
# Runs every fuzz target for a while, from the corpus beside this file.
#
#   tests/fuzz/run.sh SECONDS_PER_TARGET [TARGET...]
#
# Exit 0 when nothing crashed, 1 when a target did (the input that did it is left under tests/fuzz/artifacts and
# named on the last lines), 2 when the tools could not be had.
#
# It needs cargo-fuzz, which it installs if it is missing, and a C++ compiler. The sanitizer flags are unstable;
# RUSTC_BOOTSTRAP=1 lets the stable compiler take them, so no nightly toolchain is needed. Where cargo-fuzz cannot
# be installed or linked, the property tests of the crates still feed random input to the same functions:
#   cargo test -p units -p exchange -p document
# FUZZ_SEED=N begins every target from the same seed, so that a short run looks at the same inputs each time.
set -u
cd "$(dirname "$0")" || exit 2

seconds=${1:-}
case $seconds in
'' | *[!0-9]*)
    echo "usage: tests/fuzz/run.sh SECONDS_PER_TARGET [TARGET...]" >&2
    exit 2
    ;;
esac
shift
[ $# -gt 0 ] || set -- units models_csv sources_csv project_ron svg dxf pdf picture import check_project check_drawing

if ! cargo fuzz --version >/dev/null 2>&1; then
    cargo install --locked cargo-fuzz || {
        echo "run.sh: cargo-fuzz could not be installed; see the head of this script for what still works" >&2
        exit 2
    }
fi

export RUSTC_BOOTSTRAP=1
cargo fuzz build --fuzz-dir . || {
    echo "run.sh: the targets could not be built; see above" >&2
    exit 2
}

crashed=
for target in "$@"; do
    # New inputs go to a scratch directory: what is committed grows by hand, not by running a test.
    fresh=$(mktemp -d) || exit 2
    mkdir -p "corpus/$target"
    dictionary=
    [ -f "dictionaries/$target.dict" ] && dictionary="-dict=dictionaries/$target.dict"
    # What is checked grows from what the readers have. Not from the demos: one takes ten seconds of the sanitizer.
    also=
    case $target in
    check_project) also="corpus/project_ron" ;;
    check_drawing) also="corpus/dxf corpus/svg corpus/pdf corpus/import" ;;
    esac
    echo "== $target, $seconds s"
    # What is worked out with slow figures takes longer than what is read, and the sanitizer and other work on the machine
    # make it ten times as long: the limit is there for what never ends.
    timeout=10
    case $target in check_*) timeout=60 ;; esac
    # An input that takes so long, 2 GB in all or 1 GB at once counts as a crash (the sanitizer doubles what is held).
    # Longer inputs than 64 kB find little and cost much.
    cargo fuzz run "$target" --fuzz-dir . "$fresh" "corpus/$target" $also -- \
        -max_total_time="$seconds" ${FUZZ_SEED:+-seed="$FUZZ_SEED"} -timeout="$timeout" -rss_limit_mb=2048 -malloc_limit_mb=1024 -max_len=65536 -print_final_stats=1 \
        -verbosity=0 ${dictionary:+"$dictionary"} || crashed="$crashed $target"
    rm -rf "$fresh"
done

if [ -n "$crashed" ]; then
    echo "run.sh: crashed:$crashed; the inputs are under tests/fuzz/artifacts" >&2
    exit 1
fi
