//! Where a field stands in a thing, as the file has it.

use std::fmt;

/// The way from a thing to one of its fields: "at", "supply.main.bore_mm", `attached[17].mass_kg`; or to the order of one of its
/// lists, "cups.order". Empty for the thing itself.
///
/// ```
/// use document::FieldPath;
/// let place = FieldPath::of("at");
/// assert!(place.is("at") && !place.is_order());
/// assert_eq!(place.to_string(), "at");
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct FieldPath {
    steps: Vec<FieldStep>,
    /// The order of the list that the steps lead to.
    order: bool,
}

/// One step on the way to a field.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) struct FieldStep {
    /// Name of the field in the file.
    pub key: String,
    /// Of an element of a list: what it is found by.
    pub of: Option<String>,
}

impl FieldPath {
    /// A field of the thing itself.
    pub fn of(key: &str) -> Self {
        Self::default().with(key)
    }

    /// A field of what this leads to.
    pub(crate) fn with(&self, key: &str) -> Self {
        let mut path = self.clone();
        path.steps.push(FieldStep { key: key.to_owned(), of: None });
        path
    }

    /// The element of the list that this leads to, by what it is found by: an id, a zone.
    pub(crate) fn element(&self, of: &str) -> Self {
        let mut path = self.clone();
        if let Some(last) = path.steps.last_mut() {
            last.of = Some(of.to_owned());
        }
        path
    }

    /// The order of the list that this leads to.
    pub(crate) fn order(&self) -> Self {
        Self { order: true, ..self.clone() }
    }

    pub(crate) fn steps(&self) -> &[FieldStep] {
        &self.steps
    }

    /// Its name where it is a field of the thing itself.
    pub fn own(&self) -> Option<&str> {
        match self.steps.as_slice() {
            [FieldStep { key, of: None }] if !self.order => Some(key),
            _ => None,
        }
    }

    /// Whether it is this field of the thing itself.
    pub fn is(&self, key: &str) -> bool {
        self.own() == Some(key)
    }

    /// Whether it is a whole element of a list.
    pub fn is_element(&self) -> bool {
        !self.order && self.steps.last().is_some_and(|step| step.of.is_some())
    }

    /// Whether it is the order of a list.
    pub fn is_order(&self) -> bool {
        self.order
    }

    /// Whether it is what another path leads to, or stands in it.
    pub(crate) fn is_within(&self, outer: &Self) -> bool {
        let same = |(a, b): (&FieldStep, &FieldStep)| a.key == b.key && (b.of.is_none() || a.of == b.of);
        self.steps.len() >= outer.steps.len()
            && self.steps.iter().zip(&outer.steps).all(same)
            && (!outer.order || self == outer)
    }
}

impl fmt::Display for FieldPath {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, FieldStep { key, of }) in self.steps.iter().enumerate() {
            let dot = if place == 0 { "" } else { "." };
            write!(out, "{dot}{key}")?;
            if let Some(of) = of {
                write!(out, "[{of}]")?;
            }
        }
        if self.order { out.write_str(".order") } else { Ok(()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_in_a_field_is_within_it() {
        let list = FieldPath::of("attached");
        let one = list.element("17");
        assert!(one.with("mass_kg").is_within(&one) && one.is_within(&list) && list.is_within(&list));
        assert!(!list.element("18").is_within(&one) && !list.is_within(&one));
        assert!(list.order().is_within(&list) && !list.is_within(&list.order()));
        assert!(!FieldPath::of("attached_to").is_within(&list));
        assert!(one.is_element() && !one.with("mass_kg").is_element() && !list.order().is("attached"));
        assert_eq!(list.order().to_string(), "attached.order");
        assert_eq!(one.with("mass_kg").to_string(), "attached[17].mass_kg");
    }
}
