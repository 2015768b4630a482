//! What files in open formats share: names that every reader takes, numbers with all their digits, and remarks.

/// What is told in comments beside a program.
#[derive(Clone, Debug, Default)]
pub struct Remarks {
    /// Lines at the top.
    pub lines: Vec<String>,
    /// What one of each column stands for, in base units; one where none is given.
    pub scales: Vec<f64>,
    /// The point that was found, and its objective is told beside it.
    pub answer: Option<Vec<f64>>,
}

impl Remarks {
    /// The comment lines without their mark: lines, columns with scale and label, rows, the answer.
    pub fn comments(
        &self,
        columns: &[Named<'_>],
        rows: &[Named<'_>],
        goal: impl Fn(&[f64]) -> f64,
    ) -> Vec<String> {
        let mut list: Vec<String> = self.lines.iter().map(|line| crate::finding::clean(line)).collect();
        for (index, (name, label)) in columns.iter().enumerate() {
            let scale = written(self.scales.get(index).copied().unwrap_or(1.0));
            list.push(format!("column {name} = {scale} x {}", crate::finding::clean(label)));
        }
        list.extend(
            rows.iter().map(|(name, label)| format!("row {name} = {}", crate::finding::clean(label))),
        );
        if let Some(point) = &self.answer {
            for ((name, _), value) in columns.iter().zip(point) {
                list.push(format!("answer {name} {}", written(*value)));
            }
            list.push(format!("answer goal {}", written(goal(point))));
        }
        list
    }
}

/// A safe name and the label it stands for.
pub type Named<'n> = (&'n str, &'n str);

/// Longest part of a label that is kept.
const KEPT: usize = 28;

/// One name per label: `x3_fly_ash` for the third label `fly ash` under the letter `x`. The number makes it unique.
pub fn safe_names<'l>(letter: char, labels: impl IntoIterator<Item = &'l str>) -> Vec<String> {
    labels.into_iter().enumerate().map(|(index, label)| safe_name(letter, index + 1, label)).collect()
}

fn safe_name(letter: char, number: usize, label: &str) -> String {
    let mut name = format!("{letter}{number}");
    let mut gap = true;
    for letter in label.chars().take(KEPT) {
        if letter.is_ascii_alphanumeric() {
            if gap {
                name.push('_');
            }
            name.push(letter);
        }
        gap = !letter.is_ascii_alphanumeric();
    }
    name
}

/// A number with all its digits, in a form that every reader takes.
pub fn written(value: f64) -> String {
    if value == 0.0 { "0".to_owned() } else { format!("{value:?}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_plain_and_unique_whatever_the_labels_are() {
        let labels = ["fly ash", "fly ash", "7e5 \u{1b}[31m", "\u{2026}", "c/w + a*b"];
        assert_eq!(safe_names('x', labels), ["x1_fly_ash", "x2_fly_ash", "x3_7e5_31m", "x4", "x5_c_w_a_b"]);
    }

    #[test]
    fn numbers_keep_all_digits() {
        for value in [0.1 + 0.2, 1e-7, -3.0, 1.5e300, f64::MIN_POSITIVE] {
            assert_eq!(written(value).parse::<f64>(), Ok(value));
        }
    }
}
