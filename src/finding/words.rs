//! Lists of known words for findings, and the one of them that a misspelt word was probably meant to be.

/// At most two dozen words separated by commas, then how many were left out.
pub fn listed<W: AsRef<str>>(words: &[W]) -> String {
    const SHOWN: usize = 24;
    let mut text = words.iter().take(SHOWN).map(AsRef::as_ref).collect::<Vec<_>>().join(", ");
    if words.is_empty() {
        text.push_str("none");
    }
    if words.len() > SHOWN {
        text.push_str(&format!(" and {} more", words.len() - SHOWN));
    }
    text
}

/// Known words among which a near one is looked for, and the longest word it is looked for.
const COMPARED: usize = 400;
const COMPARED_LETTERS: usize = 60;

/// The known word nearest to a misspelt one, if any is near enough to suggest.
pub fn nearest<'w>(word: &str, known: impl IntoIterator<Item = &'w str>) -> Option<&'w str> {
    let word = word.to_lowercase();
    let letters = word.chars().count();
    if COMPARED_LETTERS < letters {
        return None;
    }
    known
        .into_iter()
        .take(COMPARED)
        .filter_map(|candidate| {
            let length = candidate.chars().count();
            let allowed = 1 + length / 4;
            // Words of lengths further apart than the allowance need not be compared letter by letter.
            let far = allowed < length.abs_diff(letters) || COMPARED_LETTERS < length;
            let distance =
                if far { usize::MAX } else { strsim::damerau_levenshtein(&word, &candidate.to_lowercase()) };
            // Short words that share nothing are not near: `x` is no slip for `w`.
            (distance <= allowed && distance < length.max(letters)).then_some((distance, candidate))
        })
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}
