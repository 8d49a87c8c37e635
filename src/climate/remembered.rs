//! What was worked out for a site, kept so that a second question costs nothing.
//!
//! Everything kept is a pure function of its key, so that an answer never depends on what was
//! asked before; only the time does.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// A short list of values by key, the newest last.
#[derive(Debug)]
pub(crate) struct Remembered<K, V> {
    most: usize,
    kept: Mutex<Vec<(K, Arc<V>)>>,
}

impl<K, V> Remembered<K, V> {
    /// An empty list that keeps so many.
    pub(crate) const fn at_most(most: usize) -> Self {
        Self { most, kept: Mutex::new(Vec::new()) }
    }

    /// The value of a key that is dear to write out: it is asked for only if none that is kept is
    /// meant.
    pub(crate) fn find_or(
        &self,
        is_meant: impl Fn(&K) -> bool,
        work: impl FnOnce() -> (K, V),
    ) -> Arc<V> {
        let mut kept = self.lock();
        if let Some((_, value)) = kept.iter().find(|(known, _)| is_meant(known)) {
            return Arc::clone(value);
        }
        let (key, value) = work();
        self.keep(&mut kept, key, value)
    }

    fn lock(&self) -> MutexGuard<'_, Vec<(K, Arc<V>)>> {
        // Values are pushed whole: a thread that panicked while working left none behind.
        self.kept.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn keep(&self, kept: &mut Vec<(K, Arc<V>)>, key: K, value: V) -> Arc<V> {
        let value = Arc::new(value);
        if kept.len() >= self.most {
            kept.remove(0);
        }
        kept.push((key, Arc::clone(&value)));
        value
    }
}

impl<K: PartialEq, V> Remembered<K, V> {
    /// The value of a key, worked out if it is not kept. Others wait meanwhile, since they mostly
    /// ask for the same.
    pub(super) fn get(&self, key: K, work: impl FnOnce() -> V) -> Arc<V> {
        let mut kept = self.lock();
        if let Some((_, value)) = kept.iter().find(|(known, _)| *known == key) {
            return Arc::clone(value);
        }
        self.keep(&mut kept, key, work())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kept_value_is_not_worked_out_again_and_the_oldest_goes() {
        let list = Remembered::at_most(2);
        assert_eq!(*list.get(1, || "one"), "one");
        assert_eq!(*list.get(1, || "again"), "one");
        assert_eq!(*list.get(2, || "two"), "two");
        assert_eq!(*list.get(3, || "three"), "three");
        assert_eq!(*list.get(1, || "anew"), "anew");
    }
}
