//! The demo projects, compiled in so that the first start has one wherever the program is.

macro_rules! demo {
    ($name:literal) => {
        ($name, include_str!(concat!("../../../demo-projects/", $name)))
    };
}

/// File name and text; the first is the finished one that the first start opens.
pub const DEMOS: [(&str, &str); 14] = [
    demo!("tray-blank.ron"),
    demo!("door-sheet.ron"),
    demo!("glass-pane.ron"),
    demo!("door-sheet-thin.ron"),
    demo!("glass-pane-thin.ron"),
    demo!("tray-blank-bending.ron"),
    demo!("moulded-tray.ron"),
    demo!("long-profile.ron"),
    demo!("narrow-rail.ron"),
    demo!("side-panels.ron"),
    demo!("door-sheet-review.ron"),
    demo!("tray-blank-gripper.ron"),
    demo!("bracket-plate-corrected.ron"),
    demo!("bracket-plate.ron"),
];
