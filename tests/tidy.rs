//! The habits of the code that a compiler does not hold: each test prints every place that breaks one.

#[path = "tidy/rings.rs"]
mod rings;
#[path = "tidy/rules.rs"]
mod rules;
#[path = "tidy/source.rs"]
mod source;

use source::{File, Hit, files_below, root, rust_below};

fn expect_none(rule: &str, hits: impl IntoIterator<Item = Hit>) {
    let hits: Vec<String> = hits.into_iter().map(|h| h.to_string()).collect();
    assert!(hits.is_empty(), "{rule}\n{}\n", hits.join("\n"));
}

/// A rule that looks at nothing cannot fail; this many files at least must be there to look at.
fn at_least(count: usize, files: Vec<File>) -> Vec<File> {
    assert!(files.len() >= count, "only {} files found below {}", files.len(), root().display());
    files
}

/// The source of the crates without their tests and benchmarks.
fn sources() -> Vec<File> {
    at_least(50, rust_below("crates").into_iter().filter(|f| f.path.contains("/src/")).collect())
}

#[test]
fn crates_depend_only_along_the_arrows() {
    let manifests = files_below("crates")
        .into_iter()
        .filter(|f| f.path.ends_with("/Cargo.toml") && f.path.matches('/').count() == 2);
    let hits = at_least(8, manifests.collect()).iter().flat_map(rules::arrows).collect::<Vec<_>>();
    expect_none("a crate uses another against the arrows of DEVELOPERS.md", hits);
}

#[test]
fn engines_know_no_files_screens_threads_or_clock() {
    let engines =
        sources().into_iter().filter(|f| f.crate_name().is_some_and(|c| rules::ENGINES.contains(&c)));
    let hits = at_least(10, engines.collect()).iter().flat_map(rules::outside_world).collect::<Vec<_>>();
    expect_none("an engine reaches out of its formulas", hits);
}

#[test]
fn colours_come_from_the_theme() {
    let app = sources().into_iter().filter(|f| {
        f.crate_name() == Some("app") && !f.name().starts_with("theme") && !f.path.contains("/theme/")
    });
    let hits = at_least(10, app.collect()).iter().flat_map(rules::colours).collect::<Vec<_>>();
    expect_none("a colour is written into the code; take it from the theme", hits);
}

#[test]
fn the_apps_files_import_one_another_in_no_ring() {
    let app: Vec<File> = sources().into_iter().filter(|f| f.crate_name() == Some("app")).collect();
    expect_none("move what both need into a file of its own", rings::rings(&at_least(100, app)));
}

#[test]
fn figures_are_printed_by_one_function() {
    let hits = sources().iter().flat_map(rules::own_figures).collect::<Vec<_>>();
    expect_none("a figure is printed in its own way, which may say inf or 300 digits", hits);
}

#[test]
fn what_is_meant_is_a_type_and_no_wording() {
    let hits = sources().iter().flat_map(rules::words_read).collect::<Vec<_>>();
    expect_none("logic reads a sentence, a label or a name", hits);
}

/// Of names of two words and more: "mass" alone is a word of the language.
#[test]
fn a_field_is_named_once() {
    let fields = document::fields();
    let names = fields.iter().flat_map(|field| [field.name.to_lowercase(), field.label().to_lowercase()]);
    let names: Vec<String> = names.filter(|name| name.contains([' ', '-'])).collect();
    let keys: Vec<&str> = fields.iter().map(|field| field.key).collect();
    let hits = sources().iter().flat_map(|file| rules::second_names(file, &names, &keys)).collect::<Vec<_>>();
    expect_none("what a field is called stands in its row of the registry only", hits);
}

#[test]
fn nothing_promises_safety_to_a_person() {
    let mut hits: Vec<Hit> = sources().iter().flat_map(rules::promises).collect();
    let data = ["assets", "demo-projects"].into_iter().flat_map(files_below);
    let data = data.filter(|f| f.path.ends_with(".ron") || f.path.ends_with(".csv"));
    hits.extend(data.collect::<Vec<_>>().iter().flat_map(rules::promises_in_data));
    expect_none("say \"meets the required factor as modelled\"", hits);
}

#[test]
fn files_can_be_read_in_one_go() {
    expect_none("a file is too long; split it by what it does", sources().iter().filter_map(rules::long));
}

#[test]
fn the_top_level_holds_what_it_should() {
    const NEEDED: &[&str] = &[
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE-APACHE",
        "LICENSE-MIT",
        "crates",
        "assets",
        "tests",
        "demo-projects",
        ".ci",
        ".gitignore",
        ".rustfmt.toml",
        ".clippy.toml",
    ];
    // Not in the repository, or not needed in every copy of it.
    const ALLOWED: &[&str] = &["target", ".git", ".github", ".cargo"];
    let entries = std::fs::read_dir(root()).unwrap().flatten();
    let names: Vec<String> = entries.map(|e| e.file_name().to_string_lossy().into_owned()).collect();
    let hit = |name: &str, what: &str| Hit { path: name.to_owned(), line: 1, what: what.to_owned() };
    let extra = names.iter().filter(|n| !NEEDED.contains(&n.as_str()) && !ALLOWED.contains(&n.as_str()));
    let missing = NEEDED.iter().filter(|n| !names.iter().any(|m| m == *n));
    let hits = extra.map(|n| hit(n, "has no place here")).chain(missing.map(|n| hit(n, "is missing")));
    expect_none("the top level is not as DEVELOPERS.md lists it", hits.collect::<Vec<_>>());
}

#[test]
fn nothing_speaks_of_the_outside() {
    let hits = at_least(80, files_below("")).iter().flat_map(rules::strangers).collect::<Vec<_>>();
    expect_none("a file speaks of something outside the project", hits);
}

#[test]
fn every_finding_says_what_it_checks() {
    let rules_of_findings = at_least(8, rust_below("crates/analysis/src/findings"));
    expect_none("a finding has no head comment", rules_of_findings.iter().filter_map(rules::head_comment));
}

#[test]
fn nothing_is_left_undone() {
    let mut hits = Vec::new();
    for file in at_least(80, files_below("")) {
        match file.path.rsplit('.').next() {
            Some("rs") => hits.extend(rules::unfinished(&file)),
            Some("toml" | "md" | "sh" | "yml" | "ron") => hits.extend(rules::notes(&file)),
            _ => {}
        }
    }
    expect_none("something is left undone", hits);
}

/// The rules themselves, on lines that break them and lines that do not.
mod rules_can_fail {
    use super::*;

    #[test]
    fn figures() {
        let text = "fn f(x: f64) {\n    a!(\"{x} {x:?}: {}\", 1);\n    a!(\"{:.1} mm\");\n    a!(\"{x:+.n$e}\");\n}\n";
        assert_eq!(lines("crates/vacuum/src/a.rs", text, rules::own_figures), [3, 4]);
        assert_eq!(lines("crates/units/src/show.rs", text, rules::own_figures), [0; 0]);
    }

    #[test]
    fn rings() {
        let files = |of: &[(&str, &str)]| -> Vec<File> {
            let file = |(name, text): &(&str, &str)| File {
                path: format!("crates/app/src/{name}.rs"),
                text: (*text).to_owned(),
            };
            of.iter().map(file).collect()
        };
        let named = |of: &[(&str, &str)]| -> Vec<String> {
            super::rings::rings(&files(of)).into_iter().map(|hit| hit.path).collect()
        };
        let leaf = ("plan/tool", "use std::fmt;\npub struct Tool;\n");
        let passes_on = ("plan/mod", "mod tool;\npub use tool::Tool;\n");
        // A name is looked for where it is, not where it is passed on.
        assert_eq!(named(&[leaf, passes_on, ("view", "use crate::{plan::Tool, theme};\n")]), [""; 0]);
        // A list in a list names no parent.
        let nested =
            [("p/mod", "use q::Q;\n"), ("p/q", "use super::{r::{A, B}, s};\n"), ("p/r", ""), ("p/s", "")];
        assert_eq!(named(&nested), [""; 0]);
        // By lists, by super and by paths in the code.
        let ring = [
            ("lib", "mod a;\nmod b;\nmod c;\n"),
            ("a", "use crate::{fields, b::{self, B}};\n"),
            ("b", "fn f() -> super::c::C { super::c::c() }\n"),
            ("c", "use super::a as other;\n"),
            ("d", "use crate::a;\n#[cfg(test)]\nmod tests { use crate::d; }\n"),
        ];
        assert_eq!(named(&ring), ["a", "b", "c"].map(|name| format!("crates/app/src/{name}.rs")));
        // Through a name that is passed on.
        let back = ("plan/tool", "use crate::view::View;\npub struct Tool;\n");
        let found = named(&[back, passes_on, ("view", "pub(crate) use std::fmt;\nuse crate::plan::Tool;\n")]);
        assert_eq!(found, ["crates/app/src/plan/tool.rs", "crates/app/src/view.rs"]);
    }

    #[test]
    fn words_read() {
        let text = "fn f(x: &str) -> bool {\n    x.contains(\"elbow\")\n        || x.contains('a') || x.starts_with(PREFIX)\n        \
                    || x.starts_with( \"factor.\")\n    || x.strip_prefix(lead).is_some()\n}\n#[cfg(test)]\nmod tests { fn g() { a.contains(\"b\"); } }\n";
        assert_eq!(lines("crates/analysis/src/verdict.rs", text, rules::words_read), [2, 4, 5]);
        assert_eq!(lines("crates/units/src/parse.rs", text, rules::words_read), [0; 0]);
    }

    fn lines(path: &str, text: &str, rule: impl Fn(&File) -> Vec<Hit>) -> Vec<usize> {
        rule(&File { path: path.to_owned(), text: text.to_owned() }).iter().map(|h| h.line).collect()
    }

    #[test]
    fn arrows() {
        let text = "[dependencies]\nunits.workspace = true\nanalysis = { path = \"../analysis\" }\nserde = \"1\"\n\
                    [dev-dependencies]\napp.workspace = true\nserde_json = \"1\"\n\
                    [target.'cfg(unix)'.dependencies]\nother = { package = \"sheet\" }\n";
        assert_eq!(lines("crates/geometry/Cargo.toml", text, rules::arrows), [3, 4, 6, 1]);
        assert_eq!(
            lines("crates/app/Cargo.toml", "[dependencies]\nsheet.workspace = true", rules::arrows),
            [0; 0]
        );
        assert_eq!(lines("crates/new/Cargo.toml", "[dependencies]", rules::arrows), [1]);
    }

    #[test]
    fn outside_world() {
        let text = "//! Reads no std::fs.\nuse std::{collections::HashMap, fs::File, fmt};\nuse serde::Serialize;\n\
                    /// Not at `Instant::now`.\nfn f(x: f64) -> f64 { x.log(2.0) }\n\
                    fn g() { let t = std::time::Instant::now(); std::thread::yield_now(); }\n\
                    const T: &str = \"std::fs\";\n\
                    #[cfg(test)]\nmod tests { use std::fs; #[test] fn h() { std::thread::yield_now(); } }\n\
                    #[derive(serde::Serialize)]\nstruct S;\n/// Of a motion.\nstruct Instant(f64);\n";
        let mut found = lines("crates/units/src/a.rs", text, rules::outside_world);
        found.dedup();
        assert_eq!(found, [2, 3, 6, 10]);
    }

    #[test]
    fn colours() {
        let text = "fn f() {\nlet a = egui::Color32::from_rgb(1, 2, 3);\nlet b = Color32::RED;\n\
                    let c = Color32::TRANSPARENT;\nlet d = \"#AABBCC\";\nlet e = \"row #12\";\n\
                    let g: Color32 = theme.ink;\n}\n#[test]\nfn t() { let _ = Color32::WHITE; }\n";
        assert_eq!(lines("crates/app/src/a.rs", text, rules::colours), [2, 3, 5]);
    }

    #[test]
    fn promises() {
        let text = "//! Safe to call.\n// safe\nfn f() {\nlet a = \"Safe to lift\";\nlet b = format!(\"{x} is safe\");\n\
                    let c = \"an unsafe, thread-safe safety factor\";\n/* safe */\n}\n\
                    #[cfg(test)]\nmod t { const A: &str = \"safe\"; }\n";
        assert_eq!(lines("crates/app/src/a.rs", text, rules::promises), [4, 5]);
        assert_eq!(
            lines("demo-projects/a.ron", "name: \"x\"\nnote: \"Safely held\"\n", rules::promises_in_data),
            [2]
        );
    }

    #[test]
    fn long_files() {
        let file = |count| File { path: "a.rs".to_owned(), text: "\n".repeat(count) };
        assert!(rules::long(&file(500)).is_none());
        assert!(rules::long(&file(501)).is_some());
    }

    #[test]
    fn strangers() {
        for word in rules::STRANGERS {
            assert_eq!(lines("README.md", &format!("one\nsee {word}x\n"), rules::strangers), [2], "{word}");
        }
        assert_eq!(lines("README.md", "our work/shared habits\n", rules::strangers), [0; 0]);
    }

    #[test]
    fn head_comments() {
        let hits =
            |text: &str| rules::head_comment(&File { path: "a.rs".into(), text: text.into() }).is_some();
        assert!(hits("use x;") && hits("//!\n") && hits("// A plain comment, not the file's.\n"));
        assert!(!hits("//! seat.overlap: two lips overlap.\n"));
    }

    #[test]
    fn unfinished() {
        let note = format!("// {}{}: later\n", "FIX", "ME");
        let text = format!(
            "fn f() {{ todo!() }}\n#[ignore]\nfn g() {{}}\n{note}const A: &str = \"todo!()\";\n\
             #[ignore = \"slow\"]\nfn h() {{ unimplemented!(); }}\n"
        );
        assert_eq!(lines("crates/app/src/a.rs", &text, rules::unfinished), [1, 2, 6, 7, 4]);
    }
}
