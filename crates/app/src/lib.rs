//! Cupwright in its window and on the command line.
//!
//! The app holds no formula and no file format: it shows [`analysis::Report`]s and sends [`document::Edit`]s.

mod alternatives;
mod answers;
mod app;
mod arrange;
mod aside;
mod bending;
mod chart;
mod circuits;
pub mod cli;
pub mod command;
mod cup_picture;
mod demos;
mod dialogs;
mod edges;
mod errand;
mod fields;
pub mod files;
mod model_row;
mod offers;
mod outputs;
mod panels;
mod perform;
pub mod plan;
mod prefs;
mod propose;
mod recovery;
mod review;
mod seats;
mod session;
mod sharing;
mod shortcuts;
mod slow;
mod start;
mod tables;
pub mod theme;
pub mod view;
mod widgets;
mod writing;

pub use app::{Cupwright, Setup};
pub use files::OpenFile;
pub use outputs::{Output, OutputError};
pub use start::DEMOS;

/// Today where the person is, as an ISO 8601 date.
pub fn today() -> String {
    chrono::Local::now().date_naive().to_string()
}

/// Today where the person is, for an archive.
pub(crate) fn this_day() -> sheet::Day {
    use chrono::Datelike as _;
    let today = chrono::Local::now().date_naive();
    let year = u16::try_from(today.year()).unwrap_or(0);
    let [month, day] = [today.month(), today.day()].map(|part| u8::try_from(part).unwrap_or(1));
    sheet::Day { year, month, day }
}

/// Now where the person is, "2026-11-25 10:42".
pub(crate) fn now() -> String {
    chrono::Local::now().format("%Y-%m-%d %H:%M").to_string()
}

/// Opens the window and stays until it is closed.
///
/// # Errors
/// What the desktop said when there is no display or no OpenGL.
pub fn run_window(open: Option<std::path::PathBuf>) -> Result<(), String> {
    run(open, |_| ())
}

/// As [`run_window`], with a file to be reviewed, set beside another one if that is named.
///
/// # Errors
/// As [`run_window`].
pub fn run_review(file: std::path::PathBuf, beside: Option<std::path::PathBuf>) -> Result<(), String> {
    run(None, move |app| app.review_file(&file, beside.as_deref()))
}

fn run(open: Option<std::path::PathBuf>, then: impl FnOnce(&mut Cupwright) + 'static) -> Result<(), String> {
    let icon = eframe::icon_data::from_png_bytes(include_bytes!("../../../assets/icon.png"))
        .map_err(|e| e.to_string())?;
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Cupwright")
            .with_app_id("cupwright")
            .with_inner_size([1440.0, 900.0])
            // A screen of 1280 x 800 at 150 % has 853 x 533 points, less what the desktop keeps.
            .with_min_inner_size([800.0, 480.0])
            .with_icon(icon),
        ..Default::default()
    };
    let folder = directories::ProjectDirs::from("", "", "cupwright").map(|d| d.config_dir().to_owned());
    let setup = Setup { picker: Box::new(files::DesktopPicker), folder, open };
    let create = |_: &eframe::CreationContext<'_>| -> Result<Box<dyn eframe::App>, _> {
        let mut app = Cupwright::new(setup);
        then(&mut app);
        Ok(Box::new(Window(app)))
    };
    eframe::run_native("Cupwright", options, Box::new(create)).map_err(|e| e.to_string())
}

struct Window(Cupwright);

impl eframe::App for Window {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.0.ui(ui);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.0.closed();
    }
}
