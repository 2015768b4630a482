//! Statements mutated without end: whatever comes in, reading, checking, drawing of findings and (for small problems)
//! solving end in an answer and never in a panic. A few hundred run in every test; `scripts/fuzz` runs them by the hour.
//! Texts by which the fuzzer guided by coverage reached new code stand in `data/fuzz/guided`, a sample for each reader: they
//! are read again in every test, each as it is and once changed.

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::time::{Duration, Instant};

use self::readers::Reached;
use crate::kept;

mod readers;

/// Executions in an ordinary test run.
const FEW: u64 = 300;
/// Longest that one statement may take to be read and checked, unoptimised.
const LONGEST: Duration = Duration::from_secs(20);

/// Pieces that readers trip over.
const PIECES: &[&str] = &[
    "0",
    "-1",
    "1e308",
    "1e-320",
    ".nan",
    ".inf",
    "-.inf",
    "99999999999999999999",
    "0x10",
    "1_000",
    "010",
    "~",
    "null",
    "true",
    "''",
    "\"",
    "'",
    "&a",
    "*a",
    "<<: *a",
    "!!str",
    "!x",
    "|",
    ">",
    "---",
    "...",
    "- ",
    "? ",
    ": ",
    "{}",
    "[]",
    "{",
    "}",
    "[",
    "]",
    ",",
    "#",
    "%",
    "@",
    "`",
    "\t",
    "\r\n",
    "\u{0}",
    "\u{feff}",
    "\u{2028}",
    "\u{1f600}",
    "é",
    " .. ",
    "..",
    "0 .. 0",
    "1 .. -1",
    "at least ",
    "at most ",
    " % of binder",
    " kg/m3",
    " /t",
    " MPa",
    " x ",
    " / ",
    " + ",
    " * ",
    "region: 0 .. 1",
    "coded: 1 .. 1",
    "link: logit",
    "link: square root",
    "constant: 0",
    "w * w: 1",
    "if used: 0 .. 0",
    "amount: 0",
    "density: 0 kg/m3",
    "air: 0 .. 20 %",
    "margin: 99.99 % confidence",
    "least: carbon",
    "most: water",
    "require: [cement]",
    "forbid: [water]",
    "at most: 0",
    "include: [a.yaml]",
    "classes: [XF4, C2, F3]",
];

/// A small generator of scattered numbers (xorshift64*): the same on every machine.
struct Scatter(u64);

impl Scatter {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_f491_4f6c_dd1d)
    }

    /// Below `end`, which is above zero.
    fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(end.max(1)).unwrap()).unwrap()
    }
}

fn corpus() -> Vec<Vec<u8>> {
    let mut corpus = Vec::new();
    for folder in ["problems", "tests/rejected"] {
        for name in kept::stems(folder, "yaml") {
            corpus.push(fs::read(format!("{folder}/{name}.yaml")).unwrap());
        }
    }
    // Files of other kinds: results of a sweep, a price list, a mix.
    for name in ["results/results.jsonl", "prices/prices.csv", "mixes/mix.yaml"] {
        corpus.extend(std::iter::repeat_n(fs::read(format!("tests/data/fuzz/{name}")).unwrap(), 12));
    }
    corpus
}

/// One text of the corpus, changed in one to three places; half of the time the favourite.
fn mutated(corpus: &[Vec<u8>], favourite: usize, scatter: &mut Scatter) -> Vec<u8> {
    let chosen = if scatter.below(2) == 0 { favourite } else { scatter.below(corpus.len()) };
    let mut bytes = corpus[chosen.min(corpus.len() - 1)].clone();
    for _ in 0..=scatter.below(3) {
        let at = scatter.below(bytes.len() + 1);
        let end = (at + scatter.below(24)).min(bytes.len());
        let lines: Vec<Vec<u8>> = bytes.split_inclusive(|byte| *byte == b'\n').map(<[u8]>::to_vec).collect();
        let line = scatter.below(lines.len());
        match scatter.below(9) {
            0 => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte ^= 1 << scatter.below(8);
                }
            }
            1 => {
                bytes.drain(at..end);
            }
            2 => {
                let piece = bytes[at..end].to_vec();
                let to = scatter.below(bytes.len() + 1);
                bytes.splice(to..to, piece);
            }
            3 => {
                let piece = PIECES[scatter.below(PIECES.len())].as_bytes().to_vec();
                bytes.splice(at..at, piece);
            }
            4 => {
                let piece = PIECES[scatter.below(PIECES.len())].as_bytes().to_vec();
                // In place of a word or a number.
                let is_word = |byte: &u8| byte.is_ascii_alphanumeric() || *byte == b'.';
                let start =
                    bytes[..at].iter().rposition(|byte| !is_word(byte)).map_or(0, |before| before + 1);
                let end = bytes[at..]
                    .iter()
                    .position(|byte| !is_word(byte))
                    .map_or(bytes.len(), |after| at + after);
                bytes.splice(start..end, piece);
            }
            5 => {
                let other = &corpus[scatter.below(corpus.len())];
                let from: Vec<&[u8]> = other.split_inclusive(|byte| *byte == b'\n').collect();
                let piece = from.get(scatter.below(from.len())).map(|line| line.to_vec()).unwrap_or_default();
                let to: usize = lines[..line].iter().map(Vec::len).sum();
                bytes.splice(to..to, piece);
            }
            6 => {
                let mut kept = lines.clone();
                if !kept.is_empty() {
                    kept.remove(line);
                }
                bytes = kept.concat();
            }
            7 => {
                let mut swapped = lines.clone();
                let other = scatter.below(lines.len());
                if !swapped.is_empty() {
                    swapped.swap(line, other);
                }
                bytes = swapped.concat();
            }
            _ => {
                let to: usize = lines[..line].iter().map(Vec::len).sum();
                bytes.splice(to..to, vec![b' '; 1 + scatter.below(3)]);
            }
        }
    }
    bytes
}

/// The same text put to every reader.
fn through(bytes: &[u8]) -> Reached {
    let Ok(text) = std::str::from_utf8(bytes) else { return Reached::Refused };
    for (name, reader) in readers::READERS {
        // Statements are read by the last of them too.
        if name != "statements" && name != "answers" {
            reader(text);
        }
    }
    readers::answered(text)
}

/// A number from the environment.
fn number(name: &str) -> Option<u64> {
    std::env::var(name).ok().and_then(|text| text.parse::<u64>().ok())
}

/// Texts that reached new code, of one reader: a JSON string in each line.
fn guided(reader: &str) -> Vec<Vec<u8>> {
    let text = kept::text(&format!("tests/data/fuzz/guided/{reader}.jsonl"));
    text.lines().map(|line| serde_json::from_str::<String>(line).unwrap().into_bytes()).collect()
}

#[test]
fn what_reached_new_code_under_guidance_is_read_again() {
    let first = number("MIXBOUND_FUZZ_SEED").unwrap_or(1);
    let seconds = number("MIXBOUND_FUZZ_SECONDS").map(Duration::from_secs);
    for (name, reader) in readers::READERS {
        let texts = guided(name);
        assert!(15 <= texts.len(), "{name}: {} texts", texts.len());
        let tried = |bytes: &[u8], seed: u64| {
            let Ok(text) = std::str::from_utf8(bytes) else { return };
            if catch_unwind(AssertUnwindSafe(|| reader(text))).is_err() {
                let path = format!("target/fuzz/{name}-{seed}.txt");
                fs::create_dir_all("target/fuzz").unwrap();
                fs::write(&path, bytes).unwrap();
                panic!("{name}, seed {seed}: panics on {path}");
            }
        };
        for text in &texts {
            tried(text, 0);
        }
        let (mut seed, began) = (first, Instant::now());
        let last = first + u64::try_from(texts.len()).unwrap();
        while seconds.map_or(seed < last, |seconds| {
            began.elapsed() < seconds / u32::try_from(readers::READERS.len()).unwrap()
        }) {
            let mut scatter = Scatter(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
            let favourite = scatter.below(texts.len());
            tried(&mutated(&texts, favourite, &mut scatter), seed);
            seed += 1;
        }
    }
}

#[test]
fn whatever_comes_in_nothing_panics() {
    let first = number("MIXBOUND_FUZZ_SEED").unwrap_or(1);
    let seconds = number("MIXBOUND_FUZZ_SECONDS").map(Duration::from_secs);
    let corpus = corpus();
    let began = Instant::now();
    let (mut seed, mut counts) = (first, [0_u64; 3]);
    while seconds.map_or(seed < first + FEW, |seconds| began.elapsed() < seconds) {
        // The small one, whose every line matters.
        let bytes = mutated(&corpus, 1, &mut Scatter(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1));
        let since = Instant::now();
        let result = catch_unwind(AssertUnwindSafe(|| through(&bytes)));
        if result.is_err() || LONGEST < since.elapsed() {
            let folder = Path::new("target/fuzz");
            fs::create_dir_all(folder).unwrap();
            let path = folder.join(format!("seed-{seed}.yaml"));
            fs::write(&path, &bytes).unwrap();
            panic!("seed {seed} panics or takes {:?}: {}", since.elapsed(), path.display());
        }
        counts[result.map_or(0, |reached| reached as usize)] += 1;
        seed += 1;
    }
    let [refused, checked, solved] = counts;
    println!(
        "{} executions from seed {first}: {refused} refused, {checked} checked, {solved} solved",
        seed - first
    );
    assert!(0 < solved && 0 < refused, "the mutations are too tame or too wild: {counts:?}");
}
