//! A rule and its card. The card's page is the rule's own documentation comment, so that it is
//! written once.

use super::context::{Context, Whole};
use super::finding::{Finding, Severity};

/// What a rule says of itself.
#[derive(Clone, Copy, Debug)]
pub struct RuleCard {
    /// Snake-case word: file name, exception name, JSON value.
    pub id: &'static str,
    /// Statement, mechanism, reads, silent when, limits, sources.
    pub page: &'static str,
    /// Severity of its findings unless a case says otherwise.
    pub severity: Severity,
    /// Tables it reads.
    pub reads: &'static [&'static str],
    /// Sources behind the mechanism; the figures carry their own.
    pub sources: &'static [&'static str],
    /// Version it came with.
    pub since: &'static str,
}

/// A rule of the audit.
pub trait Rule {
    /// Its card.
    fn card(&self) -> &'static RuleCard;
    /// Its findings on one bed; empty if it has nothing to say.
    fn judge(&self, context: &Context<'_>) -> Vec<Finding>;
    /// Its findings on the garden as a whole; most rules have none.
    fn judge_garden(&self, _whole: &Whole<'_>) -> Vec<Finding> {
        Vec::new()
    }
}

/// Declares a rule: the doc comment becomes the page of its card.
macro_rules! rule {
    (
        $(#[doc = $page:literal])*
        $name:ident {
            id: $id:literal,
            severity: $severity:ident,
            reads: [$($reads:literal),* $(,)?],
            sources: [$($source:literal),* $(,)?],
            since: $since:literal $(,)?
        }
    ) => {
        $(#[doc = $page])*
        pub(super) struct $name;

        impl $name {
            const CARD: $crate::audit::RuleCard = $crate::audit::RuleCard {
                id: $id,
                page: concat!($($page, "\n"),*),
                severity: $crate::audit::Severity::$severity,
                reads: &[$($reads),*],
                sources: &[$($source),*],
                since: $since,
            };
        }
    };
}
pub(super) use rule;
