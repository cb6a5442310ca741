use super::*;
use crate::Watch;

/// A white sheet with a black bar in its lower left quarter, of 8-bit greys.
fn sheet(wide: u32, high: u32) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = ::png::Encoder::new(&mut out, wide, high);
    encoder.set_color(::png::ColorType::Grayscale);
    encoder.set_depth(::png::BitDepth::Eight);
    encoder.set_pixel_dims(Some(::png::PixelDimensions {
        xppu: 10_000,
        yppu: 10_000,
        unit: ::png::Unit::Meter,
    }));
    let mut writer = encoder.write_header().expect("memory");
    let dot = |x: u32, y: u32| if x < wide / 2 && y >= high / 2 { 0 } else { 255 };
    let dots: Vec<u8> = (0..high).flat_map(|y| (0..wide).map(move |x| dot(x, y))).collect();
    writer.write_image_data(&dots).expect("memory");
    writer.finish().expect("memory");
    out
}

fn read(bytes: &[u8]) -> Result<Scan, ImportError> {
    picture_to_trace("scan.png", bytes, 1, &Watch::default())
}

fn check_quarters(picture: &Traced) {
    let (wide, high, dots) = greys_of(picture).expect("what was kept can be read");
    let at = |x: u32, y: u32| dots[(y * high / 100 * wide + x * wide / 100) as usize];
    assert!(at(25, 75) < 20, "black bar");
    assert!(at(75, 25) > 235 && at(75, 75) > 235 && at(25, 25) > 235, "paper");
}

#[test]
fn a_png_is_kept_as_greys_at_the_size_it_states() {
    let scan = read(&sheet(400, 400)).expect("a sound picture");
    assert_eq!(scan.picture.dots(), Some([400, 400]));
    // 10 000 dots to the metre.
    assert!((scan.picture.dot_mm - 0.1).abs() < 1e-9);
    assert!(scan.picture.png.len() < 4_000);
    check_quarters(&scan.picture);
}

#[test]
fn a_large_picture_is_made_smaller_and_keeps_its_size_on_the_part() {
    let scan = read(&sheet(6_000, 6_000)).expect("a sound picture");
    let [wide, high] = scan.picture.dots().expect("drawn");
    assert!(u64::from(wide) * u64::from(high) <= Traced::MOST_DOTS && wide < 2_100);
    assert!((scan.picture.size_mm().x - 600.0).abs() < 1.0, "{}", scan.picture.size_mm());
    assert!(scan.told.iter().any(|says| says.to_string().contains("6000 × 6000 dots")), "{:?}", scan.told);
    check_quarters(&scan.picture);
}

#[test]
fn noise_that_packs_badly_still_fits_into_the_file() {
    let mut state = 1u32;
    let mut noise = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 24) as u8
    };
    let dots = (0..2_000 * 2_000).map(|_| noise()).collect();
    let greys = Greys { wide: 2_000, high: 2_000, dots, fewer: 1, source: [2_000, 2_000] };
    let (kept, png, by) = packed(greys, &Watch::default()).expect("packed");
    assert!(png.len() <= Traced::MOST_BYTES && by == 2 && kept == [1_000, 1_000], "{kept:?} {by}");
}

#[test]
fn hostile_pictures_are_refused_in_a_sentence() {
    let says = |bytes: &[u8]| read(bytes).expect_err("refused").to_string();
    // A head that promises forty thousand million dots in a few bytes.
    let mut huge = sheet(8, 8);
    huge[16..24].copy_from_slice(&[0, 3, 0x0d, 0x40, 0, 3, 0x0d, 0x40]);
    let crc = crc32(&huge[12..29]);
    huge[29..33].copy_from_slice(&crc.to_be_bytes());
    assert!(says(&huge).contains("200000 × 200000 dots"), "{}", says(&huge));
    let whole = sheet(300, 300);
    assert!(says(&whole[..whole.len() / 2]).contains("cut short or spoilt"));
    assert!(says(b"\xff\xd8\xff\xe0\x00\x10JFIF").contains("JPEG"));
    assert!(says(b"GIF89a").contains("a PNG, a JPEG or a scanned page of a PDF can"));
    assert!(says(b"%PDF-1.7\n").len() > 20);
    assert!(says(&vec![0; MOST_BYTES + 1]).contains("64 MB"));
}

/// As PNG has it (annex D).
fn crc32(bytes: &[u8]) -> u32 {
    let step = |crc: u32| if crc & 1 == 1 { 0xedb8_8320 ^ (crc >> 1) } else { crc >> 1 };
    !bytes.iter().fold(!0u32, |crc, byte| (0..8).fold(crc ^ u32::from(*byte), |crc, _| step(crc)))
}

/// A PDF whose only page, 100 x 50 mm, is a picture of so many greys, packed or not.
fn scanned(wide: usize, high: usize) -> Vec<u8> {
    let points = |mm: f64| mm * 72.0 / 25.4;
    let (w, h) = (points(100.0), points(50.0));
    let draw = format!("q {w} 0 0 {h} 0 0 cm /I Do Q");
    let dots: Vec<u8> = (0..high)
        .flat_map(|y| (0..wide).map(move |x| if x < wide / 2 && y >= high / 2 { 0 } else { 255 }))
        .collect();
    let head = format!(
        "<< /Type /XObject /Subtype /Image /Width {wide} /Height {high} /ColorSpace /DeviceGray /BitsPerComponent 8 /Length {} >>",
        dots.len()
    );
    let mut bodies: Vec<Vec<u8>> = vec![
        b"<< /Type /Catalog /Pages 2 0 R >>".to_vec(),
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>".to_vec(),
        format!("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {w} {h}] /Contents 4 0 R /Resources << /XObject << /I 5 0 R >> >> >>").into_bytes(),
        format!("<< /Length {} >>\nstream\n{draw}\nendstream", draw.len()).into_bytes(),
    ];
    let mut image = format!("{head}\nstream\n").into_bytes();
    image.extend(&dots);
    image.extend(b"\nendstream");
    bodies.push(image);
    let mut out = b"%PDF-1.7\n".to_vec();
    let mut places = Vec::new();
    for (index, body) in bodies.iter().enumerate() {
        places.push(out.len());
        out.extend(format!("{} 0 obj\n", index + 1).bytes());
        out.extend(body);
        out.extend(b"\nendobj\n");
    }
    let xref = out.len();
    out.extend(format!("xref\n0 {}\n0000000000 65535 f \n", bodies.len() + 1).bytes());
    places.iter().for_each(|at| out.extend(format!("{at:010} 00000 n \n").bytes()));
    out.extend(
        format!("trailer << /Size {} /Root 1 0 R >>\nstartxref\n{xref}\n%%EOF", bodies.len() + 1).bytes(),
    );
    out
}

#[test]
fn a_scanned_page_lies_as_large_as_its_page_the_right_way_up() {
    let scan = picture_to_trace("scan.pdf", &scanned(400, 200), 1, &Watch::default()).expect("a scan");
    let size = scan.picture.size_mm();
    assert!((size - DVec2::new(100.0, 50.0)).abs().max_element() < 0.5, "{size}");
    let (wide, high, dots) = greys_of(&scan.picture).expect("kept");
    let at = |x: f64, y: f64| {
        let (x, y) = ((x * f64::from(wide)) as u32, (y * f64::from(high)) as u32);
        dots[(y * wide + x) as usize]
    };
    assert!(at(0.25, 0.75) < 20 && at(0.75, 0.25) > 235 && at(0.25, 0.25) > 235 && at(0.75, 0.75) > 235);
}
