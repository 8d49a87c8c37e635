//! Sets mutants into a source file, each behind a switch.
//!
//! Reads from standard input `{"source": TEXT, "mutants": [{number, genre, replacement, span}, ..]}`
//! with the spans that cargo-mutants lists (lines and columns from 1, in characters), and writes
//! `{"source": TEXT, "set": [number, ..]}`: the source in which `crate::switched(number)` chooses
//! the mutant over what is written, and the numbers of those that could be set.

use std::io::Read;
use std::ops::Range;

use serde::{Deserialize, Serialize};
use syn::spanned::Spanned;
use syn::visit::{self, Visit};

#[derive(Deserialize)]
struct Task {
    source: String,
    mutants: Vec<Mutant>,
}

#[derive(Deserialize)]
struct Mutant {
    number: u32,
    genre: String,
    replacement: String,
    span: Lines,
}

#[derive(Deserialize)]
struct Lines {
    start: Place,
    end: Place,
}

#[derive(Deserialize)]
struct Place {
    line: usize,
    column: usize,
}

#[derive(Serialize)]
struct Outcome {
    source: String,
    set: Vec<u32>,
}

/// One place of the source that becomes a choice.
struct Edit {
    at: Range<usize>,
    kind: Kind,
    /// Number and replacement of each mutant of this place.
    choices: Vec<(u32, String)>,
}

enum Kind {
    /// Two operands about an operator.
    Binary { left: Range<usize>, right: Range<usize> },
    /// An operator before its operand.
    Unary { operand: Range<usize> },
    /// The start of a function's body: returns at once.
    Body,
    /// The guard of a match arm, which is decided beforehand.
    Guard,
    /// The place behind the pattern of a match arm: the arm goes.
    Arm { guard: Option<Range<usize>> },
    /// The value of a field, which the base of the struct would give otherwise.
    Field { name: String, value: Range<usize>, base: Range<usize> },
}

/// Byte at which each line starts, to find places again.
struct Text<'a> {
    source: &'a str,
    lines: Vec<usize>,
}

impl<'a> Text<'a> {
    fn new(source: &'a str) -> Self {
        let breaks = source.match_indices('\n').map(|(at, _)| at + 1);
        Self { source, lines: std::iter::once(0).chain(breaks).collect() }
    }

    fn byte(&self, line: usize, column: usize) -> usize {
        let start = self.lines[line - 1];
        let end = self.lines.get(line).copied().unwrap_or(self.source.len());
        let within = self.source[start..end].char_indices().nth(column);
        within.map_or(end, |(at, _)| start + at)
    }

    fn range(&self, item: &impl Spanned) -> Range<usize> {
        let span = item.span();
        let (start, end) = (span.start(), span.end());
        self.byte(start.line, start.column)..self.byte(end.line, end.column)
    }

    fn of(&self, lines: &Lines) -> Range<usize> {
        self.byte(lines.start.line, lines.start.column - 1)
            ..self.byte(lines.end.line, lines.end.column - 1)
    }
}

struct Finder<'a> {
    text: &'a Text<'a>,
    wanted: Vec<(&'a Mutant, Range<usize>)>,
    edits: Vec<Edit>,
}

impl Finder<'_> {
    fn take(&mut self, genre: &str, at: &Range<usize>, edit: Range<usize>, kind: Kind) {
        let choices: Vec<(u32, String)> = self
            .wanted
            .iter()
            .filter(|(mutant, range)| mutant.genre == genre && range == at)
            .map(|(mutant, _)| (mutant.number, mutant.replacement.clone()))
            .collect();
        if !choices.is_empty() {
            self.edits.push(Edit { at: edit, kind, choices });
        }
    }

    fn body(&mut self, block: &syn::Block) {
        if let (Some(first), Some(last)) = (block.stmts.first(), block.stmts.last()) {
            let at = self.text.range(first).start..self.text.range(last).end;
            let start = at.start;
            self.take("FnValue", &at, start..start, Kind::Body);
        }
    }
}

impl<'ast> Visit<'ast> for Finder<'_> {
    fn visit_expr_binary(&mut self, one: &'ast syn::ExprBinary) {
        let at = self.text.range(&one.op);
        let left = self.text.range(&*one.left);
        let right = self.text.range(&*one.right);
        let edit = left.start..right.end;
        self.take("BinaryOperator", &at, edit, Kind::Binary { left, right });
        visit::visit_expr_binary(self, one);
    }

    fn visit_expr_unary(&mut self, one: &'ast syn::ExprUnary) {
        let at = self.text.range(&one.op);
        let operand = self.text.range(&*one.expr);
        self.take("UnaryOperator", &at, at.start..operand.end, Kind::Unary { operand });
        visit::visit_expr_unary(self, one);
    }

    fn visit_item_fn(&mut self, one: &'ast syn::ItemFn) {
        self.body(&one.block);
        visit::visit_item_fn(self, one);
    }

    fn visit_impl_item_fn(&mut self, one: &'ast syn::ImplItemFn) {
        self.body(&one.block);
        visit::visit_impl_item_fn(self, one);
    }

    fn visit_trait_item_fn(&mut self, one: &'ast syn::TraitItemFn) {
        if let Some(block) = &one.default {
            self.body(block);
        }
        visit::visit_trait_item_fn(self, one);
    }

    fn visit_arm(&mut self, arm: &'ast syn::Arm) {
        let at = self.text.range(arm);
        let guard = arm.guard.as_ref().map(|(_, guard)| self.text.range(&**guard));
        let end = guard.clone().map_or(self.text.range(&arm.pat).end, |guard| guard.end);
        let start = guard.clone().map_or(end, |guard| guard.start);
        self.take("MatchArm", &at, start..end, Kind::Arm { guard: guard.clone() });
        if let Some(guard) = guard {
            self.take("MatchArmGuard", &guard, guard.clone(), Kind::Guard);
        }
        visit::visit_arm(self, arm);
    }

    fn visit_expr_struct(&mut self, one: &'ast syn::ExprStruct) {
        if let Some(base) = &one.rest {
            let base = self.text.range(&**base);
            for field in &one.fields {
                let at = self.text.range(field);
                if let syn::Member::Named(name) = &field.member {
                    let kind = Kind::Field {
                        name: name.to_string(),
                        value: self.text.range(&field.expr),
                        base: base.clone(),
                    };
                    self.take("StructField", &at, at.clone(), kind);
                }
            }
        }
        visit::visit_expr_struct(self, one);
    }
}

/// The text of a range with the edits within it made.
fn written(source: &str, range: Range<usize>, edits: &[Edit]) -> String {
    let mut text = String::new();
    let mut at = range.start;
    // Sorted by start, the wider first: an edit's own parts are written within it.
    for (number, edit) in edits.iter().enumerate() {
        let inside = edit.at.start >= at && edit.at.end <= range.end;
        if !inside {
            continue;
        }
        text.push_str(&source[at..edit.at.start]);
        text.push_str(&choice(source, edit, &edits[number + 1..]));
        at = edit.at.end;
    }
    text.push_str(&source[at..range.end]);
    text
}

fn choice(source: &str, edit: &Edit, edits: &[Edit]) -> String {
    let part = |range: &Range<usize>| written(source, range.clone(), edits);
    let on = |number: &u32| format!("crate::switched({number})");
    let mut text = String::new();
    match &edit.kind {
        Kind::Binary { left, right } => {
            let (before, after) = (part(left), part(right));
            for (number, replacement) in &edit.choices {
                text.push_str(&format!(
                    "if {} {{ {before} {replacement} {after} }} else ",
                    on(number)
                ));
            }
            let between = &source[left.end..right.start];
            format!("({text}{{ {before}{between}{after} }})")
        }
        Kind::Unary { operand } => {
            let (number, _) = &edit.choices[0];
            let (sign, operand) = (&source[edit.at.start..operand.start], part(operand));
            format!("(if {} {{ {operand} }} else {{ {sign}{operand} }})", on(number))
        }
        Kind::Body => {
            for (number, replacement) in &edit.choices {
                text.push_str(&format!("if {} {{ return {replacement}; }} ", on(number)));
            }
            text
        }
        Kind::Guard => {
            let mut guard = format!("({})", part(&edit.at));
            for (number, replacement) in &edit.choices {
                guard = if replacement == "true" {
                    format!("({} || {guard})", on(number))
                } else {
                    format!("(!{} && {guard})", on(number))
                };
            }
            guard
        }
        Kind::Arm { guard } => {
            let (number, _) = &edit.choices[0];
            match guard {
                Some(guard) => format!("!{} && ({})", on(number), part(guard)),
                None => format!(" if !{}", on(number)),
            }
        }
        Kind::Field { name, value, base } => {
            let (number, _) = &edit.choices[0];
            let (value, base) = (part(value), part(base));
            format!("{name}: if {} {{ ({base}).{name} }} else {{ {value} }}", on(number))
        }
    }
}

fn main() {
    let mut input = String::new();
    std::io::stdin().read_to_string(&mut input).expect("reads");
    let task: Task = serde_json::from_str(&input).expect("a task");
    let text = Text::new(&task.source);
    let file = syn::parse_file(&task.source).expect("Rust");
    let wanted = task.mutants.iter().map(|one| (one, text.of(&one.span))).collect();
    let mut finder = Finder { text: &text, wanted, edits: Vec::new() };
    finder.visit_file(&file);
    let mut edits = finder.edits;
    edits.sort_by_key(|edit| (edit.at.start, std::cmp::Reverse(edit.at.end)));
    let source = written(&task.source, 0..task.source.len(), &edits);
    let set = edits.iter().flat_map(|edit| edit.choices.iter().map(|(number, _)| *number));
    let outcome = Outcome { source, set: set.collect() };
    println!("{}", serde_json::to_string(&outcome).expect("JSON"));
}
