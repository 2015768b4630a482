//! Text of the author's as it is shown: without what steers a terminal, and never longer than anybody reads.
//!
//! What enters: any text. What leaves: one line of it. It knows no finding.

/// Most letters of a message, note or way out: a cell of a table may hold a hundred thousand.
const MOST: usize = 6000;
/// Letters that stay of a longer one, at its beginning and at its end.
const KEPT: (usize, usize) = (400, 100);

/// The same, its middle left out where it is longer than anybody reads.
pub fn shown(text: &str) -> String {
    let clean = clean(text);
    let count = clean.chars().count();
    if count <= MOST {
        return clean;
    }
    let begins: String = clean.chars().take(KEPT.0).collect();
    let ends: String = clean.chars().skip(count - KEPT.1).collect();
    format!("{begins} ... ({} letters left out) ... {ends}", count - KEPT.0 - KEPT.1)
}

/// Text with control characters made visible, so that a hostile name cannot steer a terminal.
pub fn clean(text: &str) -> String {
    text.chars()
        .map(|letter| match letter {
            '\n' | '\t' => ' ',
            '\u{0}'..='\u{1f}' => char::from_u32(u32::from(letter) + 0x2400).unwrap_or('\u{fffd}'),
            '\u{7f}' => '\u{2421}',
            '\u{80}'..='\u{9f}'
            | '\u{200e}'
            | '\u{200f}'
            | '\u{202a}'..='\u{202e}'
            | '\u{2066}'..='\u{2069}' => '\u{fffd}',
            other => other,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_longer_than_anybody_reads_loses_its_middle() {
        assert_eq!(shown("a\tb\u{1b}"), "a b\u{241b}");
        let long = shown(&"9".repeat(400_000));
        assert!(long.len() < 600 && long.contains("399500 letters left out"), "{long}");
    }
}
