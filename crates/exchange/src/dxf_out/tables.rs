//! What a file must hold besides its entities: tables, blocks, and from release 2000 on classes and objects.
//!
//! # Source
//! DXF reference, release 12 and 2000, sections TABLES, BLOCKS, OBJECTS; from memory, held to an independent reader.

use super::shape::{Canvas, LineType};
use super::writer::Pairs;
use glam::DVec2;

// Handles that other records name. Those of the tables' entries are given out after them.
const TABLES: [(&str, u32); 9] = [
    ("VPORT", 0x8),
    ("LTYPE", 0x2),
    ("LAYER", 0x1),
    ("STYLE", 0x5),
    ("VIEW", 0x7),
    ("UCS", 0x6),
    ("APPID", 0x3),
    ("DIMSTYLE", 0x4),
    ("BLOCK_RECORD", 0x9),
];
const ROOT: u32 = 0xA;
const GROUPS: u32 = 0xB;
const LAYOUTS: u32 = 0xC;
const PLOT_STYLES: u32 = 0xD;
const NORMAL: u32 = 0xE;
pub(super) const MODEL_SPACE: u32 = 0x10;
const PAPER_SPACE: u32 = 0x11;
const MODEL_LAYOUT: u32 = 0x12;
const PAPER_LAYOUT: u32 = 0x13;
/// First handle that is given out.
pub(super) const FIRST_FREE: u32 = 0x20;

/// Kinds of objects that release 2000 does not know by itself.
pub(super) fn classes(pairs: &mut Pairs) {
    if !pairs.modern() {
        return;
    }
    pairs.put(0, "SECTION");
    pairs.put(2, "CLASSES");
    for (record, class) in [
        ("ACDBDICTIONARYWDFLT", "AcDbDictionaryWithDefault"),
        ("ACDBPLACEHOLDER", "AcDbPlaceHolder"),
        ("LAYOUT", "AcDbLayout"),
    ] {
        pairs.put(0, "CLASS");
        pairs.put(1, record);
        pairs.put(2, class);
        pairs.put(3, "ObjectDBX Classes");
        pairs.put(90, 0);
        pairs.put(280, 0);
        pairs.put(281, 0);
    }
    pairs.put(0, "ENDSEC");
}

fn table(pairs: &mut Pairs, name: &str, count: usize, entries: impl FnOnce(&mut Pairs, u32)) {
    let handle = TABLES.iter().find(|t| t.0 == name).map_or(0, |t| t.1);
    pairs.put(0, "TABLE");
    pairs.put(2, name);
    pairs.fixed(handle, 0);
    pairs.class("AcDbSymbolTable");
    pairs.put(70, count);
    if name == "DIMSTYLE" {
        pairs.class("AcDbDimStyleTable");
    }
    entries(pairs, handle);
    pairs.put(0, "ENDTAB");
}

/// The head of an entry: kind, handle, owner, classes, name, flags.
fn entry(pairs: &mut Pairs, kind: &str, class: &str, owner: u32, name: &str) {
    pairs.put(0, kind);
    pairs.handle(owner);
    pairs.class("AcDbSymbolTableRecord");
    pairs.class(class);
    pairs.put(2, name);
    pairs.put(70, 0);
}

/// The tables; gives the handles of the records of the canvas's blocks.
pub(super) fn tables(pairs: &mut Pairs, canvas: &Canvas) -> Vec<u32> {
    let mut records = Vec::new();
    pairs.put(0, "SECTION");
    pairs.put(2, "TABLES");
    table(pairs, "VPORT", 1, |pairs, owner| view(pairs, owner, canvas));
    table(pairs, "LTYPE", 5, line_types);
    table(pairs, "LAYER", canvas.layers.len() + 1, |pairs, owner| {
        layer(pairs, owner, "0", 7, LineType::Continuous);
        for l in &canvas.layers {
            layer(pairs, owner, &l.name, l.colour, l.line);
        }
    });
    table(pairs, "STYLE", 1, |pairs, owner| {
        entry(pairs, "STYLE", "AcDbTextStyleTableRecord", owner, "STANDARD");
        pairs.number(40, 0.0);
        pairs.number(41, 1.0);
        pairs.number(50, 0.0);
        pairs.put(71, 0);
        pairs.number(42, 2.5);
        pairs.put(3, "txt");
        pairs.put(4, "");
    });
    table(pairs, "VIEW", 0, |_, _| {});
    table(pairs, "UCS", 0, |_, _| {});
    table(pairs, "APPID", 1, |pairs, owner| entry(pairs, "APPID", "AcDbRegAppTableRecord", owner, "ACAD"));
    table(pairs, "DIMSTYLE", 1, |pairs, owner| {
        pairs.put(0, "DIMSTYLE");
        if pairs.modern() {
            pairs.put(105, "1F");
            pairs.owner(owner);
        }
        pairs.class("AcDbSymbolTableRecord");
        pairs.class("AcDbDimStyleTableRecord");
        pairs.put(2, "STANDARD");
        pairs.put(70, 0);
    });
    if pairs.modern() {
        table(pairs, "BLOCK_RECORD", 2 + canvas.blocks.len(), |pairs, owner| {
            for (name, handle, layout) in
                [("*Model_Space", MODEL_SPACE, MODEL_LAYOUT), ("*Paper_Space", PAPER_SPACE, PAPER_LAYOUT)]
            {
                pairs.put(0, "BLOCK_RECORD");
                pairs.fixed(handle, owner);
                pairs.class("AcDbSymbolTableRecord");
                pairs.class("AcDbBlockTableRecord");
                pairs.put(2, name);
                pairs.put(340, format_args!("{layout:X}"));
            }
            for block in &canvas.blocks {
                pairs.put(0, "BLOCK_RECORD");
                records.push(pairs.handle(owner));
                pairs.class("AcDbSymbolTableRecord");
                pairs.class("AcDbBlockTableRecord");
                pairs.put(2, &block.name);
                pairs.put(340, 0);
            }
        });
    }
    pairs.put(0, "ENDSEC");
    records
}

/// The view that opens: all of the drawing.
fn view(pairs: &mut Pairs, owner: u32, canvas: &Canvas) {
    let (centre, size) = canvas.bounds().map_or((DVec2::ZERO, DVec2::ONE), |b| (b.centre(), b.size()));
    entry(pairs, "VPORT", "AcDbViewportTableRecord", owner, "*ACTIVE");
    pairs.point(10, DVec2::ZERO);
    pairs.point(11, DVec2::ONE);
    pairs.point(12, centre);
    pairs.point(13, DVec2::ZERO);
    pairs.point(14, DVec2::splat(10.0));
    pairs.point(15, DVec2::splat(10.0));
    pairs.point(16, DVec2::ZERO);
    pairs.number(36, 1.0);
    pairs.point3(17, DVec2::ZERO);
    pairs.number(40, (size.y.max(size.x / 1.5) * 1.05).max(1.0));
    pairs.number(41, 1.5);
    pairs.number(42, 50.0);
    for code in [43, 44, 50, 51] {
        pairs.number(code, 0.0);
    }
    for (code, value) in [(71, 0), (72, 1000), (73, 1), (74, 3), (75, 0), (76, 0), (77, 0), (78, 0)] {
        pairs.put(code, value);
    }
}

fn line_types(pairs: &mut Pairs, owner: u32) {
    let kinds: [(&str, &str, &[f64]); 5] = [
        ("BYBLOCK", "", &[]),
        ("BYLAYER", "", &[]),
        ("CONTINUOUS", "Solid line", &[]),
        ("CENTER", "Long dash, short dash", &[12.0, -2.5, 2.5, -2.5]),
        ("DASHED", "Dashes", &[5.0, -2.5]),
    ];
    for (name, says, dashes) in kinds {
        // Release 12 knows "by block" and "by layer" without an entry.
        if !pairs.modern() && name.starts_with("BY") {
            continue;
        }
        entry(pairs, "LTYPE", "AcDbLinetypeTableRecord", owner, name);
        pairs.put(3, says);
        pairs.put(72, 65);
        pairs.put(73, dashes.len());
        pairs.number(40, dashes.iter().map(|d| d.abs()).sum());
        for dash in dashes {
            pairs.number(49, *dash);
            if pairs.modern() {
                pairs.put(74, 0);
            }
        }
    }
}

fn layer(pairs: &mut Pairs, owner: u32, name: &str, colour: u8, line: LineType) {
    entry(pairs, "LAYER", "AcDbLayerTableRecord", owner, name);
    pairs.put(62, colour);
    let line = match line {
        LineType::Continuous => "CONTINUOUS",
        LineType::Centre => "CENTER",
        LineType::Dashed => "DASHED",
    };
    pairs.put(6, line);
    if pairs.modern() {
        pairs.put(370, -3);
        pairs.put(390, format_args!("{NORMAL:X}"));
    }
}

pub(super) fn blocks(pairs: &mut Pairs, canvas: &Canvas, records: &[u32]) {
    pairs.put(0, "SECTION");
    pairs.put(2, "BLOCKS");
    if pairs.modern() {
        for (name, record) in [("*Model_Space", MODEL_SPACE), ("*Paper_Space", PAPER_SPACE)] {
            begin_block(pairs, record, name);
            end_block(pairs, record);
        }
    }
    for (index, block) in canvas.blocks.iter().enumerate() {
        // Release 12 has no records.
        let record = records.get(index).copied().unwrap_or(MODEL_SPACE);
        begin_block(pairs, record, &block.name);
        for (layer, shape) in &block.shapes {
            super::writer::entity(pairs, canvas, record, *layer, shape);
        }
        end_block(pairs, record);
    }
    pairs.put(0, "ENDSEC");
}

fn begin_block(pairs: &mut Pairs, record: u32, name: &str) {
    pairs.put(0, "BLOCK");
    pairs.handle(record);
    pairs.class("AcDbEntity");
    pairs.put(8, "0");
    pairs.class("AcDbBlockBegin");
    pairs.put(2, name);
    pairs.put(70, 0);
    pairs.point3(10, DVec2::ZERO);
    pairs.put(3, name);
    pairs.put(1, "");
}

fn end_block(pairs: &mut Pairs, record: u32) {
    pairs.put(0, "ENDBLK");
    pairs.handle(record);
    pairs.class("AcDbEntity");
    pairs.put(8, "0");
    pairs.class("AcDbBlockEnd");
}

pub(super) fn objects(pairs: &mut Pairs) {
    if !pairs.modern() {
        return;
    }
    pairs.put(0, "SECTION");
    pairs.put(2, "OBJECTS");
    let dictionary = |pairs: &mut Pairs, kind: &str, handle: u32, owner: u32, holds: &[(&str, u32)]| {
        pairs.put(0, kind);
        pairs.fixed(handle, owner);
        pairs.class("AcDbDictionary");
        pairs.put(281, 1);
        for (name, of) in holds {
            pairs.put(3, name);
            pairs.put(350, format_args!("{of:X}"));
        }
    };
    let named = [("ACAD_GROUP", GROUPS), ("ACAD_LAYOUT", LAYOUTS), ("ACAD_PLOTSTYLENAME", PLOT_STYLES)];
    dictionary(pairs, "DICTIONARY", ROOT, 0, &named);
    dictionary(pairs, "DICTIONARY", GROUPS, ROOT, &[]);
    dictionary(pairs, "DICTIONARY", LAYOUTS, ROOT, &[("Model", MODEL_LAYOUT), ("Layout1", PAPER_LAYOUT)]);
    dictionary(pairs, "ACDBDICTIONARYWDFLT", PLOT_STYLES, ROOT, &[("Normal", NORMAL)]);
    pairs.class("AcDbDictionaryWithDefault");
    pairs.put(340, format_args!("{NORMAL:X}"));
    pairs.put(0, "ACDBPLACEHOLDER");
    pairs.fixed(NORMAL, PLOT_STYLES);
    for (name, tab, handle, record) in
        [("Model", 0, MODEL_LAYOUT, MODEL_SPACE), ("Layout1", 1, PAPER_LAYOUT, PAPER_SPACE)]
    {
        pairs.put(0, "LAYOUT");
        pairs.fixed(handle, LAYOUTS);
        plot_settings(pairs, tab == 0);
        pairs.class("AcDbLayout");
        pairs.put(1, name);
        pairs.put(70, 1);
        pairs.put(71, tab);
        pairs.point(10, DVec2::ZERO);
        pairs.point(11, PAPER);
        for code in [12, 14, 15] {
            pairs.point3(code, DVec2::ZERO);
        }
        pairs.number(146, 0.0);
        pairs.point3(13, DVec2::ZERO);
        pairs.point3(16, DVec2::X);
        pairs.point3(17, DVec2::Y);
        pairs.put(76, 0);
        pairs.owner(record);
    }
    pairs.put(0, "ENDSEC");
}

/// A3, which nobody has to print on.
const PAPER: DVec2 = DVec2::new(420.0, 297.0);

fn plot_settings(pairs: &mut Pairs, model: bool) {
    pairs.class("AcDbPlotSettings");
    for (code, value) in [(1, ""), (4, "A3"), (6, "")] {
        pairs.put(code, value);
    }
    for code in 40..=43 {
        pairs.number(code, 7.5);
    }
    pairs.number(44, PAPER.x);
    pairs.number(45, PAPER.y);
    for code in [46, 47, 48, 49, 140, 141] {
        pairs.number(code, 0.0);
    }
    pairs.number(142, 1.0);
    pairs.number(143, 1.0);
    // Bit 1024: of model space.
    pairs.put(70, if model { 1024 } else { 0 });
    for (code, value) in [(72, 1), (73, 0), (74, 5)] {
        pairs.put(code, value);
    }
    pairs.put(7, "");
    pairs.put(75, 16);
    pairs.number(147, 1.0);
    pairs.number(148, 0.0);
    pairs.number(149, 0.0);
}
