//! One remembered result with the inputs it was made from.

use std::sync::Arc;

/// Holds the last result of a stage and the inputs that gave it.
#[derive(Debug, Clone)]
pub(crate) struct Slot<K, V> {
    held: Option<(K, V)>,
    made: u64,
}

impl<K, V> Default for Slot<K, V> {
    fn default() -> Self {
        Self { held: None, made: 0 }
    }
}

impl<K: PartialEq, V> Slot<K, V> {
    /// The remembered value when the inputs are the same, else a new one.
    pub(crate) fn get(&mut self, key: K, make: impl FnOnce(&K) -> V) -> &V {
        let value = match self.held.take() {
            Some((held, value)) if held == key => value,
            _ => {
                self.made += 1;
                make(&key)
            }
        };
        &self.held.insert((key, value)).1
    }

    /// As [`Self::get`]; a new value is made with the one before at hand.
    pub(crate) fn get_after(&mut self, key: K, make: impl FnOnce(&K, Option<&V>) -> V) -> &V {
        let value = match self.held.take() {
            Some((held, value)) if held == key => value,
            before => {
                self.made += 1;
                make(&key, before.as_ref().map(|(_, value)| value))
            }
        };
        &self.held.insert((key, value)).1
    }

    /// Whether the remembered value was made from these inputs.
    pub(crate) fn holds(&self, key: &K) -> bool {
        self.held.as_ref().is_some_and(|(held, _)| held == key)
    }

    /// The remembered value, if any.
    pub(crate) fn held(&self) -> Option<&V> {
        self.held.as_ref().map(|(_, value)| value)
    }

    /// The remembered value with its inputs.
    pub(crate) fn held_with_key(&self) -> Option<(&K, &V)> {
        self.held.as_ref().map(|(key, value)| (key, value))
    }

    /// Forgets: there is nothing to make a value from.
    pub(crate) fn clear(&mut self) {
        self.held = None;
    }

    /// How often the stage ran; changes whenever the value does.
    pub(crate) fn made(&self) -> u64 {
        self.made
    }
}

/// A shared value compared by address first and by value only when the addresses differ.
///
/// The document shares what an edit did not touch, so the usual answer costs one comparison of pointers; a project
/// read again from its file still compares equal. Holding the `Arc` keeps the address from being given to another.
#[derive(Debug, Clone)]
pub(crate) struct Shared<T>(pub Arc<T>);

impl<T: PartialEq> PartialEq for Shared<T> {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.0, &other.0) || self.0 == other.0
    }
}

/// Shares of a list, for comparison by address first.
pub(crate) fn shared<T>(list: &[Arc<T>]) -> Vec<Shared<T>> {
    list.iter().map(|item| Shared(Arc::clone(item))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_only_when_the_inputs_change() {
        let mut slot = Slot::default();
        assert_eq!(*slot.get(2, |k| k * 10), 20);
        assert_eq!(*slot.get(2, |_| 99), 20);
        assert_eq!(slot.made(), 1);
        assert_eq!(*slot.get(3, |k| k * 10), 30);
        assert_eq!(slot.made(), 2);
    }

    #[test]
    fn equal_values_at_other_addresses_are_the_same_input() {
        let one = Shared(Arc::new(vec![1.0, 2.0]));
        let again = Shared(Arc::new(vec![1.0, 2.0]));
        assert!(one == again);
        assert!(one != Shared(Arc::new(vec![1.0])));
    }
}
