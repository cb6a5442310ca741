//! Prints every text that a person may read, in the order of crates and files, so that the wording can be read as a whole:
//! `cargo test --workspace` builds `target/debug/examples/words`.

#[path = "../tidy/source.rs"]
#[allow(dead_code, reason = "the rules of tidy use the rest")]
mod source;

use source::{Kind, Token, rust_below, tokens};
use std::io::Write as _;

/// A key, a format or a file name rather than words: no letter after a space, or no letters at all.
fn is_words(text: &str) -> bool {
    let letters = text.chars().filter(|c| c.is_alphabetic()).count();
    let apart = text.split_whitespace().count() > 1 || text.chars().next().is_some_and(char::is_uppercase);
    letters >= 3 && apart
}

fn main() -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    for file in rust_below("crates") {
        // Engines and readers of drawings speak through typed errors: those are here too.
        let shown = file.path.contains("/src/") && !file.path.contains("/tests");
        let texts: Vec<Token> = tokens(&file)
            .into_iter()
            .filter(|token| shown && !token.in_test && token.kind == Kind::Text && is_words(&token.text))
            .collect();
        if texts.is_empty() {
            continue;
        }
        writeln!(out, "\n{}", file.path)?;
        for token in texts {
            // A literal that goes on over lines is one text.
            let text = token.text.replace("\\\n", " ");
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            writeln!(out, "{:>5}  {text}", token.line)?;
        }
    }
    Ok(())
}
