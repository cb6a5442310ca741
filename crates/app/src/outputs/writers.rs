//! One writer for each row of the table of outputs; `None` where there are no figures.

use super::subject::{Made, Subject};
use analysis::Report;

use document::Project;
use sheet::{Page, Plot, SheetOptions};
use std::sync::Arc;
use telling::Comparison;

/// All pages of the sheet: the layout's own, and the comparison with the reports of its layouts where one goes with it.
pub(crate) fn sheet_pages(
    project: &Project,
    report: &Report,
    compared: Option<(&Comparison, &[&Report])>,
    options: &SheetOptions,
) -> Vec<Page> {
    match compared {
        Some((comparison, reports)) => {
            sheet::compose_with_comparison(project, report, comparison, reports, options)
        }
        None => sheet::compose(project, report, options),
    }
}

fn pages(subject: &Subject<'_>, pages: Vec<Page>) -> Option<Made> {
    (!pages.is_empty()).then(|| Made::Pages { pages, name: subject.project.name.clone(), in_browser: None })
}

/// One object on a line.
fn object(object: &str) -> Option<Made> {
    Some(Made::Text(format!("{}\n", telling::plain_json(object))))
}

pub(super) fn sheet(subject: &mut Subject<'_>) -> Option<Made> {
    let report = subject.report();
    let comparison = if subject.choices.comparison { subject.comparison() } else { None };
    let layouts = subject.compared.clone();
    let reports = if comparison.is_some() { subject.reports_of(&layouts) } else { Vec::new() };
    let reports: Vec<&Report> = reports.iter().map(Arc::as_ref).collect();
    let compared = comparison.as_deref().map(|c| (c, reports.as_slice()));
    let options = subject.choices.sheet.clone();
    let pages = sheet_pages(&subject.project, &report, compared, &options);
    let left_out: Vec<&str> = reports.iter().map(|report| report.layout_name.trim()).collect();
    let in_browser = Some(sheet::to_html(&subject.project, &report, &options, &left_out));
    (!pages.is_empty()).then(|| Made::Pages { pages, name: subject.project.name.clone(), in_browser })
}

pub(super) fn holes(subject: &mut Subject<'_>) -> Option<Made> {
    let report = subject.report();
    Some(Made::Text(exchange::hole_table_csv(&subject.project, &report)))
}

pub(super) fn parts(subject: &mut Subject<'_>) -> Option<Made> {
    let report = subject.report();
    Some(Made::Text(exchange::parts_list_csv(&subject.project, &report)))
}

pub(super) fn hoses(subject: &mut Subject<'_>) -> Option<Made> {
    let report = subject.report();
    Some(Made::Text(exchange::hose_schedule_csv(&subject.project, &report)))
}

pub(super) fn findings(subject: &mut Subject<'_>) -> Option<Made> {
    let report = subject.report();
    Some(Made::Text(exchange::findings_csv(&subject.project, &report)))
}

pub(super) fn drawing(subject: &mut Subject<'_>) -> Option<Made> {
    let report = subject.report();
    let options = exchange::DxfOptions { version: subject.choices.dxf, ..exchange::DxfOptions::default() };
    exchange::layout_dxf(&subject.project, &report, subject.layout, &options).map(Made::Text)
}

pub(super) fn models(subject: &mut Subject<'_>) -> Option<Made> {
    let models: Vec<_> = subject.project.models.iter().map(|m| document::CupModel::clone(m)).collect();
    Some(Made::Text(exchange::models_csv(&models)))
}

pub(super) fn sources(subject: &mut Subject<'_>) -> Option<Made> {
    let sources: Vec<_> = subject.project.sources.iter().map(|s| document::SourceModel::clone(s)).collect();
    Some(Made::Text(exchange::sources_to_csv(&sources)))
}

fn plots(subject: &mut Subject<'_>, plots: impl IntoIterator<Item = Plot>) -> Option<Made> {
    let (report, units) = (subject.report(), subject.units);
    let draw = |plot| sheet::export_plot(&subject.project, &report, plot, &units);
    pages(subject, plots.into_iter().filter_map(draw).collect())
}

pub(super) fn envelope(subject: &mut Subject<'_>) -> Option<Made> {
    let Some(comparison) = subject.comparison() else { return plots(subject, [Plot::Envelope]) };
    let (report, units) = (subject.report(), subject.units);
    let page = sheet::export_envelopes(&subject.project, &comparison, &report, &units);
    pages(subject, page.into_iter().collect())
}

pub(super) fn loads(subject: &mut Subject<'_>) -> Option<Made> {
    let report = subject.report();
    let motion = super::shown_motion(&report, subject.motion)?;
    plots(subject, [Plot::Loads(motion.id)])
}

pub(super) fn source_curves(subject: &mut Subject<'_>) -> Option<Made> {
    let report = subject.report();
    plots(subject, report.circuits.iter().map(|c| Plot::Source(c.id)))
}

pub(super) fn evacuation(subject: &mut Subject<'_>) -> Option<Made> {
    let report = subject.report();
    plots(subject, report.circuits.iter().map(|c| Plot::Evacuation(c.id)))
}

pub(super) fn figures(subject: &mut Subject<'_>) -> Option<Made> {
    let reports = subject.reports();
    object(&telling::to_json(&subject.file, &subject.project, &reports))
}

pub(super) fn compared(subject: &mut Subject<'_>) -> Option<Made> {
    let comparison = subject.comparison()?;
    let layouts = subject.compared.clone();
    let reports = subject.reports_of(&layouts);
    let reports: Vec<&Report> = reports.iter().map(Arc::as_ref).collect();
    let options = SheetOptions { units: subject.units, ..SheetOptions::default() };
    pages(subject, sheet::compose_comparison(&subject.project, &comparison, &reports, &options))
}

pub(super) fn comparison(subject: &mut Subject<'_>) -> Option<Made> {
    let comparison = subject.comparison()?;
    let layouts = subject.compared.clone();
    let reports = subject.reports_of(&layouts);
    object(&telling::compare_json(&subject.file, &subject.project, &comparison, &reports))
}

pub(super) fn changes(subject: &mut Subject<'_>) -> Option<Made> {
    let difference = subject.difference()?;
    let before = subject.beside.as_ref()?;
    let options = SheetOptions { units: subject.units, ..SheetOptions::default() };
    pages(subject, sheet::compose_difference(&before.project, &subject.project, &difference, &options))
}

pub(super) fn keys(subject: &mut Subject<'_>) -> Option<Made> {
    let page = sheet::compose_keys(&subject.keys?(&subject.units));
    Some(Made::Pages { name: page.name.clone(), pages: vec![page], in_browser: None })
}

pub(super) fn difference(subject: &mut Subject<'_>) -> Option<Made> {
    let difference = subject.difference()?;
    let before = subject.beside.as_ref()?;
    let names = [before.name.as_str(), subject.file.as_str()];
    object(&telling::difference_json(names, &before.project, &subject.project, &difference))
}
