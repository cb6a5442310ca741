//! The files: bytes, positions, text.

use super::fixtures::all;
use super::pages::pages;
use crate::{Paper, to_pdf, to_png, to_svg};
use units::UnitChoice;

#[test]
fn writes_pictures_to_look_at() {
    let Some(folder) = std::env::var_os("CUPWRIGHT_SHEETS") else { return };
    let folder = std::path::PathBuf::from(folder);
    for fixture in all() {
        for (paper, inch) in [(Paper::A3, false), (Paper::A4, false), (Paper::Letter, true)] {
            let mut units = UnitChoice::default();
            if inch {
                units.length = units::LengthUnit::Inch;
            }
            let made = pages(&fixture, paper, units);
            let name = format!("{}-{paper:?}", fixture.name.replace(' ', "-"));
            std::fs::write(folder.join(format!("{name}.pdf")), to_pdf(&made, fixture.name).unwrap()).unwrap();
            if paper == Paper::A3 {
                std::fs::write(folder.join(format!("{name}.svg")), to_svg(&made[0])).unwrap();
                std::fs::write(folder.join(format!("{name}.png")), to_png(&made[0], 100.0).unwrap()).unwrap();
            }
        }
    }
}
