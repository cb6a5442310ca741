//! Every number of every demo set to figures that no world has: each file opens and says what is wrong, or is refused in a
//! sentence; nothing panics, nothing runs without end, and no text of report, JSON or sheet has "inf", "NaN" or twenty digits.
//!
//! The numbers are those that stand in the text of the file, so that a new field cannot be left out. `CUPWRIGHT_SWEEP=all` tries
//! all of them (in a release build, by hand); `CUPWRIGHT_SWEEP=1000` a sample of so many, without it a small one.
use analysis::{Analyst, Severity};

use document::{Project, from_text};
use sheet::{Page, Paper, SheetOptions, compose};
use std::{
    fs, panic,
    path::{Path, PathBuf},
    sync::mpsc,
    time::{Duration, Instant},
};
use telling::to_json;

const VALUES: [&str; 14] = [
    "1e308", "-1e308", "1e160", "-1e160", "1e30", "-1e30", "1e-300", "-1e-300", "0", "-1", "NaN", "1e9",
    "1e-9", "inf",
];
/// Values that nothing in a project can be.
const ABSURD: [&str; 8] = ["1e308", "-1e308", "1e160", "-1e160", "1e30", "-1e30", "NaN", "inf"];
/// No case takes nearly as long; one that does goes on without end.
const WITHOUT_END: Duration = Duration::from_secs(240);
/// Cases of the usual run.
const SAMPLE: usize = 60;

/// Numbers that look random and are the same everywhere (SplitMix64 of Steele, Lea and Flood, "Fast splittable pseudorandom
/// number generators", OOPSLA 2014, fig. 16; constants from memory).
struct Dice(u64);
impl Dice {
    fn below(&mut self, most: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % most.max(1) as u64) as usize
    }
}

fn demos() -> Vec<(PathBuf, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|e| e == "ron"));
    paths.sort();
    assert!(paths.len() > 6, "{paths:?}");
    paths.into_iter().map(|path| (path.clone(), fs::read_to_string(path).unwrap())).collect()
}

/// Places of numbers outside quotation marks, from and to.
fn numbers(text: &str) -> Vec<(usize, usize)> {
    let bytes = text.as_bytes();
    let (mut found, mut at, mut quoted) = (Vec::new(), 0, false);
    while at < bytes.len() {
        let part_of_name = at > 0 && (bytes[at - 1].is_ascii_alphanumeric() || bytes[at - 1] == b'_');
        match bytes[at] {
            b'\\' if quoted => at += 1,
            b'"' => quoted = !quoted,
            b'/' if !quoted && bytes.get(at + 1) == Some(&b'/') => {
                at += bytes[at..].iter().take_while(|b| **b != b'\n').count();
                continue;
            }
            b'0'..=b'9' | b'-' if !quoted && !part_of_name => {
                let more = |b: &&u8| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'e' | b'E' | b'+');
                let end = at + bytes[at..].iter().take_while(more).count();
                found.push((at, end));
                at = end;
                continue;
            }
            _ => {}
        }
        at += 1;
    }
    found
}

/// What came of one case.
struct Outcome {
    opened: bool,
    /// Texts with what must not stand in one.
    bad: Vec<String>,
    /// Some layout is judged to hold.
    holds: bool,
}

/// What must not stand in a text.
fn bad(text: &str) -> Option<String> {
    let words = text.split(|c: char| !(c.is_alphanumeric() || c == '_'));
    if let Some(word) = words.into_iter().find(|word| matches!(*word, "inf" | "NaN" | "nan" | "infinity")) {
        return Some(format!("{word} in {text:?}"));
    }
    let mut digits = 0;
    for c in text.chars() {
        digits = if c.is_ascii_digit() {
            digits + 1
        } else if matches!(c, '.' | ',') {
            digits
        } else {
            0
        };
        if digits >= 20 {
            return Some(format!("20 digits in {text:?}"));
        }
    }
    None
}

fn texts(project: &Project, whole: bool) -> (Vec<String>, bool) {
    let mut analyst = Analyst::new();
    let mut out: Vec<String> = project.problems().into_iter().flat_map(|p| [p.says, p.remedy]).collect();
    let mut reports = Vec::new();
    for layout in &project.layouts {
        reports.push(if whole {
            analyst.check_whole(project, layout.id)
        } else {
            analyst.check(project, layout.id)
        });
    }
    for report in &reports {
        out.extend([report.verdict.sentence.clone(), report.verdict.detail.clone()]);
        out.extend(report.findings.iter().flat_map(|f| [f.says.clone(), f.remedy.clone()]));
        out.extend(report.not_checked.iter().flat_map(|(what, why)| [what.clone(), why.clone()]));
        let options = SheetOptions { paper: Paper::A3, ..SheetOptions::default() };
        let pages = compose(project, report, &options);
        out.extend(pages.iter().flat_map(Page::texts).map(|text| text.text.clone()));
    }
    // Keys of JSON are words; a text within is one of those above.
    let json = to_json("a.ron", project, &reports);
    let value_starts = [":inf", ":-inf", ":NaN", ":null,", "[inf", "[NaN"];
    if let Some(start) = value_starts.iter().find(|start| json.contains(**start)) {
        out.push(format!("inf or NaN in JSON: {start}"));
    }
    let holds = reports.iter().all(|r| matches!(r.verdict.severity, Severity::Ok | Severity::Watch));
    (out, holds)
}

fn attempt(text: &str, whole: bool) -> Outcome {
    match from_text(text, "absurd.ron") {
        Err(error) => {
            let says = error.to_string();
            // The text of the file may be told back as it stands.
            let digits = bad(&says).filter(|what| what.starts_with("20"));
            Outcome { opened: false, bad: digits.into_iter().collect(), holds: false }
        }
        Ok(project) => {
            let (texts, holds) = texts(&project, whole);
            // Names and remarks of the project itself are not looked at: no demo has such words.
            Outcome { opened: true, bad: texts.iter().filter_map(|text| bad(text)).collect(), holds }
        }
    }
}

/// On a thread of its own; `Err` says that it panicked or did not end.
fn guarded(text: String, whole: bool) -> Result<Outcome, String> {
    let (send, receive) = mpsc::channel();
    std::thread::Builder::new()
        .stack_size(16 << 20)
        .spawn(move || {
            let outcome = panic::catch_unwind(|| attempt(&text, whole));
            let _ = send.send(outcome.map_err(|cause| {
                let says = cause.downcast_ref::<String>().cloned();
                says.or_else(|| cause.downcast_ref::<&str>().map(|s| (*s).to_owned())).unwrap_or_default()
            }));
        })
        .unwrap();
    match receive.recv_timeout(WITHOUT_END) {
        Ok(Ok(outcome)) => Ok(outcome),
        Ok(Err(says)) => Err(format!("panicked: {says}")),
        Err(_) => Err("did not end".to_owned()),
    }
}

/// A number of a demo, by the demo and where it stands in the file, and what is put there.
type Case<'a> = ((usize, (usize, usize)), &'a str);

#[test]
fn absurd_figures_end_in_sentences() {
    let demos = demos();
    let places: Vec<(usize, (usize, usize))> = demos
        .iter()
        .enumerate()
        .flat_map(|(demo, (_, text))| numbers(text).into_iter().map(move |place| (demo, place)))
        .collect();
    let wanted = std::env::var("CUPWRIGHT_SWEEP").unwrap_or_default();
    let all = wanted == "all";
    let cases: Vec<Case> = if all {
        places.iter().flat_map(|place| VALUES.map(|value| (*place, value))).collect()
    } else {
        let mut dice = Dice(2026);
        let count = wanted.parse().unwrap_or(SAMPLE);
        (0..count).map(|_| (places[dice.below(places.len())], VALUES[dice.below(VALUES.len())])).collect()
    };
    println!("{} numbers in {} demos, {} cases", places.len(), demos.len(), cases.len());
    let (mut opened, mut wrong, mut quiet) = (0_usize, Vec::new(), Vec::new());
    let mut slowest: Vec<(Duration, String)> = Vec::new();
    for (number, ((demo, (from, to)), value)) in cases.iter().enumerate() {
        let (path, text) = &demos[*demo];
        let mut spoilt = text.clone();
        spoilt.replace_range(*from..*to, value);
        let line = text[..*from].matches('\n').count() + 1;
        let name = path.file_name().unwrap().to_string_lossy();
        let what =
            format!("{name}:{line} {} = {value}", text.lines().nth(line - 1).unwrap_or_default().trim());
        let start = Instant::now();
        // Told before it runs, so that a case that ends the program is known.
        if all || std::env::var_os("CUPWRIGHT_SWEEP").is_some() {
            eprintln!("case {number}: {what}");
        }
        // The slow stages take seconds in a debug build: every twentieth case has them.
        let outcome = guarded(spoilt, number % 20 == 0);
        slowest.push((start.elapsed(), what.clone()));
        match outcome {
            Err(says) => wrong.push(format!("{what}: {says}")),
            Ok(outcome) => {
                opened += usize::from(outcome.opened);
                wrong.extend(outcome.bad.iter().take(2).map(|says| format!("{what}: {says}")));
                if outcome.holds && ABSURD.contains(value) {
                    quiet.push(what);
                }
            }
        }
        if number % 1000 == 999 {
            println!("{} cases, {} wrong, {} judged to hold", number + 1, wrong.len(), quiet.len());
        }
    }
    slowest.sort_by_key(|case| std::cmp::Reverse(case.0));
    println!("{opened} opened; slowest: {:#?}", slowest.iter().take(5).collect::<Vec<_>>());
    println!("judged to hold: {quiet:#?}");
    assert!(wrong.is_empty(), "{} wrong: {wrong:#?}", wrong.len());
    assert!(opened > cases.len() / 10 && opened < cases.len(), "{opened} opened of {}", cases.len());
    assert!(quiet.is_empty(), "an absurd figure is judged to hold: {quiet:#?}");
}
