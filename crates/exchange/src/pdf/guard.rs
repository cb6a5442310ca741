//! What is looked at before a PDF is given to its reader: how large it is, and what its packed streams come to.

use super::filters;
use crate::Watch;
use crate::dxf::Trouble;
use flate2::bufread::ZlibDecoder;
use std::io::Read;

/// Largest PDF that is read, bytes: a sheet has a few hundred thousand.
const MOST_BYTES: usize = 64_000_000;
/// Bytes that all streams may come to when they are unpacked.
const MOST_UNPACKED: u64 = 400_000_000;
/// Streams packed in one another.
const DEEPEST: usize = 3;

/// Refuses a file that would take much memory.
pub(super) fn check(bytes: &[u8], watch: &Watch) -> Result<(), Trouble> {
    if bytes.len() > MOST_BYTES {
        let limit = MOST_BYTES / 1_000_000;
        return Err(Trouble::TooLong(format!("the PDF has more than {limit} MB, of a PDF no more is read")));
    }
    let mut unpacked = 0u64;
    let mut at = 0;
    while let Some(found) = find(&bytes[at..], b"stream") {
        let begin = at + found + b"stream".len();
        at = begin;
        watch.go_on()?;
        let before = &bytes[at.saturating_sub(found + b"stream".len())..begin - b"stream".len()];
        let body = &bytes[begin.min(bytes.len())..];
        let skip = body.iter().take(2).take_while(|b| matches!(b, b'\r' | b'\n')).count();
        unpacked += filters::size_of(before, &body[skip..], MOST_UNPACKED - unpacked, watch)?;
        if unpacked >= MOST_UNPACKED {
            let limit = MOST_UNPACKED / 1_000_000;
            return Err(Trouble::TooLong(format!("the PDF has more than {limit} MB when unpacked")));
        }
    }
    Ok(())
}

/// What a stream comes to, where it begins as one that is packed; no more than `most` is unpacked to find out.
pub(super) fn size_of(packed: &[u8], most: u64, watch: &Watch) -> Result<u64, Trouble> {
    let mut total = 0;
    let mut depth = 0;
    let mut reader: Box<dyn Read + '_> = Box::new(packed);
    let mut head = begins(&mut reader);
    while is_packed(&head) && depth < DEEPEST && total < most {
        let (size, first) = unpack(packed, depth + 1, most - total, watch)?;
        total += size;
        head = first;
        depth += 1;
    }
    Ok(total)
}

fn begins(reader: &mut dyn Read) -> Vec<u8> {
    let mut head = Vec::new();
    // What cannot be read has no beginning.
    let _ = reader.take(2).read_to_end(&mut head);
    head
}

/// The two bytes that a zlib stream begins with (RFC 1950, 2.2).
fn is_packed(head: &[u8]) -> bool {
    matches!(head, [method, flags] if method & 0x0f == 8 && (u32::from(*method) * 256 + u32::from(*flags)) % 31 == 0)
}

/// Bytes that come out after unpacking so often, and the first two of them.
fn unpack(packed: &[u8], times: usize, most: u64, watch: &Watch) -> Result<(u64, Vec<u8>), Trouble> {
    let mut reader: Box<dyn Read + '_> = Box::new(packed);
    for _ in 0..times {
        reader = Box::new(ZlibDecoder::new(std::io::BufReader::new(reader)));
    }
    let mut buffer = vec![0u8; 65_536];
    let (mut total, mut head) = (0u64, Vec::new());
    while total < most {
        watch.go_on()?;
        match reader.read(&mut buffer) {
            // A damaged stream ends where it does.
            Ok(0) | Err(_) => break,
            Ok(count) => {
                if head.len() < 2 {
                    head.extend_from_slice(&buffer[..count.min(2 - head.len())]);
                }
                total += count as u64;
            }
        }
    }
    Ok((total, head))
}

pub(super) fn find(bytes: &[u8], wanted: &[u8]) -> Option<usize> {
    let first = *wanted.first()?;
    let mut at = 0;
    while let Some(next) = bytes.get(at..)?.iter().position(|b| *b == first) {
        if bytes[at + next..].starts_with(wanted) {
            return Some(at + next);
        }
        at += next + 1;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use flate2::{Compression, write::ZlibEncoder};
    use std::io::Write as _;

    fn packed(pieces: impl Iterator<Item = Vec<u8>>) -> Vec<u8> {
        let mut encoder = ZlibEncoder::new(Vec::new(), Compression::best());
        pieces.for_each(|bytes| encoder.write_all(&bytes).expect("memory"));
        encoder.finish().expect("memory")
    }

    #[test]
    fn what_unpacks_to_very_much_is_refused_however_often_it_was_packed() {
        let once = packed((0..500).map(|_| vec![0u8; 1_000_000]));
        for body in [once.clone(), packed(std::iter::once(once.clone()))] {
            let mut file = b"%PDF-1.7\n1 0 obj <<>> stream\n".to_vec();
            file.extend(&body);
            file.extend(b"\nendstream");
            assert!(file.len() < 2_000_000);
            assert!(matches!(check(&file, &Watch::default()), Err(Trouble::TooLong(_))));
        }
        let mut file = b"%PDF-1.7\n1 0 obj <<>> stream\r\n".to_vec();
        file.extend(packed(std::iter::once(b"0 0 m 10 0 l S".to_vec())));
        file.extend(b"\nendstream");
        assert!(check(&file, &Watch::default()).is_ok());
    }
}
