//! The built-in tables are sound, and every rule of the lint fires on a table that breaks it.

use std::collections::BTreeSet;

use breakcrop::knowledge::{Fault, Knowledge, LintRule, Tables, lint};
use pretty_assertions::assert_eq;

fn shown(faults: &[Fault]) -> Vec<String> {
    faults
        .iter()
        .map(|fault| {
            format!(
                "{}:{}:{} {} {:?} {:?} {:?}",
                fault.at.file,
                fault.at.line,
                fault.at.column,
                fault.rule.word(),
                fault.at.field,
                fault.at.value,
                fault.at.problem
            )
        })
        .collect()
}

#[test]
fn the_built_in_tables_are_sound() {
    let report = lint(&Tables::built_in());
    assert_eq!(shown(&report.faults), Vec::<String>::new());
    assert!(report.rows > 20_000, "all tables are looked at");
}

/// Own tables that break one rule each: file, text, line and column of the fault.
struct Broken {
    rule: LintRule,
    file: &'static str,
    text: &'static str,
    line: u32,
    column: u32,
}

const HOSTS: &str = "pathogen,crop,status,basis,note,source,locator,how\n";

#[expect(clippy::too_many_lines, reason = "a list of cases")]
fn broken() -> Vec<Broken> {
    let hosts = |rows: &str| -> &'static str { Box::leak(format!("{HOSTS}{rows}").into()) };
    let one = |rule, file, text, line, column| Broken { rule, file, text, line, column };
    vec![
        one(
            LintRule::CellReads,
            "hosts.csv",
            hosts("verticillium_dahliae,okra,hostt,field,,memory,,memory\n"),
            2,
            27,
        ),
        one(
            LintRule::UniqueKey,
            "hosts.csv",
            hosts(
                "verticillium_dahliae,okra,host,list,,memory,,memory\n\
                 verticillium_dahliae,okra,host,list,,memory,,memory\n",
            ),
            3,
            1,
        ),
        one(
            LintRule::KeyExists,
            "hosts.csv",
            hosts("verticilium_dahliae,okra,host,list,,memory,,memory\n"),
            2,
            1,
        ),
        one(
            LintRule::KeyExists,
            "cover_disease_bridge.csv",
            "cover,pathogen,effect,evidence,finding,source,how\n\
             no_such_cover,verticillium_dahliae,raises,statement,host,memory,memory\n",
            2,
            1,
        ),
        one(
            LintRule::Bounds,
            "crop_figures.csv",
            "table,crop,field,value,standing,source,how\n\
             growth,tomato,germ_soil_opt_c,267,preferred,memory,memory\n",
            2,
            31,
        ),
        one(
            LintRule::Bounds,
            "cover_figures.csv",
            "crop,field,low,high,unit,standing,source,how\n\
             alfalfa,dry_matter_t_ha,2,4,furlongs,preferred,memory,memory\n",
            2,
            29,
        ),
        one(
            LintRule::Bounds,
            "modifiers.csv",
            "pathogen,practice,acts_on,relative_low,effect,source,how\n\
             verticillium_dahliae,mulch,crop,-3,less,memory,memory\n",
            2,
            33,
        ),
        one(
            LintRule::LowToHigh,
            "intervals.csv",
            "crop,pathogen,years_min,years_max,situation,source,how\n\
             tomato,verticillium_dahliae,9,4,outbreak,memory,memory\n",
            2,
            29,
        ),
        one(
            LintRule::LowToHigh,
            "crop_thresholds.csv",
            "crop,trait,value,unit,source,how\ntomato,kill_c,-1 to -3,C,memory,memory\n",
            2,
            15,
        ),
        one(
            LintRule::LowToHigh,
            "crop_figures.csv",
            "table,crop,field,value,standing,source,how\n\
             spacing,okra,in_row_cm_max,20,preferred,memory,memory\n\
             spacing,okra,in_row_cm_min,40,preferred,memory,memory\n",
            3,
            28,
        ),
        one(
            LintRule::SourceExists,
            "hosts.csv",
            hosts("verticillium_dahliae,okra,host,list,,no_such_bulletin,,read\n"),
            2,
            38,
        ),
        one(LintRule::SourceCited, "sources.csv", "key,title\nnobody_cites_me,A leaflet\n", 2, 1),
        one(
            LintRule::HowAgrees,
            "hosts.csv",
            hosts("verticillium_dahliae,okra,host,list,,memory,,read\n"),
            2,
            46,
        ),
        one(
            LintRule::CropFamily,
            "crops.csv",
            "key,name,family,role,source,how\nmystery_root,mystery root,,cash,memory,memory\n",
            2,
            27,
        ),
        one(
            LintRule::PathogenHosts,
            "pathogens.csv",
            "key,name,kind,inoculum,spread,host_range,survival_years_min,unrecorded,rotation_effect,source,how\n\
             new_wilt,new wilt,fungus,soil,bed,broad,2,,partial,memory,memory\n",
            2,
            43,
        ),
        one(
            LintRule::PathogenSurvival,
            "pathogens.csv",
            "key,name,kind,inoculum,spread,host_range,survival_years_min,unrecorded,rotation_effect,source,how\n\
             new_wilt,new wilt,fungus,soil,bed,broad,,hosts,partial,memory,memory\n",
            2,
            42,
        ),
        one(
            LintRule::RowsSorted,
            "hosts.csv",
            hosts(
                "verticillium_dahliae,okra,host,list,,memory,,memory\n\
                 agriotes_spp,okra,host,list,,memory,,memory\n",
            ),
            3,
            1,
        ),
        one(
            LintRule::EppoForm,
            "crops.csv",
            "key,name,family,eppo_code,role,source,how\n\
             mystery_root,mystery root,Apiaceae,Dauca,cash,memory,memory\n",
            2,
            36,
        ),
        one(
            LintRule::NameUnambiguous,
            "names.csv",
            "kind,name,key,source,how\n\
             crop,Ábobra-Xyz,zucca,memory,memory\ncrop,abobra xyz,melon,memory,memory\n",
            3,
            6,
        ),
        one(
            LintRule::NameUnambiguous,
            "names.csv",
            "kind,name,key,source,how\ncrop,tomato,potato,memory,memory\n",
            2,
            6,
        ),
        one(
            LintRule::SynonymKey,
            "names.csv",
            "kind,name,key,source,how\ncrop,xyzzy fruit,no_such_fruit,memory,memory\n",
            2,
            18,
        ),
        one(
            LintRule::GroupMembers,
            "crop_groups.csv",
            "group,crop,source,how\nmy_group,family:Nosuchaceae,memory,memory\n",
            2,
            10,
        ),
    ]
}

#[test]
fn every_rule_fires_where_it_is_broken() {
    let mut fired = BTreeSet::new();
    for case in broken() {
        let tables =
            Tables::with_own("own", [(case.file.to_owned(), case.text.into())]).expect("a table");
        let report = lint(&tables);
        let hit = report.faults.iter().find(|fault| {
            fault.rule == case.rule
                && (fault.at.line, fault.at.column) == (case.line, case.column)
                && *fault.at.file == *format!("own/{}", case.file)
        });
        let hit = hit.unwrap_or_else(|| {
            panic!("{} did not fire: {:#?}", case.rule.word(), shown(&report.faults))
        });
        assert!(hit.at.hint.is_some(), "{}: what to type is said", case.rule.word());
        fired.insert(case.rule);
    }
    assert_eq!(fired, LintRule::ALL.into_iter().collect(), "each rule has its case");
}

#[test]
fn a_fault_that_could_turn_an_answer_refuses_own_tables() {
    let mut tried = BTreeSet::new();
    for case in broken() {
        if case.rule.refuses() && tried.insert(case.rule) {
            let tables = Tables::with_own("own", [(case.file.to_owned(), case.text.into())])
                .expect("a table");
            assert!(Knowledge::with_overlay(tables).is_err(), "{} must refuse", case.rule.word());
        }
    }
    // A row out of order is no reason to do without the tables.
    let unsorted = broken().into_iter().find(|case| case.rule == LintRule::RowsSorted);
    let case = unsorted.expect("its case");
    let tables =
        Tables::with_own("own", [(case.file.to_owned(), case.text.into())]).expect("a table");
    assert!(Knowledge::with_overlay(tables).is_ok());
}
