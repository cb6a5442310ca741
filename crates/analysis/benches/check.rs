//! How long one step of a drag takes. Placeholder until the fixtures stand.
fn main() {
    divan::main();
}
