//! Time to build one frame of the whole window at rest (layout and tessellation, no graphics card) with many cups: what is worked out
//! beside it is there.

#![expect(clippy::unwrap_used, reason = "a bench may end at once when its set-up fails")]

use app::{
    Cupwright, Setup,
    files::{FileKind, FilePicker},
};
use std::{path::PathBuf, sync::Arc};

fn main() {
    divan::main();
}

struct NoPicker;
impl FilePicker for NoPicker {
    fn open(&mut self, _: FileKind) -> Option<PathBuf> {
        None
    }
    fn save(&mut self, _: FileKind, _: &str) -> Option<PathBuf> {
        None
    }
}

/// A 4 m sheet with `count` cups in rows, written to a file that the program opens.
fn project_file(count: usize) -> tempfile::TempDir {
    let part = document::Part::rectangle(document::PartId(1), "Sheet", 4000.0, 2000.0);
    let mut project = document::Project::new("Many cups", part);
    let model = document::library()[3].clone();
    let layout = project.layouts[0].id;
    let circuit = project.circuits[0].id;
    let tags = project.next_tags(layout, count);
    let first = project.next_id();
    let columns = (count as f64).sqrt().ceil() as usize;
    let cups = tags
        .into_iter()
        .enumerate()
        .map(|(i, tag)| document::Cup {
            id: document::CupId(first + i as u32),
            tag,
            model: model.id.clone(),
            at: glam::DVec2::new(
                100.0 + (i % columns) as f64 * 3800.0 / columns as f64,
                100.0 + (i / columns) as f64 * 1800.0 / columns as f64,
            ),
            turn_deg: 0.0,
            height_mm: 0.0,
            circuit,
            zone: "A".to_owned(),
            locked: false,
        })
        .collect();
    for edit in [document::Edit::AddModel(model), document::Edit::AddCups { layout, cups }] {
        project = edit.apply(&project).unwrap();
    }
    let folder = tempfile::tempdir().unwrap();
    document::save(&project, &folder.path().join("many.ron"), None).unwrap();
    folder
}

#[divan::bench(args = [8, 50, 200])]
fn whole_window(bencher: divan::Bencher<'_, '_>, cups: usize) {
    let folder = project_file(cups);
    let mut app = Cupwright::new(Setup {
        picker: Box::new(NoPicker),
        folder: None,
        open: Some(folder.path().join("many.ron")),
    });
    let ctx = egui::Context::default();
    let input = || egui::RawInput {
        screen_rect: Some(egui::Rect::from_min_size(egui::Pos2::ZERO, egui::vec2(1600.0, 1000.0))),
        ..Default::default()
    };
    let frame = |app: &mut Cupwright| {
        let output = ctx.run_ui(input(), |ui| app.ui(ui));
        Arc::new(ctx.tessellate(output.shapes, output.pixels_per_point))
    };
    // Slow figures come between frames and would share the processor.
    for _ in 0..5 {
        frame(&mut app);
        app.settle(&ctx);
    }
    bencher.bench_local(|| frame(&mut app));
}
