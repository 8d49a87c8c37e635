//! Spans with a label for their meaning, lines of spans, tables, pages.

/// What a span means; `render` gives it a look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Label {
    /// Running text.
    Plain,
    /// Names of crops, beds, diseases.
    Name,
    /// Headings.
    Heading,
    /// The verdict plant.
    Plant,
    /// The verdict care.
    Care,
    /// The verdict wait, and severe findings.
    Wait,
    /// What is not known.
    Unknown,
    /// Places in records and sources.
    Source,
    /// What to type.
    Command,
    /// What is wrong.
    Error,
}

/// A piece of text of one meaning.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    /// Meaning.
    pub label: Label,
    /// Text.
    pub text: String,
}

impl Span {
    /// A labelled text.
    #[must_use]
    pub fn new(label: Label, text: impl Into<String>) -> Self {
        Self { label, text: text.into() }
    }
}

/// A line, which may be wrapped: the first piece begins at `indent`, the rest at `hang`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Line {
    /// Blanks before the first piece.
    pub indent: usize,
    /// Blanks before the pieces after a wrap.
    pub hang: usize,
    /// The spans.
    pub spans: Vec<Span>,
}

impl Line {
    /// An empty line at an indent, wrapped text two further in.
    #[must_use]
    pub fn at(indent: usize) -> Self {
        Self { indent, hang: indent + 2, spans: Vec::new() }
    }

    /// Sets where wrapped text goes on.
    #[must_use]
    pub fn hanging(mut self, hang: usize) -> Self {
        self.hang = hang;
        self
    }

    /// Adds a labelled text.
    #[must_use]
    pub fn and(mut self, label: Label, text: impl Into<String>) -> Self {
        self.spans.push(Span::new(label, text));
        self
    }

    /// Adds running text.
    #[must_use]
    pub fn text(self, text: impl Into<String>) -> Self {
        self.and(Label::Plain, text)
    }

    /// The line's text without labels.
    #[must_use]
    pub fn plain(&self) -> String {
        self.spans.iter().map(|span| span.text.as_str()).collect()
    }
}

/// Rows in columns; the last column takes what width is left and wraps.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// Blanks before the first column.
    pub indent: usize,
    /// Column heads; empty for none.
    pub head: Vec<String>,
    /// Columns whose text is set to the right.
    pub right: Vec<usize>,
    /// The rows.
    pub rows: Vec<Vec<Span>>,
}

/// A part of a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Block {
    /// A line.
    Line(Line),
    /// A table.
    Table(Table),
    /// An empty line.
    Blank,
}

/// A page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Page {
    /// Its parts.
    pub blocks: Vec<Block>,
}

impl Page {
    /// Adds a line.
    pub fn line(&mut self, line: Line) {
        self.blocks.push(Block::Line(line));
    }

    /// Adds lines.
    pub fn lines(&mut self, lines: impl IntoIterator<Item = Line>) {
        self.blocks.extend(lines.into_iter().map(Block::Line));
    }

    /// Adds a heading.
    pub fn heading(&mut self, text: impl Into<String>) {
        self.line(Line::default().and(Label::Heading, text));
    }

    /// Adds a table, unless it has no rows.
    pub fn table(&mut self, table: Table) {
        if !table.rows.is_empty() {
            self.blocks.push(Block::Table(table));
        }
    }

    /// Adds an empty line.
    pub fn blank(&mut self) {
        self.blocks.push(Block::Blank);
    }

    /// Adds another page below.
    pub fn extend(&mut self, other: Self) {
        self.blocks.extend(other.blocks);
    }
}
