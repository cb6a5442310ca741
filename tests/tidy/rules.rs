//! What each rule looks for. Every function takes the text it judges, so that it can be tried on a few lines.

use crate::source::{File, Hit, Kind, Token, has_word, lines_with_word, tokens};

/// Which crates each crate may use, as DEVELOPERS.md draws it. `app` may use all of them.
const ARROWS: &[(&str, &[&str])] = &[
    ("units", &[]),
    ("geometry", &["units"]),
    ("mechanics", &["geometry", "units"]),
    ("vacuum", &["units"]),
    ("flex", &["mechanics", "geometry", "units"]),
    ("document", &["geometry", "units"]),
    ("analysis", &["document", "geometry", "mechanics", "flex", "vacuum", "units"]),
    ("telling", &["analysis", "document", "geometry", "mechanics", "vacuum", "units"]),
    ("exchange", &["telling", "analysis", "document", "geometry", "units"]),
    ("sheet", &["telling", "analysis", "document", "geometry", "units"]),
    (
        "app",
        &["sheet", "exchange", "telling", "analysis", "document", "mechanics", "vacuum", "geometry", "units"],
    ),
];

/// Crates that know no files, no screens, no threads and no clock.
pub const ENGINES: &[&str] = &["units", "geometry", "mechanics", "vacuum", "flex"];

/// Libraries for screens and files.
const NOT_FOR_ENGINES: &[&str] = &[
    "eframe",
    "egui",
    "egui_plot",
    "winit",
    "serde",
    "serde_json",
    "ron",
    "csv",
    "dxf",
    "usvg",
    "krilla",
    "rfd",
    "tempfile",
    "clap",
    "rayon",
    "tokio",
    "log",
];

/// Modules of the standard library that reach out of the program.
const OUTSIDE: &[&str] = &["fs", "io", "net", "thread", "process", "env", "time"];

/// Dependencies on crates of the workspace that no arrow allows, and libraries that an engine may not use.
pub fn arrows(manifest: &File) -> Vec<Hit> {
    let name = manifest.crate_name().unwrap_or_default();
    let Some((_, allowed)) = ARROWS.iter().find(|(c, _)| *c == name) else {
        return vec![manifest.hit(1, format!("the crate \"{name}\" is not drawn; give it its arrows"))];
    };
    let table: toml::Table = match manifest.text.parse() {
        Ok(table) => table,
        Err(error) => return vec![manifest.hit(1, format!("not a manifest: {error}"))],
    };
    let line_of = |dependency: &str| {
        manifest.text.lines().position(|l| l.trim_start().starts_with(dependency)).map_or(1, |i| i + 1)
    };
    let mut hits = Vec::new();
    for (section, dependency) in dependencies(&table) {
        let in_workspace = ARROWS.iter().any(|(c, _)| *c == dependency);
        if in_workspace && !allowed.contains(&dependency.as_str()) {
            hits.push(manifest.hit(line_of(&dependency), format!("no arrow from {name} to {dependency}")));
        }
        // Tests and benchmarks of an engine may read files.
        let built_in = section != "dev-dependencies";
        if built_in && ENGINES.contains(&name) && NOT_FOR_ENGINES.contains(&dependency.as_str()) {
            hits.push(manifest.hit(line_of(&dependency), format!("the engine {name} uses {dependency}")));
        }
    }
    hits
}

/// Section and package name of every dependency, those for one platform included.
fn dependencies(table: &toml::Table) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for section in ["dependencies", "dev-dependencies", "build-dependencies"] {
        let Some(entries) = table.get(section).and_then(toml::Value::as_table) else { continue };
        for (key, value) in entries {
            let package = value.get("package").and_then(toml::Value::as_str).unwrap_or(key);
            found.push((section.to_owned(), package.to_owned()));
        }
    }
    let platforms = table.get("target").and_then(toml::Value::as_table);
    for platform in platforms.into_iter().flat_map(toml::Table::values).filter_map(toml::Value::as_table) {
        found.extend(dependencies(platform));
    }
    found
}

/// Screens, files, threads, the clock and serialisation in an engine's code.
pub fn outside_world(file: &File) -> Vec<Hit> {
    let code: Vec<Token> = tokens(file).into_iter().filter(|t| !t.in_test).collect();
    let mut hits = Vec::new();
    for (at, token) in code.iter().enumerate() {
        if token.kind != Kind::Word {
            continue;
        }
        let word = token.text.as_str();
        if NOT_FOR_ENGINES.contains(&word) && is_path_start(&code, at)
            || matches!(word, "SystemTime" | "println" | "eprintln")
            || word == "Instant" && follows(&code, at + 1, &[":", ":", "now"])
        {
            hits.push(file.hit(token.line, format!("an engine uses {word}")));
        }
        if word == "std" && follows(&code, at + 1, &[":", ":"]) {
            for part in first_segments(&code, at + 3) {
                if OUTSIDE.contains(&part.text.as_str()) {
                    hits.push(file.hit(part.line, format!("an engine uses std::{}", part.text)));
                }
            }
        }
    }
    hits
}

/// Whether a word starts a path (`serde::…`, `use egui;`, `#[serde(…)]`), rather than being a method such as `.log(`.
fn is_path_start(code: &[Token], at: usize) -> bool {
    let before = at.checked_sub(1).map(|i| code[i].text.as_str());
    follows(code, at + 1, &[":", ":"]) && before != Some(":") || matches!(before, Some("use" | "["))
}

/// The words that come next in a path, one or those of a braced list.
fn first_segments(code: &[Token], at: usize) -> Vec<&Token> {
    if code.get(at).is_none_or(|t| t.text != "{") {
        return code.get(at).into_iter().collect();
    }
    let mut depth = 0;
    let mut starts = true;
    let mut found = Vec::new();
    for token in &code[at..] {
        match token.text.as_str() {
            "{" => depth += 1,
            "}" => depth -= 1,
            "," if depth == 1 => starts = true,
            _ => {
                if starts && depth == 1 {
                    found.push(token);
                }
                starts = false;
            }
        }
        if depth == 0 {
            break;
        }
    }
    found
}

fn follows(code: &[Token], at: usize, wanted: &[&str]) -> bool {
    wanted.iter().enumerate().all(|(i, w)| code.get(at + i).is_some_and(|t| t.text == *w))
}

/// Colours that do not come from the theme.
pub fn colours(file: &File) -> Vec<Hit> {
    let code: Vec<Token> = tokens(file).into_iter().filter(|t| !t.in_test).collect();
    let mut hits = Vec::new();
    for (at, token) in code.iter().enumerate() {
        let named = matches!(token.text.as_str(), "Color32" | "Rgba" | "Hsva")
            && token.kind == Kind::Word
            && follows(&code, at + 1, &[":", ":"]);
        if named && let Some(what) = code.get(at + 3) {
            let is_constant = what.text.chars().all(|c| c.is_ascii_uppercase() || c == '_');
            // Nothing at all is no colour.
            let is_nothing = matches!(what.text.as_str(), "TRANSPARENT" | "PLACEHOLDER");
            if what.text.starts_with("from_") || what.text == "new" || (is_constant && !is_nothing) {
                hits.push(file.hit(token.line, format!("{}::{} outside the theme", token.text, what.text)));
            }
        }
        if token.text == "hex_color" || (token.kind == Kind::Text && has_hex_colour(&token.text)) {
            hits.push(file.hit(token.line, format!("the colour {} outside the theme", token.text)));
        }
    }
    hits
}

/// What may print a number with a count of digits: the functions that do it for all, what writes numbers for a machine to
/// read, and what rounds a number by printing and reading it.
const PRINTS_NUMBERS: &[&str] = &[
    "crates/units/src/show.rs",
    "crates/units/src/table.rs",
    "crates/analysis/src/circuit/refit.rs",
    "crates/telling/src/json.rs",
    "crates/document/src/tidy.rs",
    "crates/exchange/src/dxf_out/dimensions.rs",
    "crates/exchange/src/tables/mod.rs",
    "crates/sheet/src/describe.rs",
    "crates/sheet/src/plots/mod.rs",
    "crates/sheet/src/svg.rs",
];

/// Figures in sentences that may come out as "inf" or with 300 digits.
pub fn own_figures(file: &File) -> Vec<Hit> {
    if PRINTS_NUMBERS.contains(&file.path.as_str()) {
        return Vec::new();
    }
    let code = tokens(file).into_iter().filter(|t| !t.in_test && t.kind == Kind::Text);
    code.filter(|t| prints_a_number(&t.text))
        .map(|t| {
            file.hit(t.line, "a number with a count of digits; print it with units::figure or units::fixed")
        })
        .collect()
}

/// Where text from outside is read, and the one place that looks into a layout's name for how to call it.
const READS_TEXT: [&str; 26] = [
    "crates/exchange/src/csv_in.rs",
    "crates/exchange/src/csv_out.rs",
    "crates/exchange/src/dxf/",
    "crates/exchange/src/dxf_out/tables.rs",
    "crates/exchange/src/layer.rs",
    "crates/exchange/src/level_curve.rs",
    "crates/exchange/src/marks.rs",
    "crates/exchange/src/measured.rs",
    "crates/exchange/src/models_csv/",
    "crates/exchange/src/pdf/",
    "crates/exchange/src/reading.rs",
    "crates/exchange/src/sources_csv/",
    "crates/exchange/src/svg/",
    "crates/exchange/src/trace/",
    "crates/exchange/src/words.rs",
    "crates/units/src/",
    "crates/document/src/file/",
    // Numbers of the tags that are given.
    "crates/document/src/ids.rs",
    "crates/document/src/journal",
    "crates/document/src/model/traced.rs",
    // Keys of the file.
    "crates/document/src/numbers.rs",
    "crates/document/src/registry/path.rs",
    "crates/app/src/cli/",
    "crates/app/src/outputs/kind.rs",
    "crates/sheet/src/context.rs",
    "crates/telling/src/json/",
];

/// Decisions by what a sentence, a label or a name says: they end when somebody improves the wording.
pub fn words_read(file: &File) -> Vec<Hit> {
    if READS_TEXT.iter().any(|path| file.path.starts_with(path)) {
        return Vec::new();
    }
    let code: Vec<_> = tokens(file).into_iter().filter(|t| !t.in_test).collect();
    let asks = |name: &str| {
        matches!(
            name,
            "contains"
                | "starts_with"
                | "ends_with"
                | "split_once"
                | "rsplit_once"
                | "strip_prefix"
                | "strip_suffix"
                | "trim_start_matches"
                | "trim_end_matches"
        )
    };
    // Whatever is cut off, it was words before: what the program put together it has apart.
    let cuts = |name: &str| matches!(name, "split_once" | "rsplit_once" | "strip_prefix" | "strip_suffix");
    code.windows(3)
        .filter(|t| t[1].text == "(" && (cuts(&t[0].text) || asks(&t[0].text) && t[2].kind == Kind::Text))
        .map(|t| file.hit(t[0].line, "looks for words in a text; keep what is meant as a type"))
        .collect()
}

/// Crates that tell people about fields of the file.
const TELLS: [&str; 5] = [
    "crates/app/src/",
    "crates/analysis/src/",
    "crates/telling/src/",
    "crates/exchange/src/",
    "crates/sheet/src/",
];

/// Names of fields that are words of the trade besides: a component, a place, an output.
const WORDS: [&str; 11] = [
    "air saving",
    "alarm level",
    "blow-off",
    "centre of gravity",
    "check valve",
    "corner radius",
    "cup model",
    "level at the cup",
    "time-out",
    "vacuum level",
    "what changed",
];

/// A field's name written a second time, and a key that is asked for and is none.
pub fn second_names(file: &File, names: &[String], keys: &[&str]) -> Vec<Hit> {
    let code: Vec<_> = tokens(file).into_iter().filter(|t| !t.in_test).collect();
    let asks = |name: &str| {
        matches!(name, "known" | "name_of" | "help_of" | "row" | "number" | "sourced" | "derived" | "Key")
    };
    let unknown = code
        .windows(3)
        .filter(|t| {
            asks(&t[0].text) && t[1].text == "(" && t[2].kind == Kind::Text && t[2].text.contains('.')
        })
        .filter(|t| !t[2].text.contains(' ') && !keys.contains(&t[2].text.as_str()))
        .map(|t| file.hit(t[0].line, format!("{} is no field of the registry", t[2].text)));
    let mut hits: Vec<Hit> = unknown.collect();
    if TELLS.iter().any(|path| file.path.starts_with(path)) {
        let texts = code.iter().filter(|t| t.kind == Kind::Text);
        let second = texts.filter(|t| {
            names.contains(&t.text.to_lowercase()) && !WORDS.contains(&t.text.to_lowercase().as_str())
        });
        hits.extend(second.map(|t| {
            file.hit(t.line, format!("\"{}\" is the name of a field; take it from the registry", t.text))
        }));
    }
    hits
}

/// Whether a text formats with a precision: `{:.1}`, `{x:+.3e}`, `{:.*}`.
fn prints_a_number(text: &str) -> bool {
    text.split('{').skip(1).filter_map(|rest| rest.split_once('}')).any(|(inside, _)| {
        inside
            .split_once(':')
            .is_some_and(|(_, format)| format.trim_start_matches(['+', '-']).starts_with('.'))
    })
}

/// Whether a text holds #RGB, #RRGGBB or #RRGGBBAA.
fn has_hex_colour(text: &str) -> bool {
    text.match_indices('#').any(|(at, _)| {
        let rest = &text[at + 1..];
        let digits = rest.chars().take_while(char::is_ascii_hexdigit).count();
        let ends = !rest[digits..].starts_with(|c: char| c.is_alphanumeric());
        // "#3" and "#12345" number things; "#123" might, but no label of ours does.
        matches!(digits, 3 | 6 | 8) && ends
    })
}

/// The word that promises more than a calculation can, in what a person reads.
pub fn promises(file: &File) -> Vec<Hit> {
    let strings = tokens(file).into_iter().filter(|t| t.kind == Kind::Text && !t.in_test);
    strings
        .filter(|t| promises_too_much(&t.text))
        .map(|t| file.hit(t.line, format!("\"{}\" promises what no calculation can", t.text)))
        .collect()
}

/// The same in data that a person reads, line by line.
pub fn promises_in_data(file: &File) -> Vec<Hit> {
    let bad = file.text.lines().zip(1..).filter(|(line, _)| promises_too_much(line));
    bad.map(|(line, number)| file.hit(number, line.trim().to_owned())).collect()
}

fn promises_too_much(text: &str) -> bool {
    let text = text.to_lowercase().replace("thread-safe", "");
    has_word(&text, "safe") || has_word(&text, "safely")
}

/// Files too long to be read in one go.
pub fn long(file: &File) -> Option<Hit> {
    const MOST: usize = 500;
    let lines = file.text.lines().count();
    (lines > MOST).then(|| file.hit(lines, format!("{lines} lines, at most {MOST}")))
}

/// Words from the outside of the project. They are put together here so that this file does not hold them.
pub const STRANGERS: &[&str] = &[
    concat!("trans", "cript"),
    concat!("recorded", " talk"),
    concat!("/wo", "rk/"),
    concat!("../sha", "red"),
];

pub fn strangers(file: &File) -> Vec<Hit> {
    let mut hits = Vec::new();
    for (line, number) in file.text.lines().zip(1..) {
        let line = line.to_lowercase();
        for word in STRANGERS.iter().filter(|w| line.contains(**w)) {
            hits.push(file.hit(number, format!("\"{word}\" does not belong here")));
        }
    }
    hits
}

/// A comment at the head that says what the file is.
pub fn head_comment(file: &File) -> Option<Hit> {
    let first = file.text.lines().next().unwrap_or_default();
    let says = first.strip_prefix("//!").unwrap_or_default().trim();
    (says.len() < 10).then(|| file.hit(1, "no head comment that says what the file checks"))
}

/// Work left undone: macros that stand for it, tests switched off, notes to oneself.
pub fn unfinished(file: &File) -> Vec<Hit> {
    let code = tokens(file);
    let mut hits = Vec::new();
    for (at, token) in code.iter().enumerate() {
        let next = |i: usize| code.get(at + i).map(|t| t.text.as_str());
        match token.text.as_str() {
            "todo" | "unimplemented" if token.kind == Kind::Word && next(1) == Some("!") => {
                hits.push(file.hit(token.line, format!("{}! is left", token.text)));
            }
            "#" if next(1) == Some("[") && next(2) == Some("ignore") => {
                hits.push(file.hit(token.line, "a test is switched off"));
            }
            _ => {}
        }
    }
    hits.extend(notes(file));
    hits
}

/// Notes to oneself in any text.
pub fn notes(file: &File) -> Vec<Hit> {
    let words = [concat!("FIX", "ME"), concat!("TO", "DO"), concat!("XX", "X")];
    let found = words.iter().flat_map(|w| lines_with_word(&file.text, w).map(move |line| (line, *w)));
    found.map(|(line, word)| file.hit(line, format!("{word} is left"))).collect()
}
