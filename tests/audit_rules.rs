//! The catalogue of audit rules is whole: one rule a file, one word everywhere, every card filled.

use std::fs;
use std::path::Path;

use breakcrop::audit::catalogue;
use pretty_assertions::assert_eq;

#[test]
fn folder_and_catalogue_name_the_same_rules() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/audit/rules");
    let mut files: Vec<String> = fs::read_dir(folder)
        .expect("the folder")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .filter(|name| name != "mod.rs")
        .map(|name| name.trim_end_matches(".rs").to_owned())
        .collect();
    files.sort();
    let ids: Vec<&str> = catalogue().iter().map(|rule| rule.card().id).collect();
    assert_eq!(ids, files);
}

#[test]
fn every_card_has_its_sections() {
    for rule in catalogue() {
        let card = rule.card();
        for section in [
            "# Statement",
            "# Mechanism",
            "# Reads",
            "# Stays silent when",
            "# Limits",
            "# Sources",
        ] {
            assert!(card.page.contains(section), "{} lacks {section}", card.id);
        }
        assert!(!card.reads.is_empty(), "{}", card.id);
        assert!(
            card.id.chars().all(|character| character.is_ascii_lowercase() || character == '_'),
            "{}",
            card.id
        );
    }
}
