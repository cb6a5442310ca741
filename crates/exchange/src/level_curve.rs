//! A recorded curve of level against time, as text: two columns, pasted or from a table.

use crate::{
    RowProblem,
    csv_in::{Marks, in_figure},
};
use units::{Quantity, UnitChoice, Worded, parse};

/// More points than a trial's curve needs.
const MOST_POINTS: usize = 5000;
/// A wrong table is wrong on every line.
const MOST_PROBLEMS: usize = 20;

/// Reads time and level, one point a line, with tabs, semicolons, commas or blanks between and a decimal point or comma. A
/// first line of names may say the units, `time (ms); level (mbar)`; a figure may bear its own, `0.5 s, 40 kPa`; without either,
/// time is in seconds and the level in the unit picked. Blank lines and those that start with `#` are skipped.
///
/// # Units
/// Gives s and kPa.
///
/// # Errors
/// Every line that cannot be read or breaks the order, at most twenty of them; fewer than two points; more than 5000.
///
/// ```
/// let units = units::UnitChoice::default();
/// let curve = exchange::read_level_curve("time [ms];level [mbar]\n0;0\n250;310,5\n", &units);
/// assert_eq!(curve, Ok(vec![(0.0, 0.0), (0.25, 31.05)])); // s, kPa
/// let problems = exchange::read_level_curve("0, 0\n0.4, 31\n0.3, 40", &units).unwrap_err();
/// assert_eq!(problems[0].line, 3);
/// assert_eq!(problems[0].says.to_string(), "the time 0.3 s comes after 0.4 s; sort the points by time");
/// ```
pub fn read_level_curve(text: &str, units: &UnitChoice) -> Result<Vec<(f64, f64)>, Vec<RowProblem>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut problems = Vec::new();
    let mut points: Vec<(f64, f64)> = Vec::new();
    let split: Vec<Vec<String>> = text.lines().map(|row| fields(row.trim())).collect();
    let marks = Marks::within(split.iter().flatten().map(String::as_str));
    let mut named = Named::default();
    let mut first = true;
    for ((line, row), fields) in (1..).zip(text.lines()).zip(split) {
        let row = row.trim();
        if row.is_empty() || row.starts_with('#') {
            continue;
        }
        let head = std::mem::take(&mut first) && fields.iter().all(|f| !starts_a_figure(f));
        let read = if head {
            Named::of(&fields).map(|found| named = found)
        } else {
            point(&fields, &named, (units, marks), points.last().copied()).map(|point| points.push(point))
        };
        if let Err((column, says)) = read {
            problems.push(RowProblem { line, column: column.to_owned(), says });
        }
        if points.len() > MOST_POINTS {
            let says = format!("more than {MOST_POINTS} points; keep every second or tenth of them");
            problems.push(RowProblem { line, column: String::new(), says: says.into() });
        }
        if problems.len() >= MOST_PROBLEMS || points.len() > MOST_POINTS {
            return Err(problems);
        }
    }
    if problems.is_empty() && points.len() < 2 {
        let says = "a curve needs at least two points, each with a time and a level".into();
        problems.push(RowProblem { line: 1, column: String::new(), says });
    }
    if problems.is_empty() { Ok(points) } else { Err(problems) }
}

/// Column and what is wrong with it.
type Wrong = (&'static str, Worded);

/// Units that the first line names; empty where it names none.
#[derive(Debug, Default)]
struct Named {
    time: String,
    level: String,
}

impl Named {
    fn of(fields: &[String]) -> Result<Self, Wrong> {
        let [time, level] = fields else { return Err(count(fields)) };
        let time = unit_in(time, Quantity::Time).map_err(|says| ("time", says.into()))?;
        let level = unit_in(level, Quantity::VacuumLevel).map_err(|says| ("level", says.into()))?;
        Ok(Self { time, level })
    }
}

fn count(fields: &[String]) -> Wrong {
    let says = match fields.len() {
        0 | 1 => "a time and a level are needed; put a tab, a semicolon or a comma between".to_owned(),
        n => format!("there are {n} values; keep the time and one level"),
    };
    ("", says.into())
}

/// The unit at the end of a column's name: "level (mbar)", "time, s".
fn unit_in(name: &str, quantity: Quantity) -> Result<String, String> {
    let bracket = |open: char, close: char| {
        let inside = name.split_once(open)?.1;
        Some(inside.split_once(close).map_or(inside, |(unit, _)| unit).trim().to_owned())
    };
    let reads = |unit: &str| parse(&format!("1 {unit}"), quantity, &UnitChoice::default());
    if let Some(unit) = bracket('(', ')').or_else(|| bracket('[', ']')) {
        return reads(&unit).map(|_| unit).map_err(|e| format!("the unit of \"{name}\" cannot be read: {e}"));
    }
    let last = name.split_whitespace().next_back().unwrap_or_default();
    Ok(if name.contains(' ') && reads(last).is_ok() { last.to_owned() } else { String::new() })
}

fn point(
    fields: &[String],
    named: &Named,
    (units, marks): (&UnitChoice, Marks),
    before: Option<(f64, f64)>,
) -> Result<(f64, f64), Wrong> {
    let [time, level] = fields else { return Err(count(fields)) };
    let read = |text: &str, unit: &str, quantity| {
        let units = marks.choice(text, units)?;
        let bare = text.chars().all(|c| !c.is_alphabetic() || c == 'e' || c == 'E');
        let text = if bare { format!("{text} {unit}") } else { text.to_owned() };
        parse(&text, quantity, &units).map_err(|e| e.to_string())
    };
    let time_s = read(time, &named.time, Quantity::Time).map_err(|says| ("time", says.into()))?;
    let kpa = read(level, &named.level, Quantity::VacuumLevel).map_err(|says| ("level", says.into()))?;
    if time_s < 0.0 {
        return Err((
            "time",
            format!("the time {time_s} s is before the source was switched; start at 0").into(),
        ));
    }
    if let Some((last, _)) = before.filter(|(last, _)| time_s <= *last) {
        let says = format!("the time {time_s} s comes after {last} s; sort the points by time");
        return Err(("time", says.into()));
    }
    let outside = units::standard_atmosphere(0.0).kpa();
    if kpa >= outside {
        let level = (units::tidied((kpa * 10.0).round() / 10.0), Quantity::VacuumLevel).into();
        return Err(("level", Worded::new("{} is no level below the atmosphere; check the unit", [level])));
    }
    Ok((time_s, kpa))
}

fn starts_a_figure(field: &str) -> bool {
    field.starts_with(|c: char| in_figure(c) && !c.is_alphabetic())
}

/// Whether blanks part two figures without units: "0,5 40,5".
fn of_two_bare_figures(row: &str) -> bool {
    let figure = |f: &str| f.chars().all(in_figure) && !f.starts_with(',') && !f.ends_with(',');
    row.split_whitespace().count() == 2 && row.split_whitespace().all(figure)
}

/// Fields of a line. A comma parts them unless something else does; then it is a decimal comma.
fn fields(row: &str) -> Vec<String> {
    let split: Vec<&str> = if row.contains('\t') {
        row.split('\t').collect()
    } else if row.contains(';') {
        row.split(';').collect()
    } else if row.contains(',') && !of_two_bare_figures(row) {
        row.split(',').collect()
    } else {
        row.split_whitespace().collect()
    };
    let clean = split.into_iter().map(|f| f.trim().trim_matches('"').trim().to_owned());
    let mut fields: Vec<String> = clean.collect();
    // A separator at the end of the line starts no field.
    while fields.last().is_some_and(String::is_empty) {
        fields.pop();
    }
    fields
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use units::PressureUnit;

    fn read(text: &str) -> Result<Vec<(f64, f64)>, Vec<RowProblem>> {
        read_level_curve(text, &UnitChoice::default())
    }

    fn refused(text: &str) -> (u64, String) {
        let problem = read(text).expect_err(text).remove(0);
        (problem.line, problem.says.to_string())
    }

    #[test]
    fn separators_headers_and_units_are_told_apart() {
        let curve = Ok(vec![(0.0, 0.0), (0.5, 40.5)]);
        for text in [
            "0 0\n0.5 40.5",
            "0\t0\n0,5\t40,5",
            "0;0\n0,5;40,5;",
            "0,0\n0.5,40.5",
            "0, 0\n0.5, 40.5",
            // As a gauge below the atmosphere shows it.
            "0, 0\n0.5, -40.5",
            "0,0 0\n0,5 40,5",
            "time, level\n0, 0\n0.5, 40.5",
            "time s,level kPa\n0,0\n0.5,40.5",
            "0 ,0\n0.5 ,40.5",
            "# as recorded\n\n\"time s\";\"level kPa\"\n\"0\";\"0\"\n\"0.5\";\"40.5\"\n",
            "t (ms)\tvacuum (mbar)\n0\t0\n500\t405",
            "0 s, 0 kPa\n500 ms, 0.405 bar",
        ] {
            assert_eq!(read(text), curve, "{text}");
        }
        let mercury = UnitChoice { pressure: PressureUnit::InchMercury, ..UnitChoice::default() };
        let points = read_level_curve("0 0\n1 10", &mercury).expect("a curve");
        assert!((points[1].1 - 33.863_886).abs() < 1e-5, "{points:?}");
    }

    /// A logger writes thousandths; whoever prefers a point still reads it.
    #[test]
    fn a_comma_between_digits_is_decimal_where_something_else_parts_the_fields() {
        for units in [false, true].map(|decimal_comma| UnitChoice { decimal_comma, ..UnitChoice::default() })
        {
            let read = |text| read_level_curve(text, &units);
            assert_eq!(read("0,000;0,0\n1,234;40,125\n"), Ok(vec![(0.0, 0.0), (1.234, 40.125)]));
            assert_eq!(read("0.000;0.0\n1.234;40.125\n"), Ok(vec![(0.0, 0.0), (1.234, 40.125)]));
            let problem = read("0,5;0\n1.500;40\n").expect_err("a point that may part thousands").remove(0);
            assert_eq!((problem.line, problem.column.as_str()), (2, "time"));
            assert!(problem.says.to_string().contains("may mean 1500 or 1,500"), "{}", problem.says);
        }
    }

    #[test]
    fn what_is_wrong_is_said_with_its_line() {
        assert_eq!(refused("0, 0\n\n0.5, 400").0, 3);
        assert!(refused("0, 0\n0.5, 400").1.contains("check the unit"));
        assert!(refused("0, 0\n0.5, x").1.contains('x'));
        assert!(refused("0, 0, 0\n1, 1, 1").1.contains("3 values"));
        assert!(refused("0, 0").1.contains("at least two points"));
        assert!(refused("").1.contains("at least two points"));
        assert!(refused("time (kg), level\n0, 0\n1, 1").1.contains("kg"));
        assert_eq!(read(&"x y\n".repeat(100)).expect_err("no figures").len(), MOST_PROBLEMS);
        let long: String = (0..=MOST_POINTS).map(|i| format!("{i} 1\n")).collect();
        assert!(refused(&long).1.contains("every second"));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(64))]
        #[test]
        fn whatever_is_pasted_gives_points_in_order_or_problems(text in "[0-9a-z .,;\\t\\n\"-]{0,80}") {
            if let Ok(points) = read(&text) {
                prop_assert!(points.len() >= 2);
                prop_assert!(points.windows(2).all(|pair| pair[0].0 < pair[1].0));
                prop_assert!(points.iter().all(|(s, kpa)| s.is_finite() && kpa.is_finite() && *kpa >= 0.0));
            }
        }
    }
}
