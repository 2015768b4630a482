//! Closed lists of words, each with what it means: a word becomes a value once, where it is read.
//!
//! What enters: fields of a map, and a list of words with their values. What leaves: the value of the word that stands there,
//! or a finding with the words that may. What the values are for, nothing here knows.

use super::fields::{Fields, Reading};
use super::word::Located;

impl Fields {
    /// Takes one of a closed list of words as what it means.
    pub fn meaning<T: Copy, const N: usize>(
        &mut self,
        key: &str,
        reading: &mut Reading,
        words: &[(&'static str, T); N],
    ) -> Option<Located<T>> {
        let word = self.one_of(key, reading, &words.map(|(word, _)| word))?;
        let (_, value) = words.iter().find(|(known, _)| *known == word.value)?;
        Some(Located { value: *value, place: word.place })
    }
}
