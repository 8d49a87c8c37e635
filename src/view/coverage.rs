//! What became of the reference rows, and what the tables hold.

use super::text::{Label, Line, Page, Span, Table};
use crate::knowledge::{Coverage, Holding};

/// Two tables: the record and the counts.
#[must_use]
pub fn coverage_page(record: &[Coverage], holdings: &[Holding]) -> Page {
    let mut page = Page::default();
    page.heading("What became of the reference rows");
    let mut table = Table {
        indent: 1,
        head: ["reference table", "rows", "taken", "merged", "split", "moved", "refused", "why"]
            .map(String::from)
            .to_vec(),
        right: vec![1, 2, 3, 4, 5, 6],
        rows: vec![],
    };
    let mut sums = [0_usize; 6];
    for row in record {
        let counts = [row.rows, row.taken, row.merged, row.split, row.moved, row.refused];
        for (sum, count) in sums.iter_mut().zip(counts) {
            *sum += count;
        }
        let moved = if row.moved_to.is_empty() {
            String::new()
        } else {
            format!("moved to {}; ", row.moved_to)
        };
        let mut cells = vec![Span::new(Label::Name, row.reference.to_string())];
        cells.extend(counts.map(|count| Span::new(Label::Plain, count.to_string())));
        cells.push(Span::new(Label::Plain, format!("{moved}{}", row.why)));
        table.rows.push(cells);
    }
    let mut cells = vec![Span::new(Label::Heading, "all")];
    cells.extend(sums.map(|sum| Span::new(Label::Heading, sum.to_string())));
    cells.push(Span::new(Label::Plain, ""));
    table.rows.push(cells);
    page.table(table);
    page.blank();
    page.heading("What the tables hold");
    let mut table = Table {
        indent: 1,
        head: ["of", "count", "asked for"].map(String::from).to_vec(),
        right: vec![1, 2],
        rows: vec![],
    };
    for holding in holdings {
        let least = holding.least.map_or(String::new(), |least| least.to_string());
        table.rows.push(vec![
            Span::new(Label::Name, holding.what),
            Span::new(Label::Plain, holding.count.to_string()),
            Span::new(Label::Plain, least),
        ]);
    }
    page.table(table);
    page.line(Line::at(1).text("the second table is counted from the tables in use"));
    page
}
