//! Cupwright in its window and on the command line.
//!
//! The app holds no formula and no file format: it shows [`analysis::Report`]s and sends [`document::Edit`]s.

mod app;
mod arrange;
pub mod cli;
pub mod command;
mod demos;
mod dialogs;
mod fields;
pub mod files;
mod outputs;
mod panels;
mod perform;
pub mod plan;
mod prefs;
mod session;
pub mod theme;
pub mod view;

pub use app::{Cupwright, OpenFile, Setup};
pub use outputs::{OutputError, write_sheet, write_whole};
pub use panels::severity_word;
pub use session::DEMOS;

/// Today as an ISO 8601 date (UTC), from the civil-from-days algorithm of the proleptic Gregorian calendar
/// (H. Hinnant, "chrono-compatible low-level date algorithms", from memory).
pub fn today() -> String {
    let seconds =
        std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).map_or(0, |d| d.as_secs());
    date_of_day(i64::try_from(seconds / 86_400).unwrap_or(0))
}

fn date_of_day(days_since_1970: i64) -> String {
    let z = days_since_1970 + 719_468;
    let era = z.div_euclid(146_097);
    let day_of_era = z.rem_euclid(146_097);
    let year_of_era = (day_of_era - day_of_era / 1_460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * shifted + 2) / 5 + 1;
    let month = if shifted < 10 { shifted + 3 } else { shifted - 9 };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    format!("{year:04}-{month:02}-{day:02}")
}

/// Opens the window and stays until it is closed.
///
/// # Errors
/// What the desktop said when there is no display or no OpenGL.
pub fn run_window(open: Option<std::path::PathBuf>) -> Result<(), String> {
    let icon = eframe::icon_data::from_png_bytes(include_bytes!("../../../assets/icon.png"))
        .map_err(|e| e.to_string())?;
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default()
            .with_title("Cupwright")
            .with_app_id("cupwright")
            .with_inner_size([1440.0, 900.0])
            .with_min_inner_size([960.0, 600.0])
            .with_icon(icon),
        ..Default::default()
    };
    let folder = directories::ProjectDirs::from("", "", "cupwright").map(|d| d.config_dir().to_owned());
    let setup = Setup { picker: Box::new(files::DesktopPicker), folder, open };
    eframe::run_native("Cupwright", options, Box::new(|_| Ok(Box::new(Window(Cupwright::new(setup))))))
        .map_err(|e| e.to_string())
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

#[cfg(test)]
mod tests {
    #[test]
    fn dates_come_out_right() {
        // Calendar facts: 2000-02-29 was day 11 016 after 1970-01-01, 2026-11-25 day 20 782.
        assert_eq!(super::date_of_day(0), "1970-01-01");
        assert_eq!(super::date_of_day(11_016), "2000-02-29");
        assert_eq!(super::date_of_day(20_782), "2026-11-25");
    }
}
