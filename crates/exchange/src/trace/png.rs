//! PNG in, row by row, and out, in sixteen greys.

use super::greys::{Gather, Greys, grey, on_paper};
use super::{Size, check_dots};
use crate::Watch;
use crate::dxf::Trouble;
use png::{BitDepth, ColorType, Compression, Decoder, Encoder, Limits, Transformations, Unit};
use std::io::Cursor;

/// Bytes that the reader may take besides the rows.
const MOST_MEMORY: usize = 64_000_000;
/// Dots of a picture whose rows come interlaced: it has to be held as a whole.
const MOST_INTERLACED: u64 = 10_000_000;

pub(super) fn is(bytes: &[u8]) -> bool {
    bytes.starts_with(b"\x89PNG\r\n\x1a\n")
}

fn damaged(_: png::DecodingError) -> Trouble {
    Trouble::Damaged("the picture (PNG) is cut short or spoilt; scan or export it again".to_owned())
}

pub(super) fn read(bytes: &[u8], watch: &Watch) -> Result<(Greys, Size), Trouble> {
    let mut decoder = Decoder::new_with_limits(Cursor::new(bytes), Limits { bytes: MOST_MEMORY });
    decoder.set_transformations(Transformations::EXPAND | Transformations::STRIP_16);
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    let info = decoder.read_header_info().map_err(damaged)?;
    let (wide, high, interlaced) = (info.width, info.height, info.interlaced);
    check_dots(wide, high)?;
    if interlaced && u64::from(wide) * u64::from(high) > MOST_INTERLACED {
        return Err(Trouble::TooLong(
            "the picture is an interlaced PNG of more than 10 million dots; save it without interlacing"
                .to_owned(),
        ));
    }
    let mut reader = decoder.read_info().map_err(damaged)?;
    let size = match reader.info().pixel_dims {
        Some(dims) if dims.unit == Unit::Meter && dims.xppu > 0 => {
            Size::Stated(1000.0 / f64::from(dims.xppu))
        }
        _ => Size::Assumed,
    };
    let (colour, _) = reader.output_color_type();
    let mut gather = Gather::new(wide, high);
    if interlaced {
        let bytes = reader.output_buffer_size().unwrap_or(usize::MAX);
        if bytes > 4 * MOST_INTERLACED as usize {
            return Err(Trouble::TooLong("the picture is an interlaced PNG that is too large".to_owned()));
        }
        let mut all = vec![0; bytes];
        reader.next_frame(&mut all).map_err(damaged)?;
        let line = bytes / high as usize;
        all.chunks_exact(line.max(1)).for_each(|row| put(&mut gather, row, colour));
    } else {
        while let Some(row) = reader.next_row().map_err(damaged)? {
            watch.go_on()?;
            put(&mut gather, row.data(), colour);
        }
    }
    Ok((gather.finish(), size))
}

fn put(gather: &mut Gather, row: &[u8], colour: ColorType) {
    match colour {
        ColorType::GrayscaleAlpha => gather.row(row.chunks_exact(2).map(|dot| on_paper(dot[0], dot[1]))),
        ColorType::Rgb => gather.row(row.chunks_exact(3).map(|dot| grey(dot[0], dot[1], dot[2]))),
        ColorType::Rgba => {
            gather.row(row.chunks_exact(4).map(|dot| on_paper(grey(dot[0], dot[1], dot[2]), dot[3])));
        }
        ColorType::Grayscale | ColorType::Indexed => gather.row(row.iter().copied()),
    }
}

/// A PNG of sixteen greys: a line drawing needs no more, and packs to half.
pub(super) fn written(greys: &Greys) -> Result<Vec<u8>, Trouble> {
    let wrong = |_| Trouble::Damaged("the picture cannot be packed".to_owned());
    let mut out = Vec::new();
    let mut encoder = Encoder::new(&mut out, greys.wide, greys.high);
    encoder.set_color(ColorType::Grayscale);
    encoder.set_depth(BitDepth::Four);
    encoder.set_compression(Compression::High);
    let mut writer = encoder.write_header().map_err(wrong)?;
    let sixteenth = |grey: u8| (u16::from(grey) * 15 + 127) / 255;
    let pair = |pair: &[u8]| (sixteenth(pair[0]) << 4 | pair.get(1).map_or(0, |grey| sixteenth(*grey))) as u8;
    let rows = greys.dots.chunks_exact(greys.wide.max(1) as usize);
    let bytes: Vec<u8> = rows.flat_map(|row| row.chunks(2).map(pair)).collect();
    writer.write_image_data(&bytes).map_err(wrong)?;
    writer.finish().map_err(wrong)?;
    Ok(out)
}
