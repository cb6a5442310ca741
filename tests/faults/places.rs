//! Places that cannot be written: full, limited, read-only, gone, somebody else's. The program says so and goes on; the
//! file is as it was, and as soon as the place can be written again so is the work.
//!
//! Each test runs itself again in a shell that makes the place (a small disk of its own, a limit, another user), where that
//! is permitted; where it is not, it prints why and looks at nothing.

use crate::hands::{Window, click, ready, window_in};
use document::{Journal, Project};
use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;

const PLACE: &str = "FAULTS_PLACE";
const FOLDER: &str = "FAULTS_FOLDER";
/// Exit code of a shell that may not make the place.
const NOT_HERE: i32 = 77;

/// A folder with a project in `shared` and the program's own folder.
struct Place(PathBuf);

impl Place {
    fn make(folder: &Path) {
        for name in ["own", "shared", "small"] {
            std::fs::create_dir_all(folder.join(name)).unwrap();
        }
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-projects/moulded-tray.ron");
        std::fs::copy(demo, folder.join("shared/tray.ron")).unwrap();
    }
    fn own(&self) -> PathBuf {
        self.0.join("own")
    }
    fn shared(&self) -> PathBuf {
        self.0.join("shared")
    }
    fn small(&self) -> PathBuf {
        self.0.join("small")
    }
}

/// Runs `inside` in a place that `script` makes before it runs `"$0" --exact "$1"`, in a process of its own.
fn in_place(test: &str, script: &str, inside: impl FnOnce(&Place)) {
    let test = format!("places::{test}");
    if std::env::var(PLACE).is_ok_and(|place| place == test) {
        return inside(&Place(std::env::var(FOLDER).unwrap().into()));
    }
    let folder = tempfile::tempdir().unwrap();
    Place::make(folder.path());
    let run = Command::new("sh")
        .args(["-c", script])
        .arg(std::env::current_exe().unwrap())
        .args([&test, "--nocapture"])
        .env(PLACE, &test)
        .env(FOLDER, folder.path())
        .output();
    let Ok(run) = run else { return println!("{test} looked at nothing: there is no shell here") };
    let said = [run.stdout, run.stderr].map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).concat();
    if run.status.code() == Some(NOT_HERE) {
        println!("{test} looked at nothing: {}", said.trim());
        return;
    }
    assert!(run.status.success() && said.contains("1 passed"), "{test}: {}\n{said}", run.status);
}

/// A disk of its own for the process, given back with it.
const SMALL_DISK: &str = r#"
unshare -Urm sh -c 'mount -t tmpfs -o size=400k none "$FAULTS_FOLDER/small"' 2>&1 ||
    { echo "no disk of its own may be mounted"; exit 77; }
exec unshare -Urm sh -c '
    mount -t tmpfs -o size=400k none "$FAULTS_FOLDER/small" && cp "$FAULTS_FOLDER/shared/tray.ron" "$FAULTS_FOLDER/small" &&
    { [ -z "$READ_ONLY" ] || mount -o remount,ro "$FAULTS_FOLDER/small"; } && exec "$0" --exact "$1" --nocapture' "$0" "$1"
"#;

fn open(place: &Place, file: &Path) -> Window<'static> {
    let mut window = window_in(Some(place.own()), Some(file.to_owned()));
    click(&mut window, "Cup C1");
    window
}

fn nudge(window: &mut Window<'_>) -> Arc<Project> {
    let before = window.state().project().clone();
    window.key_press(Key::ArrowRight);
    ready(window);
    let after = window.state().project().clone();
    assert_ne!(before, after);
    after
}

fn save(window: &mut Window<'_>) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::S);
    ready(window);
}

fn on_disk(file: &Path) -> Project {
    document::open(file).unwrap().0
}

fn says(window: &Window<'_>, words: &str) -> bool {
    window.query_all_by_label_contains(words).next().is_some()
}

/// Saving is refused in these words; the file is what it was and nothing stray is left beside it; work goes on.
fn refused(window: &mut Window<'_>, file: &Path, words: &str) {
    let before = std::fs::read(file).unwrap();
    let mine = window.state().project().clone();
    save(window);
    assert!(says(window, words), "not said: {words}");
    let close = ["Close", "Cancel"].into_iter().find(|label| window.query_by_label(label).is_some());
    click(window, close.unwrap());
    assert_eq!(std::fs::read(file).unwrap(), before);
    let strays = std::fs::read_dir(file.parent().unwrap()).unwrap().flatten();
    let strays: Vec<_> =
        strays.map(|e| e.file_name()).filter(|n| n.to_string_lossy().ends_with(".part")).collect();
    assert!(strays.is_empty(), "{strays:?}");
    assert_eq!(window.state().project(), &mine);
    nudge(window);
}

/// Saving works again, and what is on the disk is the work.
fn saved(window: &mut Window<'_>, file: &Path) {
    save(window);
    let name = file.file_name().unwrap().to_string_lossy().into_owned();
    assert!(window.query_all_by_label(&name).next().is_some());
    assert_eq!(&on_disk(file), &**window.state().project());
}

fn fill(folder: &Path) -> PathBuf {
    let filler = folder.join("filler");
    let mut size = 512 * 1024;
    while size > 0 {
        let old = std::fs::read(&filler).unwrap_or_default();
        if std::fs::write(&filler, vec![b'x'; old.len() + size]).is_err() {
            let _ = std::fs::write(&filler, &old);
            size /= 2;
        }
    }
    filler
}

#[test]
fn on_a_full_disk_the_old_file_stays_and_work_is_saved_when_there_is_room() {
    in_place("on_a_full_disk_the_old_file_stays_and_work_is_saved_when_there_is_room", SMALL_DISK, |place| {
        let file = place.small().join("tray.ron");
        let mut window = open(place, &file);
        nudge(&mut window);
        saved(&mut window, &file);
        nudge(&mut window);
        let filler = fill(&place.small());
        refused(&mut window, &file, "the disk is full");
        std::fs::remove_file(filler).unwrap();
        saved(&mut window, &file);
    });
}

#[test]
fn a_recovery_journal_on_a_full_disk_is_said_and_taken_up_again() {
    in_place("a_recovery_journal_on_a_full_disk_is_said_and_taken_up_again", SMALL_DISK, |place| {
        let recovery = place.small().join("own/recovery");
        let mut window = window_in(Some(place.small().join("own")), Some(place.shared().join("tray.ron")));
        click(&mut window, "Cup C1");
        let filler = fill(&place.small());
        let lost = "Unsaved work would not survive";
        // What is left of the last block takes some changes.
        for _ in 0..200 {
            if says(&window, lost) {
                break;
            }
            nudge(&mut window);
        }
        assert!(says(&window, lost));
        nudge(&mut window);
        std::fs::remove_file(filler).unwrap();
        let mine = nudge(&mut window);
        assert!(says(&window, "Unsaved work survives"));
        drop(window);
        let [journal] = Journal::left_behind(&recovery).try_into().unwrap();
        assert_eq!(Journal::recover(&journal).unwrap().project, *mine);
        // Work from last time that can be kept nowhere else stays in the journal it was found in.
        let filler = fill(&place.small());
        let mut window = window_in(Some(place.small().join("own")), None);
        click(&mut window, "Recover");
        assert_eq!(window.state().project(), &mine);
        assert!(says(&window, "Changes would not survive"));
        drop(window);
        std::fs::remove_file(filler).unwrap();
        let kept = Journal::left_behind(&recovery).into_iter().filter_map(|j| Journal::recover(&j).ok());
        assert!(kept.map(|found| found.project).any(|project| project == *mine));
    });
}

#[test]
fn a_file_beyond_the_limit_of_the_system_is_refused_and_the_old_one_stays() {
    let limited = r#"trap "" XFSZ; ulimit -f 2 || exit 77; exec "$0" --exact "$1" --nocapture"#;
    in_place("a_file_beyond_the_limit_of_the_system_is_refused_and_the_old_one_stays", limited, |place| {
        let file = place.shared().join("tray.ron");
        assert!(std::fs::metadata(&file).unwrap().len() > 2 * 1024);
        let mut window = open(place, &file);
        nudge(&mut window);
        refused(&mut window, &file, "cannot write");
    });
}

#[test]
fn in_a_read_only_folder_the_file_stays_and_work_is_saved_elsewhere() {
    let read_only = format!("export READ_ONLY=yes\n{SMALL_DISK}");
    in_place("in_a_read_only_folder_the_file_stays_and_work_is_saved_elsewhere", &read_only, |place| {
        let file = place.small().join("tray.ron");
        let mut window = open(place, &file);
        nudge(&mut window);
        refused(&mut window, &file, "read-only");
        window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
        ready(&mut window);
        let elsewhere = place.shared().join("elsewhere.ron");
        crate::hands::type_into(&mut window, "Path of the file", elsewhere.to_str().unwrap());
        saved(&mut window, &elsewhere);
    });
}

/// Root may do anything: as a user who is nobody, or as whoever runs the tests.
const NOBODY: &str = r#"
chmod 755 "$FAULTS_FOLDER" && chmod 777 "$FAULTS_FOLDER/own" && chmod 555 "$FAULTS_FOLDER/shared" || exit 77
chmod 644 "$FAULTS_FOLDER/shared/tray.ron"
cp "$FAULTS_FOLDER/shared/tray.ron" "$FAULTS_FOLDER/small/unreadable.ron" && chmod 200 "$FAULTS_FOLDER/small/unreadable.ron"
cp "$FAULTS_FOLDER/shared/tray.ron" "$FAULTS_FOLDER/own/protected.ron" && chmod 444 "$FAULTS_FOLDER/own/protected.ron"
if [ "$(id -u)" != 0 ]; then exec "$0" --exact "$1" --nocapture; fi
nobody="setpriv --reuid=65534 --regid=65534 --clear-groups"
$nobody test -x "$0" || { echo "nobody may not run the test, or there is no setpriv"; exit 77; }
HOME=/ exec $nobody "$0" --exact "$1" --nocapture
"#;

#[test]
fn what_may_not_be_written_or_read_is_said_and_stays() {
    in_place("what_may_not_be_written_or_read_is_said_and_stays", NOBODY, |place| {
        let file = place.shared().join("tray.ron");
        let mut window = open(place, &file);
        nudge(&mut window);
        refused(&mut window, &file, "no permission to write");
        let protected = place.own().join("protected.ron");
        let mut window = open(place, &protected);
        nudge(&mut window);
        refused(&mut window, &protected, "write-protected");
        let window = window_in(Some(place.own()), Some(place.small().join("unreadable.ron")));
        assert!(says(&window, "no permission to read"));
    });
}

#[test]
fn with_its_folder_gone_the_work_stays_and_is_saved_when_it_is_back() {
    let folder = tempfile::tempdir().unwrap();
    Place::make(folder.path());
    let place = Place(folder.path().to_owned());
    let (shared, away) = (place.shared(), folder.path().join("away"));
    let file = shared.join("tray.ron");
    let mut window = open(&place, &file);
    let mine = nudge(&mut window);
    std::fs::rename(&shared, &away).unwrap();
    save(&mut window);
    assert!(says(&window, "does not exist"));
    let close = ["Close", "Cancel"].into_iter().find(|label| window.query_by_label(label).is_some());
    click(&mut window, close.unwrap());
    assert_eq!(window.state().project(), &mine);
    assert!(!shared.exists(), "a folder that is gone is not made anew in its place");
    assert_ne!(on_disk(&away.join("tray.ron")), *mine);
    std::fs::rename(&away, &shared).unwrap();
    nudge(&mut window);
    saved(&mut window, &file);
}
