//! What a person prefers, apart from any project: one small versioned file that can be deleted at any time.

use serde::{Deserialize, Serialize};
use std::{
    io::Write as _,
    path::{Path, PathBuf},
};
use units::{AccelerationUnit, FlowUnit, ForceUnit, LengthUnit, MassUnit, PressureUnit, UnitChoice};

/// Light, dark, or what the desktop says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
pub enum Shade {
    /// Follow the desktop.
    #[default]
    Desktop,
    /// Paper.
    Light,
    /// Slate.
    Dark,
}

/// Kept between starts.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct Prefs {
    /// Raised when a field changes its meaning; an unknown version starts afresh.
    pub version: u32,
    /// Light or dark.
    pub shade: Shade,
    /// Text size over the normal one.
    pub text_size: f32,
    /// Menu positions of the units of length, pressure, force, mass, acceleration and flow.
    pub units: [u8; 6],
    /// Decimal comma.
    pub decimal_comma: bool,
    /// Newest first.
    pub recent: Vec<PathBuf>,
    /// Grid on the plan.
    pub grid: bool,
    /// Snap while dragging.
    pub snap: bool,
    /// Step of the grid, mm; `None` is the usual one of the unit of length.
    pub grid_step_mm: Option<f64>,
    /// Loads on the cups.
    pub loads: bool,
    /// First steps were read.
    pub guide_read: bool,
    /// The name the person goes by in remarks, decisions and notes.
    pub person: String,
    /// Where the edges of the panels were left, and which are folded.
    pub edges: crate::edges::Edges,
}

/// This program's version of the file.
const VERSION: u32 = 1;
/// Least and largest step of the grid, mm.
pub const LEAST_STEP: f64 = 0.01;
/// See [`LEAST_STEP`].
pub const MOST_STEP: f64 = 1000.0;
/// How many recent files are kept.
const RECENT: usize = 10;

impl Default for Prefs {
    fn default() -> Self {
        Self {
            version: VERSION,
            shade: Shade::Desktop,
            text_size: 1.0,
            units: [0; 6],
            decimal_comma: false,
            recent: Vec::new(),
            grid: true,
            snap: true,
            grid_step_mm: None,
            loads: true,
            guide_read: false,
            person: std::env::var("USER").or_else(|_| std::env::var("USERNAME")).unwrap_or_default(),
            edges: crate::edges::Edges::default(),
        }
    }
}

fn pick<T: Copy>(all: &[T], at: u8) -> T {
    all[usize::from(at).min(all.len() - 1)]
}

fn place<T: PartialEq>(all: &[T], value: &T) -> u8 {
    all.iter().position(|v| v == value).and_then(|at| u8::try_from(at).ok()).unwrap_or(0)
}

impl Prefs {
    /// Reads the file; anything unreadable gives the defaults, since nothing a person made is in it.
    pub fn read(file: &Path) -> Self {
        std::fs::read_to_string(file)
            .ok()
            .and_then(|text| ron::from_str::<Self>(&text).ok())
            .filter(|prefs| prefs.version == VERSION)
            .map(|mut prefs| {
                prefs.text_size =
                    if prefs.text_size.is_finite() { prefs.text_size.clamp(0.75, 2.0) } else { 1.0 };
                prefs.recent.truncate(RECENT);
                prefs
            })
            .unwrap_or_default()
    }

    /// Writes the file through a temporary one; a failure is only worth a log line.
    pub fn write(&self, file: &Path) {
        let attempt = || -> std::io::Result<()> {
            let folder = file.parent().unwrap_or(Path::new("."));
            std::fs::create_dir_all(folder)?;
            let text = ron::ser::to_string_pretty(self, ron::ser::PrettyConfig::default())
                .map_err(std::io::Error::other)?;
            let mut temporary = tempfile::NamedTempFile::new_in(folder)?;
            temporary.write_all(text.as_bytes())?;
            temporary.persist(file).map_err(|e| e.error)?;
            Ok(())
        };
        if let Err(error) = attempt() {
            log::warn!("could not keep the preferences: {error}: {}", file.display());
        }
    }

    /// The units as the program uses them.
    pub fn unit_choice(&self) -> UnitChoice {
        UnitChoice {
            length: pick(&LengthUnit::ALL, self.units[0]),
            pressure: pick(&PressureUnit::ALL, self.units[1]),
            force: pick(&ForceUnit::ALL, self.units[2]),
            mass: pick(&MassUnit::ALL, self.units[3]),
            acceleration: pick(&AccelerationUnit::ALL, self.units[4]),
            flow: pick(&FlowUnit::ALL, self.units[5]),
            decimal_comma: self.decimal_comma,
        }
    }

    /// Step of the grid, mm.
    pub fn step_mm(&self) -> f64 {
        let stated = self.grid_step_mm.filter(|step| (LEAST_STEP..=MOST_STEP).contains(step));
        stated.unwrap_or_else(|| crate::plan::usual_step(self.unit_choice().length))
    }

    /// Keeps the units.
    pub fn set_units(&mut self, units: &UnitChoice) {
        self.units = [
            place(&LengthUnit::ALL, &units.length),
            place(&PressureUnit::ALL, &units.pressure),
            place(&ForceUnit::ALL, &units.force),
            place(&MassUnit::ALL, &units.mass),
            place(&AccelerationUnit::ALL, &units.acceleration),
            place(&FlowUnit::ALL, &units.flow),
        ];
        self.decimal_comma = units.decimal_comma;
    }

    /// Puts a file at the head of the recent ones.
    pub fn opened(&mut self, path: &Path) {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        self.recent.retain(|p| p != &path);
        self.recent.insert(0, path);
        self.recent.truncate(RECENT);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prefs_come_back_and_a_strange_file_gives_the_defaults() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("deep/prefs.ron");
        let mut prefs = Prefs { text_size: 1.25, grid: false, ..Prefs::default() };
        let units = UnitChoice {
            length: LengthUnit::Inch,
            force: ForceUnit::PoundForce,
            decimal_comma: true,
            ..UnitChoice::default()
        };
        prefs.set_units(&units);
        prefs.opened(Path::new("/a.ron"));
        prefs.opened(Path::new("/b.ron"));
        prefs.opened(Path::new("/a.ron"));
        prefs.write(&file);
        let back = Prefs::read(&file);
        assert_eq!(back, prefs);
        assert_eq!(back.unit_choice(), units);
        assert_eq!(back.recent, [PathBuf::from("/a.ron"), PathBuf::from("/b.ron")]);
        std::fs::write(&file, "not ron at all {{{").unwrap();
        assert_eq!(Prefs::read(&file), Prefs::default());
        std::fs::write(&file, "(version: 99)").unwrap();
        assert_eq!(Prefs::read(&file), Prefs::default());
    }
}
