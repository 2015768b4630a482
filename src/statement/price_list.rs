//! A list of prices that stand in place of those of statements: comma-separated values with the columns `material` and
//! `price`.
//!
//! What enters: the text of the list. What leaves: materials with their prices as written, each with its place, so that
//! whatever a statement makes of a price is told where it stands. Other columns are for other readers. What a price
//! means is for the reader of statements to say.

use super::decimals;
use super::table::{between, rows};
use super::word::Word;
use crate::finding::{Finding, Findings, Place, Sources};

/// Prices by material, in file order.
#[derive(Clone, Debug, Default)]
pub struct PriceList {
    /// Materials with their prices.
    pub entries: Vec<(Word, Word)>,
}

impl PriceList {
    /// Reads a list.
    ///
    /// # Errors
    /// Everything that is wrong with it as a table.
    pub fn read(sources: &Sources, source: usize) -> Result<Self, Findings> {
        let text = sources.whole(source);
        let mut findings = Findings::default();
        let whole = Place { source, start: 0, end: text.len().min(1) };
        let mut rows = rows(text, source).into_iter();
        let Some(header) = rows.next() else {
            findings.push(Finding::error(whole, "the price list is empty").help(EXAMPLE));
            return Err(findings);
        };
        for (at, head) in header.iter().enumerate() {
            let known = ["material", "price"].iter().any(|name| head.value.eq_ignore_ascii_case(name));
            if known && header[..at].iter().any(|other| other.value.eq_ignore_ascii_case(&head.value)) {
                findings.push(
                    Finding::error(head.place, format!("the column `{}` stands twice", head.value))
                        .note("which of the two holds would be a guess")
                        .help("take one of them out, or give it another name"),
                );
            }
        }
        let column = |name: &str| header.iter().position(|head| head.value.eq_ignore_ascii_case(name));
        let (Some(material), Some(price)) = (column("material"), column("price")) else {
            findings.push(
                Finding::error(
                    header.first().map_or(whole, |head| head.place),
                    "the first line does not name the columns `material` and `price`",
                )
                .help(EXAMPLE),
            );
            return Err(findings);
        };
        let mut list = Self::default();
        for row in rows {
            let line = Place { source, start: row[0].place.start, end: row[row.len() - 1].place.end };
            if row.len() != header.len() {
                findings.push(
                    Finding::error(line, format!("{} values stand in this line", row.len()))
                        .note(format!("the first line names {} columns", header.len()))
                        .help("put a value that holds a comma or a semicolon into double quotes"),
                );
                continue;
            }
            let (material, price) = (&row[material], &row[price]);
            if material.value.is_empty() {
                findings.push(Finding::error(line, "this line names no material"));
            } else if price.value.is_empty() {
                findings.push(
                    Finding::error(line, format!("`{}` has no price", material.value))
                        .help("write one, or take the line away: the price in the statement holds then"),
                );
            } else if list.entries.iter().any(|(known, _)| known.value == material.value) {
                findings.push(
                    Finding::error(
                        material.place,
                        format!("`{}` stands twice in the price list", material.value),
                    )
                    .help("leave one of them out"),
                );
            } else {
                list.entries.push((material.clone(), price.clone()));
            }
        }
        if between(text) != ',' {
            // Where commas part the values a decimal comma cannot be meant; elsewhere the list itself says which sign it is.
            decimals::settle(list.entries.iter_mut().map(|(_, price)| price), &mut findings);
        }
        if list.entries.is_empty() && findings.is_empty() {
            findings.push(Finding::error(whole, "the price list holds no price").help(EXAMPLE));
        }
        if findings.is_empty() { Ok(list) } else { Err(findings) }
    }
}

const EXAMPLE: &str = "write `material,price` in the first line, and lines such as `cement,128 /t` below";

#[cfg(test)]
mod tests {
    use super::*;

    type Told = Vec<(String, usize)>;

    fn read(text: &str) -> Result<Vec<(String, String)>, Told> {
        let mut sources = Sources::default();
        let source = sources.add("prices.csv", text);
        let list = PriceList::read(&sources, source).map_err(|findings| {
            let told = |finding: &&Finding| {
                (finding.message.clone(), finding.place.map_or(0, |place| sources.line(place)))
            };
            findings.sorted().iter().map(told).collect::<Vec<_>>()
        })?;
        Ok(list.entries.into_iter().map(|(name, price)| (name.value, price.value)).collect())
    }

    #[test]
    fn prices_are_read_by_the_names_of_columns() {
        let wanted =
            vec![("cement".to_owned(), "128 /t".to_owned()), ("a, b".to_owned(), "12 /t".to_owned())];
        for text in [
            "material,price\ncement,128 /t\n\"a, b\",12 /t\n",
            "Price ; supplier; Material\r\n128 /t;\"x\ny\";cement\r\n\r\n12 /t;;\"a, b\"",
        ] {
            assert_eq!(read(text).unwrap(), wanted, "{text}");
        }
        assert_eq!(read("material,price\n\"say \"\"x\"\"\",1 /t").unwrap()[0].0, "say \"x\"");
    }

    #[test]
    fn a_list_with_semicolons_or_tabs_fixes_its_decimal_sign_once() {
        for (written, expected) in [
            (["0,005 /gal", "1.250 /t"], ["0.005 /gal", "1250 /t"]),
            (["128,5 /t", "98 /t"], ["128.5 /t", "98 /t"]),
            (["128.5 /t", "1,250 /t"], ["128.5 /t", "1250 /t"]),
            (["1,250.5 /t", "1,250,000 /t"], ["1250.5 /t", "1250000 /t"]),
            (["EUR 1.250,50 /t", "EUR 1.250 /t"], ["EUR 1250.50 /t", "EUR 1250 /t"]),
            // What is no number at all is for the reader of statements to refuse.
            (["1,2,3 /t", "about 5"], ["1,2,3 /t", "about 5"]),
        ] {
            for mark in [";", "\t"] {
                let [first, second] = written;
                let list = read(&format!("material{mark}price\na{mark}{first}\nb{mark}{second}\n")).unwrap();
                assert_eq!(list.iter().map(|(_, price)| price.as_str()).collect::<Vec<_>>(), expected);
            }
        }
        for (lines, text) in [
            (vec![2], "1.250 /t\nb;98 /t"),
            (vec![2, 3], "1,250 /t\nb;2,500 /t"),
            (vec![3], "128,5 /t\nb;1.5 /t"),
            (vec![3], "128.5 /t\nb;1.250.000 /t"),
        ] {
            let told = read(&format!("material;price\na;{text}\n")).unwrap_err();
            assert_eq!(told.iter().map(|(_, line)| *line).collect::<Vec<_>>(), lines, "{text}: {told:?}");
        }
        // Where commas part the values there is one sign only.
        assert_eq!(read("material,price\na,1.250 /t\n").unwrap()[0].1, "1.250 /t");
    }

    #[test]
    fn everything_that_is_wrong_is_told_with_its_line() {
        let told = read("material,price\ncement,128,50 /t\n,3 /t\nsand,\nash,1 /t\nash,2 /t\n").unwrap_err();
        let lines: Vec<usize> = told.iter().map(|(_, line)| *line).collect();
        assert_eq!(lines, [2, 3, 4, 6], "{told:?}");
        for text in
            ["material,price,Price\na,1 /t,2 /t\n", "", "\n", "name,cost\ncement,1 /t\n", "material,price\n"]
        {
            assert_eq!(read(text).unwrap_err().len(), 1, "{text}");
        }
    }
}
