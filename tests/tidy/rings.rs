//! Files that import one another in a ring: none of them can be read, moved or tested without all others.

use crate::source::{File, Hit, Kind, Token, tokens};
use std::collections::{BTreeMap, BTreeSet, HashMap};

type Module = Vec<String>;

/// What a file imports, as paths from the crate's root, and the names that it passes on to others.
struct Imports<'a> {
    file: &'a File,
    uses: Vec<Vec<String>>,
    passed_on: HashMap<String, Vec<String>>,
}

/// Files of one crate that lead back to themselves by what they import; a name that is passed on counts where it is from.
pub fn rings(files: &[File]) -> Vec<Hit> {
    let modules: BTreeMap<Module, Vec<Token>> = files
        .iter()
        .filter_map(|file| {
            let code = tokens(file).into_iter().filter(|t| !t.in_test).collect();
            Some((module_of(file)?, code))
        })
        .collect();
    let of: HashMap<Module, &File> = files.iter().filter_map(|file| Some((module_of(file)?, file))).collect();
    let known: BTreeSet<Module> = modules.keys().cloned().collect();
    let imports: BTreeMap<Module, Imports> = modules
        .iter()
        .filter_map(|(module, code)| Some((module.clone(), read(of.get(module)?, module, code, &known))))
        .collect();
    let edges: BTreeMap<&Module, BTreeSet<Module>> = imports
        .iter()
        .map(|(module, found)| {
            let to = found.uses.iter().map(|path| home_of(path, &imports, 0));
            (module, to.filter(|to| to != module && !to.is_empty()).collect())
        })
        .collect();
    let mut hits = Vec::new();
    for (module, next) in &edges {
        let back = next.iter().find(|first| leads_to(&edges, first, module));
        if let Some(first) = back {
            let says = format!("imports {}, which leads back here", first.join("::"));
            hits.extend(imports.get(*module).map(|found| found.file.hit(1, says)));
        }
    }
    hits
}

/// `crates/app/src/plan/mod.rs` is `plan`; the root is empty.
fn module_of(file: &File) -> Option<Module> {
    let below = file.path.split_once("/src/")?.1.strip_suffix(".rs")?;
    let mut path: Module = below.split('/').map(str::to_owned).collect();
    if path.last().is_some_and(|last| matches!(last.as_str(), "mod" | "lib" | "main")) {
        path.pop();
    }
    Some(path)
}

fn read<'a>(file: &'a File, module: &Module, code: &[Token], known: &BTreeSet<Module>) -> Imports<'a> {
    let mut found = Imports { file, uses: Vec::new(), passed_on: HashMap::new() };
    let mut at = 0;
    while let Some(token) = code.get(at) {
        let before = at.checked_sub(1).and_then(|i| code.get(i)).map_or("", |t| t.text.as_str());
        if token.kind != Kind::Word || before == ":" {
            at += 1;
        } else if token.text == "use" {
            let passes_on = matches!(before, "pub" | ")");
            let mut paths = Vec::new();
            at += 1;
            tree(code, &mut at, Vec::new(), &mut paths);
            for path in paths.iter().filter_map(|path| from_root(path, module, known)) {
                match path.last() {
                    Some(name) if passes_on => drop(found.passed_on.insert(name.clone(), path)),
                    _ => found.uses.push(path),
                }
            }
        } else {
            let mut path = vec![token.text.clone()];
            at += 1;
            while let Some(name) = segment(code, at) {
                path.push(name);
                at += 3;
            }
            if path.len() > 1 {
                found.uses.extend(from_root(&path, module, known));
            }
        }
    }
    found
}

/// The word behind `::` at this place.
fn segment(code: &[Token], at: usize) -> Option<String> {
    let colons = [at, at + 1].iter().all(|i| code.get(*i).is_some_and(|t| t.text == ":"));
    code.get(at + 2).filter(|t| colons && t.kind == Kind::Word).map(|t| t.text.clone())
}

/// The paths of a tree of imports that begins here; leaves `at` behind it.
fn tree(code: &[Token], at: &mut usize, mut path: Vec<String>, out: &mut Vec<Vec<String>>) {
    while let Some(token) = code.get(*at) {
        *at += 1;
        match token.text.as_str() {
            "{" => {
                while code.get(*at).is_some_and(|t| t.text != "}") {
                    tree(code, at, path.clone(), out);
                }
                // Behind the list, and behind the comma that may follow it.
                *at += 1 + usize::from(code.get(*at + 1).is_some_and(|t| t.text == ","));
                return;
            }
            ":" => {}
            "as" => *at += 1,
            "," | ";" => break,
            "}" => {
                *at -= 1;
                break;
            }
            word => path.push(word.to_owned()),
        }
    }
    out.push(path);
}

/// A path as it stands in a module, from the crate's root; `None` where it leads out of the crate.
fn from_root(path: &[String], module: &Module, known: &BTreeSet<Module>) -> Option<Vec<String>> {
    let (first, rest) = path.split_first()?;
    let ups = path.iter().take_while(|s| *s == "super").count();
    let base = match first.as_str() {
        "crate" => Vec::new(),
        "self" => module.clone(),
        "super" => module.get(..module.len().checked_sub(ups)?)?.to_vec(),
        child => {
            let below = [module.as_slice(), &[child.to_owned()]].concat();
            return known.contains(&below).then(|| [below.as_slice(), rest].concat());
        }
    };
    Some([base.as_slice(), path.get(ups.max(1)..)?].concat())
}

/// The module in which what a path names is.
fn home_of(path: &[String], imports: &BTreeMap<Module, Imports>, deep: usize) -> Module {
    let lengths = (0..=path.len()).rev();
    let home = lengths.filter_map(|n| path.get(..n)).find(|p| imports.contains_key(*p)).unwrap_or_default();
    let name = path.get(home.len());
    let passed = name.and_then(|name| imports.get(home)?.passed_on.get(name));
    match passed.filter(|passed| passed.as_slice() != path && deep < 8) {
        Some(passed) => {
            let rest = path.get(home.len() + 1..).unwrap_or_default();
            home_of(&[passed.as_slice(), rest].concat(), imports, deep + 1)
        }
        None => home.to_vec(),
    }
}

fn leads_to(edges: &BTreeMap<&Module, BTreeSet<Module>>, from: &Module, to: &Module) -> bool {
    let (mut seen, mut open) = (BTreeSet::new(), vec![from]);
    while let Some(module) = open.pop() {
        if module == to {
            return true;
        }
        if seen.insert(module) {
            open.extend(edges.get(module).into_iter().flatten());
        }
    }
    false
}
