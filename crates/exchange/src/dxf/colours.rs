//! The colours that a DXF names by number.
//!
//! # Source
//! The numbers of the openly published DXF reference (code 62): 1 to 9 by name, 10 to 249 in twenty-four hues of five shades
//! each, full and pale, 250 to 255 greys; from memory. They are shown, and nothing follows from them.

/// Red, green and blue of a numbered colour; `None` for 7, which is black on white and white on black, and for no colour.
pub(super) fn numbered(number: i64) -> Option<[u8; 3]> {
    const NAMED: [[u8; 3]; 9] = [
        [255, 0, 0],
        [255, 255, 0],
        [0, 255, 0],
        [0, 255, 255],
        [0, 0, 255],
        [255, 0, 255],
        [255, 255, 255],
        [128, 128, 128],
        [192, 192, 192],
    ];
    const SHADES: [f64; 5] = [255.0, 165.0, 127.0, 76.0, 38.0];
    match number.checked_abs().unwrap_or(0) {
        7 => None,
        named @ 1..=9 => Some(NAMED[named as usize - 1]),
        of @ 10..=249 => {
            let (hue, shade) = ((of - 10) / 10, (of % 10) as usize);
            let bright = SHADES[shade / 2];
            let dark = if shade % 2 == 1 { bright / 2.0 } else { 0.0 };
            // The hue in sixths of a turn from red: a part is full, rises or falls, or is none.
            let part = |from: f64| {
                let away = (hue as f64 / 4.0 - from).rem_euclid(6.0);
                let share = (2.0 - (away - 3.0).abs().clamp(1.0, 2.0)).clamp(0.0, 1.0);
                (dark + (bright - dark) * (1.0 - share)).round() as u8
            };
            Some([part(0.0), part(2.0), part(4.0)])
        }
        grey @ 250..=255 => Some([[51, 91, 132, 173, 214, 255][grey as usize - 250]; 3]),
        _ => None,
    }
}

/// Of a colour in 24 bits.
pub(super) fn written_out(colour: i64) -> Option<[u8; 3]> {
    let [_, red, green, blue] = u32::try_from(colour).ok()?.to_be_bytes();
    Some([red, green, blue])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hues_go_round_from_red_in_steps_of_fifteen_degrees() {
        assert_eq!(numbered(-1), Some([255, 0, 0]));
        assert_eq!((numbered(7), numbered(0), numbered(256), numbered(i64::MAX)), (None, None, None, None));
        for (number, colour) in [
            (10, [255, 0, 0]),
            (30, [255, 128, 0]),
            (50, [255, 255, 0]),
            (90, [0, 255, 0]),
            (130, [0, 255, 255]),
            (170, [0, 0, 255]),
            (210, [255, 0, 255]),
            (12, [165, 0, 0]),
            (11, [255, 128, 128]),
            (254, [214, 214, 214]),
        ] {
            assert_eq!(numbered(number), Some(colour), "{number}");
        }
        assert_eq!(written_out(0x0012_3456), Some([0x12, 0x34, 0x56]));
        assert_eq!(written_out(-1), None);
    }
}
