//! The fuzzer's own `main`: bytes in, put to one of the readers; a panic is a crash, and libFuzzer keeps what caused it.
//! Which reader is the name of the program's folder of examples, in `MIXBOUND_FUZZ_READER`. It knows no file.

#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::{Corpus, fuzz_target};

#[path = "../fuzz/readers.rs"]
mod readers;

static READER: LazyLock<readers::Reader> = LazyLock::new(|| {
    let name = std::env::var("MIXBOUND_FUZZ_READER").unwrap_or_default();
    let known = readers::READERS.iter().find(|(known, _)| *known == name);
    known.unwrap_or_else(|| panic!("MIXBOUND_FUZZ_READER: `{name}` is none of {:?}", readers::READERS.map(|(name, _)| name))).1
});

fuzz_target!(|bytes: &[u8]| -> Corpus {
    match std::str::from_utf8(bytes) {
        Ok(text) => {
            READER(text);
            Corpus::Keep
        }
        Err(_) => Corpus::Reject,
    }
});
