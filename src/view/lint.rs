//! What the lint found, in words.

use super::problems::problem_page;
use super::text::{Label, Line, Page};
use super::words;
use crate::knowledge::{Fault, LintReport, LintRule};
use crate::tabular::RowProblem;

/// Faults by rule, then what was looked at.
#[must_use]
pub fn lint_page(report: &LintReport, most: usize) -> Page {
    let mut page = Page::default();
    for rule in LintRule::ALL {
        let faults: Vec<RowProblem> = of_rule(report, rule).map(|fault| fault.at.clone()).collect();
        if !faults.is_empty() {
            page.heading(format!(
                "{}: {} ({})",
                rule.word(),
                statement(rule),
                words::count(faults.len(), "fault")
            ));
            page.extend(problem_page(&faults, most));
            page.blank();
        }
    }
    for replacement in &report.replacements {
        let built_in: Vec<String> = replacement.built_in.iter().map(ToString::to_string).collect();
        page.line(
            Line::at(0)
                .and(Label::Source, replacement.own.to_string())
                .text(" replaces ")
                .and(Label::Source, words::list(&built_in)),
        );
    }
    let end = if report.faults.is_empty() {
        "no fault".to_owned()
    } else {
        words::count(report.faults.len(), "fault")
    };
    page.line(Line::default().text(format!(
        "{} in {}, {}: {end}",
        words::count(report.rows, "row"),
        words::count(report.tables, "table"),
        words::count(LintRule::ALL.len(), "rule"),
    )));
    page
}

fn of_rule(report: &LintReport, rule: LintRule) -> impl Iterator<Item = &Fault> {
    report.faults.iter().filter(move |fault| fault.rule == rule)
}

fn statement(rule: LintRule) -> &'static str {
    match rule {
        LintRule::CellReads => "every cell reads by its column",
        LintRule::UniqueKey => "no two rows of a table are the same",
        LintRule::KeyExists => "every key that a row names exists",
        LintRule::Bounds => "every figure has a unit and is possible in it",
        LintRule::LowToHigh => "low ends stand below high ends",
        LintRule::SourceExists => "every source cited is in the table of sources",
        LintRule::SourceCited => "every source is cited",
        LintRule::HowAgrees => "what is remembered says so in source and how",
        LintRule::CropFamily => "every crop reaches a family",
        LintRule::PathogenHosts => "every pathogen has hosts or says that they are not recorded",
        LintRule::PathogenSurvival => {
            "every pathogen states its survival or says that it is not recorded"
        }
        LintRule::RowsSorted => "rows stand in order",
        LintRule::EppoForm => "EPPO codes have their form",
        LintRule::NameUnambiguous => "a name stands for one thing",
        LintRule::SynonymKey => "a synonym stands for something that exists",
        LintRule::GroupMembers => "every group has members",
    }
}
