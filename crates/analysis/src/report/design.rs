//! The level that a circuit guarantees.

/// Levels at the switch of a circuit, which sits at its first source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DesignReport {
    /// What the circuit comes to with a part on every cup, kPa; the stated level where it has no source.
    pub steady_kpa: f64,
    /// What factors are worked out at, kPa: never above `steady_kpa`.
    pub design_kpa: f64,
    /// Below this level the machine stops with a part held, kPa: never above `design_kpa`.
    pub alarm_kpa: f64,
    /// What the switch waits for, as somebody stated it, kPa.
    pub held_kpa: Option<f64>,
    /// Where `design_kpa` comes from.
    pub from: DesignFrom,
}

impl DesignReport {
    /// Whether the switch waits for a level that the circuit does not come to: no pick starts.
    pub fn never_held(&self) -> bool {
        self.held_kpa.is_some_and(|held| held > self.steady_kpa * (1.0 + 1e-9))
    }
}

/// Where a design level comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DesignFrom {
    /// The switch says that the part is held from it on, as somebody stated it.
    Switch,
    /// 85 % of the steady level, since nobody stated what the switch waits for.
    Share,
    /// The stated level of a circuit without a source.
    Stated,
}
