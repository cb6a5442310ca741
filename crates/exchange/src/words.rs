//! The words of drawings in six languages: what a layer carries, by its name, and where a title block states the scale.
//! One table; names are compared without case and accents.
//!
//! # Source
//! General drawing vocabulary (outline, hole, dimension, hidden edge, centre line, title block) of English, German, French,
//! Italian, Spanish and Portuguese; from memory, no list of anybody's.

use crate::layer::LayerGuess;

/// What a word in a layer's name says. `*` stands for any letters, at the start (the last part of a German compound) or at
/// the end. The first line of the table that holds a word counts: a layer of keep-outs stays one though it says "contour" too.
const WORDS: [(LayerGuess, &[&str]); 8] = [
    (
        LayerGuess::KeepOut,
        &[
            "keepout*",
            "nogo",
            "forbidden",
            "exclusion*",
            "sperrflache*",
            "sperrflaeche*",
            "sperrzone*",
            "sperrbereich*",
            "verbotszone*",
            "verbotsbereich*",
            "verboten*",
            "freihalte*",
            "tabuzone*",
            "tabuflache*",
            "interdit*",
            "proibit*",
            "vietat*",
            "esclusion*",
            "prohibid*",
            "proibid*",
            "exclusao",
        ],
    ),
    (
        LayerGuess::Dimension,
        &[
            "dim",
            "dims",
            "dimension*",
            "measure*",
            "bemass*",
            "*bemassung",
            "*bemassungen",
            "masse",
            "masslinie*",
            "mass",
            "cote",
            "cotes",
            "cotation*",
            "quota",
            "quote",
            "quotatur*",
            "cota",
            "cotas",
            "acota*",
            "medidas",
        ],
    ),
    (
        LayerGuess::Text,
        &[
            "text",
            "texts",
            "note",
            "notes",
            "annotation*",
            "label",
            "labels",
            "beschrift*",
            "*beschriftung",
            "schrift",
            "anmerkung*",
            "hinweis*",
            "texte",
            "textes",
            "testo",
            "testi",
            "scritt*",
            "annotazion*",
            "texto",
            "textos",
            "nota",
            "notas",
            "anotacion*",
            "anotacao",
        ],
    ),
    (
        LayerGuess::Border,
        &[
            "title",
            "titleblock*",
            "border",
            "borders",
            "frame",
            "viewport",
            "viewports",
            "rahmen",
            "*rahmen",
            "schriftfeld*",
            "schriftkopf*",
            "stuckliste*",
            "stueckliste*",
            "cadre",
            "cartouche*",
            "nomenclature",
            "cornice",
            "riquadro",
            "squadratura",
            "cartiglio",
            "marco",
            "recuadro",
            "cajetin",
            "rotulo",
            "moldura",
            "legenda",
        ],
    ),
    (
        LayerGuess::Centre,
        &[
            "centre",
            "center",
            "centres",
            "centers",
            "centreline*",
            "centerline*",
            "axis",
            "axes",
            "axe",
            "mitte",
            "mitten",
            "mittellinie*",
            "mittelachse*",
            "mittelpunkt*",
            "achse",
            "achsen",
            "symmetrie*",
            "asse",
            "assi",
            "mezzeria",
            "mezzerie",
            "eje",
            "ejes",
            "eixo",
            "eixos",
        ],
    ),
    (
        LayerGuess::Hidden,
        &[
            "hidden*",
            "invisible*",
            "verdeckt*",
            "unsichtbar*",
            "gestrichelt*",
            "cache",
            "caches",
            "cachee",
            "cachees",
            "nascost*",
            "ocult*",
            "escondid*",
        ],
    ),
    (
        LayerGuess::Construction,
        &[
            "construction*",
            "defpoints",
            "hatch*",
            "hilfs*",
            "hilfslinie*",
            "konstruktion*",
            "schraff*",
            "hachur*",
            "costruzion*",
            "tratteggi*",
            "campitur*",
            "retino",
            "ausiliari*",
            "construccion*",
            "auxiliar*",
            "rayado*",
            "sombread*",
            "construcao",
        ],
    ),
    // Named so, a layer is read though its line type would say otherwise.
    (
        LayerGuess::Outline,
        &[
            "outline*",
            "contour*",
            "profile*",
            "hole",
            "holes",
            "kontur*",
            "*kontur",
            "*konturen",
            "umriss*",
            "bohrung*",
            "loch",
            "locher",
            "ausschnitt*",
            "profil",
            "trou",
            "trous",
            "percage*",
            "decoupe*",
            "contorn*",
            "sagoma",
            "profilo",
            "foro",
            "fori",
            "perfil",
            "agujero*",
            "taladro*",
            "furo",
            "furos",
        ],
    ),
];

/// Words of two parts that mean a keep-out.
const KEEP_OUT_PAIRS: [(&str, &str); 3] = [("keep", "out"), ("no", "go"), ("frei", "halten")];

/// Small letters without accents: "Sperrfläche" and "SPERRFLACHE" become one word, "Maß" and "Mass" too.
pub(crate) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars().flat_map(char::to_lowercase) {
        match c {
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => out.push('a'),
            'è' | 'é' | 'ê' | 'ë' => out.push('e'),
            'ì' | 'í' | 'î' | 'ï' => out.push('i'),
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => out.push('o'),
            'ù' | 'ú' | 'û' | 'ü' => out.push('u'),
            'ç' => out.push('c'),
            'ñ' => out.push('n'),
            'ß' => out.push_str("ss"),
            'œ' => out.push_str("oe"),
            'æ' => out.push_str("ae"),
            // Accents that stand behind their letter.
            '\u{300}'..='\u{36f}' => {}
            c => out.push(c),
        }
    }
    out
}

fn fits(word: &str, pattern: &str) -> bool {
    match (pattern.strip_prefix('*'), pattern.strip_suffix('*')) {
        (Some(end), _) => word.ends_with(end),
        (_, Some(start)) => word.starts_with(start),
        _ => word == pattern,
    }
}

/// What the name of a layer says it carries; `None` when it says nothing.
pub(crate) fn layer_carries(name: &str) -> Option<LayerGuess> {
    let name = plain(name);
    let words: Vec<&str> = name.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty()).collect();
    let pairs = |w: &[&str]| KEEP_OUT_PAIRS.contains(&(w[0], w[1]));
    if words.windows(2).any(pairs) {
        return Some(LayerGuess::KeepOut);
    }
    let said = |list: &[&str]| words.iter().any(|w| list.iter().any(|pattern| fits(w, pattern)));
    WORDS.iter().find(|(_, list)| said(list)).map(|(guess, _)| *guess)
}

/// Words of layers for bends and creases.
const BEND: [&str; 17] = [
    "bend*", "fold*", "score*", "crease*", "biege*", "kant*", "falz*", "rill*", "pli", "plis", "pliage*",
    "piega*", "piegh*", "pliegue*", "doblez*", "dobra*", "rainage*",
];

/// Whether the name of a layer says that bends are drawn on it.
pub(crate) fn is_bend(name: &str) -> bool {
    let name = plain(name);
    let mut words = name.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty());
    words.any(|w| BEND.iter().any(|pattern| fits(w, pattern)))
}

/// Words before a scale in a title block. A "1:2" without one may be a gear, a screw or a detail.
const SCALE: [&str; 9] = ["scale", "massstab", "mst", "echelle", "scala", "escala", "ech", "esc", "m"];

/// Words that say a scale is that of one detail or section, not of the sheet.
const DETAIL: [&str; 17] = [
    "detail",
    "einzelheit",
    "ausschnitt",
    "schnitt",
    "section",
    "sect",
    "view",
    "ansicht",
    "vue",
    "coupe",
    "vista",
    "sezione",
    "dettaglio",
    "particolare",
    "detalle",
    "seccion",
    "corte",
];

/// Whether a text names a detail, section or view.
pub(crate) fn is_detail(text: &str) -> bool {
    let text = plain(&text.chars().take(LONGEST_SCALE).collect::<String>());
    text.split(|c: char| !c.is_alphabetic()).any(|w| DETAIL.contains(&w))
}

/// Letters of a text that are looked at for a scale: a title block's line, not a page of notes.
const LONGEST_SCALE: usize = 80;

/// A scale as a text states it: how many times as large as drawn the thing is (2 for "Scale 1:2", 0.2 for "5:1"). `named`
/// tells whether a word for scale stands with it, which a text of the figures alone lacks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StatedScale {
    pub(crate) times: f64,
    pub(crate) named: bool,
}

/// The scale that a text states for its whole sheet.
pub(crate) fn scale_in(text: &str) -> Option<StatedScale> {
    let text = plain(&text.chars().take(LONGEST_SCALE).collect::<String>());
    let words: Vec<&str> = text.split(|c: char| !c.is_alphabetic()).filter(|w| !w.is_empty()).collect();
    if words.iter().any(|w| DETAIL.contains(w)) {
        return None;
    }
    let at = text.find([':', '=', '/']).filter(|at| *at > 0)?;
    let (before, after) = (text[..at].trim_end(), text[at + 1..].trim_start());
    // "Scale: 1:2" has a colon of its own.
    if !before.ends_with(|c: char| c.is_ascii_digit()) {
        return scale_in(after)
            .map(|s| StatedScale { named: s.named || words.iter().any(|w| SCALE.contains(w)), ..s });
    }
    let digits = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
    let drawn = &before[before
        .rfind(|c| !digits(c))
        .map_or(0, |i| i + before[i..].chars().next().map_or(1, char::len_utf8))..];
    let real = &after[..after.find(|c| !digits(c)).unwrap_or(after.len())];
    let number = |t: &str| t.replace(',', ".").parse::<f64>().ok().filter(|v| (0.01..=1000.0).contains(v));
    let times = number(real)? / number(drawn)?;
    let named = words.iter().any(|w| SCALE.contains(w));
    // A date, a thread or a sheet number is no scale; one side of a scale is one (ISO 5455), but for 2:5 and the like.
    let usual = (times >= 1.0 && number(drawn)? <= 2.0) || (times < 1.0 && number(real)? <= 2.0);
    (usual && (1e-3..=1e3).contains(&times)).then_some(StatedScale { times, named })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn layers_of_five_languages() {
        for (name, expected) in [
            ("Sperrfläche", Some(LayerGuess::KeepOut)),
            ("SPERRFLAECHE_2", Some(LayerGuess::KeepOut)),
            ("Zone interdite", Some(LayerGuess::KeepOut)),
            ("zona vietata", Some(LayerGuess::KeepOut)),
            ("Zona prohibida", Some(LayerGuess::KeepOut)),
            ("keep-out", Some(LayerGuess::KeepOut)),
            ("Maße", Some(LayerGuess::Dimension)),
            ("Quote", Some(LayerGuess::Dimension)),
            ("Acotación", Some(LayerGuess::Dimension)),
            ("Traits cachés", Some(LayerGuess::Hidden)),
            ("Linee nascoste", Some(LayerGuess::Hidden)),
            ("Aristas ocultas", Some(LayerGuess::Hidden)),
            ("Verdeckte Kanten", Some(LayerGuess::Hidden)),
            ("Hachures", Some(LayerGuess::Construction)),
            ("Zeichnungsrahmen", Some(LayerGuess::Border)),
            ("Cartiglio", Some(LayerGuess::Border)),
            ("Achsen", Some(LayerGuess::Centre)),
            ("Assi", Some(LayerGuess::Centre)),
            ("Außenkontur", Some(LayerGuess::Outline)),
            ("Bohrungen", Some(LayerGuess::Outline)),
            ("Löcher", Some(LayerGuess::Outline)),
            ("Contorno", Some(LayerGuess::Outline)),
            ("Ebene 1", None),
            ("Dimpled", None),
        ] {
            assert_eq!(layer_carries(name), expected, "{name}");
        }
    }

    #[test]
    fn scales_of_title_blocks() {
        let scale = |text: &str| scale_in(text).map(|s| (s.times, s.named));
        assert_eq!(scale("Scale 1:2"), Some((2.0, true)));
        assert_eq!(scale("Maßstab: 1:10"), Some((10.0, true)));
        assert_eq!(scale("ÉCHELLE 1/5"), Some((5.0, true)));
        assert_eq!(scale("M 2:1"), Some((0.5, true)));
        assert_eq!(scale("1:2,5"), Some((2.5, false)));
        for none in ["DETAIL A 5:1", "Scale", "12:30", "2026/11/30", "Schnitt A-A 1:2", "M8x1:", ":", "="] {
            assert_eq!(scale(none), None, "{none}");
        }
    }
}
