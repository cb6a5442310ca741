use super::*;
use std::collections::HashSet;

#[test]
fn labels_and_shortcuts_are_unique() {
    let labels: HashSet<_> = TABLE.iter().map(|row| row.2).collect();
    assert_eq!(labels.len(), TABLE.len());
    let commands: HashSet<_> = TABLE.iter().map(|row| row.0).collect();
    assert_eq!(commands.len(), TABLE.len());
    let keys: Vec<_> = TABLE.iter().filter_map(|row| row.3).collect();
    let each: HashSet<_> = keys.iter().map(|(m, k)| (m.command, m.shift, m.alt, *k)).collect();
    assert_eq!(each.len(), keys.len());
}

#[test]
fn every_output_is_a_command_once() {
    for output in Output::all() {
        assert_eq!(Command::all().filter(|c| *c == C::Write(output)).count(), 1, "{output:?}");
    }
}

#[test]
fn every_group_has_commands_and_none_more_than_a_dozen() {
    for group in Group::ALL {
        assert!((1..=14).contains(&Command::of(group).count()), "{group:?}");
    }
    assert_eq!(Command::of(Group::File).last(), Some(C::Quit));
}

#[test]
fn a_command_is_found_by_what_else_people_call_it() {
    let found = Command::found;
    for (words, command) in [
        ("array", C::ArrayRows),
        ("pattern", C::ArrayRing),
        ("inch", C::Units),
        ("weight", C::Units),
        ("dark", C::ToggleTheme),
        ("trial", C::Trial),
        ("ejector", C::Sources),
    ] {
        assert!(found(words).contains(&command), "{words}");
    }
    for words in ["pdf", "print"] {
        assert!(found(words).contains(&C::Write(Output::SHEET)), "{words}");
    }
    assert!(found("no such words").is_empty());
    // Of several that begin so, the plain one.
    assert_eq!(found("source")[0], C::Sources);
    assert_eq!(found("sketch")[0], C::SketchOutline);
    // The one whose name it is comes first, however many others the words fit.
    for command in Command::all() {
        assert_eq!(found(&command.label().replace('…', ""))[0], command, "{}", command.label());
    }
}
