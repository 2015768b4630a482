//! Paragraphs and tables in lines of a given width, for terminals: the one place where a table becomes text.
//!
//! What enters: texts of cells, which may hold the space that does not break, and a width in columns. What leaves: lines.
//! Lines break between words alone: neither a number nor a word of a name is ever cut. A table that is too wide first
//! breaks its columns of words; what still does not fit, or would become a tall heap of short lines, is told below its row.

use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};

use crate::answer::block::Need;

/// How wide lines may be, in columns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Width(usize);

impl Width {
    /// Where there is no terminal.
    pub const PIPED: Self = Self(100);

    /// Of a terminal with so many columns; a very narrow one is taken for wider, and a very wide one for narrower.
    pub fn of(columns: usize) -> Self {
        Self(columns.clamp(40, 200))
    }

    /// Columns.
    pub fn columns(self) -> usize {
        self.0
    }
}

/// The space that does not break, in texts on their way to a line.
pub const FIRM: char = '\u{a0}';

/// Space between columns.
const GAP: usize = 2;
/// A column of words is not made narrower than this while others can go below.
const COMFORT: usize = 14;
/// More lines than this in one cell, and the column goes below.
const TALL: usize = 3;
/// Space between the parts of a folded table, and from how many rows on a table is folded.
const BETWEEN: usize = 4;
const FOLDED: usize = 8;
/// Lines of a head above figures.
const HEAD: usize = 3;
/// What stands before a line below a row.
const BELOW: &str = "    ";

/// A text broken between words; the first line is led by `first`, others by `others`.
pub fn wrapped(text: &str, width: usize, first: &str, others: &str) -> String {
    let options = Options::new(width)
        .initial_indent(first)
        .subsequent_indent(others)
        .break_words(false)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    let words: Vec<&str> = text.split(' ').filter(|word| !word.is_empty()).collect();
    let text = words.join(" ");
    let lines = textwrap::wrap(&text, options);
    lines.iter().map(|line| line.trim_end().replace(FIRM, " ")).collect::<Vec<_>>().join("\n")
}

/// The lines of a text in a column.
fn lines(text: &str, width: usize) -> Vec<String> {
    text.split('\n').flat_map(|part| wrapped_in_column(part, width)).collect()
}

fn wrapped_in_column(text: &str, width: usize) -> Vec<String> {
    wrapped(text, width.max(1), "", "").split('\n').map(str::to_owned).collect()
}

/// The width of the longest word.
fn longest_word(text: &str) -> usize {
    text.split([' ', '\n']).map(display_width).max().unwrap_or(0)
}

/// The width of the longest line.
fn longest_line(text: &str) -> usize {
    text.split('\n').map(display_width).max().unwrap_or(0)
}

/// How a column is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Set {
    /// To the left; may break.
    Left,
    /// To the right.
    Right,
}

/// A column of texts with its head, which may hold line ends.
#[derive(Clone, Debug)]
pub struct TextColumn {
    /// What stands above it.
    pub head: String,
    /// What stands before a cell that is told below its row.
    pub name: String,
    /// How it is set.
    pub set: Set,
    /// Whether it is left out where there is no room.
    pub need: Need,
    /// One for each row.
    pub cells: Vec<String>,
}

impl TextColumn {
    fn least(&self) -> usize {
        self.cells.iter().map(|cell| longest_word(cell)).max().unwrap_or(0).max(longest_word(&self.head))
    }

    fn natural(&self) -> usize {
        let cells = self.cells.iter().map(|cell| longest_line(cell)).max().unwrap_or(0);
        let head = longest_line(&self.head);
        match self.set {
            Set::Left => cells.max(head),
            // A head of several words stands above its figures in a few lines.
            Set::Right => {
                let least = cells.max(longest_word(&self.head));
                (least..head).find(|width| lines(&self.head, *width).len() <= HEAD).unwrap_or(least.max(head))
            }
        }
    }

    /// The narrowest width that it takes beside others.
    fn floor(&self) -> usize {
        match self.set {
            Set::Left => self.least().max(self.natural().min(COMFORT)),
            // Figures never break; their head may.
            Set::Right => {
                let cells = self.cells.iter().map(|cell| longest_line(cell)).max().unwrap_or(0);
                cells.max(longest_word(&self.head))
            }
        }
    }

    fn height(&self, width: usize) -> usize {
        self.cells.iter().map(|cell| lines(cell, width).len()).max().unwrap_or(0)
    }
}

/// A table as lines, each with its end. A long one of two narrow columns is folded into several beside one another.
pub fn table(columns: &[TextColumn], width: Width) -> String {
    let rows = columns.first().map_or(0, |column| column.cells.len());
    let whole: usize = columns.iter().map(TextColumn::natural).sum::<usize>() + GAP;
    let panels = (width.columns() + BETWEEN) / (whole + BETWEEN);
    if columns.len() != 2 || rows < FOLDED || panels < 2 {
        return one_table(columns, width);
    }
    let height = rows.div_ceil(panels.min(rows.div_ceil(FOLDED / 2)));
    let part = |from: usize| -> Vec<String> {
        let some = |column: &TextColumn| TextColumn {
            cells: column.cells[from..(from + height).min(rows)].to_vec(),
            ..column.clone()
        };
        let columns: Vec<TextColumn> = columns.iter().map(some).collect();
        one_table(&columns, width).lines().map(str::to_owned).collect()
    };
    let parts: Vec<Vec<String>> = (0..rows).step_by(height).map(part).collect();
    let lines = parts.iter().map(Vec::len).max().unwrap_or(0);
    let mut out = String::new();
    for line in 0..lines {
        let mut text = String::new();
        for part in &parts {
            let wide = part.iter().map(|line| display_width(line)).max().unwrap_or(0);
            let cell = part.get(line).map_or("", String::as_str);
            text.push_str(&format!("{cell}{}", " ".repeat(wide + BETWEEN - display_width(cell))));
        }
        out.push_str(text.trim_end());
        out.push('\n');
    }
    out
}

fn one_table(columns: &[TextColumn], width: Width) -> String {
    let (beside, below, widths) = arranged(columns, width.columns());
    let mut out = String::new();
    let heads: Vec<Vec<String>> =
        beside.iter().zip(&widths).map(|(at, width)| lines(&columns[*at].head, *width)).collect();
    let height = heads.iter().map(Vec::len).max().unwrap_or(0);
    // Heads stand on the rule, not below the upper edge.
    let heads: Vec<Vec<String>> =
        heads.into_iter().map(|head| [vec![String::new(); height - head.len()], head].concat()).collect();
    push(&mut out, columns, &beside, &widths, &heads);
    let rule: Vec<String> = widths.iter().map(|width| "-".repeat(*width)).collect();
    out.push_str(&rule.join(&" ".repeat(GAP)));
    out.push('\n');
    let rows = columns.first().map_or(0, |column| column.cells.len());
    for row in 0..rows {
        let cells: Vec<Vec<String>> =
            beside.iter().zip(&widths).map(|(at, width)| lines(&columns[*at].cells[row], *width)).collect();
        push(&mut out, columns, &beside, &widths, &cells);
        let told: Vec<String> = below
            .iter()
            .map(|at| &columns[*at])
            .filter(|column| !column.cells[row].is_empty())
            .map(|column| {
                if column.name.is_empty() {
                    column.cells[row].clone()
                } else {
                    format!("{}: {}", column.name, column.cells[row])
                }
            })
            .collect();
        if !told.is_empty() {
            out.push_str(&wrapped(&told.join("; "), width.columns(), BELOW, &format!("{BELOW}  ")));
            out.push('\n');
        }
    }
    out
}

/// Which columns stand beside one another, which go below their rows, and how wide the former are.
fn arranged(columns: &[TextColumn], width: usize) -> (Vec<usize>, Vec<usize>, Vec<usize>) {
    let mut beside: Vec<usize> = (0..columns.len()).collect();
    let mut below = Vec::new();
    loop {
        // What nobody misses goes first, the last of it before others.
        let natural: usize = beside.iter().map(|at| columns[*at].natural() + GAP).sum();
        let spare = beside.iter().copied().rfind(|at| columns[*at].need == Need::Room);
        if let Some(at) = spare.filter(|_| width + GAP < natural) {
            beside.retain(|kept| *kept != at);
            continue;
        }
        let widths = fitted(&beside.iter().map(|at| &columns[*at]).collect::<Vec<_>>(), width);
        let goes = match &widths {
            // What would be a heap of short lines goes below, the tallest first.
            Some(widths) => beside
                .iter()
                .zip(widths)
                .skip(1)
                .map(|(at, width)| (columns[*at].height(*width), *at))
                .filter(|(height, _)| TALL < *height)
                .max_by_key(|(height, at)| (*height, *at))
                .map(|(_, at)| at),
            // The widest column of words; without one, the last.
            None => beside
                .iter()
                .skip(1)
                .copied()
                .filter(|at| columns[*at].set == Set::Left && COMFORT < columns[*at].natural())
                .max_by_key(|at| columns[*at].natural())
                .or_else(|| beside.iter().skip(1).next_back().copied()),
        };
        match (goes, widths) {
            (Some(at), _) => {
                beside.retain(|kept| *kept != at);
                below.push(at);
                below.sort_unstable();
            }
            (None, Some(widths)) => return (beside, below, widths),
            // One column alone that does not fit: it is as wide as its longest word.
            (None, None) => {
                let widths = beside.iter().map(|at| columns[*at].floor()).collect();
                return (beside, below, widths);
            }
        }
    }
}

/// Widths with which the columns fit; none if they do not.
fn fitted(columns: &[&TextColumn], width: usize) -> Option<Vec<usize>> {
    let gaps = GAP * columns.len().saturating_sub(1);
    let room = width.checked_sub(gaps)?;
    let floors: Vec<usize> = columns.iter().map(|column| column.floor()).collect();
    let natural: Vec<usize> =
        columns.iter().zip(&floors).map(|(column, floor)| column.natural().max(*floor)).collect();
    if room < floors.iter().sum() {
        return None;
    }
    // All get as much as they want up to a common height of the water; who wants less leaves the rest to others.
    let widest = natural.iter().copied().max().unwrap_or(0);
    let at = |level: usize| -> Vec<usize> {
        natural.iter().zip(&floors).map(|(natural, floor)| (*natural).min(level).max(*floor)).collect()
    };
    let level = (0..=widest).rev().find(|level| at(*level).iter().sum::<usize>() <= room)?;
    let mut widths = at(level);
    // What rounding leaves goes to the first that want more.
    let mut left = room - widths.iter().sum::<usize>();
    for (width, natural) in widths.iter_mut().zip(&natural) {
        if 0 < left && *width < *natural {
            *width += 1;
            left -= 1;
        }
    }
    Some(widths)
}

/// Writes the lines of one row.
fn push(out: &mut String, columns: &[TextColumn], beside: &[usize], widths: &[usize], cells: &[Vec<String>]) {
    let height = cells.iter().map(Vec::len).max().unwrap_or(0);
    for line in 0..height {
        let mut text = String::new();
        for ((at, width), cell) in beside.iter().zip(widths).zip(cells) {
            if !text.is_empty() || *at != beside[0] {
                text.push_str(&" ".repeat(GAP));
            }
            let part = cell.get(line).map_or("", String::as_str);
            let pad = " ".repeat(width.saturating_sub(display_width(part)));
            match columns[*at].set {
                Set::Left => text.push_str(&format!("{part}{pad}")),
                Set::Right => text.push_str(&format!("{pad}{part}")),
            }
        }
        out.push_str(text.trim_end());
        out.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(head: &str, set: Set, cells: &[&str]) -> TextColumn {
        TextColumn {
            head: head.to_owned(),
            name: head.replace('\n', " "),
            set,
            need: Need::Always,
            cells: cells.iter().map(|cell| (*cell).to_owned()).collect(),
        }
    }

    #[test]
    fn a_table_that_fits_stands_as_it_is() {
        let columns = [
            column("material", Set::Left, &["cement", "sand 0/4"]),
            column("amount\nkg/m3", Set::Right, &["320.0", "7.25"]),
        ];
        let expected =
            "          amount\nmaterial   kg/m3\n--------  ------\ncement     320.0\nsand 0/4    7.25\n";
        assert_eq!(table(&columns, Width::PIPED), expected);
    }

    #[test]
    fn columns_of_words_break_between_words_and_then_go_below() {
        let long =
            "binder; water-binder ratio; paste volume; mean strength at 28 d; drying shrinkage at 90 d";
        let columns = [
            column("file", Set::Left, &["mixes/first.yaml", "mixes/second.yaml"]),
            column("value", Set::Right, &["57.900", "61.250"]),
            column("stands at", Set::Left, &[long, ""]),
        ];
        let shown = table(&columns, Width::of(50));
        let expected = "file                value\n-----------------  ------\nmixes/first.yaml   57.900\n    \
                        stands at: binder; water-binder ratio; paste\n      volume; mean strength at 28 d; drying\n      \
                        shrinkage at 90 d\nmixes/second.yaml  61.250\n";
        assert_eq!(shown, expected);
        // With a little more room it breaks within its column.
        assert!(table(&columns, Width::of(80)).lines().all(|line| line.chars().count() <= 80));
    }

    #[test]
    fn no_word_and_no_number_is_ever_cut() {
        let names =
            ["lightweight expanded-shale-aggregate-with-a-long-name", "x", "fly ash of the second silo"];
        let columns = [
            column("material", Set::Left, &names),
            column("state", Set::Left, &["saturated and surface-dry", "as it is", "oven-dry"]),
            column("amount\nkg/m3", Set::Right, &["123456.789", "0.001", "1.5e12"]),
            column("cost\nEUR/m3", Set::Right, &["57.90", "61.25", "1000000.00"]),
        ];
        for width in 40..=120 {
            let shown = table(&columns, Width::of(width));
            for word in columns.iter().flat_map(|column| &column.cells).flat_map(|cell| cell.split(' ')) {
                assert!(
                    shown.split([' ', '\n', ';', ':']).any(|part| part == word),
                    "{word} is cut at width {width}:\n{shown}"
                );
            }
            let longest = shown.lines().map(display_width).max().unwrap_or(0);
            assert!(longest <= width.max(54), "{longest} at {width}:\n{shown}");
        }
    }

    #[test]
    fn wide_characters_count_twice() {
        let columns =
            [column("材料", Set::Left, &["セメント", "砂"]), column("kg", Set::Right, &["1", "22"])];
        let shown = table(&columns, Width::PIPED);
        assert_eq!(shown, "材料      kg\n--------  --\nセメント   1\n砂        22\n");
    }
}
