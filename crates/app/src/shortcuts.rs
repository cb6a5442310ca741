//! Every shortcut and what the mouse does, as one table: the dialog shows it, the page prints it.

use crate::{
    command::{Command, Group},
    plan,
};
use sheet::{KeyGroup, KeyRow};
use units::{Quantity, UnitChoice};

/// What hand and key do on the plan, which no command is called after: what is pressed, and what it does.
const ON_THE_PLAN: &[(&str, &str)] = &[
    ("Drag a cup", "moves it; Alt ignores the grid, Escape puts it back"),
    ("Drag the background", "selects what the box touches; Shift adds"),
    ("Click, Shift-click", "selects one; adds or removes one"),
    ("Middle or right button, or Space", "pans the plan"),
    ("Wheel", "zooms about the pointer"),
    ("[ and ]", "turn them by 15 degrees"),
    ("Escape", "ends the tool, then clears the selection"),
    ("Double click on a panel's edge", "folds the panel and unfolds it"),
    ("C, arrow keys, Enter", "place a cup by steps of the grid"),
];

/// The whole table: commands with keys by their groups, then hands on the plan.
pub(crate) fn groups(units: &UnitChoice) -> Vec<KeyGroup> {
    let with_keys = |group: Group| -> Vec<KeyRow> {
        Command::of(group)
            .filter_map(|command| {
                let keys = command.shortcut_name();
                let does = command.label().trim_end_matches('…').to_owned();
                (!keys.is_empty()).then_some(KeyRow { keys, does })
            })
            .collect()
    };
    let mut all: Vec<KeyGroup> = Group::ALL
        .into_iter()
        .map(|group| KeyGroup { name: group.label().to_owned(), rows: with_keys(group) })
        .filter(|group| !group.rows.is_empty())
        .collect();
    let mut rows: Vec<KeyRow> = ON_THE_PLAN
        .iter()
        .map(|(keys, does)| KeyRow { keys: (*keys).to_owned(), does: (*does).to_owned() })
        .collect();
    let step = plan::nudge_step(units.length);
    let by = |times: f64| units::show_given(units::tidied(times * step), Quantity::Length, units);
    let does = format!("move the selected cups by {}; Shift {}, Ctrl {}", by(1.0), by(10.0), by(0.1));
    rows.push(KeyRow { keys: "Arrow keys".to_owned(), does });
    all.push(KeyGroup { name: "On the plan".to_owned(), rows });
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_with_keys_stands_in_the_table_once() {
        let all = groups(&UnitChoice::default());
        for command in Command::all().filter(|command| command.shortcut().is_some()) {
            let label = command.label().trim_end_matches('…');
            let rows: Vec<&KeyRow> =
                all.iter().flat_map(|group| &group.rows).filter(|row| row.does == label).collect();
            assert_eq!(rows.len(), 1, "{label}");
            assert_eq!(rows[0].keys, command.shortcut_name());
        }
        let inch = groups(&UnitChoice::inch_pound());
        let moves = &inch.last().unwrap().rows.last().unwrap().does;
        assert_eq!(moves, "move the selected cups by 0.050 in; Shift 0.500 in, Ctrl 0.005 in");
    }

    #[test]
    fn the_page_holds_every_row_and_is_one() {
        for units in [UnitChoice::default(), UnitChoice::inch_pound()] {
            let all = groups(&units);
            let page = sheet::compose_keys(&all);
            let said: Vec<&str> = page.texts().iter().map(|text| text.text.as_str()).collect();
            let joined = said.join(" ");
            for row in all.iter().flat_map(|group| &group.rows) {
                for words in [&row.keys, &row.does] {
                    for word in sheet::printable(words).split_whitespace() {
                        assert!(joined.contains(word), "{word} of {words} is not on the page");
                    }
                }
            }
            for text in page.texts() {
                assert!(text.at.x >= 0.0 && text.at.x <= page.size_mm[0], "{text:?}");
                assert!(text.at.y >= 0.0 && text.at.y <= page.size_mm[1], "{text:?}");
            }
        }
    }
}
