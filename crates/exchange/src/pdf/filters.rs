//! What the streams of a PDF come to that are not packed by zlib alone: LZW, runs, and either in letters (ISO 32000-1, 7.4;
//! from memory).

use super::guard;
use crate::Watch;
use crate::dxf::Trouble;
use std::borrow::Cow;

/// Bytes before a stream in which its filters are named.
const NAMED_WITHIN: usize = 4_096;
/// Filters of one stream.
const MOST: usize = 8;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Filter {
    Hex,
    Letters,
    Lzw,
    Runs,
    Flate,
}

const NAMES: [(&[u8], Filter); 5] = [
    (b"ASCIIHexDecode", Filter::Hex),
    (b"ASCII85Decode", Filter::Letters),
    (b"LZWDecode", Filter::Lzw),
    (b"RunLengthDecode", Filter::Runs),
    (b"FlateDecode", Filter::Flate),
];

/// What a stream comes to, by the filters that its dictionary names and by how it begins; `before` ends where it begins.
pub(super) fn size_of(before: &[u8], body: &[u8], most: u64, watch: &Watch) -> Result<u64, Trouble> {
    let filters = named(before);
    let in_letters = filters.iter().take_while(|f| matches!(f, Filter::Hex | Filter::Letters)).count();
    let unpacking = &filters[in_letters..];
    if !unpacking.contains(&Filter::Lzw) && !unpacking.contains(&Filter::Runs) && in_letters == 0 {
        return guard::size_of(body, most, watch);
    }
    let end = guard::find(body, b"endstream").unwrap_or(body.len());
    let mut data = Cow::Borrowed(&body[..end]);
    for filter in &filters[..in_letters] {
        data = Cow::Owned(match filter {
            Filter::Hex => from_hex(&data),
            _ => from_letters(&data),
        });
    }
    match unpacking {
        [] => Ok(data.len() as u64),
        [Filter::Flate, ..] => guard::size_of(&data, most, watch),
        [Filter::Lzw] => lzw(&data, most, watch),
        [Filter::Runs] => Ok(runs(&data)),
        _ => Err(Trouble::TooLong(
            "a stream of the PDF is packed in several ways at once, so that nobody can say how large it gets"
                .to_owned(),
        )),
    }
}

/// The filters that a dictionary names, in their order; those of pictures, which unpack to their dots, are no matter.
fn named(before: &[u8]) -> Vec<Filter> {
    let near = &before[before.len().saturating_sub(NAMED_WITHIN)..];
    let object = near.windows(4).rposition(|at| at == b" obj").map_or(0, |at| at + 4);
    let dictionary = &near[object..];
    let Some(at) = guard::find(dictionary, b"/Filter") else { return Vec::new() };
    let list = &dictionary[at + b"/Filter".len()..];
    let list = list.trim_ascii_start();
    let whole = list.starts_with(b"[");
    let end = list.iter().position(|b| *b == b']').filter(|_| whole).unwrap_or(list.len());
    let names = list[..end].split(|b| *b == b'/').skip(1).take(if whole { MOST } else { 1 });
    names
        .filter_map(|name| NAMES.iter().find(|(known, _)| name.starts_with(known)).map(|(_, f)| *f))
        .collect()
}

fn from_hex(text: &[u8]) -> Vec<u8> {
    let digits: Vec<u8> = text
        .iter()
        .take_while(|b| **b != b'>')
        .filter_map(|b| char::from(*b).to_digit(16).map(|digit| digit as u8))
        .collect();
    digits.chunks(2).map(|pair| pair[0] << 4 | pair.get(1).copied().unwrap_or(0)).collect()
}

fn from_letters(text: &[u8]) -> Vec<u8> {
    let mut out = Vec::with_capacity(text.len() / 5 * 4);
    let (mut word, mut count) = (0u32, 0);
    for byte in text {
        match byte {
            b'~' => break,
            b'z' if count == 0 => out.extend([0; 4]),
            b'!'..=b'u' => {
                word = word.wrapping_mul(85).wrapping_add(u32::from(byte - b'!'));
                count += 1;
                if count == 5 {
                    out.extend(word.to_be_bytes());
                    (word, count) = (0, 0);
                }
            }
            _ => {}
        }
    }
    if count > 1 {
        (count..5).for_each(|_| word = word.wrapping_mul(85).wrapping_add(84));
        out.extend(&word.to_be_bytes()[..count - 1]);
    }
    out
}

/// Bytes that runs come to.
fn runs(packed: &[u8]) -> u64 {
    let (mut at, mut total) = (0, 0u64);
    while let Some(length) = packed.get(at) {
        match length {
            128 => break,
            0..=127 => (at, total) = (at + 2 + usize::from(*length), total + 1 + u64::from(*length)),
            129..=255 => (at, total) = (at + 2, total + 257 - u64::from(*length)),
        }
    }
    total
}

/// Bytes that LZW codes come to: of every entry of the table only its length is kept. No more than `most` is counted.
fn lzw(packed: &[u8], most: u64, watch: &Watch) -> Result<u64, Trouble> {
    const CLEAR: usize = 256;
    const END: usize = 257;
    const TABLE: usize = 4_096;
    let mut lengths = [0u32; TABLE];
    lengths[..CLEAR].fill(1);
    let (mut next, mut width, mut last) = (END + 1, 9u32, None);
    let (mut bits, mut held, mut total) = (0u64, 0u32, 0u64);
    for (index, byte) in packed.iter().enumerate() {
        if index % 65_536 == 0 {
            watch.go_on()?;
        }
        bits = bits << 8 | u64::from(*byte);
        held += 8;
        if held < width {
            continue;
        }
        held -= width;
        let code = (bits >> held) as usize & ((1 << width) - 1);
        bits &= (1 << held) - 1;
        match code {
            CLEAR => (next, width, last) = (END + 1, 9, None),
            END => break,
            _ => {
                // A code that is just being made is the last one and its first byte again.
                let length = if code < next { lengths[code] } else { last.unwrap_or(0) + 1 };
                if let Some(last) = last.filter(|_| next < TABLE) {
                    lengths[next] = last + 1;
                    next += 1;
                }
                last = Some(length);
                total += u64::from(length);
                // One code sooner than it must be, as PDF has it by default; that counts no less.
                width = match next + 1 {
                    0..=511 => 9,
                    512..=1_023 => 10,
                    1_024..=2_047 => 11,
                    _ => 12,
                };
            }
        }
        if total >= most {
            return Ok(most);
        }
    }
    Ok(total)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Codes of nine bits and more, packed as PDF has it, of one byte over and over.
    fn packed(codes: usize) -> Vec<u8> {
        let mut out: Vec<u8> = Vec::new();
        let (mut bits, mut held, mut next, mut width) = (0u64, 0u32, 258usize, 9u32);
        let mut put = |code: usize, width: u32| {
            bits = bits << width | code as u64;
            held += width;
            while held >= 8 {
                held -= 8;
                out.push((bits >> held) as u8);
            }
            bits &= (1 << held) - 1;
        };
        put(256, 9);
        put(65, 9);
        for _ in 0..codes {
            put(next.min(4_094), width);
            next = (next + 1).min(4_095);
            width = match next + 1 {
                0..=511 => 9,
                512..=1_023 => 10,
                1_024..=2_047 => 11,
                _ => 12,
            };
        }
        put(257, width);
        put(0, 8);
        out
    }

    #[test]
    fn lzw_is_counted_without_being_unpacked() {
        // A, AA, AAA: one more each time.
        let total = lzw(&packed(3), u64::MAX, &Watch::default()).expect("nobody stopped it");
        assert_eq!(total, 1 + 2 + 3 + 4);
        // The example of the standard (7.4.4.2): -----A---B.
        let example = [0x80, 0x0b, 0x60, 0x50, 0x22, 0x0c, 0x0c, 0x85, 0x01];
        assert_eq!(lzw(&example, u64::MAX, &Watch::default()).expect("nobody stopped it"), 10);
    }

    #[test]
    fn a_stream_of_lzw_that_comes_to_very_much_is_refused_alone_and_in_letters() {
        let codes = packed(300_000);
        assert!(codes.len() < 500_000);
        let hex: Vec<u8> = codes.iter().flat_map(|b| format!("{b:02x}").into_bytes()).collect();
        let both = [("/LZWDecode", codes), ("[/ASCIIHexDecode /LZWDecode]", hex)];
        for (filter, body) in both {
            let mut file = format!("%PDF-1.7\n1 0 obj << /Filter {filter} >> stream\n").into_bytes();
            file.extend(body);
            file.extend(b"\nendstream");
            assert!(matches!(guard::check(&file, &Watch::default()), Err(Trouble::TooLong(_))), "{filter}");
        }
        let fine = b"%PDF-1.7\n1 0 obj << /Filter /LZWDecode >> stream\n\x80\x0b\x60\x50\x22\x0c\x0c\x85\x01\nendstream";
        assert!(guard::check(fine, &Watch::default()).is_ok());
    }

    #[test]
    fn letters_and_runs_are_read_as_they_are_written() {
        assert_eq!(from_hex(b"48 65 6c>"), b"Hel");
        assert_eq!(from_letters(b"87cURD]j7BEbo80~>"), b"Hello world!");
        assert_eq!(runs(&[2, 1, 2, 3, 254, 9, 128]), 3 + 3);
        assert_eq!(named(b"1 0 obj << /Filter [/ASCII85Decode /LZWDecode] "), [Filter::Letters, Filter::Lzw]);
        assert_eq!(named(b"1 0 obj << /Length 5 /Filter /FlateDecode /X /LZWDecode"), [Filter::Flate]);
    }
}
