//! Looks: pages as text of a width, with colour or without; documents as JSON. Only the command
//! line writes them out.

mod bed_svg;
mod html;
mod ics;
mod palette;
mod plain_text;
mod schemas;
mod terminal;

pub use bed_svg::bed_svg;
pub use html::{STYLE, STYLE_DIGEST, report_html};
pub use ics::{Event, calendar_text};
pub use plain_text::is_utf8_locale;
pub use schemas::{record_schemas, table_schema};
pub use terminal::{Look, page_text};

/// A document as JSON text, with a line end.
#[must_use]
pub fn json_text(document: &impl serde::Serialize) -> String {
    // Our documents have string keys and finite numbers only.
    let mut text = serde_json::to_string_pretty(document).unwrap_or_default();
    text.push('\n');
    text
}
