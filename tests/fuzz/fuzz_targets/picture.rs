//! Any bytes as a picture to trace: greys that fit a project and can be drawn, or a sentence.
#![no_main]

use exchange::{Watch, greys_of, picture_to_trace};
use libfuzzer_sys::fuzz_target;

// The JPEG library overflows on spoilt files in a build that checks for it, and the program catches that: a panic ends the
// fuzzer only where nobody catches it.
fuzz_target!(init: drop(std::panic::take_hook()), |bytes: &[u8]| {
    match picture_to_trace("input.png", bytes, 1, &Watch::default()) {
        Ok(scan) => {
            assert!(scan.picture.png.len() <= document::Traced::MOST_BYTES);
            assert!(greys_of(&scan.picture).is_some(), "what is kept can be drawn");
        }
        Err(error) => assert!(!error.to_string().is_empty()),
    }
});
