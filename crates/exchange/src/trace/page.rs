//! A scanned page of a PDF: its largest picture, laid out as the page shows it.

use super::greys::{Greys, fewer, grey};
use super::{Size, check_dots};
use crate::Watch;
use crate::dxf::Trouble;
use crate::pdf::with_page;
use hayro_interpret::font::GlyphRun;
use hayro_interpret::kurbo::{Affine, BezPath, Point};
use hayro_interpret::{
    BlendMode, ClipPath, Device, DrawMode, DrawProps, Image, ImageData, ImageDrawProps, SoftMask,
};

/// A picture of the page: its greys and where its dots lie on the page, mm.
struct Laid {
    greys: Greys,
    place: Affine,
}

/// Takes the largest picture of a page.
struct Largest {
    area: f64,
    laid: Option<Laid>,
    refused: Option<Trouble>,
}

impl<'a> Device<'a> for Largest {
    fn draw_path(&mut self, _: &BezPath, _: DrawProps<'a>, _: &DrawMode) {}
    fn push_clip_path(&mut self, _: &ClipPath) {}
    fn push_transparency_group(&mut self, _: f32, _: Option<SoftMask<'a>>, _: BlendMode) {}
    fn draw_glyph_run(&mut self, _: &GlyphRun<'_, 'a>, _: DrawProps<'a>, _: &DrawMode) {}
    fn pop_clip(&mut self) {}
    fn pop_transparency_group(&mut self) {}

    fn draw_image(&mut self, image: Image<'a, '_>, props: ImageDrawProps<'a>) {
        let (wide, high) = (image.width(), image.height());
        let area = (f64::from(wide) * f64::from(high) * props.transform.determinant()).abs();
        if !area.is_finite() || area <= self.area {
            return;
        }
        if let Err(trouble) = check_dots(wide, high) {
            self.refused = Some(trouble);
            return;
        }
        let mut greys = None;
        match image {
            Image::Raster(raster) => raster.with_rgba(|data, _| greys = Some(of(data)), None),
            // Ink where the mask is.
            Image::Stencil(stencil) => stencil.with_stencil(
                |luma, _| {
                    let dots = luma.data.iter().map(|ink| 255 - ink).collect();
                    greys = Some((luma.width, luma.height, dots, luma.scale_factors));
                },
                None,
            ),
        }
        let Some((wide, high, dots, (sx, sy))) = greys else { return };
        if wide == 0 || dots.len() as u64 != u64::from(wide) * u64::from(high) {
            return;
        }
        let place = props.transform * Affine::scale_non_uniform(f64::from(sx), f64::from(sy));
        self.area = area;
        self.laid = Some(Laid { greys: Greys { wide, high, dots, fewer: 1, source: [wide, high] }, place });
    }
}

type Read = (u32, u32, Vec<u8>, (f32, f32));

fn of(data: ImageData) -> Read {
    match data {
        ImageData::Luma(luma) => (luma.width, luma.height, luma.data, luma.scale_factors),
        ImageData::Rgb(rgb) => {
            let dots = rgb.data.chunks_exact(3).map(|dot| grey(dot[0], dot[1], dot[2])).collect();
            (rgb.width, rgb.height, dots, rgb.scale_factors)
        }
    }
}

pub(super) fn read(bytes: &[u8], page: usize, watch: &Watch) -> Result<(Greys, Size), Trouble> {
    let mut largest = Largest { area: 0.0, laid: None, refused: None };
    let size = with_page(bytes, page, watch, &mut largest)?;
    let Some(Laid { greys, place }) = largest.laid else {
        return Err(largest.refused.unwrap_or_else(|| {
            Trouble::Empty(format!("page {page} holds no picture that can be read").into())
        }));
    };
    // Dots of the page as fine as those of the picture.
    let dot = place.determinant().abs().sqrt();
    if !(dot.is_finite() && dot > 0.0) {
        return Err(Trouble::Damaged("its picture has no size on the page".to_owned()));
    }
    let count = |length: f64| (length / dot).ceil().clamp(1.0, 1e6) as u32;
    let by = fewer(count(size[0]), count(size[1]));
    let step = dot * f64::from(by);
    let (wide, high) = (count(size[0]).div_ceil(by), count(size[1]).div_ceil(by));
    let back = place.inverse();
    let mut dots = Vec::with_capacity((wide * high) as usize);
    for y in 0..high {
        watch.go_on()?;
        for x in 0..wide {
            dots.push(mean(&greys, &back, [f64::from(x) * step, size[1] - f64::from(y) * step], step, by));
        }
    }
    Ok((Greys { wide, high, dots, fewer: 1, source: greys.source }, Size::Page(step)))
}

/// The mean of the picture's dots under a square of the page whose upper left corner that is; paper beside the picture.
fn mean(greys: &Greys, back: &Affine, [left, top]: [f64; 2], step: f64, by: u32) -> u8 {
    let part = step / f64::from(by);
    let mut sum = 0u32;
    for i in 0..by {
        for j in 0..by {
            let at =
                *back * Point::new(left + (f64::from(i) + 0.5) * part, top - (f64::from(j) + 0.5) * part);
            let inside =
                at.x >= 0.0 && at.y >= 0.0 && at.x < f64::from(greys.wide) && at.y < f64::from(greys.high);
            let dot = inside.then(|| greys.dots[at.y as usize * greys.wide as usize + at.x as usize]);
            sum += u32::from(dot.unwrap_or(255));
        }
    }
    (sum / (by * by)) as u8
}
