//! What the part as it bends makes of the shown motion, as rows of figures: factor and range, sag, stress, cups lost, ringing.

use crate::{fields, theme::Size, view::View};
use analysis::{BentMotion, MotionReport, ReserveMotion, Rings, SagIs, StrokeFigures};
use document::MoveProfile;
use egui::{RichText, Ui};
use units::Quantity;

/// What a deflection is worth.
pub(crate) fn worth(sag_is: SagIs) -> &'static str {
    match sag_is {
        SagIs::Small => "as calculated",
        SagIs::Less => "it actually stiffens: less",
        SagIs::VeryLarge => "beyond small deflections: read it as very large",
    }
}

/// Draws them; nothing of a part that is taken as rigid.
pub(crate) fn ui(ui: &mut Ui, view: &View, motion: &MotionReport) {
    let Some(Ok(bending)) = &view.report.bending else { return };
    let Some(bent) = bending.of_motion(motion.id) else { return };
    factor(ui, view, motion, bent);
    let sag = view.show(bent.sag_mm.abs(), Quantity::Length);
    let why = format!("Beyond the plane of the lips, between and beyond them; {}", worth(bent.sag_is));
    fields::figure(ui, "Sag", &sag, &why);
    if bent.sag_is != SagIs::Small {
        note(
            ui,
            view,
            "More than half the thickness: a real sheet stiffens, sags less, and its stress is not covered.",
        );
    }
    if let Some(reserve) = reserve_of(view, motion) {
        behind(ui, view, motion, reserve);
    }
    ringing(ui, view, motion);
}

fn reserve_of<'a>(view: &'a View, motion: &MotionReport) -> Option<&'a ReserveMotion> {
    view.report.bent_reserve.as_ref()?.as_ref().ok()?.of_motion(motion.id)
}

fn note(ui: &mut Ui, view: &View, says: &str) {
    let text = RichText::new(says).font(Size::Small.slanted()).color(view.tokens.second);
    ui.add(egui::Label::new(text).wrap());
}

fn factor(ui: &mut Ui, view: &View, motion: &MotionReport, bent: &BentMotion) {
    let why = format!(
        "Of {}, with the cup loads of the bending sheet; this factor counts",
        view.tag(bent.governing_cup)
    );
    let short = bent.factor.value < motion.required_factor;
    fields::row(ui, "Factor, as it bends", &why, |ui| {
        ui.label(
            RichText::new(format!("of {}", view.factor(motion.required_factor))).color(view.tokens.second),
        );
        let colour = if short { view.tokens.fail } else { view.tokens.ink };
        ui.label(RichText::new(view.factor(bent.factor.value)).font(Size::Body.strong()).color(colour));
    });
    let Some([least, most]) = reserve_of(view, motion).and_then(|reserve| reserve.range) else { return };
    let text = format!("{} to {}", view.factor(least), view.factor_of(most, motion.required_factor));
    let colour = if least < motion.required_factor { view.tokens.watch } else { view.tokens.ink };
    let why = "Range of the factor while modulus, friction, lips and the like are assumed";
    fields::row(ui, "With assumed inputs", why, |ui| ui.label(RichText::new(text).color(colour)));
}

fn behind(ui: &mut Ui, view: &View, motion: &MotionReport, reserve: &ReserveMotion) {
    let stress = view.text(reserve.stress_n_mm2, Quantity::Stress);
    let allowed = view.part.allowable_n_mm2.as_ref().map_or_else(
        || "no allowable is stated; for glass, the applicable standard decides".to_owned(),
        |held| format!("{} is allowed", view.text(held.value, Quantity::Stress)),
    );
    let over = view.part.allowable_n_mm2.as_ref().is_some_and(|held| reserve.stress_n_mm2 > held.value);
    let colour = if over { view.tokens.fail } else { view.tokens.ink };
    let why = format!("Largest principal bending stress at a face; {allowed}");
    fields::row(ui, "Bending stress", &why, |ui| ui.label(RichText::new(stress).color(colour)));
    let worst = reserve.lost.iter().min_by(|a, b| {
        a.holds.cmp(&b.holds).then(a.factor.unwrap_or(-1.0).total_cmp(&b.factor.unwrap_or(-1.0)))
    });
    let Some(worst) = worst else { return };
    let factor =
        worst.factor.map_or_else(|| "none".to_owned(), |f| view.factor_of(f, motion.required_factor));
    let (word, colour) = if worst.holds { ("holds", view.tokens.ink) } else { ("drops", view.tokens.fail) };
    let why = "The cup whose loss is worst, with its neighbours loaded by the bending sheet";
    fields::row(ui, &format!("Without {}", view.tag(worst.cup)), why, |ui| {
        ui.label(RichText::new(word).color(colour));
        ui.label(RichText::new(factor));
    });
}

fn ringing(ui: &mut Ui, view: &View, motion: &MotionReport) {
    let ring = match &view.report.ringing {
        None => return,
        Some(Err(reason)) => {
            note(ui, view, &format!("Ringing is not checked: {reason}."));
            return;
        }
        Some(Ok(ring)) => ring,
    };
    let hz: Vec<String> = ring.modes.iter().take(3).map(|mode| view.fixed(mode.hz, 1)).collect();
    let why = format!(
        "The lowest frequencies of the part on its cups; damping ratio {}",
        view.fixed(ring.damping, 3)
    );
    fields::row(ui, "Rings at", &why, |ui| ui.label(format!("{} Hz", hz.join(view.units.between()))));
    let Some(own) = ring.motions.iter().find(|own| own.id == motion.id) else { return };
    let time = |s: f64| view.show(s, Quantity::Time).to_string();
    match &own.rings {
        Rings::InPlane => {
            note(ui, view, "This motion runs in the plane of the part and does not make it ring.")
        }
        Rings::Sudden(ring) => {
            let why = format!(
                "If the acceleration is sudden: {} pulls {} while it rings, {} when held steadily",
                view.tag(ring.cup),
                view.show(ring.pull_n, Quantity::Force),
                view.show(ring.even_pull_n, Quantity::Force)
            );
            fields::row(ui, "Sudden: pull grows", &why, |ui| {
                ui.label(format!("{} ×", view.factor(ring.times)))
            });
        }
        Rings::Stroke(stroke) => {
            let shown = |mm: f64| view.show(mm.abs(), Quantity::Length);
            fields::figure(
                ui,
                "Swing during the stroke",
                &shown(stroke.stated.most_mm),
                worth(stroke.most_is),
            );
            fields::figure(
                ui,
                "Swing at its end",
                &shown(stroke.stated.left_mm),
                "Amplitude, all modes assumed in phase",
            );
            let limit = view.show(ring.limit_mm, Quantity::Length);
            let wait = stroke.stated.wait_s.map_or_else(|| "never".to_owned(), time);
            let why = format!("Until it rings within ±{limit}; the limit is set in the project");
            let long = stroke.stated.wait_s.is_none_or(|wait| wait > stroke.pause_s + 0.005);
            let colour = if long { view.tokens.watch } else { view.tokens.ink };
            fields::row(ui, "At rest after", &why, |ui| ui.label(RichText::new(wait).color(colour)));
            others(ui, view, &stroke.stated, &stroke.others);
        }
    }
}

/// What other profiles and times would do: time to rest in all.
fn others(ui: &mut Ui, view: &View, stated: &StrokeFigures, others: &[StrokeFigures]) {
    let profile = |p: MoveProfile| match p {
        MoveProfile::Trapezoid => "thirds",
        MoveProfile::Cycloid => "cycloid",
        MoveProfile::Quintic => "fifth degree",
    };
    let time = |s: f64| view.show(s, Quantity::Time).to_string();
    for other in std::iter::once(stated).chain(others.iter().take(3)) {
        let rest = other.at_rest_s().map_or_else(|| "never".to_owned(), time);
        let why = format!(
            "{} in {}: {} left, then {} to rest",
            profile(other.profile),
            time(other.time_s),
            view.show(other.left_mm, Quantity::Length),
            other.wait_s.map_or_else(|| "never".to_owned(), time)
        );
        let name = format!("{} in {}", profile(other.profile), time(other.time_s));
        let sooner = other.at_rest_s().zip(stated.at_rest_s()).is_some_and(|(a, b)| a < b - 1e-3);
        let colour = if sooner { view.tokens.order } else { view.tokens.ink };
        fields::row(ui, &name, &why, |ui| ui.label(RichText::new(format!("rest at {rest}")).color(colour)));
    }
}
