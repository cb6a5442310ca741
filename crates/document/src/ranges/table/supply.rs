//! Rows of what a circuit may have besides hoses: dust, cells that close.

use super::{M, Q, row};
use crate::Field;

/// In the order of the file.
pub(in crate::ranges) const SUPPLY: &[Field] = &[
    row(
        "circuit.supply.dust.load_g_m3",
        "the dust in the air",
        M::Fixed("g/m³"),
        (1e-6, 1000.0),
        "from clean air to a cloud that hides a hand",
    ),
    row(
        "circuit.supply.dust.capacity_g",
        "the dust that halves the filter\u{2019}s conductance",
        M::Fixed("g"),
        (1e-3, 1e6),
        "from a thimble to a drum",
    ),
    row(
        "circuit.supply.dust.cleaned_h",
        "the time between cleanings",
        M::Fixed("h"),
        (0.01, 1e5),
        "from every minute to every ten years",
    ),
    row(
        "circuit.supply.cell_closing.at_nl_min",
        "the flow that closes a cell",
        M::Of(Q::Flow),
        (1e-4, 1e4),
        "more than it draws on the part, less than it draws off it",
    ),
    row(
        "circuit.supply.cell_closing.leak_nl_min",
        "the leak of a closed cell",
        M::Of(Q::Flow),
        (0.0, 1e3),
        "0 for a cell that closes tight",
    ),
];
