//! Every clause of the table of standards is spoken of by a rule, or says why records cannot prove
//! it; and what is proved of a garden names records that are there.

mod support;

use breakcrop::audit::{Standing, audit, catalogue, proofs};
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::season::iso_day;
use pretty_assertions::assert_eq;
use support::garden_of;

#[test]
fn every_clause_has_a_rule_or_a_reason() {
    let knowledge = Knowledge::embedded();
    let ids: Vec<&str> = catalogue().iter().map(|rule| rule.card().id).collect();
    let clauses = knowledge.clauses();
    assert_eq!(clauses.len(), 95);
    for clause in clauses {
        assert!(
            clause.rules.is_empty() != clause.not_provable.is_empty(),
            "{}: rules or a reason, and not both",
            clause.id
        );
        for rule in &clause.rules {
            assert!(ids.contains(&&**rule), "{}: no rule {rule}", clause.id);
        }
    }
}

#[test]
fn a_clause_holds_falls_and_is_not_shown_by_the_records_of_a_bed() {
    let knowledge = Knowledge::embedded();
    let files = [
        (
            "beds.csv",
            "bed,kind,length_m,width_m,records_from\n\
             kept,ground,4,1,2019-01-01\nworn,ground,4,1,2019-01-01\nempty,ground,4,1,2019-01-01\n",
        ),
        (
            "plantings.csv",
            "bed,crop,variety,method,planted,removed,residue\n\
             kept,pea,tall,sown,2023-03-01,2023-07-01,composted\n\
             kept,leek,long,transplanted,2023-07-10,2024-03-01,composted\n\
             kept,tomato,red,transplanted,2024-05-10,2024-10-01,composted\n\
             worn,potato,white,transplanted,2022-04-01,2022-08-20,removed\n\
             worn,potato,white,transplanted,2023-04-05,2023-08-20,removed\n\
             worn,potato,white,transplanted,2024-04-02,2024-08-25,removed\n",
        ),
    ];
    let garden = garden_of(&knowledge, files, "three beds");
    let today = iso_day("2024-12-01").expect("a day");
    let found = audit(&knowledge, &Policy::default(), &garden, today);
    let proofs = proofs(&knowledge, &garden, &found, today);
    let clause = proofs.iter().find(|proof| &*proof.clause.id == "NOP-DEF").expect("the clause");
    let standings: Vec<(Option<&str>, Standing)> =
        clause.beds.iter().map(|bed| (bed.bed.as_deref(), bed.standing)).collect();
    assert_eq!(
        standings,
        [
            (Some("empty"), Standing::NotShown),
            (Some("kept"), Standing::Holds),
            (Some("worn"), Standing::Against),
        ]
    );
    assert_eq!(clause.standing, Standing::Against);
    let kept = clause.beds.iter().find(|bed| bed.bed.as_deref() == Some("kept")).expect("the bed");
    let lines: Vec<_> = kept.records.iter().map(|lines| (&*lines.file, &lines.ranges)).collect();
    assert_eq!(lines, [("plantings.csv", &vec![(2, 4)])]);
    let unprovable = proofs.iter().find(|proof| &*proof.clause.id == "NOP-206e").expect("a clause");
    assert_eq!(unprovable.standing, Standing::NotProvable);
}
