//! JPEG in, as greys.

use super::greys::{Gather, Greys};
use super::{Size, check_dots};
use crate::dxf::Trouble;
use std::io::Cursor;
use std::panic::{AssertUnwindSafe, catch_unwind};
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

/// Passes of a picture that comes in several; drawing programs write ten.
const MOST_SCANS: usize = 64;

pub(super) fn is(bytes: &[u8]) -> bool {
    bytes.starts_with(&[0xff, 0xd8, 0xff])
}

pub(super) fn read(bytes: &[u8]) -> Result<(Greys, Size), Trouble> {
    let damaged =
        || Trouble::Damaged("the picture (JPEG) is cut short or spoilt; scan or export it again".to_owned());
    let options = DecoderOptions::default()
        .set_max_width(u16::MAX.into())
        .set_max_height(u16::MAX.into())
        .jpeg_set_max_scans(MOST_SCANS)
        .jpeg_set_out_colorspace(ColorSpace::Luma);
    // The reader is given bounded sizes; a panic in it must not reach the user all the same.
    let read = catch_unwind(AssertUnwindSafe(|| {
        let mut decoder = JpegDecoder::new_with_options(Cursor::new(bytes), options);
        decoder.decode_headers().map_err(|_| damaged())?;
        let info = decoder.info().ok_or_else(damaged)?;
        let (wide, high) = (u32::from(info.width), u32::from(info.height));
        check_dots(wide, high)?;
        let dots = decoder.decode().map_err(|_| damaged())?;
        if decoder.output_colorspace() != Some(ColorSpace::Luma) || dots.len() != (wide * high) as usize {
            return Err(Trouble::NotADrawing(
                "it is a JPEG in colours for printing, which is not read; save it in grey".to_owned(),
            ));
        }
        let mut gather = Gather::new(wide, high);
        dots.chunks_exact(wide as usize).for_each(|row| gather.row(row.iter().copied()));
        Ok((gather.finish(), stated(bytes)))
    }));
    read.unwrap_or_else(|_| Err(damaged()))
}

/// The density in the head that most programs write (JFIF 1.02, p. 5; from memory): 1 dots to the inch, 2 to the centimetre.
fn stated(bytes: &[u8]) -> Size {
    let head = bytes.windows(14).take(64).find(|at| at.starts_with(b"JFIF\0"));
    let Some([_, _, _, _, _, _, _, unit, high, low, ..]) = head else { return Size::Assumed };
    let density = f64::from(u16::from_be_bytes([*high, *low]));
    match unit {
        1 if density > 1.0 => Size::Stated(25.4 / density),
        2 if density > 1.0 => Size::Stated(10.0 / density),
        _ => Size::Assumed,
    }
}
