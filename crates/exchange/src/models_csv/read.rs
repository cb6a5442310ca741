//! CSV -> cup models.

use super::columns::{Column, NEEDED, header};
use crate::csv_in::{self, Marks, RowProblem, slug};
use document::{CupModel, LipKind, ModelId, Sourced, Texture};
use geometry::LipShape;
use std::collections::HashSet;
use units::{Quantity, Worded};

/// Most rows that are read; a table of cup models has hundreds.
const MOST_ROWS: usize = 100_000;
/// Free height under a cup that is drawn down, where the table does not say, mm.
const ASSUMED_CHANNEL_MM: f64 = 2.0;
/// Line force that a lip needs where the table does not say, N/mm, as for a plain lip of medium hardness (invented,
/// like the built-in library).
const ASSUMED_SEAL_MINIMUM: f64 = 0.012;

/// Cup models from a CSV table with units in the header; good rows come through, bad ones are reported.
///
/// Blanks around a cell count for nothing, in quotation marks or not: people and spreadsheets pad cells, and a name that
/// differs from another by a blank at its end only is read as the same. Those within stay.
///
/// Figures given in the table are marked as stated, those left out as assumed.
///
/// # Units
/// As each header says; mm, N/mm, g where it says none.
///
/// ```
/// let table = "name;shape;diameter mm;bore mm;height mm;travel mm;axial N/mm;lateral N/mm;hardness Shore A\n\
///              Demo 30;round;30;3;17,5;2;16;9,1;50\n\
///              Demo 40;round;forty;4;20;3;20;11;50\n";
/// let (models, problems) = exchange::read_models_csv(table);
/// assert_eq!(models[0].height_mm, 17.5); // mm
/// assert_eq!((problems[0].line, problems[0].column.as_str()), (3, "diameter mm"));
/// let (padded, _) = exchange::read_models_csv(&table.replace("Demo 30", "\"  Demo  30 \""));
/// assert_eq!(padded[0].name, "Demo  30");
/// ```
#[must_use]
pub fn read_models_csv(text: &str) -> (Vec<CupModel>, Vec<RowProblem>) {
    let text = csv_in::without_mark(text);
    let marks = Marks::of(text);
    let mut problems = Vec::new();
    let mut reader = csv_in::rows(text, marks);
    let mut rows = reader.records();
    let whole = |line: u64, says: String| RowProblem { line, column: String::new(), says: says.into() };
    let Some(first) = rows.next() else {
        return (
            Vec::new(),
            vec![whole(1, "the table is empty; its first row names the columns".to_owned())],
        );
    };
    let columns = match first {
        Ok(record) => csv_in::headers(&record, header, &mut problems),
        Err(e) => return (Vec::new(), vec![whole(1, format!("the first row cannot be read: {e}"))]),
    };
    let there: HashSet<Column> = columns.iter().flatten().map(|f| f.column).collect();
    let missing: Vec<&str> = NEEDED.iter().filter(|c| !there.contains(c)).map(|c| c.header()).collect();
    if !missing.is_empty() {
        problems.push(whole(
            1,
            format!("needed columns are missing: {}; add them, with their units", missing.join(", ")),
        ));
        return (Vec::new(), problems);
    }
    let (mut models, mut ids): (Vec<CupModel>, HashSet<String>) = (Vec::new(), HashSet::new());
    for (count, row) in rows.enumerate() {
        let record = match row {
            Ok(record) => record,
            Err(e) => {
                let line = csv_in::line_of(e.position(), count);
                problems.push(whole(line, format!("the row cannot be read: {e}")));
                continue;
            }
        };
        let line = csv_in::line_of(record.position(), count);
        let record = csv_in::as_meant(&record);
        if count >= MOST_ROWS {
            problems.push(whole(line, format!("only the first {MOST_ROWS} rows are read; split the table")));
            break;
        }
        if record.iter().all(str::is_empty) {
            continue;
        }
        let mut row = Row { columns: &columns, record: &record, line, marks, problems: Vec::new() };
        if record.len() > columns.len() {
            row.say(
                "",
                "has more fields than the header; quote fields that contain the separator".to_owned(),
            );
        }
        let model = row.model();
        match model {
            Some(model) if row.problems.is_empty() => {
                if ids.insert(model.id.to_string()) {
                    models.push(model);
                } else {
                    let says = format!(
                        "model \"{}\" is already in a row above; give it another name or id",
                        model.id
                    );
                    problems.push(RowProblem { line, column: "name".to_owned(), says: says.into() });
                }
            }
            _ => problems.append(&mut row.problems),
        }
    }
    (models, problems)
}

type Row<'a> = csv_in::Row<'a, Column>;

impl Row<'_> {
    fn text(&mut self, column: Column) -> Option<String> {
        let text = self.cell(column).map(|(_, text)| text.to_owned());
        if text.is_none() && NEEDED.contains(&column) {
            self.say(column.header(), format!("{} is empty; fill it in", column.header()));
        }
        text
    }

    /// A figure that makes sense, in the own unit; a needed one that is missing is a problem.
    fn figure(&mut self, column: Column) -> Option<f64> {
        let (least, most) = column.range();
        let Some((found, text)) = self.cell(column) else {
            self.text(column);
            return None;
        };
        let measure = column.measure();
        // "Shore A" and the like behind the name of a plain number is no unit to convert.
        let unit = if measure.own_unit().is_empty() { "" } else { &found.unit };
        match measure.read(text, unit, self.marks) {
            Ok(value) if value >= least && value <= most => Some(value),
            Ok(value) => {
                let says = csv_in::out_of_range(text, value, least, most, measure.own_unit());
                self.say(&found.title, says);
                None
            }
            Err(says) => {
                self.say(&found.title, says);
                None
            }
        }
    }

    /// A figure that is assumed when it is not given.
    fn sourced(&mut self, column: Column, assumed: f64) -> Sourced<f64> {
        match self.figure(column) {
            Some(value) => Sourced::stated(value),
            None => Sourced::assumed(assumed),
        }
    }

    fn needed(&mut self, column: Column) -> f64 {
        self.figure(column).unwrap_or(f64::NAN)
    }

    fn shape(&mut self) -> Option<LipShape> {
        let shape = self.text(Column::Shape)?.to_lowercase();
        let length = self.figure(Column::Length);
        let across = |row: &mut Self| {
            let width = row.figure(Column::Width);
            if width.is_none() && row.cell(Column::Width).is_none() {
                row.say(Column::Width.header(), format!("a {shape} cup needs a width; fill it in"));
            }
            width
        };
        let shape = match shape.as_str() {
            "round" => LipShape::Round { diameter: length? },
            "long" | "oval" => LipShape::Long { width: across(self)?, length: length? },
            "rectangle" | "rectangular" => {
                let width = across(self)?;
                let corner = self.figure(Column::Corner).unwrap_or(0.0);
                LipShape::Rectangle { length: length?, width, corner }
            }
            _ => {
                let says = format!("\"{shape}\" is no shape; use round, long or rectangle");
                self.say(Column::Shape.header(), says);
                return None;
            }
        };
        match shape {
            LipShape::Long { length, width } | LipShape::Rectangle { length, width, .. }
                if width > length =>
            {
                self.say(
                    Column::Width.header(),
                    Worded::new(
                        "width {} is more than the length; swap them",
                        [(width, Quantity::Length).into()],
                    ),
                );
            }
            LipShape::Rectangle { width, corner, .. } if corner > width / 2.0 => {
                let says = Worded::new(
                    "corner {} is more than half the width; use long for a round end",
                    [(corner, Quantity::Length).into()],
                );
                self.say(Column::Corner.header(), says);
            }
            _ => {}
        }
        Some(shape)
    }

    fn lip(&mut self) -> LipKind {
        let Some((found, text)) = self.cell(Column::Lip) else { return LipKind::Plain };
        let title = found.title.clone();
        match text.to_lowercase().as_str() {
            "plain" | "plain lip" => LipKind::Plain,
            "thin film" | "film" | "soft thin lip" => LipKind::ThinFilm,
            "foam" | "foam ring" => LipKind::Foam,
            other => {
                self.say(&title, format!("\"{other}\" is no kind of lip; use plain, thin film or foam"));
                LipKind::Plain
            }
        }
    }

    fn allowed(&mut self) -> Vec<Texture> {
        let Some((found, text)) = self.cell(Column::Allowed) else { return vec![Texture::Smooth] };
        let title = found.title.clone();
        let mut out = Vec::new();
        for word in text.split(['+', '/', ',', ' ']).map(str::trim).filter(|w| !w.is_empty()) {
            let texture = match word.to_lowercase().as_str() {
                "smooth" => Texture::Smooth,
                "structured" => Texture::Structured,
                "porous" => Texture::Porous,
                "film" => Texture::Film,
                other => {
                    self.say(
                        &title,
                        format!("\"{other}\" is no surface; use smooth, structured, porous or film"),
                    );
                    continue;
                }
            };
            if !out.contains(&texture) {
                out.push(texture);
            }
        }
        out
    }

    fn model(&mut self) -> Option<CupModel> {
        let name = self.text(Column::Name);
        let shape = self.shape();
        let folds = self.figure(Column::Folds).unwrap_or(0.0);
        if folds.fract() != 0.0 {
            self.say(Column::Folds.header(), format!("{folds} is no whole number of folds"));
        }
        // Bellows give way when tilted; half for every fold is an assumption, marked as such.
        let assumed_tilt = 0.5f64.powf(folds);
        let lip = self.lip();
        let model = CupModel {
            sealing_share: self.sourced(Column::SealingShare, 0.9),
            bore_mm: self.needed(Column::Bore),
            height_mm: self.needed(Column::Height),
            travel_mm: Sourced::stated(self.needed(Column::Travel)),
            channel_mm: self.sourced(Column::Channel, ASSUMED_CHANNEL_MM),
            free_ml: self.figure(Column::Free).map(Sourced::stated),
            folds: folds as u8,
            axial_n_mm: Sourced::stated(self.needed(Column::Axial)),
            lateral_n_mm: Sourced::stated(self.needed(Column::Lateral)),
            tilt_reduction: self.sourced(Column::TiltReduction, assumed_tilt),
            side_lever_mm: self.figure(Column::SideLever).map(Sourced::stated),
            lip_width_mm: self.figure(Column::LipWidth).map(Sourced::stated),
            hardness_shore_a: self.needed(Column::Hardness),
            lip,
            lip_life_picks: self.sourced(Column::LipLife, lip.life_picks()),
            seal_minimum_n_mm: self.sourced(Column::SealMinimum, ASSUMED_SEAL_MINIMUM),
            closes_mm: self.figure(Column::Closes).unwrap_or(0.0),
            allowed: self.allowed(),
            material: self.text(Column::Material).unwrap_or_default(),
            thread: self.text(Column::Thread).unwrap_or_default(),
            mass_g: self.figure(Column::Mass).unwrap_or(0.0),
            ..CupModel::unstated("".into(), "", shape.unwrap_or(LipShape::Round { diameter: 1.0 }))
        };
        let name = name?;
        shape?;
        let across = model.shape.size().min_element();
        if model.bore_mm >= across {
            let says = Worded::new(
                "bore {} is not less than the lip, {}",
                [model.bore_mm, across].map(|mm| (mm, Quantity::Length).into()),
            );
            self.say(Column::Bore.header(), says);
        }
        if model.travel_mm.value > model.height_mm {
            self.say(Column::Travel.header(), "travel is more than the height; check both".to_owned());
        }
        if model.side_lever().value > model.height_mm {
            let says = "the side-load lever is more than the height; check both".to_owned();
            self.say(Column::SideLever.header(), says);
        }
        let id = self.text(Column::Id).unwrap_or_else(|| slug(&name));
        if id.is_empty() {
            self.say(Column::Name.header(), "has no letter or digit to make an id from".to_owned());
        }
        Some(CupModel { id: ModelId::from(id.as_str()), name, ..model })
    }
}
