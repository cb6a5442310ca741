//! Files of the repository, and Rust source as tokens: comments gone, strings and test code marked.

use proc_macro2::{Delimiter, TokenStream, TokenTree};
use std::fmt;
use std::path::{Path, PathBuf};

/// A place where a rule is broken.
#[derive(Debug)]
pub struct Hit {
    pub path: String,
    pub line: usize,
    pub what: String,
}

impl fmt::Display for Hit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}", self.path, self.line, self.what)
    }
}

/// A file that is text.
pub struct File {
    /// From the repository's root, with forward slashes.
    pub path: String,
    pub text: String,
}

impl File {
    pub fn hit(&self, line: usize, what: impl Into<String>) -> Hit {
        Hit { path: self.path.clone(), line, what: what.into() }
    }

    pub fn name(&self) -> &str {
        self.path.rsplit('/').next().unwrap_or(&self.path)
    }

    /// Which crate the file belongs to, if it is in `crates/`.
    pub fn crate_name(&self) -> Option<&str> {
        self.path.strip_prefix("crates/")?.split('/').next()
    }
}

/// The repository's top directory.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Every text file below a directory of the repository, in order of path; what builds and tools leave is passed over.
pub fn files_below(directory: &str) -> Vec<File> {
    let mut found = Vec::new();
    collect(&root().join(directory), directory, &mut found);
    found.sort_by(|a, b| a.path.cmp(&b.path));
    found
}

fn collect(directory: &Path, name: &str, found: &mut Vec<File>) {
    let Ok(entries) = std::fs::read_dir(directory) else { return };
    for entry in entries.flatten() {
        let own = entry.file_name().to_string_lossy().into_owned();
        let path = entry.path();
        let below = if name.is_empty() { own.clone() } else { format!("{name}/{own}") };
        if path.is_dir() {
            if !matches!(own.as_str(), "target" | ".git" | "artifacts") {
                collect(&path, &below, found);
            }
        } else if own == ".git" {
            // A linked working tree has a file of that name, which holds a machine's path.
        } else if let Ok(text) = std::fs::read_to_string(&path) {
            found.push(File { path: below, text });
        }
    }
}

/// Rust source below a directory.
pub fn rust_below(directory: &str) -> Vec<File> {
    files_below(directory).into_iter().filter(|f| f.path.ends_with(".rs")).collect()
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Word,
    /// The text between the quotes.
    Text,
    Other,
}

#[derive(Debug)]
pub struct Token {
    pub kind: Kind,
    pub text: String,
    pub line: usize,
    /// Inside an item that is compiled for tests only.
    pub in_test: bool,
}

/// The tokens of a file without comments and doc comments.
pub fn tokens(file: &File) -> Vec<Token> {
    let parsed = file.text.parse::<TokenStream>();
    assert!(parsed.is_ok(), "{}: not Rust", file.path);
    let whole_file_is_test = file.name() == "tests.rs" || file.path.contains("/tests/");
    let mut out = Vec::new();
    flatten(parsed.unwrap_or_default(), whole_file_is_test, &mut out);
    out
}

fn flatten(stream: TokenStream, in_test: bool, out: &mut Vec<Token>) {
    let trees: Vec<TokenTree> = stream.into_iter().collect();
    let mut at = 0;
    // From a test attribute to the end of the item it stands before.
    let mut in_item = false;
    while let Some(tree) = trees.get(at) {
        let line = tree.span().start().line;
        let in_test = in_test || in_item;
        let mut push = |kind, text: String| out.push(Token { kind, text, line, in_test });
        match tree {
            TokenTree::Punct(p) if p.as_char() == '#' => match attribute(&trees[at + 1..]) {
                Some((length, content)) if content.starts_with("doc ") => at += length,
                Some((_, content)) => {
                    in_item |= content == "test" || content.starts_with("cfg (test");
                    push(Kind::Other, "#".to_owned());
                }
                None => push(Kind::Other, "#".to_owned()),
            },
            TokenTree::Punct(p) => {
                push(Kind::Other, p.as_char().to_string());
                in_item &= p.as_char() != ';';
            }
            TokenTree::Ident(ident) => push(Kind::Word, ident.to_string()),
            TokenTree::Literal(literal) => {
                let source = literal.to_string();
                match (source.find('"'), source.rfind('"')) {
                    (Some(start), Some(end)) if start < end => {
                        push(Kind::Text, source[start + 1..end].to_owned());
                    }
                    _ => push(Kind::Other, source),
                }
            }
            TokenTree::Group(group) => {
                let (open, close) = match group.delimiter() {
                    Delimiter::Parenthesis => ("(", ")"),
                    Delimiter::Brace => ("{", "}"),
                    Delimiter::Bracket => ("[", "]"),
                    Delimiter::None => ("", ""),
                };
                push(Kind::Other, open.to_owned());
                flatten(group.stream(), in_test, out);
                let line = group.span_close().start().line;
                out.push(Token { kind: Kind::Other, text: close.to_owned(), line, in_test });
                in_item &= group.delimiter() != Delimiter::Brace;
            }
        }
        at += 1;
    }
}

/// Behind a `#`: how many trees the attribute takes, and what it says.
fn attribute(rest: &[TokenTree]) -> Option<(usize, String)> {
    let bang = usize::from(matches!(rest.first(), Some(TokenTree::Punct(p)) if p.as_char() == '!'));
    match rest.get(bang)? {
        TokenTree::Group(group) if group.delimiter() == Delimiter::Bracket => {
            Some((bang + 1, group.stream().to_string()))
        }
        _ => None,
    }
}

/// Lines of a text, counted from one, with those that hold `word` as a whole word.
pub fn lines_with_word<'a>(text: &'a str, word: &'a str) -> impl Iterator<Item = usize> + 'a {
    text.lines().zip(1..).filter(move |(line, _)| has_word(line, word)).map(|(_, number)| number)
}

/// Whether a text holds a word that no letter, digit or underscore continues on either side.
pub fn has_word(text: &str, word: &str) -> bool {
    let in_word = |c: char| c.is_alphanumeric() || c == '_';
    text.match_indices(word).any(|(at, _)| {
        !text[..at].chars().next_back().is_some_and(in_word)
            && !text[at + word.len()..].chars().next().is_some_and(in_word)
    })
}
