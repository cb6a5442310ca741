//! Materials by the names people call them.

use super::{MATERIALS, MaterialPreset};

/// Lower case, British spelling, words without marks between them.
fn plain(text: &str) -> String {
    let lower = text.to_lowercase();
    let words: Vec<&str> =
        lower.split(|c: char| !c.is_alphanumeric() && c != '.').filter(|w| !w.is_empty()).collect();
    let spellings = [
        ("aluminum", "aluminium"),
        ("fiber", "fibre"),
        ("molded", "moulded"),
        ("molding", "moulding"),
        ("galvanized", "galvanised"),
    ];
    let mut plain = words.join(" ");
    for (american, british) in spellings {
        plain = plain.replace(american, british);
    }
    plain
}

/// Materials that go by these words, the best match first: the very name, then one that begins so, then one whose names hold
/// every word. Lower and upper case, British and American spelling are alike. All of them for no words.
///
/// ```
/// use document::materials_called;
/// let first = |words| materials_called(words)[0].name;
/// assert_eq!(first("mdf"), "Fibreboard, medium density");
/// assert_eq!(first("aluminum"), "Aluminium sheet");
/// assert!(materials_called("unobtainium").is_empty());
/// ```
pub fn materials_called(words: &str) -> Vec<&'static MaterialPreset> {
    let words = plain(words);
    let rank = |material: &MaterialPreset| {
        let names: Vec<String> =
            [material.name].iter().chain(material.also).map(|name| plain(name)).collect();
        let all = names.join(" ");
        let bare = words.replace(' ', "");
        if names.iter().any(|name| name.replace(' ', "") == bare) {
            Some(0)
        } else if names.iter().any(|name| name.starts_with(&words)) {
            Some(1)
        } else {
            words.split(' ').all(|word| all.contains(word)).then_some(2)
        }
    };
    let mut found: Vec<(i32, &MaterialPreset)> =
        MATERIALS.iter().filter_map(|m| Some((rank(m)?, m))).collect();
    // Kept in the order of the list within a rank.
    found.sort_by_key(|(rank, _)| *rank);
    found.into_iter().map(|(_, material)| material).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_material_is_found_by_what_people_call_it() {
        for (words, name) in [
            ("MDF", "Fibreboard, medium density"),
            ("medium density fiberboard", "Fibreboard, medium density"),
            ("fiberboard", "Fibreboard, medium density"),
            ("ply wood", "Plywood"),
            ("chipboard", "Chipboard, coated"),
            ("particle board", "Chipboard, coated"),
            ("particleboard", "Chipboard, coated"),
            ("osb", "Oriented strand board"),
            ("corrugated board", "Corrugated board, single wall"),
            ("cardboard", "Corrugated board, single wall"),
            ("corrugated double", "Corrugated board, double wall"),
            ("pmma", "Acrylic sheet"),
            ("acrylic", "Acrylic sheet"),
            ("steel", "Steel sheet"),
            ("Stainless", "Stainless steel sheet"),
            ("aluminum", "Aluminium sheet"),
            ("ALUMINIUM", "Aluminium sheet"),
            ("alu", "Aluminium sheet"),
            ("glass", "Float glass"),
            ("float", "Float glass"),
            ("plasterboard", "Gypsum board"),
            ("drywall", "Gypsum board"),
            ("pp", "Polypropylene tray"),
            ("pe", "Polyethylene sheet"),
            ("pc", "Polycarbonate sheet"),
            ("pvc", "Rigid vinyl sheet"),
            ("pcb", "Printed circuit board"),
            ("cfrp", "Carbon fibre laminate"),
            ("carbon fiber", "Carbon fibre laminate"),
            ("abs", "Moulded part, textured"),
            ("molded", "Moulded part, textured"),
            ("lumber", "Sawn softwood"),
            ("galvanized", "Steel sheet"),
            ("granite", "Natural stone, sawn"),
        ] {
            let found = materials_called(words);
            assert_eq!(found.first().map(|m| m.name), Some(name), "{words}");
        }
        assert_eq!(materials_called(" ").len(), MATERIALS.len());
        assert!(materials_called("steel").iter().any(|m| m.name == "Stainless steel sheet"));
        for material in MATERIALS {
            assert_eq!(materials_called(material.name)[0].name, material.name);
            for name in material.also {
                assert!(materials_called(name).iter().any(|m| m.name == material.name), "{name}");
            }
        }
    }

    #[test]
    fn wetter_is_never_grippier_and_names_are_distinct() {
        for (i, m) in MATERIALS.iter().enumerate() {
            assert!(m.friction[0] >= m.friction[1] && m.friction[1] >= m.friction[2], "{}", m.name);
            assert!(MATERIALS[..i].iter().all(|o| o.name != m.name), "{}", m.name);
        }
    }
}
