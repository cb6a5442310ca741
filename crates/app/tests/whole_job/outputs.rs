//! What is written where: never over what is read, never over someone's work unasked, whole or not at all.

use crate::program::{err, out, run};
use std::{
    fs,
    path::{Path, PathBuf},
};

/// A folder of one's own with a project, its drawing and a note.
struct Own(tempfile::TempDir);

impl Own {
    fn new() -> Self {
        let own = Self(tempfile::tempdir().unwrap());
        let demos = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
        fs::copy(demos.join("tray-blank.ron"), own.at("own.ron")).unwrap();
        fs::copy(demos.join("tray-blank.dxf"), own.at("t.dxf")).unwrap();
        fs::write(own.at("notes.txt"), "Dear all,\nthis stays, whatever happens.\n").unwrap();
        own
    }
    fn at(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }
    fn path(&self, name: &str) -> String {
        self.at(name).to_str().unwrap().to_owned()
    }
    /// Every file and what it holds.
    fn all(&self) -> Vec<(String, Vec<u8>)> {
        let mut all: Vec<_> = fs::read_dir(self.0.path())
            .unwrap()
            .map(|entry| entry.unwrap())
            .filter(|entry| entry.path().is_file())
            .map(|entry| (entry.file_name().to_string_lossy().into_owned(), fs::read(entry.path()).unwrap()))
            .collect();
        all.sort();
        all
    }
    /// The command is refused in these words and changes nothing.
    fn refused(&self, arguments: &[&str], words: &str) {
        let before = self.all();
        let ended = run(arguments);
        let says = err(&ended);
        assert_eq!(ended.status.code(), Some(2), "{arguments:?}: {says}");
        assert!(says.contains(words), "{arguments:?}: {says}");
        assert_eq!(says.trim_end().lines().count(), 1, "{says}");
        assert!(self.all() == before, "{arguments:?} changed a file");
    }
    fn done(&self, arguments: &[&str]) {
        let ended = run(arguments);
        assert_eq!(ended.status.code(), Some(0), "{arguments:?}: {}", err(&ended));
    }
}

#[test]
fn what_is_read_is_never_written() {
    let own = Own::new();
    let (project, drawing) = (own.path("own.ron"), own.path("t.dxf"));
    fs::hard_link(own.at("own.ron"), own.at("hard.csv")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink(own.at("own.ron"), own.at("soft.csv")).unwrap();
    let (hard, soft) = (own.path("hard.csv"), own.path("soft.csv"));
    let other = format!("{}/./own.ron", own.0.path().display());
    for force in [&[][..], &["--force"]] {
        for output in [&project, &hard, &soft, &other] {
            // A picture is refused by its ending before anything else.
            let options = app::Output::all().filter(|o| o.endings().len() == 1);
            for kind in options.filter_map(|o| o.spelled().strip_prefix("export ").map(str::to_owned)) {
                own.refused(
                    &[&["export", &project, &kind, output], force].concat(),
                    "this is the file that is read",
                );
            }
        }
        own.refused(
            &[&["import", &drawing, "-o", &drawing], force].concat(),
            "this is the file that is read",
        );
        for twice in [["--csv", "--parts"], ["--findings", "--dxf"]] {
            let to = own.path("one.csv");
            let arguments = ["export", &project, twice[0], &to, twice[1], &to];
            own.refused(&[&arguments, force].concat(), "written twice");
        }
    }
    // The ending is right and the contents are those of the project that is read.
    fs::copy(own.at("own.ron"), own.at("own.svg")).unwrap();
    let named = own.path("own.svg");
    own.refused(&["sheet", &named, "-o", &named], "this is the file that is read");
    own.refused(&["diff", &named, &project, "-o", &named, "--force"], "this is the file that is read");
}

#[test]
fn what_is_there_stays_unless_it_is_of_the_kind_or_forced() {
    let own = Own::new();
    let (project, drawing, notes) = (own.path("own.ron"), own.path("t.dxf"), own.path("notes.txt"));
    let (table, layout) = (own.path("holes.csv"), own.path("layout.dxf"));
    // Tables and layouts are written again and again.
    for _ in 0..2 {
        own.done(&["export", &project, "--csv", &table, "--dxf", &layout]);
        own.done(&["sheet", &project, "-o", &own.path("sheet.pdf")]);
    }
    own.refused(&["export", &project, "--csv", &notes], "--force");
    own.refused(&["export", &project, "--csv", &layout], "--force");
    own.refused(&["export", &project, "--dxf", &drawing], "--force");
    own.refused(&["import", &drawing, "-o", &project], "--force");
    own.refused(&["import", &drawing, "-o", &notes], "--force");
    // The ending says picture, the contents are a project.
    fs::copy(own.at("own.ron"), own.at("mine.png")).unwrap();
    own.refused(&["sheet", &project, "-o", &own.path("mine.png")], "--force");
    // One that is refused keeps all from being written.
    own.refused(&["export", &project, "--csv", &own.path("new.csv"), "--parts", &notes], "--force");
    own.done(&["export", &project, "--csv", &notes, "--force"]);
    assert!(fs::read_to_string(own.at("notes.txt")).unwrap().starts_with("\"tag\""));
    let before = fs::read(own.at("own.ron")).unwrap();
    own.done(&["import", &drawing, "-o", &project, "--force"]);
    assert_eq!(fs::read(own.at("own.ron.previous")).unwrap(), before, "the version before is kept");
}

#[cfg(unix)]
#[test]
fn links_are_followed_and_devices_pipes_and_protected_files_refused() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let own = Own::new();
    let project = own.path("own.ron");
    own.done(&["export", &project, "--csv", &own.path("real.csv")]);
    symlink(own.at("real.csv"), own.at("link.csv")).unwrap();
    own.done(&["export", &project, "--parts", &own.path("link.csv")]);
    assert!(fs::symlink_metadata(own.at("link.csv")).unwrap().is_symlink());
    assert!(fs::read_to_string(own.at("real.csv")).unwrap().starts_with("\"quantity\""));
    symlink(own.at("nowhere.csv"), own.at("broken.csv")).unwrap();
    own.refused(&["export", &project, "--csv", &own.path("broken.csv")], "leads nowhere");
    fs::set_permissions(own.at("real.csv"), fs::Permissions::from_mode(0o444)).unwrap();
    own.refused(&["export", &project, "--csv", &own.path("real.csv"), "--force"], "write-protected");
    for device in ["/dev/null", "/dev/full", "/dev/stdout"] {
        own.refused(&["export", &project, "--csv", device], "not an ordinary file");
    }
    let made = std::process::Command::new("mkfifo").arg(own.at("pipe.csv")).status();
    if made.is_ok_and(|status| status.success()) {
        own.refused(&["export", &project, "--csv", &own.path("pipe.csv"), "--force"], "not an ordinary file");
        let ended = run(&["check", &project, "--library", &own.path("pipe.csv")]);
        assert_eq!(ended.status.code(), Some(2), "a pipe is not waited on");
    }
}

/// What the table of outputs says of an output holds on the command line: its option is in the help, and gives it.
#[test]
fn every_output_has_its_option_and_writes_a_file_of_its_kind() {
    let own = Own::new();
    let demos = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects");
    // With a circuit that is worked out, two layouts and an issued revision between them.
    fs::copy(demos.join("door-sheet.ron"), own.at("fed.ron")).unwrap();
    fs::copy(demos.join("narrow-rail.ron"), own.at("two.ron")).unwrap();
    fs::copy(demos.join("door-sheet-review.ron"), own.at("issued.ron")).unwrap();
    let (mut seen, mut printed) = (0, 0);
    for output in app::Output::all() {
        let spelled = output.spelled();
        let (task, option) = spelled.split_once(' ').unwrap();
        let help = out(&run(&[task, "--help"]));
        assert!(help.contains(&format!("{option} ")) || help.contains(&format!("{option},")), "{help}");
        let file = match task {
            "compare" => own.path("two.ron"),
            "diff" => own.path("issued.ron"),
            _ => own.path("fed.ron"),
        };
        if option == "--json" {
            let object = out(&run(&[task, &file, option]));
            assert!(serde_json::from_str::<serde_json::Value>(&object).is_ok(), "{task}: {object}");
            printed += 1;
            continue;
        }
        for ending in output.endings() {
            let path = own.path(&format!("{task}{option}.{ending}"));
            // Comparing tells by its status that a layout fails, and writes all the same.
            let done = || {
                let ended = run(&[task, &file, option, &path]);
                let fails = task == "compare" && ended.status.code() == Some(1);
                assert!(ended.status.success() || fails, "{output:?}: {}", err(&ended));
            };
            done();
            let bytes = fs::read(&path).unwrap();
            let start: &[u8] = match *ending {
                "pdf" => b"%PDF",
                "svg" => b"<",
                "html" => b"<!DOCTYPE html>",
                "png" => b"\x89PNG",
                "csv" => b"\"",
                _ => b"0",
            };
            assert!(bytes.len() > 60 && bytes.starts_with(start), "{output:?} as {ending}");
            // The same again replaces it unasked: its kind is told by its contents.
            done();
            seen += 1;
        }
    }
    assert!(seen > 20 && printed == 3, "{seen} {printed}");
    // What has to be there first is told, and nothing is written.
    own.refused(
        &["export", &own.path("own.ron"), "--evacuation", &own.path("x.svg")],
        "no circuit is calculated",
    );
}

#[test]
fn a_dash_is_standard_output() {
    let own = Own::new();
    let project = own.path("own.ron");
    let table = run(&["export", &project, "--csv", "-"]);
    assert!(table.status.success() && out(&table).starts_with("\"tag\","));
    let pages = run(&["sheet", &project, "-o", "-"]);
    assert!(pages.status.success() && pages.stdout.starts_with(b"%PDF"));
    let new = run(&["import", &own.path("t.dxf"), "-o", "-"]);
    assert!(new.status.success() && err(&new).contains("mm"));
    assert!(document::from_text(&out(&new), "new").is_ok());
    let changes = run(&["diff", &project, &project, "-o", "-"]);
    assert!(changes.status.success() && changes.stdout.starts_with(b"%PDF"));
    own.refused(&["export", &project, "--csv", "-", "--parts", "-"], "only one of these");
    own.refused(&["import", &own.path("t.dxf"), "-o", "-", "--json"], "cannot both");
    own.refused(&["diff", &project, &project, "-o", "-", "--json"], "cannot both");
}

#[test]
fn pages_are_all_there_or_none() {
    let own = Own::new();
    let project = own.path("own.ron");
    own.done(&["sheet", &project, "-o", &own.path("sheet.svg")]);
    let pages =
        |own: &Own| own.all().into_iter().filter(|(name, _)| name.ends_with(".svg")).collect::<Vec<_>>();
    let whole = pages(&own);
    assert!(whole.len() > 2);
    // The last page cannot be put where a folder is, and a second page that is not ours stays.
    let last = format!("sheet-{}.svg", whole.len());
    fs::remove_file(own.at(&last)).unwrap();
    fs::create_dir(own.at(&last)).unwrap();
    own.refused(&["sheet", &project, "-o", &own.path("sheet.svg"), "--paper", "a4"], "folder");
    fs::remove_dir(own.at(&last)).unwrap();
    fs::write(own.at("sheet-2.svg"), "mine").unwrap();
    own.refused(&["sheet", &project, "-o", &own.path("sheet.svg"), "--paper", "a4"], "--force");
    own.done(&["sheet", &project, "-o", &own.path("sheet.svg"), "--force"]);
    assert!(pages(&own) == whole);
    // A page that is left of a longer sheet is named.
    fs::copy(own.at("sheet.svg"), own.at(&format!("sheet-{}.svg", whole.len() + 1))).unwrap();
    let ended = run(&["sheet", &project, "-o", &own.path("sheet.svg")]);
    assert!(ended.status.success() && err(&ended).contains("is not one of these pages"), "{}", err(&ended));
}

/// A disk of its own for the process, with room for a little more than half of the new pages.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_pages_all_of_them() {
    const SCRIPT: &str = r#"
        mount -t tmpfs -o size=64m none "$DIR" 2>/dev/null || exit 77
        "$PROGRAM" sheet tray-blank.ron -o "$DIR/sheet.svg" || exit 1
        whole=$(cat "$DIR"/*.svg | wc -c)
        cat "$DIR"/*.svg | cksum
        cat /dev/zero > "$DIR/filler" 2>/dev/null
        truncate -s -$((whole * 6 / 10)) "$DIR/filler"
        "$PROGRAM" sheet tray-blank.ron -o "$DIR/sheet.svg" --unit in
        echo "ended $?"
        ls -A "$DIR" | grep -v -e 'sheet.*svg' -e filler
        cat "$DIR"/*.svg | cksum
        rm "$DIR/filler"
        "$PROGRAM" sheet tray-blank.ron -o "$DIR/sheet.svg" --unit in
        echo "ended $?"
        cat "$DIR"/*.svg | cksum
    "#;
    let folder = tempfile::tempdir().unwrap();
    let run = std::process::Command::new("unshare")
        .args(["-Urm", "sh", "-c", SCRIPT])
        .env("DIR", folder.path())
        .env("PROGRAM", crate::program::program())
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-projects"))
        .output();
    let Ok(run) = run.as_ref().map_err(|e| println!("looked at nothing: {e}")) else { return };
    if run.status.code() == Some(77) || err(run).contains("unshare") {
        return println!("looked at nothing: no disk of its own may be mounted");
    }
    let said = out(run);
    let lines: Vec<&str> = said.lines().collect();
    let [old, "ended 2", still, "ended 0", new] = lines[..] else { panic!("{said}{}", err(run)) };
    assert_eq!(old, still, "the pages are those that were there, and nothing stray is beside them");
    assert_ne!(old, new);
    assert!(err(run).contains("the disk is full"), "{}", err(run));
}
