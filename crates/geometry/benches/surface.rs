//! Cost of the surface queries against the number of vertices.

fn main() {
    divan::main();
}
