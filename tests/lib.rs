//! Tests that cross crates live beside this file; the library itself is empty of behaviour.
