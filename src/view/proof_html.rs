//! The page for an inspector: clause by clause, one static file without scripts or network.

use maud::{DOCTYPE, Markup, html};

use super::phrase::Phrases;
use super::proof::all_lines;
use crate::audit::{BedProof, ClauseProof, Standing};
use crate::season::Date;

/// Looks: readable on paper in black and white, standing told in words.
const STYLE: &str = "body{font:16px/1.5 Georgia,serif;max-width:60rem;margin:2rem auto;padding:0 1rem;\
color:#111;background:#fff}h1{font-size:1.6rem}h2{font-size:1.15rem;margin:2rem 0 .3rem}\
table{border-collapse:collapse;width:100%;font-size:.9rem}th,td{border:1px solid #767676;padding:.25rem .5rem;\
text-align:left;vertical-align:top}.standing{font-weight:bold}.records{overflow-wrap:anywhere}\
section{break-inside:avoid-page}@media print{body{margin:0;font-size:11pt}}";

/// The whole page. `garden` is the garden's name.
#[must_use]
pub fn proof_html(
    phrases: Phrases<'_>,
    proofs: &[ClauseProof<'_>],
    garden: &str,
    today: Date,
) -> String {
    let count =
        |standing: Standing| proofs.iter().filter(|proof| proof.standing == standing).count();
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "What the records of " (garden) " prove" }
                style { (maud::PreEscaped(STYLE)) }
            }
            body {
                main {
                    h1 { "What the records of " (garden) " prove" }
                    p {
                        "As of " (today) ". Each clause is told in our own words with its number; the text of the "
                        "standard itself, and whether it is yours, you must read there. Records are named by file and line. "
                        "\u{201c}Holds\u{201d} means that the records are there and none speaks against it; it is no certificate."
                    }
                    table {
                        caption { "How the clauses stand" }
                        thead { tr { th scope="col" { "Standing" } th scope="col" { "Clauses" } } }
                        tbody {
                            @for standing in [Standing::Holds, Standing::Doubtful, Standing::Against, Standing::LetStand, Standing::NotShown, Standing::NotProvable] {
                                tr { th scope="row" { (standing.words()) } td { (count(standing)) } }
                            }
                        }
                    }
                    @for proof in proofs { (clause(phrases, proof)) }
                }
            }
        }
    }
    .into_string()
}

fn clause(phrases: Phrases<'_>, proof: &ClauseProof<'_>) -> Markup {
    let clause = proof.clause;
    html! {
        section id=(clause.id) {
            h2 { (clause.id) ": " (clause.clause) }
            p { (clause.demands) }
            p { "Source: " (phrases.source(&clause.citation)) }
            p { "Standing: " span.standing { (proof.standing.words()) } }
            @if clause.rules.is_empty() {
                p { "Bed records cannot prove it: " (clause.not_provable) }
            } @else {
                p { "Held against the rules " (clause.rules.join(", ")) "." }
                table {
                    thead {
                        tr {
                            th scope="col" { "Bed" } th scope="col" { "Standing" }
                            th scope="col" { "Records" } th scope="col" { "Against it" }
                            th scope="col" { "Missing" }
                        }
                    }
                    tbody { @for bed in &proof.beds { (row(phrases, bed)) } }
                }
            }
        }
    }
}

fn row(phrases: Phrases<'_>, bed: &BedProof) -> Markup {
    html! {
        tr {
            th scope="row" { (bed.bed.as_deref().unwrap_or("garden")) }
            td.standing { (bed.standing.words()) }
            td.records { (all_lines(&bed.records)) }
            td { @for case in &bed.against { p { (phrases.case(case)) } } }
            td { @for missing in &bed.missing { p { (phrases.missing_record(missing)) } } }
        }
    }
}
